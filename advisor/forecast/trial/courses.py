"""The courses of a log by place: minute means, the settled part, spells without heat."""

import itertools
import statistics
from collections.abc import Iterable

from msgspec import Struct

from advisor.formulas.logs.cooling import LEAST_FALL, Fall, falls
from advisor.formulas.logs.means import Course, block_means, held_mean, running_means, thinner, without
from advisor.formulas.logs.steady import DAY, HOUR, settled_at, short_swing
from advisor.model.logs import (
    AIR_ABOVE,
    AIR_BELOW,
    EGG_MEDIUM,
    HEATER,
    HEATER_ON,
    PROBE_MEDIUM,
    ROOM,
    Log,
    Sensor,
)

MINUTE = 60.0
RECOVERY = 6.0 * HOUR  # s after a spell without heat that are not steady; judgement
OVER_SWING = 1.5  # times its usual swing that a fall has to be to be a spell without heat; judgement
STILL_ON = 0.3  # of a fall in which a heater may be on: the medium falls on for minutes when heat comes back; judgement
AS_FAR = 0.8  # of the fall of the medium that the room may fall by; judgement
BEND = 0.1  # of its fall that air has fallen by where it bends; judgement
SHIFT = 300.0  # s by which the medium may tell a spell early or late, half; judgement
SHORTEST = 12.0 * HOUR  # s; a shorter log tells of nothing settled; judgement


class SensorCourse(Struct, frozen=True):
    """One sensor of the log by minutes: the sensor, its whole course and its settled part (time [s], value)."""

    sensor: Sensor
    course: Course
    steady: Course


class Courses(Struct, frozen=True):
    """All sensors by place. `settled` is the time the medium has settled at [s], None where it never does.

    `from_` is where the settled part begins: without settling, the second half. `falls` are the spells without heat.
    """

    start: float
    end: float
    settled: float | None
    from_: float
    falls: tuple[Fall, ...]
    places: tuple[SensorCourse, ...]

    def at(self, *places: str) -> tuple[SensorCourse, ...]:
        """The sensors at any of these places that have a settled part."""
        return tuple(place for place in self.places if place.sensor.place in places and len(place.steady) > 1)

    @property
    def eggs(self) -> tuple[SensorCourse, ...]:
        """The sensors that tell what eggs would feel: in the medium of egg boxes, else of the probe's."""
        return self.at(EGG_MEDIUM) or self.at(PROBE_MEDIUM)

    @property
    def air(self) -> tuple[SensorCourse, ...]:
        """The sensors that feel the heater at once, the quickest first."""
        return (*self.at(HEATER), *self.at(AIR_ABOVE), *self.at(AIR_BELOW))

    @property
    def room(self) -> SensorCourse | None:
        """The first sensor in the room."""
        return next(iter(self.at(ROOM)), None)

    @property
    def switched_off(self) -> Fall | None:
        """The last spell without heat that began in a steady box.

        When the heat comes back the medium is warmed too far, and falls again without heat: that tells nothing.
        """
        calm = [
            fall
            for before, fall in itertools.pairwise((None, *self.falls))
            if fall is not None
            and fall.begin >= self.from_
            and (before is None or fall.begin > before.end + RECOVERY)
        ]
        return calm[-1] if calm else None

    @property
    def steady_spells(self) -> tuple[tuple[float, float], ...]:
        """From and to [s] of each piece of the settled part, between the spells without heat."""
        spells, begin = [], self.from_
        for fall_begin, fall_end in _disturbed(self.falls):
            if fall_begin > begin:
                spells.append((begin, min(fall_begin, self.end)))
            begin = max(begin, fall_end)
        return (*spells, (begin, self.end)) if begin < self.end or not spells else tuple(spells)


def interval_of(course: Course) -> float:
    """Usual step of a course [s]."""
    steps = [after[0] - before[0] for before, after in itertools.pairwise(course[:20_000])]
    return statistics.median(steps) if steps else 0.0


