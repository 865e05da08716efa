"""A power cut in the coldest room: how the medium cools, and after how many hours cold may harm the eggs."""

import math
from collections.abc import Iterable, Mapping

from msgspec import Struct
from msgspec.structs import replace

from advisor.constants import WATER_DENSITY
from advisor.forecast.edge import reason_of, together, untold
from advisor.forecast.heat.egg_limits import bearing_of, without_cold_limit
from advisor.forecast.heat.times import (
    BATH,
    BOTTLE_SURFACE,
    Capacity,
    heat_capacity,
    lump_inputs,
    untold_bath,
)
from advisor.forecast.measured.heat import slower_than
from advisor.forecast.measured.joining import Estimate, Narrowed, through
from advisor.forecast.ranges import Spread, Uncertainty, asking, combined, figure, moved, propagate
from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.heat.short_exposures import FACTOR, Allowed, allowed_cold, hours_to_dose
from advisor.formulas.heat.warming_and_cooling import (
    LONGEST,
    WATER_HEAT,
    hours_until_share,
    medium_course,
    share_after,
)
from advisor.formulas.measured.box_heat import share_left
from advisor.formulas.measured.joining import AGREE, NORMAL
from advisor.model.figures import Figure, Formula, Result, Unknown
from advisor.model.forecast import MeasuredAgainst
from advisor.model.measured import SwitchedOff
from advisor.model.plan import Plan
from advisor.model.species import Species

LOST = 3.0  # K; how long the box takes to lose them is what a trial run can check
NIGHT = 12.0  # h
# told on papers: two days; judgement
CHART_HOURS = (0.0, 1.0, 2.0, 4.0, 6.0, 9.0, 12.0, 18.0, 24.0, 36.0, 48.0)
# What three lumps leave open, on hours: 6 to 14 % long with bottles and 15 to 27 % short without them, against cool-downs
# computed by a 2-D finite-volume model (tests/formulas/heat/test_warming_and_cooling.py).
SLOWER = (0.85, 1.0, 1.25)
SWITCH_OFF = "switch the heater off for an hour in the trial run, and write it at `measured.switched_off`"

NEVER = Unknown("no harm is forecast within ten days without power: the eggs do not get cold enough for that")
NO_GAIN = "a power cut does not take the eggs from the set point to harm within ten days"
COLD_ALREADY = Unknown("the set point itself is as cold as what harms these eggs")


class Cooling(Struct, frozen=True):
    """A box that cools: what stores heat, its heat loss, set point and coldest room [°C]; how it cooled when measured."""

    capacity: Capacity
    conductance: Figure
    start: float
    room: float
    off: SwitchedOff | None = None


def cooling_of(plan: Plan, conductance: Result) -> Cooling | Unknown:
    """The plan as a box that cools in its coldest room, or what is missing."""
    if untold_bath(plan):
        return BATH
    capacity, set_to, room = heat_capacity(plan), plan.control.coldest, plan.room.temperature
    wanted = {"control.set_to": set_to, "room.temperature": room}
    lacking = together(capacity, untold("set point or room is not told", wanted), conductance)
    if lacking is not None:
        return lacking
    assert isinstance(capacity, Capacity) and isinstance(conductance, Figure)
    assert set_to is not None and room is not None
    return Cooling(capacity, conductance, set_to, room.low, plan.measured.switched_off)


