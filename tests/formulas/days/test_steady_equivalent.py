"""Days at a daily swing turned into a constant temperature, against rate summation worked from a published curve."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import structs

from advisor.formulas.days.fit import fit_development
from advisor.formulas.days.incubation_days import evidence_for, predicted_days
from advisor.formulas.days.points import DurationPoint
from advisor.formulas.days.steady_equivalent import steady_points, steady_temperature
from advisor.formulas.days.swings import development_rate, mean_rate, swing_temperatures


def reeves_rate(temperature: float) -> float:
    """Mauremys reevesii, Du et al. 2007, Aquaculture 272:747: 42.74 exp(4.30/(T - 17.28)) days (the operator was unreadable
    in the copy and is taken as a product, which reproduces the data); 0 at and below the asymptote."""
    return 0.0 if temperature <= 17.28 else 1 / (42.74 * math.exp(4.30 / (temperature - 17.28)))


# Rates of that curve added up over the day by another program (days to hatching): mean, half range, constant, sine,
# twelve hours each at both ends.
WORKED = (
    (28, 1, 63.83, 63.92, 64.01),
    (28, 3, 63.83, 64.67, 65.56),
    (28, 6, 63.83, 67.78, 72.73),
    (30, 3, 59.93, 60.42, 60.92),
    (26, 3, 69.98, 71.63, 73.41),
    (24, 3, 81.05, 84.91, 89.30),
)


@pytest.mark.parametrize(("mean", "half", "constant", "sine", "steps"), WORKED)
def test_rates_add_up_as_worked(mean: float, half: float, constant: float, sine: float, steps: float) -> None:
    assert 1 / reeves_rate(mean) == pytest.approx(constant, abs=0.006)
    assert 1 / mean_rate(reeves_rate, swing_temperatures(mean, half)) == pytest.approx(sine, abs=0.02)
    assert 1 / mean_rate(reeves_rate, (mean - half, mean + half)) == pytest.approx(steps, abs=0.006)


def bent_points() -> tuple[DurationPoint, ...]:
    return tuple(DurationPoint(t, 1 / reeves_rate(t), 40, "a") for t in (22, 24, 26, 28, 30, 32, 34))


@settings(max_examples=40, deadline=None)
@given(mean=st.floats(22, 33), swing=st.floats(0, 12))
def test_the_steady_temperature_develops_eggs_as_fast_as_the_swing(mean: float, swing: float) -> None:
    curve = fit_development(bent_points())
    at = steady_temperature(curve, mean, swing)
    assert abs(at - mean) <= swing / 2 + 0.05
    rate = mean_rate(lambda t: development_rate(curve, t), swing_temperatures(mean, swing / 2))
    # Found on steps of 0.05 K, which are 0.6 % of the days at most (12 % a kelvin in the cold).
    assert development_rate(curve, at) == pytest.approx(rate, rel=0.006)


@settings(max_examples=40, deadline=None)
@given(threshold=st.floats(9, 16), mean=st.floats(24, 28), swing=st.floats(0, 10))
def test_on_a_straight_line_the_mean_counts(threshold: float, mean: float, swing: float) -> None:
    curve = fit_development([DurationPoint(t, 700 / (t - threshold), 500, "a") for t in (22, 26)])
    assert steady_temperature(curve, mean, swing) == pytest.approx(mean, abs=1e-6)


def test_a_swing_over_a_curve_that_bends_down_counts_as_cooler() -> None:
    # 28 +/- 6 °C took 67.8 days by the published curve, as many as a constant 26.6 °C; the fitted form bends less.
    assert 1 / reeves_rate(26.6) == pytest.approx(67.8, abs=0.1)
    curve = fit_development(bent_points())
    assert 26.6 <= steady_temperature(curve, 28, 12) <= 27.7


def test_swings_are_used_where_steady_points_do_not_reach_and_widen_the_range() -> None:
    steady = (DurationPoint(26, 70, 20, "a"), DurationPoint(28, 60, 20, "a"))
    swung = DurationPoint(31, 50, 20, "b", swing=8)
    points = steady_points((*steady, swung))
    assert evidence_for(points, 27) == steady
    assert predicted_days(points, 31).points == 3
    narrow = predicted_days(steady_points((*steady, DurationPoint(31, 50, 20, "b", swing=1))), 31)
    wide = predicted_days(points, 31)
    assert wide.high / wide.low > narrow.high / narrow.low
    # 2.5 % at 8 K, and the whole correction, none on the line of two points.
    assert points[-1].spread == pytest.approx(0.025, abs=0.002)


def test_steady_points_stay_and_the_widest_swings_are_left_out() -> None:
    points = (DurationPoint(28, 60, 20, "a"), DurationPoint(28, 70, 20, "b", swing=16))
    assert steady_points(points) == points[:1]
    only = steady_points((DurationPoint(28, 60, 20, "a", swing=4),))
    assert (only[0].days, only[0].swing) == (60, 4)
    assert math.isclose(only[0].temperature, 28, abs_tol=1e-6)
    assert steady_points(()) == ()


@pytest.mark.parametrize(("field", "value"), [("swing", -1.0), ("spread", -0.1)])
def test_negative_swings_and_spreads_are_refused(field: str, value: float) -> None:
    with pytest.raises(ValueError, match="must be at least 0"):
        fit_development([structs.replace(DurationPoint(28, 60, 20, "a"), **{field: value})])
