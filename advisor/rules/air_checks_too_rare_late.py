"""How often somebody looks at the eggs in the last third."""

from collections.abc import Iterator

from advisor.constants import DAY
from advisor.model.findings import FIX, WATCH, Finding
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule
from advisor.rules.shared import known, longest_gap

USUAL = 3  # days between checks in the last third; common practice, no source
RARE = 7  # days; keepers look no more rarely than this even in the first third; common practice, no source

RULE = Rule(
    id="air-checks-too-rare-late",
    title="The eggs are looked at too rarely in the last third",
    explanation=(
        "Near the end the embryo breathes most. In a snake, five days of very thin air so late made smaller young. Drops that "
        "close the holes, a spoilt egg, dents or the first slit also show in this time, and within days it may be too "
        "late to help. In a tight box each check is a change of air as well, but it cannot stand in for holes."
    ),
    remedy="Look every 3 days in the last third, and every day once the first egg is slit.",
    sources=("practice", "li-2025"),
    about=CLUTCH,
    levers=("checks.rhythm",),
    good="control: {set_to: 28 °C}\nchecks: {rhythm: thirds}",
    bad="control: {set_to: 28 °C}\nchecks: {rhythm: [{every: 7 days}]}",
)


def check(case: Case) -> Iterator[Finding]:
    """The longest gap in the last third against 3 days; a tight lid makes it worse. No steps stand for thirds."""
    steps, show = case.plan.checks.rhythm, case.show
    if steps is None:
        raise Lacking("checks.rhythm")
    if not steps or (steps[-1].to_day is None and all(step.every <= USUAL * DAY for step in steps)):
        return
    days = known(case.clutch_forecast.incubation_days)
    begin = round(days.value * 2 / 3)
    gap = longest_gap(case.clutch_forecast.check_days, begin, days)
    if gap <= USUAL:
        return
    lid = case.box.lid if case.box_index is not None else None
    tight = lid is not None and (lid.fit == "gasket" or (lid.holes is not None and lid.holes.count == 0))
    worse = ", and the egg box is nearly airtight" if tight else ""
    yield Finding(
        FIX if tight or gap > RARE else WATCH,
        f"From day {begin} to hatching up to {show.days(gap)} pass without a look at the eggs{worse}: every "
        f"{show.days(USUAL)} is usual.",
        "checks.rhythm",
    )