def forecast_power_cut(plan: Plan, species: Mapping[str, Species], conductance: Result) -> dict[str, Result]:
    """The figures of `HeatForecast` on a power cut, by name."""
    cooling = cooling_of(plan, conductance)
    profiles = tuple(species.values())
    allowed = _allowed(profiles, plan.control.coldest)
    no_limit = Unknown("no profile in the plan tells how cold is too cold", without_cold_limit(profiles))
    known = len(without_cold_limit(profiles)) < len(profiles)
    harm: Result = NEVER if allowed else COLD_ALREADY if known else no_limit
    if isinstance(cooling, Unknown):
        return {
            "hours_to_harm": cooling if known else no_limit,
            "hours_to_lose_3_K": cooling,
            "medium_after_12_h": cooling,
        }
    try:
        found = _spreads(cooling, allowed)
    except NoSolution as error:
        failed = Unknown(reason_of(error))
        return dict.fromkeys(("hours_to_harm", "hours_to_lose_3_K", "medium_after_12_h"), failed)
    if allowed and found["harm"].low < LONGEST:
        added_up = "cold in the coldest room, added up by the time that eggs bear it"
        harm = _hours(found["harm"], added_up, hours_to_dose)
    lost: Result = Unknown("the room is less than 3 °C (5 °F) colder than the set point")
    if cooling.room < cooling.start - LOST:
        cooled = "air, medium and bottles cooling in the coldest room"
        lost = _hours(found["lost"], cooled, hours_until_share)
    night = figure(
        asking(found["night"], SWITCH_OFF),
        "temperature",
        "air, medium and bottles after 12 h without power in the coldest room",
        medium_course,
        least=min(cooling.room, cooling.start),
        most=max(cooling.room, cooling.start),
    )
    return {"hours_to_harm": harm, "hours_to_lose_3_K": lost, "medium_after_12_h": night}


def power_cut_course(plan: Plan, conductance: Result) -> tuple[tuple[float, Figure], ...] | Unknown:
    """The medium [°C] after some hours [h] without power in the coldest room."""
    cooling = cooling_of(plan, conductance)
    if isinstance(cooling, Unknown):
        return cooling
    fall = cooling.start - cooling.room

    def model(values: Mapping[str, float]) -> dict[str, float]:
        course = medium_course(cooling.capacity.lumps({"bottle": 0.0, **values}))
        return {
            str(hour): cooling.room + fall * share_after(course, hour / values["slower"])
            for hour in CHART_HOURS
        }

    try:
        found = propagate(model, _inputs(cooling))
    except NoSolution as error:
        return Unknown(reason_of(error))
    ends = {"least": min(cooling.room, cooling.start), "most": max(cooling.room, cooling.start)}
    return tuple(
        (hour, figure(found[str(hour)], "temperature", "the box cooling", medium_course, **ends))
        for hour in CHART_HOURS
    )


def typical_hours_to_harm(plan: Plan, profile: Species, conductance: Result) -> float | None:
    """Typical hours [h] until harm to eggs of one species, at most ten days; None where they are not known."""
    cooling = cooling_of(plan, conductance)
    allowed = _allowed((profile,), plan.control.coldest)
    if isinstance(cooling, Unknown) or not allowed:
        return None
    try:
        return _cooled(cooling, allowed, {entry.name: entry.typical for entry in _inputs(cooling)})["harm"]
    except NoSolution:
        return None


def forecast_litre(plan: Plan, species: Mapping[str, Species], conductance: Result) -> Result:
    """Time [s] that one more litre of water at the set point gives the eggs until harm, in the coldest room."""
    cooling = cooling_of(plan, conductance)
    if isinstance(cooling, Unknown):
        return cooling
    allowed = _allowed(species.values(), plan.control.coldest)
    fuller = _with_water(cooling, 1e-3)

    def model(values: Mapping[str, float]) -> dict[str, float]:
        with_it, without = (_cooled(box, allowed, values)["harm"] for box in (fuller, cooling))
        if with_it >= LONGEST:
            raise NoSolution(NO_GAIN)
        return {"gain": with_it - without}

    if not allowed:
        return Unknown(NO_GAIN)
    try:
        found = propagate(model, _inputs(fuller))
    except NoSolution as error:
        return Unknown(reason_of(error))
    basis = "hours until harm with one litre more in bottles, less those without it"
    return _hours(found["gain"], basis, hours_to_dose)


