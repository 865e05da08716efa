"""What is opened at a check, for how long, and what that costs."""

from collections.abc import Iterator

from advisor.model.figures import Figure
from advisor.model.findings import NOTE, WATCH, Finding, NotJudged
from advisor.rules.engine import PLAN, Case, Rule
from advisor.show import counted

LONG = 30.0  # s; keepers lift the outer lid for 4 to 5 s (common practice, no source), and a glance takes no longer; judgement
VERY_LONG = 120.0  # s; most of the warm air in the outer box is gone; judgement

RULE = Rule(
    id="moisture-lid-opened-at-checks",
    title="Checks let out the moist, warm air",
    explanation=(
        "The air over the eggs is almost full of water, and room air is not. Each time an egg box is opened that air is "
        "lost, and the medium gives up more water to fill it again. Bare shells dry in the draught. One short opening costs "
        "little. Long ones cool the eggs and dry the top of the medium."
    ),
    remedy=(
        "Leave the egg boxes shut: lift only the outer lid, for 4 to 5 seconds, and look through the egg-box lid. "
        "Egg boxes without air holes need the holes first."
    ),
    sources=("practice", "judgement"),
    about=PLAN,
    needs=("checks.opens",),
    good="checks: {opens: outer lid, lasting: 5 s}",
    bad="checks: {opens: egg boxes, lasting: 60 s}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Egg boxes opened at all, or the outer lid open for long."""
    opens, lasting = case.plan.checks.opens, case.plan.checks.lasting
    if opens == "egg boxes":
        number_of_checks = max(len(clutch.check_days) for clutch in case.forecast.clutches)
        how_long = f" for {_time(case, lasting)}" if lasting is not None else ""
        how_often = f", {counted(number_of_checks, 'time')} until hatching" if number_of_checks else ""
        cost = _dearest(case)
        yield Finding(
            NOTE if lasting is not None and lasting <= LONG else WATCH,
            f"The checks open the egg boxes{how_long}{how_often}: keepers leave their lids on from laying to hatching."
            + (_cost(case, cost, number_of_checks) if cost is not None else ""),
            "checks.opens",
            figures=(("opening_loss", cost),) if cost is not None else (),
            levers=("checks.opens", "checks.lasting"),
        )
    elif lasting is None:
        yield NotJudged(("checks.lasting",))
    elif lasting > LONG:
        yield Finding(
            WATCH if lasting > VERY_LONG else NOTE,
            f"The outer lid is open for {_time(case, lasting)} at each check: 4 to 5 s is enough for a look.",
            "checks.lasting",
            levers=("checks.lasting",),
        )


def _dearest(case: Case) -> Figure | None:
    """What one opening costs the egg box that loses most [kg]; None when that cannot be computed."""
    costs = (box.water.opening_loss for box in case.forecast.egg_boxes)
    return max(
        (cost for cost in costs if isinstance(cost, Figure)), key=lambda cost: cost.value, default=None
    )


def _cost(case: Case, cost: Figure, number_of_checks: int) -> str:
    once = case.show.figure(cost)
    in_all = (
        f", in all about {case.show.mass_two_digits(cost.value * number_of_checks)}"
        if number_of_checks
        else ""
    )
    return f" Each time a box loses {once} of water{in_all}."


def _time(case: Case, seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds <= VERY_LONG else case.show.hours(seconds)
