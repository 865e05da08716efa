"""What a log tells of the temperatures: means, swings, spread, drift, settling, sensors that are stuck."""

import itertools
import math
from bisect import bisect_left, bisect_right
from collections.abc import Callable

from advisor.forecast.ranges import around
from advisor.forecast.trial.courses import SHORTEST, Courses, SensorCourse, days, interval_of, means_of_3_h
from advisor.formulas.logs.loss import NORMAL, SENSOR
from advisor.formulas.logs.means import Course, running_means, step_of, weighted_mean
from advisor.formulas.logs.steady import HOUR, daily_swing, later_mean, short_swing, slope, together
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.logs import EGG_MEDIUM, HEATER_ON, HEATER_POWER, ROOM
from advisor.model.trial import Extreme, SensorTold, Stuck, StuckSensor

SENSORS = ("watching.sensors",)
NO_MEDIUM = Unknown("no sensor lies in the medium of an egg box", SENSORS)
NO_ROOM = Unknown("no sensor is in the room", SENSORS)
TOO_SHORT = Unknown("the log is shorter than 12 h")
SENSOR_RANGE = NORMAL * SENSOR  # K, of one thermometer known to ±0.5 K
RAREST = 1500.0  # s between readings that still show a swing within two hours; judgement
ROOM_MOVED = 3.0  # K that the room has to move to see what follows it; judgement
# h; steps of the sensor; K that another has to move; judgement
STUCK_FOR, STUCK_STEPS, STUCK_BESIDE = (6.0, 3.0, 1.0)
FELL_AT_FIRST = 2.0  # K below its later mean from which on a start is a warm-up; judgement


def sensor_told(place: SensorCourse, courses: Courses) -> SensorTold:
    """One sensor over the settled spells; over the whole log where it has no reading in them."""
    sensor = place.sensor
    spells = [
        slice(bisect_left(sensor.times, begin), bisect_right(sensor.times, end))
        for begin, end in courses.steady_spells
    ]
    parts = [part for part in spells if part.start < part.stop] or [slice(0, len(sensor.times))]
    entries = place.steady if len(place.steady) > 1 else place.course
    low = min((min(sensor.values[part]), part.start) for part in parts)
    high = max((max(sensor.values[part]), part.start) for part in parts)
    low_at, high_at = (sensor.times[sensor.values.index(value, start)] for value, start in (low, high))
    return SensorTold(sensor.name, sensor.place, weighted_mean(entries), low[0], high[0], low_at, high_at)


def room_mean(courses: Courses) -> Result:
    """Mean of the room over the settled time [°C], with the error of a thermometer that nobody has checked."""
    room = courses.room
    if room is None:
        return NO_ROOM
    return _sensed(weighted_mean(room.steady), f"mean of {room.sensor.name} over the settled time")


def _sensed(value: float, basis: str) -> Figure:
    return around(value, SENSOR_RANGE, "temperature", basis, "the thermometer: read it in ice water")


def medium_mean(courses: Courses) -> Result:
    """Mean of all sensors that tell what eggs would feel."""
    if not courses.eggs:
        return _why_no_eggs(courses)
    means = [weighted_mean(place.steady) for place in courses.eggs]
    return _sensed(sum(means) / len(means), "mean of the medium over the settled time")


def _why_no_eggs(courses: Courses) -> Unknown:
    return NO_MEDIUM if courses.end - courses.start >= SHORTEST else TOO_SHORT


def extreme(courses: Courses, pick: Callable[..., tuple[float, float]]) -> Extreme | Unknown:
    """The lowest (`pick` is min) or highest 3-h mean of the medium in the settled time."""
    if courses.end - courses.start < SHORTEST:
        return TOO_SHORT
    means = [(value, time) for place in courses.eggs for time, value in means_of_3_h(place.steady)]
    if not means:
        return _why_no_eggs(courses)
    value, time = pick(means)
    return Extreme(_sensed(value, "3-h mean of the medium"), time)


