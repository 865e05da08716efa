"""Constant temperature equivalents: regular days in closed form, an experiment, the general rule against special ones."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from advisor.formulas.sexes.equivalent_temperature import development_weighted_share, equivalent_of_readings
from tests.referees.equivalents import sine_equivalent, triangle_equivalent
from tests.referees.sex_curves import logistic_share

# (mean M, half range R, threshold T0, equivalent) of sine days, by the equation of Georges et al. 1994,
# (M - T0) tc + R sin tc = (pi/2)(M - T0), and M + R cos tc. In the first, 8 tc + 4 sin tc = 4 pi gives tc = 1.1205: 27.741.
SINE = [
    (26, 4, 18, 27.741),
    (26, 2, 18, 26.481),
    (30, 0.5, 16, 30.018),
    (30, 1, 16, 30.071),
    (30, 2, 16, 30.282),
    (30, 3, 16, 30.624),
    (30, 5, 16, 31.654),
]


def degree_days(threshold: float) -> Callable[..., Any]:
    return lambda temperature: max(0.0, temperature - threshold)


@pytest.mark.parametrize(("mean", "half_range", "threshold", "expected"), SINE)
def test_sine_days(mean: float, half_range: float, threshold: float, expected: float) -> None:
    assert sine_equivalent(mean, half_range, threshold) == pytest.approx(expected, abs=0.0005)


def test_a_triangle_day() -> None:
    assert triangle_equivalent(26, 4, 18) == pytest.approx(26.944, abs=0.0005)


# Caretta caretta in swings, Georges et al. 1994, J Exp Zool 270:432: mean, half range, equivalent, share of
# males from it and from the mean alone (threshold 18.11 °C; logistic 28.98 and -0.854 fitted to the constant
# temperatures of the same paper), males found. Equivalents and shares are printed to 2 decimals.
GEORGES = [
    (25.92, 0, 25.92, 0.97, 0.97, 0.96),
    (26.1, 3.1, 27.20, 0.89, 0.97, 0.96),
    (26.8, 3.8, 28.29, 0.69, 0.93, 0.77),
    (25.8, 5.2, 28.60, 0.61, 0.98, 0.61),
    (26.4, 6.0, 29.78, 0.28, 0.95, 0.47),
    (26.0, 7.2, 30.63, 0.13, 0.97, 0.00),
]


@pytest.mark.parametrize(("mean", "half_range", "equivalent", "share", "naive", "found"), GEORGES)
def test_the_loggerhead_experiment(
    mean: float, half_range: float, equivalent: float, share: float, naive: float, found: float
) -> None:
    at = sine_equivalent(mean, half_range, 18.11)
    assert at == pytest.approx(equivalent, abs=0.0051)
    assert logistic_share(at, 28.98, -0.854) == pytest.approx(share, abs=0.006)
    assert logistic_share(mean, 28.98, -0.854) == pytest.approx(naive, abs=0.006)
    # Against the experiment: 9 to 26 eggs a group scatter by 0.1 to 0.2.
    assert logistic_share(at, 28.98, -0.854) == pytest.approx(found, abs=0.2)


@settings(max_examples=60, deadline=None)
@given(mean=st.floats(20, 32), half_range=st.floats(0.1, 9), threshold=st.floats(10, 19))
def test_the_general_rule_agrees_with_sine_days_also_when_nights_stop_development(
    mean: float, half_range: float, threshold: float
) -> None:
    readings = mean + half_range * np.cos(np.pi * (np.arange(4000) + 0.5) / 4000)
    general = equivalent_of_readings([float(t) for t in readings], degree_days(threshold))
    # 0.005 K: 4000 readings lie up to half range * pi/4000 apart.
    assert general == pytest.approx(sine_equivalent(mean, half_range, threshold), abs=0.005)


@settings(max_examples=60, deadline=None)
@given(mean=st.floats(22, 32), half_range=st.floats(0.1, 9), threshold=st.floats(10, 19))
def test_the_general_rule_agrees_with_triangle_days(mean: float, half_range: float, threshold: float) -> None:
    assume(mean - half_range >= threshold)
    readings = mean + half_range * (2 * (np.arange(2000) + 0.5) / 2000 - 1)
    general = equivalent_of_readings([float(t) for t in readings], degree_days(threshold))
    assert general == pytest.approx(triangle_equivalent(mean, half_range, threshold), abs=0.005)


@settings(max_examples=60)
@given(mean=st.floats(25, 32), half_range=st.floats(0.01, 0.3), threshold=st.floats(10, 19))
def test_a_small_swing_shifts_by_its_square(mean: float, half_range: float, threshold: float) -> None:
    shift = sine_equivalent(mean, half_range, threshold) - mean
    # The expansion R^2/(M - T0) leaves terms of R^4, below a thousandth of it here.
    assert shift == pytest.approx(half_range**2 / (mean - threshold), rel=1e-2)


def test_no_swing_shifts_nothing() -> None:
    assert sine_equivalent(28, 0, 15) == 28
    assert triangle_equivalent(28, 0, 15) == pytest.approx(28)
    assert equivalent_of_readings([28.0] * 5, degree_days(15)) == pytest.approx(28)


def test_a_two_step_day_jumps_to_the_warmer_side() -> None:
    # The known failure: half of the development lies above any temperature between the steps.
    found = equivalent_of_readings([27.0] * 12 + [29.0] * 12, degree_days(15))
    assert 28 < found <= 29


@settings(max_examples=50, deadline=None)
@given(temperature=st.floats(20, 35), pivotal=st.floats(27, 32))
def test_the_weighted_share_of_a_steady_trace_is_the_share(temperature: float, pivotal: float) -> None:
    trace = [(0.0, temperature), (24.0, temperature)]
    found = development_weighted_share(lambda t: logistic_share(t, pivotal, -0.3), degree_days(15), trace)
    assert found == pytest.approx(logistic_share(temperature, pivotal, -0.3), abs=1e-12)


def test_the_weighted_share_is_milder_than_the_equivalent_in_wide_swings() -> None:
    # Snapping turtle nests, 2019, J Exp Biol 222:jeb190215: the mean of shares reacts less at large half
    # ranges.
    trace = [(h / 10, 26 + 6 * math.cos(2 * math.pi * h / 240)) for h in range(241)]

    def share(temperature: float) -> float:
        return logistic_share(temperature, 28, -0.3)

    weighted = development_weighted_share(share, degree_days(18), trace)
    by_equivalent = share(sine_equivalent(26, 6, 18))
    naive = share(26)
    assert by_equivalent < weighted < naive


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: equivalent_of_readings([], degree_days(15)), "at least 1 reading"),
        (lambda: equivalent_of_readings([10.0, 12.0], degree_days(15)), "no development"),
        (
            lambda: development_weighted_share(lambda t: 0.5, degree_days(15), [(0, 10), (1, 10)]),
            "no development",
        ),
    ],
)
def test_impossible_input_is_refused(call: Callable[[], object], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()
