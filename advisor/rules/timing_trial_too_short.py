"""How long the box runs before the eggs come."""

from collections.abc import Iterator

from advisor.model.findings import FIX, WATCH, Finding
from advisor.rules.engine import PLAN, Case, Rule
from advisor.rules.shared import USUAL_TRIAL
from advisor.show import counted
from advisor.units import number

WARMED_THROUGH = 1.0  # days; a loaded box needs a night and a day to warm its medium through; judgement
ENOUGH = 3.0  # days, so that some cold nights and warm days are seen; common practice, no source

RULE = Rule(
    id="timing-trial-too-short",
    title="The trial run is too short to show faults",
    explanation=(
        "The damp medium takes about a day to warm through. Only then does the box show how it holds its heat on a cold "
        "night and on a warm day. A fault that is not seen in the trial meets the eggs instead. A box that runs too hot "
        "can kill them within hours."
    ),
    remedy="Run the loaded box for 7 days, 3 at the least, while somebody is at home.",
    sources=("practice", "judgement"),
    about=PLAN,
    needs=("trial_run.days",),
    levers=("trial_run.days",),
    good="trial_run: {from: 2027-04-20, days: 7}",
    bad="trial_run: {from: 2027-04-20, days: 1}",
)


def check(case: Case) -> Iterator[Finding]:
    """Below one day the box has not even warmed through; below three days too little of the weather is seen."""
    days = case.plan.trial_run.days
    assert days is not None
    if days >= ENOUGH:
        return
    length = counted(days, "day")
    if days == 0:
        told = "There is no trial run"
    elif days < WARMED_THROUGH:
        told = f"The trial run lasts {length}, too short for the medium to warm through"
    else:
        told = f"The trial run lasts {length}"
    yield Finding(
        FIX if days < WARMED_THROUGH else WATCH,
        f"{told}: {counted(ENOUGH, 'day')} are the least, {number(USUAL_TRIAL)} are better.",
        "trial_run.days",
        "Load the box with the damp medium first.",
    )
