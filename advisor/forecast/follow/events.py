"""What happened to the box, found in its log: lids opened, power cuts, overshoots, gaps, sensors moved."""

import itertools
import math
import statistics
from bisect import bisect_left, bisect_right
from collections import deque
from collections.abc import Iterator

from advisor.forecast.follow.egg_course import FELL, medium_of
from advisor.forecast.trial.courses import (
    MINUTE,
    Courses,
    SensorCourse,
    interval_of,
    sudden_falls,
    without_heat,
)
from advisor.formulas.logs.cooling import LEAST_FALL
from advisor.formulas.logs.means import Course, running_means, step_of, thinner
from advisor.formulas.logs.steady import DAY, HOUR, SHORT_WINDOW, later_mean, short_swing
from advisor.model.follow import CUT, GAP, LID, MOVED, OVERSHOOT, Event
from advisor.model.logs import AIR_ABOVE, AIR_BELOW, HEATER_ON, HEATER_POWER, ROOM, Log

# All judgement; a box simulated with two lumps dips by 0.4 to 4.4 K at a sensor in air for lids open 5 s to 2 min.
DIP = 0.5  # K below all of the two hours before
DIP_OVER_SWING = 0.5  # times its usual swing that a dip has to be
HIDES = 2.0  # K that air swings with its heater, from which a short dip does not stand out
AT_ONCE = 6.0 * MINUTE  # s from the first low reading to the lowest; without power air falls on
BACK_WITHIN = 30.0 * MINUTE  # s
MEDIUM_STAYS = 0.3  # K
SEES_LIDS = 10.0 * MINUTE  # s between readings
# of a fall that the power brings back within `COMES_BACK`; a thermostat set lower brings nothing
BACK_UP = 0.25
COMES_BACK = 2.0 * HOUR
OVER = 1.0  # K
STEP = 0.7  # K, that a sensor steps when it is moved
STEP_IN = 10.0 * MINUTE  # s
STAYS_FOR = 3.0 * HOUR
QUIET = 0.3  # of the step, that the others may move by


def events_of(log: Log, courses: Courses, set_to: float | None) -> tuple[tuple[Event, ...], tuple[str, ...]]:
    """All events in order of time, and the kinds that this log can't show."""
    eggs = medium_of(courses)
    inside = [
        place for place in courses.places
        if place.sensor.place not in (ROOM, HEATER_ON, HEATER_POWER) and len(place.course) > 1
    ]  # fmt: skip
    air = [place for place in inside if place.sensor.place in (AIR_ABOVE, AIR_BELOW)]
    quick = [place for place in air if interval_of(place.course) <= SEES_LIDS]
    cuts = list(_cuts(log, courses, eggs[0], inside)) if eggs else []
    moved = list(_moved(inside))
    busy = [(event.begin - HOUR / 2, event.end + HOUR) for event in (*cuts, *moved)]
    lids = [event for place in quick[:1] for event in _lids(place, eggs, courses.room, busy)]
    over = [event for event in _overshoots(eggs, set_to) if not _within(event.begin, busy)]
    gaps = [event for place in eggs[:1] for event in _gaps(place)]
    seen = any((short_swing(place.course) or 0.0) < HIDES for place in quick)
    not_seen = [*([] if seen else [LID]), *([] if len(inside) > 1 else [MOVED])]
    found = sorted((*cuts, *moved, *lids, *over, *gaps), key=lambda event: event.begin)
    return tuple(found), tuple(not_seen)


def _within(time: float, spells: list[tuple[float, float]]) -> bool:
    return any(begin <= time <= end for begin, end in spells)


def _cuts(log: Log, courses: Courses, place: SensorCourse, inside: list[SensorCourse]) -> Iterator[Event]:
    """Spells without heat that all sensors in the box feel and that end with heat."""
    usual = later_mean(place.course)
    for fall in sudden_falls(place.course, courses.from_):
        if without_heat(log, fall) is False or fall.low > usual - LEAST_FALL:  # back from too warm
            continue
        least = 0.2 * (fall.start - fall.low)
        if any(other is not place and _drop(other, fall.begin, fall.end) < least for other in inside):
            continue
        after = _values(place, fall.end, fall.end + COMES_BACK)
        ongoing = place.course[-1][0] < fall.end + HOUR
        if ongoing or (after and max(after) - fall.low >= BACK_UP * (fall.start - fall.low)):
            yield Event(CUT, place.sensor.name, fall.begin, fall.end, fall.low, fall.low - fall.start)


def _drop(place: SensorCourse, begin: float, end: float) -> float:
    """By how much a sensor falls within a spell [K]; endless where it tells nothing in it."""
    values = _values(place, begin - 5 * MINUTE, end)
    return values[0] - min(values) if values else math.inf


def _values(place: SensorCourse, begin: float, end: float) -> list[float]:
    part = slice(*_part(place.course, begin, end))
    return [value for _, value in place.course[part]]


def _part(course: Course, begin: float, end: float) -> tuple[int, int]:
    """First and last + 1 of the readings from `begin` to `end` [s]."""
    return bisect_left(course, (begin, -math.inf)), bisect_right(course, (end, math.inf))


