"""What was measured of the outer box: watts, stuck heater, face of the heater, hours, spread, swing, humidity."""

import math
from collections.abc import Callable, Iterable

from msgspec.structs import replace

from advisor.forecast.heat.parts import full_power, heater_alone, of_full_power, with_fan
from advisor.forecast.measured.joining import Estimate, Narrowed, by_factor, by_step
from advisor.forecast.measured.tiers import side_to_side
from advisor.formulas.logs.loss import (
    COUNTING,
    LABEL,
    STRAIGHT,
    conductance,
    error_of_difference,
    power_for_each_kelvin,
    stuck_on_rise,
)
from advisor.formulas.measured.box_heat import counting_error, heater_power, share_left, weighed_mean
from advisor.model.figures import Figure, Formula, Result
from advisor.model.forecast import MeasuredAgainst
from advisor.model.measured import Energy, HeaterFace, HeaterOn, SwitchedOff
from advisor.model.plan import Plan

METER = 0.02  # error of a meter's watts in logarithms; common practice, no source
THERMOSTAT_ALONE = (1.2, 0.6)  # W, and its standard deviation, where it was not read; judgement
READ_ALONE = 0.1  # W, where it was read; judgement
TAPED = 0.1  # of a face over its medium, of a thermometer taped to it, in logarithms; judgement
TIMING = 0.1  # of a warm-up: when it began and ended, in logarithms; judgement
# Of a time constant and of hours without heat, in logarithms: 8 % in the median, 21 % for nine of ten in an own simulation of many boxes.
COOLING = 0.125
READING = 0.06  # K, of the fall that one thermometer shows: two readings in steps of 0.1 °C; derived
SWINGING = 0.2  # of a swing, in logarithms; judgement
STEP = 0.06  # K, of a swing read in steps of 0.1 °C; derived
HYGROMETER = 0.03  # of relative humidity [-]: ±5 % (data sheets), rectangular

Against = tuple[MeasuredAgainst, ...]
_NOTHING: Against = ()


def watched_path(plan: Plan) -> str:
    """The plan entry that tells what the heater uses."""
    return "measured.heater_on" if plan.measured.heater_on else "measured.energy"


def _worked_by(plan: Plan) -> Formula:
    """What turns the watch that `watched_path` names into a figure."""
    return stuck_on_rise if plan.measured.heater_on else power_for_each_kelvin


def on_for_each_kelvin(plan: Plan) -> Estimate | None:
    """On-share over medium minus room [1/K], its error in logarithms; the watts of the heater cancel.

    From an energy meter alone its watts over the label's. None where neither was measured.
    """
    watches = plan.measured.heater_on
    if watches:
        found = tuple((1.0 / rise, math.hypot(counting, COUNTING)) for rise, counting in _rises(plan))
        value, error = weighed_mean(found)
        # All watches share the thermometers: their error does not average out.
        return Estimate(value, math.hypot(error, _thermometers(watches), STRAIGHT))
    metered, power = _metered(plan), full_power(plan)
    if metered is None or not power:
        return None
    error = math.hypot(metered.error, LABEL, _thermometers((plan.measured.energy,)), STRAIGHT)
    return Estimate(metered.value / power, error)


def watts_for_each_kelvin(plan: Plan) -> Estimate | None:
    """Mean power over medium minus room [W/K], its error in logarithms: from on-share and label, from a meter, or both."""
    watches, energy, power = plan.measured.heater_on, plan.measured.energy, full_power(plan)
    found: list[tuple[float, float]] = []
    if watches and power:
        value, error = weighed_mean(
            tuple((power / rise, math.hypot(counting, COUNTING)) for rise, counting in _rises(plan))
        )
        found.append((value, math.hypot(error, LABEL)))
    metered = _metered(plan)
    if metered is not None:
        found.append((metered.value, metered.error))
    if not found:
        return None
    value, error = weighed_mean(tuple(found))
    return Estimate(value, math.hypot(error, _thermometers((*watches, energy)), STRAIGHT))


def _rises(plan: Plan) -> list[tuple[float, float]]:
    """Of each watch the rise of a box whose heater never stops [K], and the error of its counting in logarithms."""
    return [
        (
            stuck_on_rise(of_full_power(plan, one.share), one.medium - one.room)[0],
            counting_error(one.share, one.over),
        )
        for one in plan.measured.heater_on
    ]


