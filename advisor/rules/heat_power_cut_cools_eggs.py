"""What a night and a day without power do to the eggs on the coldest day."""

import math
from collections.abc import Iterator

from advisor.forecast.heat.egg_limits import limit_support, without_cold_limit
from advisor.forecast.heat.power_cut import COLD_ALREADY, NEVER, typical_hours_to_harm
from advisor.model.figures import Figure
from advisor.model.findings import FIX, NOTE, WATCH, Finding, NotJudged
from advisor.model.species import Species
from advisor.rules.engine import PLAN, Case, Lacking, Rule
from advisor.rules.shared import BOX, about_time

# s. A night without power is what a box should bear; longer cuts are rare, and the keeper is awake; judgement.
NIGHT, DAY, TWO_DAYS = 12 * 3600.0, 24 * 3600.0, 48 * 3600.0

RULE = Rule(
    id="heat-power-cut-cools-eggs",
    title="In a long power cut the cold may harm the eggs",
    explanation=(
        "Without power the box cools toward the room, fast at first. Foam slows the loss, and only what stores heat buys "
        "hours: wet medium and bottles of water. A cool spell slows the embryo down, and hatching comes that much later. "
        "Eggs bear hours of cold that would kill them over weeks: few trials tell how many. So the hours are known to a "
        "factor of two at best, and for eggs from warm countries they are judgement."
    ),
    remedy="Stand full water bottles in the box from the first day, so that they are as warm as the eggs.",
    sources=("judgement",),
    about=PLAN,
    levers=("power_cut.water", "power_cut.prepared", "outer_box.wall.thickness", "room.temperature"),
    good="power_cut: {prepared: battery supply}",
    bad=BOX.replace("16 to 22 °C", "2 to 22 °C") + "power_cut: {prepared: nothing}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Grades the hours until harm is possible: less than a night, less than a day, less than two days."""
    plan, show, profiles = case.plan, case.show, tuple(case.situation.species.values())
    heat, missing = case.forecast.heat, without_cold_limit(profiles)
    if plan.power_cut.prepared in ("battery supply", "generator"):
        return
    hours = heat.hours_to_harm
    severity = None
    if isinstance(hours, Figure):
        severity = _severity(hours)
    elif hours not in (NEVER, COLD_ALREADY):
        raise Lacking(*(hours.needs or (hours.reason,)))
    if severity is None:
        if missing:
            yield NotJudged(missing)
        return
    room, night, first = plan.room.temperature, heat.medium_after_12_h, _first_harmed(case)
    assert isinstance(hours, Figure) and isinstance(night, Figure) and room is not None
    support = limit_support(first, hot=False)
    spared = " A night without power does no known harm." if severity == NOTE else ""
    yield Finding(
        severity,
        f"Without power in a room of {show.temperature(room.low)} the eggs are at "
        f"{show.figure(night)} after a night (12 h).{spared} "
        f"Harm to {first.name} eggs is possible after {about_time(show, hours)}.",
        "power_cut.water" if plan.power_cut.prepared == "water bottles" else "power_cut.prepared",
        "Keep the box shut. For longer cuts stand water in bottles in it." if severity == NOTE else "",
        figures=(("hours_to_harm", hours), ("medium_after_12_h", night)),
        sources=tuple(dict.fromkeys((*RULE.sources, *(support.sources if support else ())))),
        evidence="common practice",  # the hours are judgement, however well the limit is known
    )


def _severity(hours: Figure) -> str | None:
    if hours.value < NIGHT:
        return FIX
    if hours.low < NIGHT or hours.value < DAY:
        return WATCH
    return NOTE if hours.value < TWO_DAYS else None


def _first_harmed(case: Case) -> Species:
    loss = case.forecast.heat.conductance

    def hours(profile: Species) -> float:
        found = typical_hours_to_harm(case.plan, profile, loss)
        return math.inf if found is None else found

    return min(case.situation.species.values(), key=hours)
