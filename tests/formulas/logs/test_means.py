"""Means, windows and slopes of readings at uneven times, against numpy, scipy and against loops written out."""

import itertools
import math
import random
import statistics

import numpy as np
import pytest
from scipy.integrate import trapezoid
from scipy.stats import linregress

from advisor.formulas.logs import means, steady

HOUR, DAY = 3600.0, 86_400.0
SEEDS = pytest.mark.parametrize("seed", range(6))


def readings(seed: int, count: int = 200, longest: float = 1800.0) -> list[tuple[float, float]]:
    """Readings (time [s], value) whose steps differ, from a time that is no round one."""
    dice = random.Random(seed)
    time, found = dice.uniform(0, 1e6), []
    for _ in range(count):
        found.append((time, dice.gauss(28, 2)))
        time += dice.uniform(60, longest)
    return found


@SEEDS
def test_the_weighted_mean_is_scipys_trapezoids(seed: int) -> None:
    course = readings(seed)
    times, values = zip(*course, strict=True)
    area = trapezoid(values, times)
    assert means.weighted_mean(course) == pytest.approx(area / (times[-1] - times[0]), rel=1e-12)
    assert means.weighted_mean(course[:1]) == values[0]
    # All at one time: nothing to weigh them by.
    assert means.weighted_mean([(0.0, value) for value in values]) == pytest.approx(np.mean(values))


@SEEDS
def test_a_held_value_is_the_integral_of_its_steps(seed: int) -> None:
    course = readings(seed, 40)
    times, values = zip(*course, strict=True)
    dice = random.Random(seed)
    for begin, length in [
        (times[0] - 500, 4000.0),
        (times[-1] - 300, 900.0),
        *((dice.uniform(times[0], times[-1]), dice.uniform(1, 9000)) for _ in range(9)),
    ]:
        end = begin + length
        # The value at a time is that of the last reading before it, or the first of all.
        cuts = sorted({begin, end, *(time for time in times if begin < time < end)})
        whole = sum(
            (after - before) * values[max(sum(time <= before for time in times) - 1, 0)]
            for before, after in itertools.pairwise(cuts)
        )
        assert means.held_mean(times, values, begin, end) == pytest.approx(whole / length, rel=1e-12)


@SEEDS
def test_blocks_hold_each_reading_once(seed: int) -> None:
    course = readings(seed)
    found = means.thinner(course, HOUR)
    blocks: dict[int, list[tuple[float, float]]] = {}
    for time, value in course:
        blocks.setdefault(math.floor(time / HOUR), []).append((time, value))
    assert found == tuple(
        pytest.approx(tuple(np.mean(block, axis=0)), rel=1e-12) for block in blocks.values()
    )


@SEEDS
def test_windows_hold_each_reading_once_but_those_of_half_empty_ones(seed: int) -> None:
    # Readings every ten minutes of which some fell out: a window of six hours has 36, and counts from 18 on.
    dice = random.Random(seed)
    whole = [(7.0 + 600.0 * place, dice.gauss(28, 1)) for place in range(36 * 12)]
    course = [whole[0]]
    for number in range(12):
        part = whole[36 * number + (number == 0) : 36 * (number + 1)]
        course += sorted(dice.sample(part, 36 - (number == 0) if number % 2 else dice.randint(12, 24)))
    expected = []
    for number in range(12):
        inside = [
            entry for entry in course if 36 * 600.0 * number <= entry[0] - 7.0 < 36 * 600.0 * (number + 1)
        ]
        if len(inside) >= 18:
            expected.append(inside)
    assert list(means.windows(course, 6 * HOUR)) == expected
    assert not list(means.windows([], HOUR))


@SEEDS
def test_a_slope_and_its_error_are_scipys(seed: int) -> None:
    pairs = readings(seed, 9)
    found = linregress(*zip(*pairs, strict=True))
    assert steady.slope(pairs) == pytest.approx((found.slope, found.stderr), rel=1e-9)
    assert steady.slope(pairs[:2])[1] == math.inf


@SEEDS
def test_two_courses_are_paired_where_both_have_readings(seed: int) -> None:
    one, other = readings(seed), [(time + 20_000.0, value) for time, value in readings(seed, 150)]
    first, last = other[0][0] // HOUR, one[-1][0] // HOUR
    expected = []
    for block in range(int(first), int(last) + 1):
        parts = [
            [value for time, value in course if block <= time / HOUR < block + 1] for course in (one, other)
        ]
        if all(parts):
            expected.append(tuple(map(statistics.fmean, parts)))
    assert expected and steady.together(one, other, HOUR) == tuple(map(pytest.approx, expected))


def test_a_daily_swing_is_that_of_its_three_hour_means() -> None:
    # The mean of a sine over an eighth of its period is sin(pi/8)/(pi/8) = 0.97450 of it; over whole eighths from its
    # zero the highest mean lies at 67.5° and at 112.5°: 2 x 0.97450 x sin 67.5° = 1.8006 of the amplitude.
    course = [
        (300.0 * place, 28.0 + 1.5 * math.sin(2 * math.pi * (300.0 * place + 150.0) / DAY))
        for place in range(288 * 3)
    ]
    assert steady.daily_swing(course) == pytest.approx(1.5 * 1.8006, abs=1e-3)
    assert steady.daily_swing(course[: 288 + 288 // 2]) is None  # less than two days
    # A day counts with one of its eight means missing, not with two: of two days only one is then left.
    for missing, counts in ((36, True), (72, False)):
        assert (steady.daily_swing(course[: 576 - missing]) is not None) == counts


@pytest.mark.parametrize("hours", [6.4, 7.0])
def test_settled_is_what_stays_for_six_hours(hours: float) -> None:
    # 20 °C for 12 h, 28 °C for so long, 30 °C for an hour and a half, then 28 °C. The mean of an hour is in the band of 0.5 K from
    # 26 min after the rise by 8 K until 15 min before that by 2 K, 0.69 h less than the spell, and again 15 min after it.
    def value(hour: float) -> float:
        return 20.0 if hour < 12.0 else 30.0 if hours <= hour - 12.0 < hours + 1.5 else 28.0

    course = [(60.0 * minute, value(minute / 60)) for minute in range(60 * 72)]
    found = steady.settled_at(course)
    assert found is not None
    expected = 12.0 + 26 / 60 if hours > 6.69 else 12.0 + hours + 1.5 + 0.25
    assert found / HOUR == pytest.approx(expected, abs=0.05)