def room_extreme(courses: Courses, pick: Callable[..., float]) -> Result:
    """The lowest or highest 3-h mean of the room over the whole log [°C]."""
    room = courses.room
    means = [value for _, value in means_of_3_h(room.course)] if room else []
    if not means:
        return NO_ROOM if room is None else TOO_SHORT
    return _sensed(pick(means), "3-h mean of the room")


def swing(courses: Courses) -> Result:
    """The medium's highest minus lowest within two hours: the middle of all windows, of the sensor that swings most [K]."""
    found = []
    for place in courses.eggs:
        if interval_of(place.steady) <= RAREST:
            within = short_swing(place.steady)
            found += [] if within is None else [(within, step_of(place.sensor.values[-5000:]))]
    if not found:
        return Unknown("the log reads too rarely to show a swing") if courses.eggs else _why_no_eggs(courses)
    value, step = max(found)
    basis = "highest minus lowest in 2 h, the middle of all"
    return Figure(value, max(value - 2 * step, 0.0), value + step, "step", basis)


def swing_by_day(courses: Courses) -> Result:
    """The medium's highest minus lowest 3-h mean within a day, the middle of the days [K]."""
    found = [value for place in courses.eggs if (value := daily_swing(place.steady)) is not None]
    if not found:
        return (
            Unknown("the settled part of the log has less than two days")
            if courses.eggs
            else _why_no_eggs(courses)
        )
    value = max(found)
    return around(value, 0.1, "step", "highest minus lowest 3-h mean in a day", least=0.0)


def spread(courses: Courses) -> Result:
    """Warmest minus coolest mean of the sensors in egg boxes [K]: no more than two thermometers differ without a check."""
    places = courses.at(EGG_MEDIUM)
    if len(places) < 2:
        return Unknown(
            "one sensor alone lies in an egg box" if places else "no sensor lies in an egg box", SENSORS
        )
    pairs = [
        pair
        for one, other in itertools.combinations(places, 2)
        if (pair := together(one.steady, other.steady, HOUR))
    ]
    if not pairs:
        return Unknown("the sensors have no time in common")
    value = max(abs(sum(one - other for one, other in pair) / len(pair)) for pair in pairs)
    error = math.hypot(SENSOR_RANGE, SENSOR_RANGE)
    helps = "what the thermometers differ by: put them into one glass of water for half an hour"
    return around(value, error, "step", "warmest minus coolest mean in egg boxes", helps, 0.0)


def drift(courses: Courses) -> Result:
    """How far the medium goes with the room: share of the room's move [K/K]."""
    room = courses.room
    if room is None:
        return NO_ROOM
    if not courses.eggs:
        return _why_no_eggs(courses)
    pairs = together(room.steady, courses.eggs[0].steady, 3 * HOUR)
    rooms = [pair[0] for pair in pairs]
    if not rooms or max(rooms) - min(rooms) < ROOM_MOVED:
        return Unknown("the room moved by less than 3 °C (5 °F), too little to see what follows it")
    value, error = slope(pairs)
    wide = NORMAL * error if math.isfinite(error) else 1.0
    return around(value, wide, "share", "3-h means of the medium against those of the room")


def never_settles(courses: Courses) -> bool:
    """Whether the log is long enough to settle in, and the medium does not."""
    return bool(courses.eggs) and courses.end - courses.start >= SHORTEST and courses.settled is None


def settled_after(courses: Courses) -> Result:
    """Time from the start of the log until the medium has settled [s]."""
    if courses.end - courses.start < SHORTEST:
        return TOO_SHORT
    if not courses.eggs:
        return NO_MEDIUM
    if courses.settled is None:
        return Unknown("the medium never settles in this log")
    value = max(courses.settled - courses.start, 0.0)
    basis = "1-h mean stays within half a degree of the later mean"
    return around(value, HOUR / 2, "hours", basis, least=0.0)


