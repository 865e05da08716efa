"""What a night and a day without power do to the eggs on the coldest day."""

import math
from collections.abc import Iterator

from advisor.forecast.heat.egg_limits import limit_support, without_cold_limit
from advisor.forecast.heat.power_cut import COLD_ALREADY, NEVER, hours_with_more_water
from advisor.forecast.heat.setup import outer_inside
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, NOTE, WATCH, Finding, NotJudged
from advisor.model.species import Species
from advisor.rules.engine import PLAN, Case, Rule
from advisor.rules.shared import BOX, about_time
from advisor.units import UNITS

# s. A night without power is what a box should bear; longer cuts are rare, and the keeper is awake; judgement.
NIGHT, DAY, TWO_DAYS = 12 * 3600.0, 24 * 3600.0, 48 * 3600.0
MOST_BOTTLES = 0.15  # share of the box that bottles may fill, beside the egg boxes; judgement

RULE = Rule(
    id="heat-power-cut-cools-eggs",
    title="In a long power cut the cold may harm the eggs",
    explanation=(
        "Without power the box cools toward the room, fast at first. Foam slows the loss, and only what stores heat buys "
        "hours: wet medium and bottles of water. A cool spell slows the embryo down, and hatching comes that much later. "
        "Eggs bear hours of cold that would kill them over weeks: how many, only few trials tell. So the hours are known "
        "to a factor of two at best, and for eggs from warm countries they are judgement."
    ),
    remedy="Stand full water bottles in the box from the first day, so that they are as warm as the eggs.",
    sources=("judgement",),
    about=PLAN,
    needs=(),
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
        yield NotJudged(hours.needs or (hours.reason,))
        return
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
        f"{show.about_temperature(night.value, night.low, night.high)} after a night (12 h).{spared} "
        f"Harm to {first.name} eggs is possible after {about_time(show, hours)}.",
        "power_cut.water" if plan.power_cut.prepared == "water bottles" else "power_cut.prepared",
        _remedy(case, hours, severity),
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
        found = hours_with_more_water(case.plan, {profile.id: profile}, loss, 0.0)
        return math.inf if found is None else found

    return min(case.situation.species.values(), key=hours)


def _remedy(case: Case, hours: Figure, severity: str) -> str:
    """Bottles for the night or the day, as far as they fit; what a litre adds, where nothing has to be done."""
    show, size = case.show, outer_inside(case.plan)
    assert not isinstance(size, Unknown)
    measure, unit = ("quart", UNITS["volume"]["quart"].factor) if show.us else ("litre", 1e-3)
    each = f"each {measure} adds about {show.roughly(max(_gain(case, unit), 60.0))}"
    if severity == NOTE:
        return f"Keep the box shut. For longer cuts stand water in bottles in it: {each}."
    had = case.plan.power_cut.water or 0.0
    room_for = MOST_BOTTLES * size.length * size.width * size.height - had
    end = NIGHT if hours.value < NIGHT else DAY
    for halves in range(1, math.floor(2 * room_for / unit) + 1):
        reached = hours.value + _gain(case, halves * unit / 2)
        if reached >= end:
            words = (
                f"{halves / 2:g} {measure}{'' if halves == 2 else 's'}" if halves > 1 else f"half a {measure}"
            )
            return (
                f"Stand {words}{' more' if had else ''} of water in bottles in the box from the first day: {each}, "
                f"and harm is then possible after about {show.roughly(reached)}."
            )
    return (
        f"Keep a battery supply ready: in water bottles {each}, and this box has no room for enough of them."
    )


def _gain(case: Case, water: float) -> float:
    """Time [s] that water [m3] in bottles adds until harm."""
    plan, species, loss = case.plan, case.situation.species, case.forecast.heat.conductance
    more, now = (hours_with_more_water(plan, species, loss, added) for added in (water, 0.0))
    return 3600 * (more - now) if more is not None and now is not None else 0.0
