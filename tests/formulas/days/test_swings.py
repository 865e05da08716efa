"""Days at swinging temperatures: against quadrature, a steady trace, published ratios."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import integrate

from advisor.formulas.days.fit import (
    DevelopmentCurve,
    fit_development,
)
from advisor.formulas.days.own_values import Node
from advisor.formulas.days.points import DurationPoint
from advisor.formulas.days.swings import (
    development_done,
    development_rate,
    hatching_day,
    mean_rate,
    swing_temperatures,
)
from tests.formulas.days.test_incubation_days import points


def swing_days(curve: DevelopmentCurve, mean: float, half_range: float) -> float:
    """Days under a sine swing."""
    return 1 / mean_rate(lambda at: development_rate(curve, at), swing_temperatures(mean, half_range))


def swing_ratio(curve: DevelopmentCurve, mean: float, half_range: float) -> float:
    """Days under a sine swing over those at its mean."""
    return swing_days(curve, mean, half_range) * development_rate(curve, mean)


@settings(max_examples=50, deadline=None)
@given(threshold=st.floats(8, 18), mean=st.floats(25, 30), half_range=st.floats(0, 6))
def test_on_a_straight_line_a_swing_changes_nothing(threshold: float, mean: float, half_range: float) -> None:
    # Georges et al. 1994: the rate is unaffected by the daily swing.
    curve = line_curve(threshold)
    assume(mean - half_range > threshold)
    assert swing_ratio(curve, mean, half_range) == pytest.approx(1, abs=1e-9)


def line_curve(threshold: float) -> DevelopmentCurve:
    made = [DurationPoint(t, 700 / (t - threshold), 500, "made up") for t in (20, 22, 24, 26, 28, 30)]
    curve = fit_development(made)
    assert curve.form == "straight line"
    return curve


def test_swings_at_the_cold_end_speed_up_and_at_the_warm_end_slow_down() -> None:
    # Les et al. 2009, Physiol Biochem Zool 82:105, +/- 3 °C: Chrysemys picta 97.3 days against 102.0 at 23
    # °C and 49.9 against 48.0 at 31 °C; Trachemys scripta 124.6 against 133.9 and 51.0 against 50.1. The
    # size is right within a few per cent (Jensen), the sign must be.
    painted = fit_development(points("Pelodiscus sinensis"))
    curve = type(painted)(
        "Dallwitz-Higgins curve",
        (
            math.log(100 / 2.522),
            16.80,
            34.00,
        ),  # Pelodiscus sinensis, printed fit b1 2.522, b2 16.80, b3 34.00
        painted.covariance,
        0.05,
        (Node(19.0, 0.0, 0.0), Node(37.0, 0.0, 0.0)),
    )
    cold, warm = swing_ratio(curve, 23, 3), swing_ratio(curve, 31, 3)
    assert 0.90 < cold < 1.0
    assert 1.0 < warm < 1.09
    assert swing_ratio(curve, 31, 5) > warm


@settings(max_examples=30, deadline=None)
@given(mean=st.floats(22, 32), half_range=st.floats(0, 5))
def test_a_swing_agrees_with_quadrature(mean: float, half_range: float) -> None:
    curve = fit_development(points("Centrochelys sulcata"))
    average, _ = integrate.quad(
        lambda phase: development_rate(curve, mean + half_range * math.cos(math.pi * phase)), 0, 1, limit=200
    )
    assert swing_days(curve, mean, half_range) == pytest.approx(1 / average, rel=1e-3)


@settings(max_examples=40, deadline=None)
@given(temperature=st.floats(26, 32), hours=st.floats(24, 5000))
def test_a_steady_trace_adds_up(temperature: float, hours: float) -> None:
    curve = fit_development(points("Elaphe carinata"))

    def rate(t: float) -> float:
        return development_rate(curve, t)

    trace = [(0.0, temperature), (hours / 3, temperature), (hours, temperature)]
    assert development_done(rate, trace) == pytest.approx(hours / 24 * rate(temperature))
    days = hatching_day(rate, trace)
    if hours / 24 * rate(temperature) > 1 + 1e-9:
        assert days == pytest.approx(1 / rate(temperature))
    elif hours / 24 * rate(temperature) < 1 - 1e-9:
        assert days is None


def test_a_sine_trace_hatches_when_the_swing_says() -> None:
    curve = fit_development(points("Elaphe carinata"))
    trace = [(h, 28 + 2 * math.cos(2 * math.pi * h / 24)) for h in range(24 * 80)]
    found = hatching_day(lambda t: development_rate(curve, t), trace)
    # Less than a day's share of imbalance at the last, unfinished day.
    assert found == pytest.approx(swing_days(curve, 28, 2), abs=0.2)


def test_development_already_done_counts() -> None:
    curve = fit_development(points("Elaphe carinata"))
    trace = [(0.0, 28.0), (24.0 * 100, 28.0)]

    def rate(t: float) -> float:
        return development_rate(curve, t)

    whole, half = hatching_day(rate, trace), hatching_day(rate, trace, done=0.5)
    assert whole is not None
    assert half == pytest.approx(whole / 2)


def test_there_is_no_development_under_a_line_s_threshold() -> None:
    curve = line_curve(16.0)
    assert development_rate(curve, 15.0) == 0
    assert development_rate(curve, 20.0) == pytest.approx(4 / 700, rel=0.02)
