"""Everything stands ready before the first likely laying day: trial run over, lay box in place."""

import datetime
import math
from collections.abc import Iterator

from advisor.model.findings import FIX, Finding, NotJudged
from advisor.model.species import Support
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule
from advisor.rules.shared import PASSED

RULE = Rule(
    id="timing-not-ready-before-laying",
    title="Box or lay box is not ready on the first likely laying day",
    explanation=(
        "The female lays on her day, not on yours. A box that is still on trial may run too hot or too cold, and nobody "
        "knows yet. Eggs that come too early wait in the room and dry, or go into a box that can harm them within hours. "
        "A lay box that comes late leaves the eggs on dry ground."
    ),
    remedy="Start the trial run and put the lay box in place before the first likely laying day.",
    sources=("practice",),
    about=CLUTCH,
    good=(
        "trial_run: {from: 2027-04-20, days: 7}\n"
        "clutches: [{species: pantherophis-guttatus, laying: {expected: 2027-05-09 to 2027-05-16}, "
        "lay_box: {ready_on: 2027-04-25}}]"
    ),
    bad=(
        "trial_run: {from: 2027-05-08, days: 7}\n"
        "clutches: [{species: pantherophis-guttatus, laying: {expected: 2027-05-09 to 2027-05-16}, "
        "lay_box: {ready_on: 2027-04-25}}]"
    ),
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Asks for the trial run, then for the lay box, each against the first likely laying day of the season."""
    if case.clutch.nth:
        return
    window = case.clutch_forecast.laying_window
    if window is None:
        raise Lacking("clutch.laying.expected")
    laying = case.clutch.laying
    from_shed = laying.laid_on is None and laying.expected is None
    support = case.species.laying.support if from_shed and case.species.laying else None
    yield from _trial_run(case, window[0], support)
    ready_on = case.clutch.lay_box.ready_on
    if laying.laid_on is not None:
        return
    if ready_on is None:
        yield NotJudged(("clutch.lay_box.ready_on",))
    elif ready_on > window[0]:
        late = case.show.days((ready_on - window[0]).days)
        yield Finding(
            FIX,
            f"The lay box is ready on {ready_on}, but eggs may come from {window[0]}: {late} too late.",
            "clutch.lay_box.ready_on",
            PASSED,
            support=support,
            levers=("clutch.lay_box",),
            subject=f"lay box of {case.subject}",
        )


def _trial_run(case: Case, first: datetime.date, support: Support | None) -> Iterator[Finding | NotJudged]:
    """The trial run ends on the day before the first likely laying day at the latest."""
    trial, show = case.plan.trial_run, case.show
    if trial.from_ is None:
        yield NotJudged(
            ("trial_run.from",) if trial.days is not None else ("trial_run.from", "trial_run.days")
        )
        return
    if trial.days is None and trial.from_ <= first:
        yield NotJudged(("trial_run.days",))
        return
    length = math.ceil(trial.days or 0)
    late = (trial.from_ + datetime.timedelta(days=length) - first).days
    if late <= 0:
        return
    last = trial.from_ + datetime.timedelta(days=length - 1)
    what = f"ends on {last}" if trial.days else f"starts on {trial.from_}"
    laid = case.clutch.laying.laid_on is not None
    yield Finding(
        FIX,
        f"The trial run {what}, but eggs {'were laid on' if laid else 'may come from'} {first}: "
        f"{show.days(late)} {'too late' if trial.days else 'late at least'}.",
        "trial_run.from",
        "Let the loaded box hold the set point for 24 h, then put the eggs in."
        if laid
        else "If that day has passed, start today.",
        support=support,
        levers=() if laid else ("trial_run.from", "trial_run.days"),
    )
