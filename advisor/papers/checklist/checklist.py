"""What the preparation checklist says for one plan, as plain data; templates lay it out."""

import datetime

from msgspec import Struct

from advisor import __version__
from advisor.assess import Assessment
from advisor.model.findings import FIX, STOP
from advisor.model.papers import PaperFigures
from advisor.papers.cautions import CautionText, cautions
from advisor.papers.checklist.before_eggs import build, lay_box, lay_box_when, put_right, trial, trial_when
from advisor.papers.checklist.gather import gather, gather_when
from advisor.papers.checklist.stages import Stage, numbered, stages_from
from advisor.papers.checklist.why import Reason, reasons
from advisor.papers.checklist.with_eggs import (
    checks,
    checks_when,
    egg_day,
    egg_day_when,
    hatching,
    hatching_when,
)
from advisor.papers.emergency import Emergency, ScaleTable, emergencies, scale_tables
from advisor.papers.entries import Missing, missing_entries
from advisor.papers.pictures import Picture, pictures
from advisor.report.screen import verdict_text
from advisor.rules import rule_by_id
from advisor.wording import day_words, joined


class Checklist(Struct, frozen=True):
    """The whole paper; the cautions stand after the first `cautions_after` stages.

    `change_first`: the plan has to change, and with it the later stages of this paper.
    """

    title: str
    species: str
    verdict: str
    change_first: bool
    printed_on: str
    version: str
    stages: tuple[Stage, ...]
    cautions_after: int
    cautions: tuple[CautionText, ...]
    emergencies: tuple[Emergency, ...]
    scale: tuple[ScaleTable, ...]
    pictures: tuple[Picture, ...]
    reasons: tuple[Reason, ...]
    accepted: tuple[str, ...]
    not_judged: tuple[Missing, ...]


def checklist_of(assessment: Assessment, figures: PaperFigures, today: datetime.date) -> Checklist:
    """The checklist for a judged plan; `today` is printed on it."""
    situation, report = assessment.situation, assessment.report
    plan = situation.plan
    first = stages_from("Put right now", "before anything else", put_right(situation, report))
    stages = numbered(
        [
            *first,
            *stages_from("Gather", gather_when(situation), gather(situation, report)),
            *stages_from("Build", gather_when(situation), build(situation, report)),
            *stages_from("Trial run", trial_when(plan), trial(situation, figures)),
            *stages_from("Lay box", lay_box_when(plan), lay_box(situation)),
            *stages_from("Egg day", egg_day_when(situation), egg_day(situation, figures)),
            *stages_from("Checks", checks_when(situation), checks(situation, figures)),
            *stages_from("Hatching", hatching_when(situation), hatching(situation)),
        ]
    )
    missing = {need for answer in report.not_judged for need in answer.needs}
    return Checklist(
        title=plan.title,
        species=joined(list(dict.fromkeys(species.name for species in situation.species.values()))),
        verdict=verdict_text(report),
        change_first=any(finding.severity in (STOP, FIX) for finding in report.findings),
        printed_on=day_words(today),
        version=__version__,
        stages=stages,
        cautions_after=len(first),
        cautions=cautions(situation.show),
        emergencies=emergencies(situation, figures),
        scale=scale_tables(situation, figures),
        pictures=pictures(situation, figures),
        reasons=reasons(report, stages, situation.show),
        accepted=tuple(
            f"{rule_by_id(risk.rule).title} ({risk.severity}). Your reason: {risk.because}"
            for risk in report.accepted
        ),
        not_judged=missing_entries(missing, situation),
    )