def _lids(
    place: SensorCourse,
    eggs: tuple[SensorCourse, ...],
    room: SensorCourse | None,
    busy: list[tuple[float, float]],
) -> Iterator[Event]:
    """Dips of air at once and back, while the medium stays and no room dips as far."""
    course, interval = place.course, interval_of(place.course)
    least = max(DIP, DIP_OVER_SWING * (short_swing(course) or 0.0))
    once = max(AT_ONCE, 2 * interval)
    before = deque[tuple[float, float]]()  # of the last two hours, those that nothing later is as low as
    at = 0
    while at < len(course):
        time, value = course[at]
        while before and before[0][0] < time - SHORT_WINDOW:
            before.popleft()
        floor = before[0][1] if before else -math.inf
        if value <= floor - least and time - course[at - 1][0] <= once and not _within(time, busy):
            end = next(
                (later for later in range(at, len(course)) if course[later][1] >= floor - least / 2), at
            )
            low_at, low = min(course[at : end + 1], key=lambda entry: entry[1])
            back = course[end][0]
            if end > at and low_at - time <= once and back - time <= BACK_WITHIN + 2 * interval and not _others_dip(floor - low, time, back, eggs, room):  # fmt: skip
                yield Event(LID, place.sensor.name, time, back, low, low - floor)
                at = end
                continue
        while before and before[-1][1] >= value:
            before.pop()
        before.append((time, value))
        at += 1


def _others_dip(
    depth: float, begin: float, end: float, eggs: tuple[SensorCourse, ...], room: SensorCourse | None
) -> bool:
    """Whether the medium falls by more than it usually swings, or the room by half as far."""
    around = _drop(room, begin, end) if room is not None and _values(room, begin, end) else 0.0
    return around > depth / 2 or any(
        _drop(one, begin, end) > max(MEDIUM_STAYS, short_swing(one.course) or 0.0)
        for one in eggs
        if _values(one, begin, end)
    )


def _overshoots(eggs: tuple[SensorCourse, ...], set_to: float | None) -> Iterator[Event]:
    """Spells in which the 10-min mean of the medium is a degree and more over what it reaches in a tenth of all hours."""
    for place in eggs[:1]:
        hours = sorted(value for _, value in thinner(place.course, HOUR))
        top = hours[int(0.9 * (len(hours) - 1))]
        if len(hours) < 2 * DAY / HOUR and set_to is not None:
            top = max(statistics.median(hours), set_to)
        limit = top + max(OVER, 1.5 * (short_swing(place.course) or 0.0))
        means = running_means(place.course, 600.0) or place.course
        for over, spell in itertools.groupby(means, key=lambda entry: entry[1] > limit):
            entries = list(spell)
            if over and entries[-1][0] > entries[0][0]:
                highest = max(value for _, value in entries)
                yield Event(OVERSHOOT, place.sensor.name, entries[0][0], entries[-1][0], highest, highest - top)  # fmt: skip


def _gaps(place: SensorCourse) -> Iterator[Event]:
    """Times without readings; how far the first reading after is from the last before tells whether the power was off."""
    for begin, end in place.sensor.gaps():
        before, after = _values(place, begin - HOUR / 2, begin), _values(place, end, end + 5 * MINUTE)
        moved = after[0] - before[-1] if before and after else 0.0
        yield Event(GAP, place.sensor.name, begin, end, None, moved if moved < -FELL else 0.0)


def _moved(inside: list[SensorCourse]) -> Iterator[Event]:
    """Steps of one sensor that stay, while another in the box is quiet."""
    for place in inside if len(inside) > 1 else ():
        course = place.course
        swing = short_swing(course) or 0.0
        least = max(STEP, 3 * step_of(place.sensor.values[-5000:]), 1.5 * swing)
        until = -math.inf
        ten = thinner(course, STEP_IN)
        for (before, old), _, (after, new) in zip(ten, ten[1:], ten[2:], strict=False):
            known = before - HOUR >= course[0][0] and after - before <= 3 * STEP_IN
            if before < until or not known or abs(new - old) < least / 2:
                continue
            earlier = _values(place, before - HOUR, before)
            later = _values(place, after + HOUR / 2, after + STAYS_FOR)
            if len(earlier) < 2 or len(later) < 2:
                continue
            step = statistics.fmean(later) - statistics.fmean(earlier)
            stays = abs(step) >= least and all(abs(value - statistics.fmean(later)) < abs(step) / 2 for value in later)  # fmt: skip
            if stays and any(
                _still(other, before, after, abs(step)) for other in inside if other is not place
            ):
                yield Event(MOVED, place.sensor.name, before, after, statistics.fmean(later), step)
                until = after + HOUR / 2


def _still(place: SensorCourse, begin: float, end: float, step: float) -> bool:
    """Whether a sensor tells about the same before and after."""
    around = [_values(place, begin - HOUR, begin), _values(place, end, end + STAYS_FOR)]
    if not all(around):
        return False
    values = [*around[0], *around[1]]
    return max(values) - min(values) <= QUIET * step
