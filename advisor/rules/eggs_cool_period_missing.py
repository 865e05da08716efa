"""A cold spell that some eggs need before they go on developing."""

from collections.abc import Iterator

from advisor.model.findings import FIX, WATCH, Finding, NotJudged
from advisor.rules.engine import CLUTCH, Case, Rule

RULE = Rule(
    id="eggs-cool-period-missing",
    title="The cool period that these eggs need is missing",
    explanation=(
        "In some species the embryo rests after laying until a cold spell is over, as it would be after a winter. Kept "
        "warm all the time, part of the eggs stay at rest for months. The clutch then hatches late and far apart, and "
        "some eggs may not go on at all."
    ),
    remedy="Plan the cool period that the profile names, then warm the eggs again slowly.",
    sources=("practice",),
    about=CLUTCH,
    needs=(),
    good="clutches: [{species: pantherophis-guttatus, cool_period: none}]",
    bad="clutches: [{species: chamaeleo-exemplaris-frigidus, cool_period: none}]",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """No cool period where the profile has one, or one that is too short, too warm or too cold."""
    species, show = case.species, case.show
    need, planned = species.cool_period, case.clutch.cool_period
    if not species.cool_period_known:
        yield NotJudged(("species.cool_period",))
        return
    if need is None:
        return
    if planned is None:
        yield NotJudged(("clutch.cool_period",))
        return
    at = show.temperature_range(need.at.low, need.at.high)
    days = show.days_range(need.days.low, need.days.high)
    fault, severity, path = "", WATCH, "clutch.cool_period"
    if not planned.planned:
        fault, severity = "The plan has no cool period", FIX
    elif planned.days is not None and planned.days.high < need.days.low:
        fault, path = (
            f"The planned cool period lasts {show.days(planned.days.high)}",
            "clutch.cool_period.days",
        )
    elif planned.at is not None and (planned.at.low > need.at.high or planned.at.high < need.at.low):
        planned_at = show.temperature_range(planned.at.low, planned.at.high)
        fault, path = f"The planned cool period is at {planned_at}", "clutch.cool_period.at"
    if fault:
        yield Finding(
            severity,
            f"{fault}; {species.name} needs {days} at {at}, {need.when}.",
            path,
            f"Plan {days} at {at}, {need.when}, then warm the eggs again slowly.",
            sources=need.support.sources,
            evidence=need.support.known,
        )
