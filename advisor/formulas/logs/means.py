"""Means over time of readings at uneven times.

A course is a tuple of (time [s], value) in rising order of time.
"""

import bisect
import itertools
import math
from collections.abc import Iterable, Iterator, Sequence

Course = Sequence[tuple[float, float]]

_LONGEST_STEP = 3600.0  # s; a reading stands for no longer than an hour
_LEAST_SHARE = 0.5  # of a window that readings have to cover


def block_means(
    times: Iterable[float], values: Iterable[float], width: float
) -> tuple[tuple[float, float], ...]:
    """Mean time and mean value of the readings in each block of `width` [s], blocks without readings left out.

    times [s] in rising order; values, any unit. Result: (mean time, mean value) of each block.
    """
    means: list[tuple[float, float]] = []
    block, count, time_sum, value_sum = -math.inf, 0, 0.0, 0.0
    for time, value in zip(times, values, strict=True):
        if time // width != block:
            if count:
                means.append((time_sum / count, value_sum / count))
            block, count, time_sum, value_sum = time // width, 0, 0.0, 0.0
        count += 1
        time_sum += time
        value_sum += value
    if count:
        means.append((time_sum / count, value_sum / count))
    return tuple(means)


def thinner(course: Course, width: float) -> tuple[tuple[float, float], ...]:
    """The course by `block_means` of so many seconds."""
    return block_means((time for time, _ in course), (value for _, value in course), width)


def weighted_mean(course: Course) -> float:
    """Time-weighted mean: each reading stands for half of the step before and half of the step after it.

    course: at least one reading. A step longer than an hour counts as an hour: nothing is known inside a gap.
    Reference: trapezoidal rule.
    """
    if len(course) < 2:
        return course[0][1]
    weights = [0.0] * len(course)
    for place, (before, after) in enumerate(itertools.pairwise(course)):
        half = min(after[0] - before[0], _LONGEST_STEP) / 2
        weights[place] += half
        weights[place + 1] += half
    total = sum(weights)
    if total <= 0.0:
        return sum(value for _, value in course) / len(course)
    return sum(weight * value for weight, (_, value) in zip(weights, course, strict=True)) / total


def held_mean(times: Sequence[float], values: Sequence[float], begin: float, end: float) -> float:
    """Mean from `begin` to `end` [s] of a value that holds from one reading until the next, as a switch does.

    times [s] in rising order; values, any unit. Before the first reading the first value holds.
    """
    place = max(bisect.bisect_right(times, begin) - 1, 0)
    total, now = 0.0, begin
    while now < end:
        after = times[place + 1] if place + 1 < len(times) else end
        until = min(max(after, now), end)
        total += values[place] * (until - now)
        now, place = until, min(place + 1, len(times) - 1)
    return total / (end - begin) if end > begin else values[place]


def running_means(course: Course, width: float) -> tuple[tuple[float, float], ...]:
    """Mean of the readings within half a `width` [s] before and after each reading; only where both halves are in the course."""
    if not course:
        return ()
    first, last, half = course[0][0], course[-1][0], width / 2
    sums = [0.0, *itertools.accumulate(value for _, value in course)]
    found, begin, end = [], 0, 0
    for time, _ in course:
        while course[begin][0] < time - half:
            begin += 1
        while end < len(course) and course[end][0] <= time + half:
            end += 1
        if first <= time - half + 1.0 and time + half - 1.0 <= last:
            found.append((time, (sums[end] - sums[begin]) / (end - begin)))
    return tuple(found)


def windows(course: Course, width: float) -> Iterator[Course]:
    """The course in windows of `width` [s], one after the other from its start; half empty ones are passed over."""
    if not course:
        return
    start = course[0][0]
    usual = _usual_step(course)
    for _, entries in itertools.groupby(course, key=lambda entry: (entry[0] - start) // width):
        window = list(entries)
        if len(window) > 1 and len(window) * usual >= _LEAST_SHARE * width:
            yield window


def _usual_step(course: Course) -> float:
    steps = sorted(after[0] - before[0] for before, after in itertools.pairwise(course))
    return steps[len(steps) // 2] if steps else math.inf


def without(course: Course, spells: Iterable[tuple[float, float]]) -> Course:
    """The course without what lies in any of the spells (from, to) [s]."""
    left = list(course)
    for begin, end in spells:
        left = [entry for entry in left if not begin <= entry[0] <= end]
    return left


def step_of(values: Iterable[float]) -> float:
    """The step in which a sensor tells its values: the smallest difference of two of them; 0 where all are alike.

    Differences below a thousandth are rounding.
    """
    told = sorted(set(values))
    steps = [after - before for before, after in itertools.pairwise(told) if after - before > 1e-3]
    return min(steps, default=0.0)
