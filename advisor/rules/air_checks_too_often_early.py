"""How often somebody looks at the eggs in the first third."""

from collections.abc import Iterator
from itertools import pairwise

from advisor.constants import DAY
from advisor.model.findings import NOTE, WATCH, Finding
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule
from advisor.rules.shared import known

USUAL = 7  # days between checks in the first third; common practice, no source
OFTEN = 5  # days; the usual rhythm of the second third, common practice; more often than that in the first: judgement

RULE = Rule(
    id="air-checks-too-often-early",
    title="The eggs are looked at too often in the first third",
    explanation=(
        "In the first third the embryo breathes little, so it needs no fresh air from checks. Each opening lets out warmth "
        "and water. An egg box that is opened and handled often also gets shaken, and rolled eggs may die in the first "
        "weeks."
    ),
    remedy="Look once every 7 days in the first third, through the egg-box lid.",
    sources=("practice", "judgement"),
    about=CLUTCH,
    levers=("checks.rhythm", "checks.opens"),
    good="control: {set_to: 28 °C}\nchecks: {opens: outer lid, rhythm: thirds}",
    bad="control: {set_to: 28 °C}\nchecks: {opens: egg boxes, rhythm: [{every: 1 days}]}",
)


def check(case: Case) -> Iterator[Finding]:
    """The shortest gap in the first third; it costs more when the egg boxes are opened. No steps stand for thirds."""
    checks, show = case.plan.checks, case.show
    if checks.rhythm is None:
        raise Lacking("checks.rhythm")
    if all(step.every >= OFTEN * DAY for step in checks.rhythm):
        return
    end = round(known(case.clutch_forecast.incubation_days).value / 3)
    early = [day for day in case.clutch_forecast.check_days if day <= end]
    gap = min((later - earlier for earlier, later in pairwise((0, *early))), default=USUAL)
    if gap >= OFTEN:
        return
    if checks.opens is None:
        raise Lacking("checks.opens")
    opened = checks.opens == "egg boxes"
    times = "1 check is" if len(early) == 1 else f"{len(early)} checks are"
    yield Finding(
        WATCH if opened else NOTE,
        f"Up to day {end}, {times} planned, as little as {show.days(gap)} apart, "
        f"{'with the egg boxes opened' if opened else 'with the outer lid lifted'}: every {show.days(USUAL)} is usual.",
        "checks.rhythm",
    )
