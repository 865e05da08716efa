"""What a log tells of the heat: on-share, watts for each kelvin, heat loss, stuck-on rise, cooling."""

import math
from collections.abc import Callable

from msgspec import Struct

from advisor.forecast.edge import in_range
from advisor.forecast.heat.parts import of_full_power, with_fan
from advisor.forecast.measured.heat import COOLING, METER
from advisor.forecast.trial.courses import Courses, interval_of, off_times
from advisor.forecast.trial.told import NO_MEDIUM, NO_ROOM
from advisor.formulas.logs.cooling import Fall, hours_to_lose, time_constant
from advisor.formulas.logs.cycles import rising_share
from advisor.formulas.logs.loss import (
    COUNTING,
    LABEL,
    LEAST_SHARE,
    NORMAL,
    conductance,
    ends,
    power_for_each_kelvin,
    stuck_on_rise,
    warmer_by,
)
from advisor.formulas.logs.means import block_means, held_mean, step_of, weighted_mean
from advisor.formulas.logs.steady import HOUR, short_swing
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import HeatForecast
from advisor.model.logs import HEATER_ON, HEATER_POWER, Sensor
from advisor.model.plan import Plan

SAW_TOOTH = 0.05  # standard deviation of an on-share read from rising air; own simulation of many boxes
TAIL = 1800.0  # s at the end of a spell from which its time constant is taken; judgement
NO_HEATER = Unknown(
    "the log does not tell how long the heater is on: log the heater too, or note its times",
    ("watching.sensors",),
)
LABEL_HELPS = "the heater's watts: a plug-in energy meter tells them"
ROOM_HELPS = "the difference of the two thermometers: put both into one glass of water for half an hour"


class Heating(Struct, frozen=True):
    """Share of the time that the heater is on [-], and mean power [W] where it is known, each with its error in logarithms."""

    share: float
    error: float
    power: float | None
    power_error: float
    basis: str


def heating(courses: Courses, plan: Plan) -> Heating | Unknown:
    """How much the heater is on in the settled time, from the best that the log has."""
    label = plan.heat.power
    on, meter = _sensor(courses, HEATER_ON), _sensor(courses, HEATER_POWER)
    if meter is not None:
        idle = min(meter.values)
        full = sorted(meter.values)[int(0.98 * (len(meter.values) - 1))] - idle
        mean = _held(meter, courses) - idle
        if full > 0.0 and mean > 0.0:
            return Heating(
                mean / full, METER, mean, METER, "the heater's watts, those of the idle thermostat taken off"
            )
    if on is not None:
        share = _held(on, courses)
        power = None if label is None else share * label
        return Heating(share, COUNTING, power, math.hypot(LABEL, COUNTING), "the logged times of the heater")
    for place in courses.air:
        swing = short_swing(place.steady) or 0.0
        if swing < max(0.3, 4 * step_of(place.sensor.values[-5000:])):
            continue
        found = rising_share(place.steady, interval_of(place.steady), swing)
        if found is not None:
            share = found[1]
            error = SAW_TOOTH / share
            power = None if label is None else share * label
            return Heating(
                share,
                error,
                power,
                math.hypot(LABEL, error),
                f"the share of time in which {place.sensor.name} rises",
            )
    return NO_HEATER


def _sensor(courses: Courses, place: str) -> Sensor | None:
    return next(
        (one.sensor for one in courses.places if one.sensor.place == place and len(one.sensor.values) > 1),
        None,
    )


def _held(sensor: Sensor, courses: Courses) -> float:
    """Mean over the settled spells of what holds from one reading to the next: a switch keeps its state."""
    spells = [
        (begin, end, held_mean(sensor.times, sensor.values, begin, end))
        for begin, end in courses.steady_spells
    ]
    whole = sum(end - begin for begin, end, _ in spells)
    return sum((end - begin) * mean for begin, end, mean in spells) / whole if whole > 0 else spells[0][2]


def losses(courses: Courses, plan: Plan, forecast: HeatForecast) -> dict[str, Result]:
    """What the log tells of the box's heat by the fields of a `Trial`, each figure with its range, or why it can't."""
    heat = heating(courses, plan) if courses.from_ < courses.end else NO_HEATER
    differs = _difference(courses)
    each = _each_kelvin(plan, heat, differs)
    coldest = plan.room.temperature.low if plan.room.temperature else None
    return {
        "on_share": _share(heat),
        "power_for_each_kelvin": each,
        "conductance": _conductance(each, plan, forecast, heat),
        "stuck_on_rise": _stuck_on(plan, heat, differs),
        "time_constant": _cooled(courses, lambda fall, constant, room: constant),
        "hours_to_lose_3_K": _cooled(courses, lambda fall, constant, room: HOUR * hours_to_lose(
            fall, constant, room, 3.0, room if coldest is None else coldest)),
    }  # fmt: skip