def warm_up(courses: Courses) -> Result:
    """Time from the start of the rise until the medium is within half a kelvin of its later mean [s]."""
    if not courses.eggs:
        return _why_no_eggs(courses)
    course = courses.eggs[0].course
    later = later_mean(course)
    first = course[0][1]
    if first > later - FELL_AT_FIRST:
        return Unknown("the log begins after the warm-up")
    quick = courses.air[0].course if courses.air else course
    begin = max(courses.start, _still_until(quick), _still_until(course) - HOUR)
    reached = next((time for time, value in course if value >= later - 0.5), None)
    if reached is None:
        return Unknown("the medium never gets warm in this log")
    value = max(reached - begin, 0.0)
    basis = "from the first rise until within half a degree of the later mean"
    return around(value, 0.1 * value, "hours", basis)


def _still_until(course: Course) -> float:
    """The last time before a course first rises by 0.3 K over its start [s]."""
    start = course[0][1]
    before = course[0][0]
    for time, value in course:
        if value > start + 0.3:
            break
        before = time
    return before


def overshoot(courses: Courses) -> Extreme | Unknown:
    """The highest 10-min mean of the medium in the day after the warm-up, the warmest sensor."""
    if not courses.eggs:
        return _why_no_eggs(courses)
    found = []
    for place in courses.eggs:
        later = later_mean(place.course)
        if place.course[0][1] > later - FELL_AT_FIRST:
            continue
        first = next((time for time, value in place.course if value >= later - 0.5), None)
        window = [
            entry for entry in place.course if first is not None and first <= entry[0] <= first + 24 * HOUR
        ]
        means = running_means(window, 600.0) or window
        if means:
            time, value = max(means, key=lambda entry: entry[1])
            found.append((value - later, value, time))
    if not found:
        return Unknown("the log begins after the warm-up")
    over, value, time = max(found)
    return Extreme(around(over, 0.1, "step", "highest 10-min mean over the later mean"), time)


def stuck(courses: Courses) -> Stuck | Unknown:
    """The sensors in the box that tell one value for hours while another moves."""
    inside = [
        place for place in courses.places
        if place.sensor.place not in (ROOM, HEATER_ON, HEATER_POWER) and len(place.course) > 1
    ]  # fmt: skip
    if len(inside) < 2:
        return Unknown("one sensor alone is in the box", SENSORS)
    return Stuck(tuple(found for place in inside if (found := _stuck(place, inside)) is not None))


def _stuck(place: SensorCourse, inside: list[SensorCourse]) -> StuckSensor | None:
    begin, end = _longest_run(place)
    if end - begin < STUCK_FOR * HOUR:
        return None
    step = step_of(place.sensor.values) or 0.1
    for other in inside:
        if other is place:
            continue
        means = [
            value
            for _, value in running_means([entry for entry in other.course if begin <= entry[0] <= end], HOUR)
        ]
        moved = max(means) - min(means) if means else 0.0
        if moved > max(STUCK_STEPS * step, STUCK_BESIDE):
            value = next(value for time, value in place.course if time >= begin)
            return StuckSensor(
                place.sensor.name, value, begin, (end - begin) / HOUR, other.sensor.name, moved
            )
    return None


def _longest_run(place: SensorCourse) -> tuple[float, float]:
    """From and to [s] of the longest spell in which the sensor tells one value."""
    best = begin = 0
    best_end = 0
    times, values = place.sensor.times, place.sensor.values
    for at in range(1, len(values) + 1):
        if at == len(values) or values[at] != values[begin]:
            if times[at - 1] - times[begin] > times[best_end] - times[best]:
                best, best_end = begin, at - 1
            begin = at
    return times[best], times[best_end]


def steady_length(courses: Courses) -> Figure:
    """Length of the settled part [days]; 0 where nothing is settled."""
    value = (
        days(sum(end - begin for begin, end in courses.steady_spells)) if courses.settled is not None else 0.0
    )
    return around(value, 0.0, "days", "from when the medium has settled to the end of the log")
