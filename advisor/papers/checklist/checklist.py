"""What the preparation checklist says for one plan, as plain data; templates lay it out."""

import datetime
import hashlib
from collections.abc import Iterator

from msgspec import Struct

from advisor import __version__
from advisor.assess import Assessment
from advisor.drawings.ladder import ladder
from advisor.drawings.temperature_axis import unit_sign
from advisor.model.papers import PaperFigures
from advisor.model.plan import Plan
from advisor.papers.cautions import CautionText, cautions
from advisor.papers.checklist.before_eggs import build, lay_box, lay_box_when, put_right, trial, trial_when
from advisor.papers.checklist.gather import gather, gather_when
from advisor.papers.checklist.sheet import MOST_CLUTCHES, PausePoint, pauses
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
from advisor.papers.checklist.writing import WritingSheets, writing_sheets
from advisor.papers.clutches import ClutchRow, clutch_rows
from advisor.papers.emergency import Emergency, emergencies
from advisor.papers.entries import Missing, missing_entries
from advisor.papers.pictures import Picture, picture_of, pictures
from advisor.papers.refused import ChangeItems, mark_of, refused
from advisor.papers.scale import ScaleTable, scale_tables
from advisor.report.screen import verdict_text
from advisor.rules import rule_by_id
from advisor.show import Show
from advisor.wording import day_words, joined, set_point_words


class SetTo(Struct, frozen=True):
    """What the box is set to, in large figures."""

    words: str
    value: str


class Checklist(Struct, frozen=True):
    """The whole paper: the sheet (one leaf, two sides) and, where `long`, the full lists behind it.

    `mark` stands on every page of a plan that has to change first; the cautions stand after the first `cautions_after`
    stages; `more_clutches` found no room on the front; `key` is the hash of the plan's content, by which ticks are kept.
    """

    title: str
    species: str
    verdict: str
    mark: str
    printed_on: str
    version: str
    key: str
    long: bool
    facts: tuple[SetTo, ...]
    clutches: tuple[ClutchRow, ...]
    more_clutches: int
    ladder: Picture
    pauses: tuple[PausePoint, ...]
    emergencies: tuple[Emergency, ...]
    scale: tuple[ScaleTable, ...]
    stages: tuple[Stage, ...]
    cautions_after: int
    cautions: tuple[CautionText, ...]
    writing: WritingSheets
    degrees: str
    pictures: tuple[Picture, ...]
    reasons: tuple[Reason, ...]
    accepted: tuple[str, ...]
    not_judged: tuple[Missing, ...]


def checklist_of(
    assessment: Assessment, figures: PaperFigures, today: datetime.date, long: bool
) -> Checklist:
    """The checklist for a judged plan, out of which `for_paper` took what is refused; `today` is printed on it."""
    situation, report = assessment.situation, assessment.report
    plan, species = situation.plan, tuple(situation.species.values())
    first = numbered(stages_from("Put right now", "before anything else", put_right(situation, report)))
    told = [item.number for stage in first for item in stage.items]
    asked = ChangeItems(tuple((path, told[place - 1]) for path, place in refused(report)))
    stages = numbered(
        [
            *first,
            *stages_from("Gather", gather_when(situation), gather(situation, report, asked)),
            *stages_from("Build", "", build(situation, report, asked)),
            *stages_from("Trial run", trial_when(plan, asked), trial(situation, figures, asked)),
            *stages_from("Lay box", lay_box_when(plan, asked), lay_box(situation)),
            *stages_from("Egg day", egg_day_when(situation), egg_day(situation, figures)),
            *stages_from("Checks", checks_when(situation), checks(situation, figures, asked)),
            *stages_from("Hatching", hatching_when(situation), hatching(situation)),
        ]
    )
    missing = {need for answer in report.not_judged for need in answer.needs}
    clutches = clutch_rows(situation)
    return Checklist(
        title=plan.title,
        species=joined(list(dict.fromkeys(one.name for one in species))),
        verdict=verdict_text(report),
        mark=mark_of(report),
        printed_on=day_words(today),
        version=__version__,
        key=hashlib.sha256(repr(assessment.document.data).encode()).hexdigest()[:16],
        long=long,
        facts=tuple(_facts(plan, asked, situation.show)),
        clutches=clutches[:MOST_CLUTCHES],
        more_clutches=max(len(clutches) - MOST_CLUTCHES, 0),
        ladder=picture_of("Temperatures", ladder(plan, situation.forecast, species, situation.show)),
        pauses=pauses(situation, figures),
        emergencies=emergencies(situation, figures),
        scale=scale_tables(situation, figures),
        stages=stages,
        cautions_after=len(first),
        cautions=cautions(situation.show),
        writing=writing_sheets(situation),
        degrees=unit_sign(situation.show),
        pictures=pictures(situation, figures) if long else (),
        reasons=reasons(report, stages, situation.show),
        accepted=tuple(
            f"{rule_by_id(risk.rule).title} ({risk.severity}). Your reason: {risk.because}"
            for risk in report.accepted
        ),
        not_judged=missing_entries(missing, situation),
    )


def _facts(plan: Plan, asked: ChangeItems, show: Show) -> Iterator[SetTo]:
    """Set point and cut-out; one that has to change is not told."""
    control = plan.control
    cut_out = control.cut_out.set_to if control.cut_out else None
    for words, value, path in (
        ("Set point", set_point_words(control, show), "control.set_to"),
        ("Cut-out", "" if cut_out is None else show.temperature(cut_out), "control.cut_out"),
    ):
        if asked.at(path):
            yield SetTo(words, "see the check")
        else:
            none = (
                "none" if path != "control.set_to" and control.cut_out and not control.cut_out.fitted else ""
            )
            yield SetTo(words, value or none)