def _difference(courses: Courses) -> float | Unknown:
    """Medium minus room [K] over the settled time."""
    room, eggs = courses.room, courses.eggs
    if not eggs or room is None:
        return NO_ROOM if eggs else NO_MEDIUM
    medium = sum(weighted_mean(place.steady) for place in eggs) / len(eggs)
    return in_range(lambda: warmer_by(medium, weighted_mean(room.steady)))


def _ranged(value: float, error: float, quantity: str, basis: str, helps: str) -> Figure:
    low, high = ends(value, error)
    return Figure(value, low, high, quantity, basis, helps)


def _share(heat: Heating | Unknown) -> Result:
    if isinstance(heat, Unknown):
        return heat
    low, high = ends(heat.share, heat.error) if heat.error <= METER or heat.basis[:9] == "the logge" else (
        heat.share - NORMAL * SAW_TOOTH, heat.share + NORMAL * SAW_TOOTH)  # fmt: skip
    return Figure(
        heat.share,
        max(low, 0.0),
        min(high, 1.0),
        "share",
        heat.basis,
        "the heater: note when it switches on and off",
    )


def _each_kelvin(plan: Plan, heat: Heating | Unknown, differs: float | Unknown) -> Result:
    if isinstance(heat, Unknown):
        return heat
    if isinstance(differs, Unknown):
        return differs
    if heat.power is None:
        return Unknown("the heater's power is not told", ("heat.power",))
    if heat.share < LEAST_SHARE:
        return Unknown("the heater is hardly on")
    value, error = power_for_each_kelvin(with_fan(plan, heat.power), differs, heat.power_error)
    helps = LABEL_HELPS if heat.power_error > METER else ROOM_HELPS
    return _ranged(
        value, error, "conductance", f"mean watts over medium minus room, from {heat.basis}", helps
    )


def _stuck_on(plan: Plan, heat: Heating | Unknown, differs: float | Unknown) -> Result:
    if isinstance(heat, Unknown):
        return heat
    if isinstance(differs, Unknown):
        return differs
    found = in_range(lambda: stuck_on_rise(of_full_power(plan, heat.share), differs, heat.error))
    if isinstance(found, Unknown):
        return found
    return _ranged(*found, "step", f"medium minus room over the on-share, from {heat.basis}", ROOM_HELPS)


def _conductance(each: Result, plan: Plan, forecast: HeatForecast, heat: Heating | Unknown) -> Result:
    """The forecast's heat loss, moved by measured over forecast watts at the same temperatures."""
    if isinstance(each, Unknown) or isinstance(heat, Unknown):
        return each if isinstance(each, Unknown) else NO_HEATER
    need, loss, room, set_to = (
        forecast.watts_needed,
        forecast.conductance,
        plan.room.temperature,
        plan.control.set_to,
    )
    for result in (loss, need):
        if isinstance(result, Unknown):
            return result
    assert isinstance(need, Figure) and isinstance(loss, Figure)
    if room is None or set_to is None or set_to - room.low < 1.0 or need.value <= 0.0:
        return Unknown("the plan does not heat its coldest room")
    ratio = each.value * (set_to - room.low) / with_fan(plan, need.value)
    error = math.log(each.high / each.value) / NORMAL
    found = in_range(lambda: conductance(loss.value, ratio, plan.heat.place or "", error))
    if isinstance(found, Unknown):
        return found
    return _ranged(
        *found,
        "conductance",
        f"forecast heat loss times measured over forecast watts, from {heat.basis}",
        each.matters_most,
    )


def _cooled(courses: Courses, what: Callable[[Fall, float, float], float]) -> Result:
    """A figure from the last spell without heat [s]."""
    if not courses.eggs:
        return NO_MEDIUM
    room = courses.room
    if room is None:
        return NO_ROOM
    fall = courses.switched_off
    if fall is None:
        return Unknown(
            "the log has no spell without heat: switch the heater off for an hour in the trial run"
        )
    beside = [value for time, value in room.course if fall.begin <= time <= fall.end]
    if not beside:
        return Unknown("the room was not logged in the spell without heat")
    around = sum(beside) / len(beside)
    course = courses.eggs[0].course
    five = block_means((time for time, _ in course), (value for _, value in course), 300.0)
    off, on = off_times(courses, fall) or (fall.begin, fall.end)
    tail = [entry for entry in five if on - TAIL - 150.0 <= entry[0] <= on + 1.0]
    bent = Fall(off, on, fall.start, tail[-1][1] if tail else fall.low)

    def compute() -> float:
        constant = time_constant(tail[0][1], tail[-1][1], tail[-1][0] - tail[0][0], around)
        return what(bent, constant, around)

    if len(tail) < 3:
        return Unknown("the log reads too rarely to follow the spell without heat")
    found = in_range(compute)
    if isinstance(found, Unknown):
        return found
    step = step_of(courses.eggs[0].sensor.values[-5000:])
    error = math.hypot(COOLING, step / max(tail[0][1] - tail[-1][1], 0.05) / 2)
    return _ranged(
        found,
        error,
        "hours",
        "the last half hour of the last spell without heat",
        "a longer spell: an hour at least",
    )