def _metered(plan: Plan) -> Estimate | None:
    energy = plan.measured.energy
    if energy is None:
        return None
    told = energy.thermostat_alone
    alone, left = THERMOSTAT_ALONE if told is None else (told, READ_ALONE)
    if told is None:  # of hardly any power not all is the thermostat's
        alone = min(alone, energy.used / energy.over / 2.0)
    power = heater_power(energy.used, energy.over, alone)
    each, _ = power_for_each_kelvin(with_fan(plan, power), energy.medium - energy.room, 0.0)
    return Estimate(each, math.hypot(METER, left / power))


def _thermometers(entries: Iterable[HeaterOn | Energy | HeaterFace | None]) -> float:
    """Error in logarithms of the smallest difference of medium and room."""
    return max(error_of_difference(one.medium - one.room) for one in entries if one is not None)


def narrowed_watts(plan: Plan, forecast: Figure, rise: float) -> Narrowed | None:
    """The watts that the box needs at a rise of its medium over the room [K]; None where nothing was measured."""
    each = watts_for_each_kelvin(plan)
    if each is None or forecast.value <= 0.0 or rise <= 0.0:
        return None
    measured = Estimate(heater_alone(plan, each.value * rise), each.error)
    return by_factor(forecast, measured, watched_path(plan), "watts", _worked_by(plan))


def narrowed_conductance(plan: Plan, forecast: Result, watts: Narrowed | None) -> Result:
    """The heat loss [W/K] joined with the one that fits the measured watts: corrected last, and known least well."""
    each, place = watts_for_each_kelvin(plan), plan.heat.place
    if watts is None or each is None or not isinstance(forecast, Figure) or place is None:
        return forecast
    found, planned = (with_fan(plan, one.value) for one in (watts.against.measured, watts.against.forecast))
    times = found / planned
    loss, error = conductance(forecast.value, times, place, each.error)
    return by_factor(forecast, Estimate(loss, error), watched_path(plan), "watts", conductance).figure


def narrowed_share(plan: Plan, forecast: Result, rise: float) -> Result:
    """Power that is needed over the heater's."""
    each = on_for_each_kelvin(plan)
    if each is None or not isinstance(forecast, Figure) or forecast.value <= 0.0 or rise <= 0.0:
        return forecast
    power, full = plan.heat.power, full_power(plan)
    assert power and full
    needed = heater_alone(plan, each.value * rise * full) / power
    if needed <= 0.0:
        return forecast
    measured = Estimate(needed, each.error)
    return by_factor(forecast, measured, watched_path(plan), "watts", _worked_by(plan)).figure


def narrowed_stuck_on(plan: Plan, forecast: Result, room: float) -> Result:
    """Where the box ends with its heater on for good: the figure that the on-share tells best. room [°C], the warmest."""
    each = on_for_each_kelvin(plan)
    if each is None or not isinstance(forecast, Figure) or not room < forecast.low <= forecast.value:
        return forecast
    over_room = forecast.moved(lambda end: end - room)
    measured = Estimate(1.0 / each.value, each.error)
    found = by_factor(over_room, measured, watched_path(plan), "watts", stuck_on_rise).figure
    return found.moved(lambda end: room + end)


def narrowed_surface(
    plan: Plan, forecast: Result, under: tuple[float, float], watts: tuple[Figure, Figure]
) -> tuple[Result, Against]:
    """The face of the heater at the set point: as measured, or moved with the watts that the box was found to need.

    under: set point and coldest room [°C]; watts before and after the measurement.
    """
    set_to, room = under
    if not isinstance(forecast, Figure) or forecast.value <= set_to or set_to <= room:
        return forecast, ()
    before, after = watts
    step = forecast.moved(lambda end: max(end - set_to, 0.0), "step")
    if after is not before:
        times, own = after.value / before.value, _error(step)
        left = max(own**2 - _error(before) ** 2, 0.0)
        step = _with_error(step, step.value * times, math.sqrt(left + _error(after) ** 2))
    face, against = plan.measured.heater_face, _NOTHING
    if face is not None:
        each = (face.temperature - face.medium) / (face.medium - face.room)
        measured = Estimate(each * (set_to - room), _face_error(face))
        found = by_factor(step, measured, "measured.heater_face", "face")
        step, against = found.figure, (found.against,)
    return step.moved(lambda end: set_to + end, "temperature"), against