def _allowed(profiles: Iterable[Species], set_to: float | None) -> tuple[Allowed, ...]:
    """What each species bears in the cold; without those that the set point itself is too cold for."""
    eggs = [bearing_of(profile) for profile in profiles]
    return tuple(
        allowed
        for one in eggs
        if (allowed := allowed_cold(one)) is not None
        and one.cold is not None
        and (set_to is None or set_to > one.cold)
    )


def measured_fall(plan: Plan, conductance: Result) -> tuple[MeasuredAgainst, ...]:
    """How long the fall took that was measured beside how long it was forecast to take; empty where none was."""
    cooling = cooling_of(plan, conductance)
    if isinstance(cooling, Unknown) or cooling.off is None:
        return ()
    try:
        spreads = propagate(lambda values: _cooled(cooling, (), values), _inputs(cooling))
    except NoSolution:
        return ()
    return (_fall(cooling.off, spreads["fall"]).against,)


def _fall(off: SwitchedOff, spread: Spread) -> Narrowed:
    return slower_than(off, _hours(spread, "the fall that was measured", hours_until_share))


def _inputs(cooling: Cooling) -> tuple[Uncertainty, ...]:
    low, typical, high = SLOWER
    return (
        *(
            entry
            for entry in lump_inputs(cooling.conductance)
            if entry.name != "bottle" or cooling.capacity.bottles
        ),
        Uncertainty("slower", typical, low, high, "how the box cools"),
        Uncertainty(
            "dose",
            1.0,
            1.0 / FACTOR,
            FACTOR,
            "what the eggs bear: nobody knows it better than to a factor of two",
        ),
    )


def _spreads(cooling: Cooling, allowed: tuple[Allowed, ...]) -> dict[str, Spread]:
    """What follows from the cooling; a fall that was measured moves and narrows each as far as both hang on the same inputs."""
    middle, ends = moved(lambda values: _cooled(cooling, allowed, values), _inputs(cooling))
    spreads = combined(middle, ends)
    if cooling.off is None:
        return spreads
    against = _fall(cooling.off, spreads["fall"]).against
    measured = Estimate(
        against.measured.value / 3600, math.log(against.measured.high / against.measured.value) / NORMAL
    )
    logs = frozenset(("lost", "harm"))
    return spreads | through(middle, ends, "fall", measured, against.apart < AGREE, logs)


def _cooled(cooling: Cooling, allowed: tuple[Allowed, ...], values: Mapping[str, float]) -> dict[str, float]:
    """Hours until harm and until 3 K are lost, at most ten days; the medium [°C] after a night."""
    course = medium_course(cooling.capacity.lumps({"bottle": 0.0, **values}))
    fall, slower = cooling.start - cooling.room, values["slower"]
    lost = hours_until_share(course, 1 - LOST / fall) if fall > LOST else LONGEST
    told = {
        "lost": min(lost * slower, LONGEST),
        "night": cooling.room + fall * share_after(course, NIGHT / slower),
    }
    if cooling.off is not None:
        left = share_left(cooling.off.medium_from, cooling.off.medium_to, cooling.off.room)
        told["fall"] = min(hours_until_share(course, left) * slower, LONGEST)
    if allowed:
        trace = [(hours * slower, cooling.room + fall * share) for hours, share in course]
        told["harm"] = min(min(hours_to_dose(trace, eggs, values["dose"]) for eggs in allowed), LONGEST)
    return told


def _with_water(cooling: Cooling, water: float) -> Cooling:
    held = cooling.capacity
    more = replace(
        held,
        bottles=held.bottles + water * WATER_DENSITY * WATER_HEAT,
        bottle_surface=held.bottle_surface + water * BOTTLE_SURFACE,
    )
    return replace(cooling, capacity=more)


def _hours(found: Spread, basis: str, formula: Formula) -> Figure:
    if found.high >= LONGEST:
        basis += f", followed for {LONGEST / 24:.0f} days at most"
    asked = asking(found, SWITCH_OFF).matters_most
    seconds = Spread(found.value * 3600, found.low * 3600, found.high * 3600, asked)
    return figure(seconds, "hours", basis, formula, least=0.0, most=LONGEST * 3600)
