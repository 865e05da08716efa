"""Fits of share curves against published parameters, scipy, numerical derivatives; the scatter between groups."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec import structs
from scipy import optimize

from advisor.formulas.sexes.counts import Group, SexPoint, correlation_from, grouped, misfit
from advisor.formulas.sexes.fit import ShareFit, Slope, fit_groups, logit_and_gradient, share_of
from tests.formulas.sexes.points import BOTH, FALLING, painted, points, slider
from tests.referees.sex_curves import logistic_share, two_sided_share


def fit_share(data: list[SexPoint], slopes: tuple[Slope, ...], with_prior: bool = False) -> ShareFit:
    return fit_groups(grouped(data), slopes, with_prior=with_prior)


def pivot_errors(fit: ShareFit) -> list[float]:
    return [math.sqrt(fit.covariance[2 * i][2 * i]) for i in range(len(fit.pivots))]


def width_errors(fit: ShareFit) -> list[float]:
    """By the delta method, from the errors of ln|S|."""
    return [
        abs(width) * math.sqrt(fit.covariance[2 * i + 1][2 * i + 1]) for i, width in enumerate(fit.widths)
    ]


def deviance(fit: ShareFit, data: list[SexPoint]) -> float:
    groups = grouped(data)
    return misfit([share_of(fit, group.temperature) for group in groups], groups)[0]


def check(found: float, printed: float, error: float, share: float = 1.0) -> None:
    """The fit lies within `share` standard errors of the printed one (plus half a unit of the last digit)."""
    assert found == pytest.approx(printed, abs=share * error + 0.0005)


# --- Fits against printed ones, made apart from this code (Noble et al. 2018, Scientific Data 5:180138) ---


def test_the_fit_of_the_sulcata_tortoise() -> None:
    # Same five groups as printed: P 31.40 +/- 0.17, S -0.462 +/- 0.105, deviance 6.9 on 3, so to the digits
    # printed.
    fit = fit_share(points("Centrochelys sulcata"), FALLING)
    assert fit.pivots[0] == pytest.approx(31.40, abs=0.005)
    assert pivot_errors(fit)[0] == pytest.approx(0.17, abs=0.005)
    assert fit.widths[0] == pytest.approx(-0.462, abs=0.0005)
    assert width_errors(fit)[0] == pytest.approx(0.105, abs=0.0005)
    assert deviance(fit, points("Centrochelys sulcata")) == pytest.approx(6.9, abs=0.05)


def test_the_fit_of_the_box_turtle_from_25_degrees() -> None:
    # Terrapene carolina: P 27.52 +/- 0.21, S -0.595 +/- 0.091, 6.6 on 1; the same three groups (27.515
    # rounds up).
    data = points("Terrapene carolina", lambda row: row[0] >= 25)
    fit = fit_share(data, FALLING)
    assert fit.pivots[0] == pytest.approx(27.52, abs=0.006)
    assert pivot_errors(fit)[0] == pytest.approx(0.21, abs=0.005)
    assert fit.widths[0] == pytest.approx(-0.595, abs=0.0005)
    assert width_errors(fit)[0] == pytest.approx(0.091, abs=0.0005)
    assert deviance(fit, data) == pytest.approx(6.6, abs=0.05)


def test_the_fit_of_the_painted_turtle() -> None:
    # Printed with 729 eggs: P 28.17 +/- 0.04, S -0.283 +/- 0.037. Here 751 eggs, not quite the same groups.
    fit = fit_share(painted(), FALLING)
    check(fit.pivots[0], 28.17, 0.04)
    check(fit.widths[0], -0.283, 0.037)


def test_the_fit_of_the_slider() -> None:
    # Printed with 444 eggs: P 29.20 +/- 0.03, S -0.202 +/- 0.024. The rows copied here hold 398: groups
    # without a count in the copy are missing, and the three groups more in the printed fit carried 13 of its
    # deviance of 20, so they lay off the curve and made it wider. The width therefore differs by 1.1
    # standard errors.
    fit = fit_share(slider(), FALLING)
    check(fit.pivots[0], 29.20, 0.03, share=1.1)
    check(fit.widths[0], -0.202, 0.024, share=1.2)


def test_the_two_sided_fit_of_the_musk_turtle() -> None:
    # Printed with 445 eggs: 24.09, 0.291; 26.37, -0.639. The copy holds 387 and nothing between 22.5 (no
    # male) and 25 °C (0.82, 0.94), so its likelihood alone fixes no lower width: that slope is compared with
    # the weak prior on. The printed fit has no errors for it: one standard error of this fit is allowed.
    data = points("Sternotherus odoratus")
    assert not fit_share(data, BOTH).identified
    fit = fit_share(data, BOTH, with_prior=True)
    for found, error, printed in zip(fit.pivots, pivot_errors(fit), (24.09, 26.37), strict=True):
        check(found, printed, error)
    for found, error, printed in zip(fit.widths, width_errors(fit), (0.291, -0.639), strict=True):
        check(found, printed, error)


def test_the_two_sided_fit_of_the_leopard_gecko() -> None:
    # Printed with 642 eggs of Viets et al. 1993: 30.32, 0.484; 33.11, -0.535. The copy lacks their groups at
    # 32 and 32.5 °C (half of the eggs). The lower slope agrees from Viets alone; the upper one is fixed only
    # by five eggs at 33 °C there, so it is compared with the weak prior on, within one standard error (0.8
    # K).
    data = points("Eublepharis macularius", lambda row: row[3] == "viets-1993")
    plain = fit_share(data, BOTH)
    assert not plain.identified
    fit = fit_share(data, BOTH, with_prior=True)
    for found, error, printed in zip(fit.pivots, pivot_errors(fit), (30.32, 33.11), strict=True):
        check(found, printed, error)
    for found, error, printed in zip(fit.widths, width_errors(fit), (0.484, -0.535), strict=True):
        check(found, printed, error)


def test_no_width_can_be_told_for_the_pancake_tortoise() -> None:
    # Malacochersus tornieri (Ewert et al. 2004): 14 of 14 at 29 °C, 4 of 9 at 30, none of 19 at 32: P about
    # 30.
    fit = fit_share(points("Malacochersus tornieri"), FALLING)
    assert not fit.identified
    assert fit.pivots[0] == pytest.approx(30.0, abs=0.1)


# --- Fits against scipy on the same likelihood ---


def minus_log_likelihood(parameters: Any, slopes: tuple[Slope, ...], groups: list[Group]) -> float:
    total = 0.0
    for group in groups:
        p = 1.0
        for i, slope in enumerate(slopes):
            width = math.exp(parameters[2 * i + 1]) * (1 if slope == "rising" else -1)
            p *= logistic_share(group.temperature, parameters[2 * i], width)
        p = min(max(p, 1e-12), 1 - 1e-12)
        total -= group.males * math.log(p) + (group.eggs - group.males) * math.log1p(-p)
    return total


CASES = [
    ("Trachemys scripta", FALLING),
    ("Chrysemys picta", FALLING),
    ("Centrochelys sulcata", FALLING),
    ("Mauremys reevesii", FALLING),
    ("Terrapene carolina", FALLING),
    ("Chlamydosaurus kingii", ("rising",)),
    ("Chelydra serpentina", BOTH),
    ("Eublepharis macularius", BOTH),
    ("Amphibolurus muricatus", BOTH),
]


@pytest.mark.parametrize(("species", "slopes"), CASES)
def test_fits_agree_with_scipy(species: str, slopes: tuple[Slope, ...]) -> None:
    data = points(species)
    fit = fit_share(data, slopes)
    groups = grouped(data)
    own = [v for p, w in zip(fit.pivots, fit.widths, strict=True) for v in (p, math.log(abs(w)))]
    bounds = [(0, 60), (math.log(0.02), math.log(8))] * len(slopes)
    best = None
    for shift in (0.0, 0.5, -0.5):
        start = [v + shift if i % 2 == 0 else v for i, v in enumerate(own)]
        found = optimize.minimize(
            minus_log_likelihood, start, args=(slopes, groups), method="L-BFGS-B", bounds=bounds
        )
        polished = optimize.minimize(
            minus_log_likelihood,
            found.x,
            args=(slopes, groups),
            method="Nelder-Mead",
            options={"xatol": 1e-7, "fatol": 1e-10, "maxiter": 4000},
        )
        best = polished if best is None or polished.fun < best.fun else best
    assert fit.identified
    # The climb stops when a step gains under 1e-7, so the height agrees within 1e-5 and parameters within a
    # hundredth of their standard errors.
    assert minus_log_likelihood(own, slopes, groups) == pytest.approx(best.fun, abs=1e-5)
    errors = [math.sqrt(fit.covariance[i][i]) for i in range(len(own))]
    for value, referee, error in zip(own, best.x, errors, strict=True):
        assert value == pytest.approx(referee, abs=0.01 * error)


@pytest.mark.parametrize(("species", "slopes"), CASES)
def test_standard_errors_agree_with_numerical_second_derivatives(
    species: str, slopes: tuple[Slope, ...]
) -> None:
    data = points(species)
    fit = fit_share(data, slopes)
    groups = grouped(data)
    centre = np.array([v for p, w in zip(fit.pivots, fit.widths, strict=True) for v in (p, math.log(abs(w)))])
    size, h = len(centre), 1e-4
    hessian = np.zeros((size, size))
    for i in range(size):
        for j in range(size):
            corners = 0.0
            for a in (1, -1):
                for b in (1, -1):
                    moved = centre.copy()
                    moved[i] += a * h
                    moved[j] += b * h
                    corners += a * b * minus_log_likelihood(moved, slopes, groups)
            hessian[i, j] = corners / (4 * h * h)
    covariance = np.linalg.inv(hessian)
    # 1 %: second differences with a step of 1e-4 keep about three digits.
    assert pivot_errors(fit)[0] == pytest.approx(math.sqrt(covariance[0, 0]), rel=0.01)
    assert width_errors(fit)[-1] == pytest.approx(
        abs(fit.widths[-1]) * math.sqrt(covariance[size - 1, size - 1]), rel=0.01
    )


def test_a_fitted_curve_is_the_published_form() -> None:
    one = fit_share(points("Centrochelys sulcata"), FALLING)
    two = fit_share(points("Chelydra serpentina"), BOTH)
    for temperature in (20.0, 24.0, 28.0, 31.0):
        assert share_of(one, temperature) == pytest.approx(
            logistic_share(temperature, one.pivots[0], one.widths[0])
        )
        expected = two_sided_share(temperature, two.pivots[0], two.widths[0], two.pivots[1], two.widths[1])
        assert share_of(two, temperature) == pytest.approx(expected)


@settings(max_examples=60, deadline=None)
@given(
    temperature=st.floats(20, 36),
    low=st.floats(23, 27),
    high=st.floats(27, 32),
    widths=st.tuples(st.floats(0.2, 2), st.floats(0.2, 2)),
)
def test_logit_gradients_agree_with_differences(
    temperature: float, low: float, high: float, widths: tuple[float, float]
) -> None:
    # Past an exponent of 40 a slope is taken as 0 or 1.
    assume(max(abs(temperature - low) / widths[0], abs(temperature - high) / widths[1]) < 39)
    empty = tuple((0.0,) * 4 for _ in range(4))
    fit = ShareFit(BOTH, 1.0, (low, high), (widths[0], -widths[1]), empty, True)
    logit, gradient = logit_and_gradient(fit, temperature)
    share = two_sided_share(temperature, low, widths[0], high, -widths[1])
    if 1e-6 < share < 1 - 1e-6:
        assert logit == pytest.approx(math.log(share / (1 - share)), abs=1e-6)
    step = 1e-6
    warmer = structs.replace(fit, pivots=(low + step, high))
    steeper = structs.replace(fit, widths=(widths[0], -widths[1] * math.exp(step)))
    # 1e-3: one-sided differences with a step of 1e-6.
    assert gradient[0] == pytest.approx((logit_and_gradient(warmer, temperature)[0] - logit) / step, abs=1e-3)
    assert gradient[3] == pytest.approx(
        (logit_and_gradient(steeper, temperature)[0] - logit) / step, abs=1e-3
    )


# --- Scatter between groups ---


def test_correlation_is_found_again_in_made_up_groups() -> None:
    # 400 beta-binomial groups of 20 eggs with rho 0.2 around 0.4 (seeded); the estimator's own error is
    # about 0.01.
    draw = np.random.default_rng(5)
    rho = 0.2
    shares = draw.beta(0.4 * (1 / rho - 1), 0.6 * (1 / rho - 1), 400)
    made = [SexPoint(28, males / 20, 20, str(i)) for i, males in enumerate(draw.binomial(20, shares))]
    found = correlation_from([0.4] * 400, grouped(made), 1)
    assert found == pytest.approx(0.2, abs=0.03)


@given(
    shares=st.lists(st.sampled_from([0.0, 1e-4, 0.01, 0.3, 0.5, 0.97, 1.0]), min_size=1, max_size=4),
    eggs=st.integers(2, 40),
)
def test_a_misfit_of_males_is_as_large_as_one_of_females(shares: list[float], eggs: int) -> None:
    males = [Group(28, eggs // (2 + place), eggs, "a") for place in range(len(shares))]
    females = [Group(28, eggs - group.males, eggs, "a") for group in males]
    assert misfit(shares, males) == pytest.approx(misfit([1 - share for share in shares], females))


def test_one_stray_egg_counts_as_if_one_in_a_thousand_were_expected() -> None:
    # (1 - 10 x 0.001)^2 / (10 x 0.001 x 0.999) = 0.9801/0.00999 = 98.11, by Pearson's sum.
    assert misfit([0.0], [Group(28, 1, 10, "a")])[1] == pytest.approx(98.11, abs=0.01)
