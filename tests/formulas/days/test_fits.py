"""Fits of the rate of development: curves by their definitions, gradients, a full matrix and scipy."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize

from advisor.formulas.days.fit import (
    STUDY_SPREAD,
    WITHIN_SPREAD,
    _fit,
    _grouped,
    _left_out_error,
    fit_development,
)
from advisor.formulas.days.forms import BEND, SLOPE_ABOVE_BEND, FormName, log_days
from advisor.formulas.days.points import DurationPoint
from tests.formulas.days.test_incubation_days import points

# --- Published curves (vectors worked out apart from this code; half a unit of the last printed digit) ---


def dallwitz_higgins_rate(temperature: float, peak_rate: float, cold: float, peak: float) -> float:
    """The fitted form [1/day], with the parameters that the paper names."""
    value, _ = log_days("Dallwitz-Higgins curve", (-math.log(peak_rate), cold, peak), temperature)
    return math.exp(-value)


@pytest.mark.parametrize(
    ("temperature", "rate"),
    [(18, 0.2567), (24, 1.1128), (27, 1.6724), (30, 2.1898), (33, 2.4995), (36, 1.4325)],
)
def test_dallwitz_higgins_vectors(temperature: float, rate: float) -> None:
    assert dallwitz_higgins_rate(temperature, 2.5, 18, 33) == pytest.approx(rate, abs=0.000051)


@settings(max_examples=60)
@given(peak_rate=st.floats(0.001, 5), cold=st.floats(5, 22), width=st.floats(8, 25))
def test_the_dallwitz_higgins_curve_peaks_where_its_parameters_say(
    peak_rate: float, cold: float, width: float
) -> None:
    # r(b3) = b1 within 0.1 %, r(b2) about a tenth of it (Dallwitz & Higgins 1992).
    at_peak = dallwitz_higgins_rate(cold + width, peak_rate, cold, cold + width)
    assert at_peak == pytest.approx(peak_rate, rel=1e-3)
    at_cold = dallwitz_higgins_rate(cold, peak_rate, cold, cold + width)
    assert at_cold == pytest.approx(0.1 * peak_rate, rel=0.05)


# --- The forms that are fitted ---

temperatures = st.floats(18, 36)


@settings(max_examples=60)
@given(t=temperatures, threshold=st.floats(5, 16), degree_days=st.floats(200, 1500))
def test_the_fitted_line_is_the_degree_day_rule(t: float, threshold: float, degree_days: float) -> None:
    parameters = (math.log(degree_days / (28 - threshold)), 1 / (28 - threshold))
    value, _ = log_days("straight line", parameters, t)
    assert math.exp(-value) == pytest.approx((t - threshold) / degree_days, rel=1e-9)


@pytest.mark.parametrize("form", ["straight line", "line that flattens"])
def test_no_line_takes_more_than_fifty_times_the_days_of_28_degrees(form: FormName) -> None:
    # The rate is held above 2 % of that at 28 °C; a line of 0.1 a kelvin comes to that at 18.2 °C.
    longer = [math.exp(log_days(form, (4.0, 0.1), at)[0] - 4.0) for at in (18.3, 18.2, 18.1, 10.0)]
    assert longer == pytest.approx([1 / 0.03, 50.0, 50.0, 50.0])


@given(slope=st.floats(0.04, 0.1), step=st.floats(0.1, 4))
def test_the_flattening_line_has_a_gentler_slope_above_its_bend(slope: float, step: float) -> None:
    def rate(temperature: float) -> float:
        return math.exp(-log_days("line that flattens", (4.0, slope), temperature)[0])

    below = (rate(BEND) - rate(BEND - step)) / step
    above = (rate(BEND + step) - rate(BEND)) / step
    assert below == pytest.approx(slope * math.exp(-4.0))
    assert above == pytest.approx(SLOPE_ABOVE_BEND * below)
    # Turtles hatch later than the line above 30.5 °C (fits to Noble et al. 2018): the slope there must be
    # less.
    assert 0.2 <= SLOPE_ABOVE_BEND <= 0.8


@pytest.mark.parametrize(
    ("form", "parameters"),
    [
        ("straight line", (4.1, 0.07)),
        ("line that flattens", (4.1, 0.07)),
        ("Dallwitz-Higgins curve", (3.9, 14.0, 33.0)),
    ],
)
@settings(max_examples=40)
@given(t=temperatures)
def test_gradients_agree_with_differences(form: FormName, parameters: tuple[float, ...], t: float) -> None:
    value, gradient = log_days(form, parameters, t)
    for i, slope in enumerate(gradient):
        moved = list(parameters)
        moved[i] += 1e-6
        # 1e-4: one-sided differences with a step of 1e-6.
        assert slope == pytest.approx((log_days(form, moved, t)[0] - value) / 1e-6, rel=1e-4, abs=1e-4)


# --- Fits ---


def test_one_study_fits_like_weighted_least_squares() -> None:
    # With exact points on a line, whatever the prior and the weights, scipy and we find the same line.
    made = [DurationPoint(t, 700 / (t - 14.8), 20, "made up") for t in (22, 24, 26, 28, 30)]
    curve = fit_development(made)
    assert curve.form == "straight line"

    def line(t: np.ndarray, threshold: float, degree_days: float) -> np.ndarray:
        return degree_days / (t - threshold)

    (threshold, degree_days), _ = optimize.curve_fit(
        line, [p.temperature for p in made], [p.days for p in made], p0=(14, 600)
    )
    # The usual threshold of other species is 14.8 °C, so the prior pulls nowhere.
    assert 28 - 1 / curve.parameters[1] == pytest.approx(threshold, abs=0.01)
    assert math.exp(curve.parameters[0]) == pytest.approx(degree_days / (28 - threshold), rel=1e-4)


@pytest.mark.parametrize("species", ["Pelodiscus sinensis", "Mauremys reevesii", "Natrix natrix"])
@pytest.mark.parametrize("form", ["straight line", "line that flattens", "Dallwitz-Higgins curve"])
def test_fits_agree_with_a_full_matrix_and_scipy(species: str, form: FormName) -> None:
    # Referee: the same penalised Gaussian likelihood of ln(days) of a mixed model, its covariance as a full
    # matrix. One study and temperature is one observation; eggs of a group scatter by 5 %.
    merged: dict[tuple[str, float], list[DurationPoint]] = {}
    for point in points(species):
        merged.setdefault((point.study, point.temperature), []).append(point)
    t = [temperature for _, temperature in merged]
    y = np.array(
        [
            np.average([math.log(p.days) for p in v], weights=[float(p.eggs or 0) for p in v])
            for v in merged.values()
        ]
    )
    own = np.array([0.05**2 / sum(p.eggs or 0 for p in v) for v in merged.values()])
    same_study = np.array([[a[0] == b[0] for b in merged] for a in merged], dtype=float)
    within, between = WITHIN_SPREAD**2, STUDY_SPREAD**2
    weights = np.linalg.inv(np.diag(within + own) + between * same_study)
    if form == "Dallwitz-Higgins curve":
        means, precisions = np.array([0, 15, 33.5]), np.array([0, 4.0**-2, 2.0**-2])
    else:
        spread = (1 / (28 - 18.7) - 1 / (28 - 9.8)) / 2.563
        means, precisions = np.array([0, 1 / (28 - 14.8)]), np.array([0, spread**-2])

    def objective(parameters: Any) -> float:
        residual = y - np.array([log_days(form, parameters, at)[0] for at in t])
        return residual @ weights @ residual + precisions @ (np.array(parameters) - means) ** 2

    fit = _fit(form, _grouped(points(species)), within, between, None)
    referee = optimize.minimize(
        objective,
        fit.parameters,
        method="Nelder-Mead",
        options={"xatol": 1e-8, "fatol": 1e-12, "maxiter": 8000},
    )
    slopes = np.array([log_days(form, referee.x, at)[1] for at in t])
    covariance = np.linalg.inv(slopes.T @ weights @ slopes + np.diag(precisions))
    for i, value in enumerate(fit.parameters):
        # The steps stop when the objective gains under 1e-6: a hundredth of a standard error.
        assert value == pytest.approx(referee.x[i], abs=0.01 * math.sqrt(covariance[i, i]))
        assert fit.covariance[i][i] == pytest.approx(covariance[i, i], rel=0.02)


@pytest.mark.parametrize("form", ["straight line", "Dallwitz-Higgins curve"])
def test_the_leave_one_out_error_agrees_with_refitting(form: FormName) -> None:
    groups = _grouped(points("Pelodiscus sinensis"))
    fit = _fit(form, groups, WITHIN_SPREAD**2, STUDY_SPREAD**2, None)
    errors = []
    for left_out, group in enumerate(groups):
        rest = [g for i, g in enumerate(groups) if i != left_out]
        again = _fit(form, rest, WITHIN_SPREAD**2, STUDY_SPREAD**2, None)
        errors.append(abs(group.log_days - log_days(form, again.parameters, group.temperature)[0]))
    # One linearised step against full refits: within a tenth of the error.
    assert _left_out_error(form, fit, STUDY_SPREAD**2) == pytest.approx(sum(errors) / len(errors), rel=0.1)