def courses_of(log: Log) -> Courses:
    """The courses of a log, cut into what is settled and what is not."""
    start = min(sensor.times[0] for sensor in log.sensors)
    end = max(sensor.times[-1] for sensor in log.sensors)
    whole = {
        sensor.name: (sensor, block_means(sensor.times, sensor.values, MINUTE)) for sensor in log.sensors
    }
    eggs = _of(whole.values(), EGG_MEDIUM) or _of(whole.values(), PROBE_MEDIUM)
    settled = None
    if eggs and end - start >= SHORTEST:
        each = [settled_at(course) for course in eggs]
        settled = max((time for time in each if time is not None), default=None) if None not in each else None
    from_ = settled if settled is not None else (start + end) / 2
    found = [fall for course in eggs[:1] for fall in sudden_falls(course, from_) if without_heat(log, fall)]
    spells = _disturbed(found)
    places = tuple(
        SensorCourse(sensor, course, without([entry for entry in course if entry[0] >= from_], spells))
        for sensor, course in whole.values()
    )
    return Courses(start, end, settled, from_, tuple(found), places)


def sudden_falls(course: Course, since: float) -> list[Fall]:
    """The sudden falls of a medium, by more than it usually swings from `since` [s] on."""
    swing = short_swing([entry for entry in course if entry[0] >= since]) or 0.0
    return list(falls(thinner(course, 5 * MINUTE), max(LEAST_FALL, OVER_SWING * swing)))


def without_heat(log: Log, fall: Fall) -> bool | None:
    """Whether a fall is a spell without heat: the log tells that the heater was off, or else the room did not fall as far.

    Under steady heat a medium falls no further than its room. Without heater and room in the log it may be a cold night:
    None.
    """
    for sensor in log.at(HEATER_ON):
        return (
            held_mean(sensor.times, sensor.values, fall.begin + 5 * MINUTE, fall.end - 5 * MINUTE) < STILL_ON
        )
    for sensor in log.at(ROOM):
        beside = [
            value
            for time, value in zip(sensor.times, sensor.values, strict=True)
            if fall.begin <= time <= fall.end
        ]
        return bool(beside) and max(beside) - min(beside) < AS_FAR * (fall.start - fall.low)
    return None


def off_times(courses: Courses, fall: Fall) -> tuple[float, float] | None:
    """When heat went and came back [s]: the heater's own log, else the bend of the air and its lowest."""
    for place in courses.places:
        if place.sensor.place == HEATER_ON:
            on = [time for time, value in place.course if value > 0.0]
            apart = [
                (after - before, before, after)
                for before, after in itertools.pairwise(on)
                if before < fall.end and after > fall.begin
            ]
            _, before, after = max(apart, default=(0.0, 0.0, 0.0))
            return before, after - interval_of(place.course)
    for place in courses.air:
        near = [entry for entry in place.course if fall.begin - 2 * SHIFT <= entry[0] <= fall.end + 2 * SHIFT]
        if len(near) > 3:
            low_at, low = min(near, key=lambda entry: entry[1])
            top = max(value for time, value in near if time <= low_at)
            begin = max(time for time, value in near if time <= low_at and value >= top - BEND * (top - low))
            return begin, low_at
    return None


def _disturbed(found: Iterable[Fall]) -> list[tuple[float, float]]:
    """From and to [s] of what is not steady round spells without heat."""
    return [(fall.begin - HOUR / 2, fall.end + RECOVERY) for fall in found]


def _of(courses: Iterable[tuple[Sensor, Course]], place: str) -> list[Course]:
    return [course for sensor, course in courses if sensor.place == place and len(course) > 1]


def means_of_3_h(course: Course) -> Course:
    """Running means over three hours."""
    return running_means(course, 3.0 * HOUR)


def days(seconds: float) -> float:
    """Days of a time [s]."""
    return seconds / DAY
