"""The eggs' temperatures hour by hour from laying to the end of a log, gaps filled with what is likely and what may be."""

import statistics
from collections.abc import Sequence

from msgspec import Struct

from advisor.forecast.trial.courses import Courses, SensorCourse, interval_of
from advisor.formulas.days.swings import Readings
from advisor.formulas.logs.means import thinner
from advisor.formulas.logs.steady import DAY, HOUR
from advisor.model.logs import EGG_MEDIUM, PROBE_MEDIUM

SHORT_GAP = 6.0  # h up to which a line between its ends is drawn; judgement
MAY_RISE = 1.0  # K that a box may have been warmer within a short gap; judgement
FALLS_FIRST = 1.5  # K an hour that a box without power loses at most in the first hours; judgement, for boxes of unknown loss
FELL = 0.5  # K by which the first reading after a gap is lower where the power was off in it; judgement
# days before the end of the log that a usual day is taken from; one with a power cut does not count; judgement
USUAL_DAYS = 3


class Hole(Struct, frozen=True):
    """Hours of the course without readings: first and last + 1."""

    first: int
    last: int


class EggCourse(Struct, frozen=True):
    """Hourly means of the medium from laying on [°C]: likely, lowest and highest; hours without readings; a usual day now.

    `begin` is the laying time [s since 1970]; `usual` holds the 24 hours of the day as they go on from the end of the course.
    """

    begin: float
    likely: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    holes: tuple[Hole, ...]
    usual: tuple[float, ...]


def medium_of(courses: Courses) -> tuple[SensorCourse, ...]:
    """The sensors in the medium of egg boxes, else of the probe's, with all that they read."""
    for where in (EGG_MEDIUM, PROBE_MEDIUM):
        found = [one for one in courses.places if one.sensor.place == where and len(one.course) > 1]
        if found:
            return tuple(found)
    return ()


def egg_course(courses: Courses, begin: float, end: float, warmer: float) -> EggCourse | None:
    """The course from `begin` to `end` [s], `warmer` [K] than the sensors tell; None where the medium was not logged after it."""
    eggs = medium_of(courses)
    read = _read(eggs, begin, warmer)
    hours = max(int((end - begin) / HOUR), 0)
    seen = [value for hour, value in read.items() if hour < hours]
    if not seen:
        return None
    cells = [read.get(hour) for hour in range(hours)]
    threes = [sum(part) / 3 for at in range(hours - 2) if None not in (part := cells[at : at + 3])]  # type: ignore[arg-type]
    ends = (min(threes, default=min(seen)), max(threes, default=max(seen)))
    room = min((value for _, value in courses.room.course), default=ends[0]) if courses.room else ends[0] - 3
    likely, low, high = ([0.0 if cell is None else cell for cell in cells] for _ in range(3))
    known = max(2 * interval_of(eggs[0].course) / HOUR, 1.0)
    holes = []
    for first, last in _holes(cells):
        before, after = (cells[first - 1] if first else None, cells[last] if last < hours else None)
        cut = before is not None and after is not None and after < before - FELL
        length = last - first
        for hour in range(first, last):
            if length <= SHORT_GAP and before is not None and after is not None:
                share = (hour - first + 1) / (length + 1)
                likely[hour] = before + (after - before) * share
                fall = FALLS_FIRST * min(hour - first + 1, last - hour) if length > known else 0.0
                rise = MAY_RISE if length > known else 0.0
                low[hour], high[hour] = likely[hour] - fall, likely[hour] + rise
            else:
                likely[hour] = _days_beside(cells, first, last)
                low[hour] = min(ends[0], room if cut else ends[0], likely[hour])
                high[hour] = max(ends[1], likely[hour])
        if length > known:
            holes.append(Hole(first, last))
    return EggCourse(begin, tuple(likely), tuple(low), tuple(high), tuple(holes), _usual_day(cells, seen))


def _read(eggs: Sequence[SensorCourse], begin: float, warmer: float) -> dict[int, float]:
    """Mean of the medium's sensors in each hour from `begin` on that has readings."""
    found: dict[int, list[float]] = {}
    for place in eggs:
        for time, value in thinner([(time - begin, value) for time, value in place.course], HOUR):
            if time >= 0.0:
                found.setdefault(int(time // HOUR), []).append(value)
    return {hour: statistics.fmean(values) + warmer for hour, values in found.items()}


def _holes(cells: Sequence[float | None]) -> list[tuple[int, int]]:
    """First and last + 1 of each run of hours without readings."""
    found, first = [], None
    for hour, cell in enumerate([*cells, 0.0]):
        if cell is None and first is None:
            first = hour
        elif cell is not None and first is not None:
            found.append((first, hour))
            first = None
    return found


def _days_beside(cells: Sequence[float | None], first: int, last: int) -> float:
    """Mean of the day before and of the day after a gap; of the nearest reading where both are empty."""
    day = int(DAY / HOUR)
    sides = [
        [cell for cell in part if cell is not None]
        for part in (cells[max(first - day, 0) : first], cells[last : last + day])
    ]
    means = [statistics.fmean(side) for side in sides if side]
    return statistics.fmean(means)


def _usual_day(cells: Sequence[float | None], seen: Sequence[float]) -> tuple[float, ...]:
    """The 24 hours to come: the middle of the same hour on the last days."""
    day, hours = 24, len(cells)
    middle = statistics.median(seen[-day * USUAL_DAYS :])
    usual = []
    for ahead in range(day):
        same = [
            cell
            for back in range(1, USUAL_DAYS + 1)
            if (at := hours + ahead - day * back) >= 0 and (cell := cells[at]) is not None
        ]
        usual.append(statistics.median(same) if same else middle)
    return tuple(usual)


def readings(hours: Sequence[float]) -> Readings:
    """Hourly means as readings in the middle of their hours [h], whose first and last value hold to the ends."""
    points = [(at + 0.5, value) for at, value in enumerate(hours)]
    return [(0.0, hours[0]), *points, (float(len(hours)), hours[-1])]