def narrowed_full_surface(
    plan: Plan, forecast: Result, stuck: tuple[Result, Result], share: Result, rise: float
) -> Result:
    """The face of a heater that is on for good: its step over the medium, on the medium as it was narrowed.

    stuck: the medium then, before and after; share: on-share needed at a rise of the medium [K].
    """
    before, after = stuck
    if not (isinstance(forecast, Figure) and isinstance(before, Figure) and isinstance(after, Figure)):
        return forecast
    face = plan.measured.heater_face
    if (after is before and face is None) or forecast.value <= before.value:
        return forecast
    step = forecast.value - before.value
    below = math.sqrt(max((forecast.value - forecast.low) ** 2 - (before.value - before.low) ** 2, 0.0))
    above = math.sqrt(max((forecast.high - forecast.value) ** 2 - (before.high - before.value) ** 2, 0.0))
    lifted = replace(forecast, value=step, low=step - below, high=step + above)
    if face is not None and isinstance(share, Figure) and share.value > 0.0:
        on = share.value * (face.medium - face.room) / rise
        measured = Estimate(
            (face.temperature - face.medium) / on, math.hypot(_face_error(face), _error(share))
        )
        lifted = by_factor(lifted, measured, "measured.heater_face", "face").figure
    return replace(
        lifted,
        value=after.value + lifted.value,
        low=after.value + lifted.value - math.hypot(lifted.value - lifted.low, after.value - after.low),
        high=after.value + lifted.value + math.hypot(lifted.high - lifted.value, after.high - after.value),
        matters_most="" if face is not None else forecast.matters_most,
    )


def _face_error(face: HeaterFace) -> float:
    return math.hypot(TAPED, error_of_difference(face.temperature - face.medium), _thermometers((face,)))


def _error(figure: Figure) -> float:
    return math.log(figure.high / figure.value) / 1.96


def _with_error(figure: Figure, value: float, error: float) -> Figure:
    return replace(
        figure, value=value, low=value * math.exp(-1.96 * error), high=value * math.exp(1.96 * error)
    )


def narrowed_warm_up(
    plan: Plan, forecast: Result, in_room: Callable[[float], Result]
) -> tuple[Result, Against]:
    """Hours of the warm-up in the coldest room; `in_room` forecasts them for a room [°C]."""
    measured = plan.measured.warm_up
    if measured is None or not isinstance(forecast, Figure) or forecast.value <= 0.0:
        return forecast, ()
    there = in_room(measured.room)
    if not isinstance(there, Figure) or there.value <= 0.0:
        return forecast, ()
    scaled = Estimate(forecast.value * measured.took / there.value, TIMING)
    found = by_factor(forecast, scaled, "measured.warm_up", "warm-up")
    told = replace(
        found.against,
        forecast=there,
        measured=replace(found.against.measured, value=measured.took, low=measured.took, high=measured.took),
    )
    return found.figure, (told,)


def slower_than(off: SwitchedOff, forecast: Figure) -> Narrowed:
    """Hours of the fall that was measured: `forecast` [s] is for the same fall in the same room."""
    error = math.hypot(COOLING, READING / (off.medium_from - off.medium_to))
    return by_factor(
        forecast, Estimate(off.after, error), "measured.switched_off", "switched off", share_left
    )


def narrowed_swing(plan: Plan, forecast: Result) -> tuple[Result, Against]:
    """The medium's swing as it was logged."""
    swing = plan.measured.swing
    if swing is None or not isinstance(forecast, Figure):
        return forecast, ()
    error = math.hypot(SWINGING * swing, STEP)
    found = by_step(forecast, Estimate(swing, error), "measured.swing", "swing")
    return _not_below_zero(found.figure), (found.against,)


def narrowed_humidity(plan: Plan, forecast: Result) -> tuple[Result, Against]:
    """The air round the egg boxes as a hygrometer showed it."""
    humidity = plan.measured.outer_humidity
    if humidity is None or not isinstance(forecast, Figure):
        return forecast, ()
    found = by_step(forecast, Estimate(humidity, HYGROMETER), "measured.outer_humidity", "humidity")
    return replace(_not_below_zero(found.figure), high=min(found.figure.high, 1.0)), (found.against,)


def _not_below_zero(figure: Figure) -> Figure:
    return replace(figure, low=max(figure.low, 0.0), value=max(figure.value, 0.0))


def narrowed_side_to_side(plan: Plan, forecast: Result) -> tuple[Result, Against]:
    """Warmest minus coolest box of one layer, where two or more were measured."""
    found = side_to_side(plan, forecast)
    return (forecast, ()) if found is None else (_not_below_zero(found.figure), (found.against,))
