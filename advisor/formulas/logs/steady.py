"""When a box has settled, how far it went over before, how it follows its room."""

import math
import statistics
from collections.abc import Sequence

from advisor.formulas.logs.means import Course, running_means, windows

HOUR, DAY = 3600.0, 86_400.0
SETTLED_WITHIN = 0.5  # K of the later mean; the band is a choice, see `settled_at`
STAYS = 6.0 * HOUR  # s that it has to stay there
SHORT_WINDOW = 2.0 * HOUR  # s over which the short swing is taken; judgement


def later_mean(course: Course) -> float:
    """The middle of the 1-h means over the second half of a course; not moved by an opened lid. In the unit of the course."""
    hourly = running_means(course, HOUR) or course
    half = (hourly[0][0] + hourly[-1][0]) / 2
    return statistics.median(value for time, value in hourly if time >= half)


def settled_at(course: Course) -> float | None:
    """First time [s] from which the 1-h mean stays within half a kelvin of the later mean for six hours; None if never.

    course: temperatures [°C] of one place, readings every 30 min or oftener. Reference: IEC 60068-3-5 asks that the set
    point has been reached and kept within a stated band before anything else is computed (from memory); half a kelvin and
    six hours are judgement.
    """
    hourly = running_means(course, HOUR)
    if not hourly or _still_moving(hourly):
        return None
    mean = later_mean(course)
    since: float | None = None
    for time, value in hourly:
        if abs(value - mean) > SETTLED_WITHIN:
            since = None
        elif since is None:
            since = time
        elif time - since >= STAYS:
            return since
    return None


def _still_moving(hourly: Course) -> bool:
    """Whether the middle of the last quarter lies more than the band from that of the quarter before: a slow climb."""
    first, last = hourly[0][0], hourly[-1][0]
    half, quarter = (first + last) / 2, (first + 3 * last) / 4
    before = [value for time, value in hourly if half <= time < quarter]
    after = [value for time, value in hourly if time >= quarter]
    return bool(before) and abs(statistics.median(after) - statistics.median(before)) > SETTLED_WITHIN


def short_swing(course: Course) -> float | None:
    """Middle of the highest minus the lowest value in windows of two hours; None without a whole window.

    Reference: fluctuation of IEC 60068-3-5, highest minus lowest at one point within an interval (from memory).
    """
    swings = [
        max(value for _, value in window) - min(value for _, value in window)
        for window in windows(course, SHORT_WINDOW)
        if len(window) >= 5
    ]
    return statistics.median(swings) if swings else None


def daily_swing(course: Course) -> float | None:
    """Middle over the days of the highest minus the lowest 3-h mean; None with less than two days."""
    means = block_course(course, 3 * HOUR)
    days = [[value for _, value in window] for window in windows(means, DAY) if len(window) >= 7]
    return statistics.median(max(day) - min(day) for day in days) if len(days) >= 2 else None


def block_course(course: Course, width: float) -> tuple[tuple[float, float], ...]:
    """(mean time, mean value) of windows of `width` [s], from the start of the course on."""
    return tuple(
        (statistics.fmean(time for time, _ in window), statistics.fmean(value for _, value in window))
        for window in windows(course, width)
    )


def slope(pairs: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Slope of a straight line through (x, y) pairs and its standard error; infinite error with less than three pairs.

    x not all alike. Reference: least squares.
    """
    count = len(pairs)
    x_mean, y_mean = (statistics.fmean(pair[at] for pair in pairs) for at in (0, 1))
    spread = sum((x - x_mean) ** 2 for x, _ in pairs)
    found = sum((x - x_mean) * (y - y_mean) for x, y in pairs) / spread
    if count < 3:
        return found, math.inf
    rest = sum((y - y_mean - found * (x - x_mean)) ** 2 for x, y in pairs)
    return found, math.sqrt(rest / (count - 2) / spread)


def together(one: Course, other: Course, width: float) -> tuple[tuple[float, float], ...]:
    """Means of two courses over the same blocks of `width` [s]: pairs of values."""
    blocks: list[dict[float, list[float]]] = [{}, {}]
    for course, found in zip((one, other), blocks, strict=True):
        for time, value in course:
            found.setdefault(time // width, []).append(value)
    return tuple(
        (statistics.fmean(blocks[0][block]), statistics.fmean(blocks[1][block]))
        for block in sorted(blocks[0].keys() & blocks[1].keys())
    )
