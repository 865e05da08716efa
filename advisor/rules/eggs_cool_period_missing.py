"""A cold spell that some eggs need before they go on developing."""

from collections.abc import Iterator

from advisor.model.findings import FIX, WATCH, Finding
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule

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
    good="clutches: [{species: pantherophis-guttatus, cool_period: none}]",
    bad="clutches: [{species: chamaeleo-exemplaris-frigidus, cool_period: none}]",
)


def check(case: Case) -> Iterator[Finding]:
    """No cool period where the profile has one: a question where only some populations need it."""
    species, show = case.species, case.show
    need, planned = species.cool_period, case.clutch.cool_period
    if not species.cool_period_known:
        raise Lacking("species.cool_period")
    if need is None or need.needed_by == "none":
        return
    some = need.needed_by == "some"
    if planned is None and not some:
        raise Lacking("clutch.cool_period")
    if planned is not None and planned.planned:
        return
    at = show.temperature_range(need.at.low, need.at.high)
    days = show.days_range(need.days.low, need.days.high)
    told = (
        "The plan has no cool period"
        if planned is not None
        else "The plan does not tell whether there is a cool period"
    )
    if some:
        note = f" {need.support.note}" if need.support.note else ""
        yield Finding(
            WATCH,
            f"{told}; eggs of some populations of {species.name} need {days} at {at}, {need.when}.{note}",
            "clutch.cool_period",
            "Find out where the parents come from, and write `cool_period:` as it suits them.",
            support=need.support,
        )
        return
    yield Finding(
        FIX,
        f"{told}; {species.name} needs {days} at {at}, {need.when}.",
        "clutch.cool_period",
        f"Begin it {need.when}, and warm the eggs again slowly.",
        support=need.support,
        levers=("clutch.cool_period",),
    )
