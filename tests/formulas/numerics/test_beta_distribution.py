"""Beta quantiles, exact intervals and shapes from moments, against scipy."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import special, stats

from advisor.formulas.numerics.beta_distribution import (
    beta_from_moments,
    beta_quantile,
    exact_interval,
    incomplete_beta,
)

shapes = st.floats(-3, 4).map(lambda power: 10.0**power)


@settings(max_examples=100, deadline=None)
@given(x=st.floats(1e-9, 1 - 1e-9), a=shapes, b=shapes)
def test_the_incomplete_beta_function_agrees_with_scipy(x: float, a: float, b: float) -> None:
    # 1e-10: what the module promises.
    assert incomplete_beta(x, a, b) == pytest.approx(special.betainc(a, b, x), abs=1e-10)


@settings(max_examples=100, deadline=None)
@given(deviations=st.floats(-3, 3), a=shapes, b=shapes)
def test_the_incomplete_beta_function_agrees_with_scipy_near_the_mean(
    deviations: float, a: float, b: float
) -> None:
    # Around the mean of large shapes, where the continued fraction is slowest.
    x = a / (a + b) + deviations * math.sqrt(a * b / (a + b + 1)) / (a + b)
    x = min(max(x, 1e-12), 1 - 1e-12)
    assert incomplete_beta(x, a, b) == pytest.approx(special.betainc(a, b, x), abs=1e-10)


@settings(max_examples=100, deadline=None)
@given(probability=st.sampled_from([0.025, 0.3, 0.5, 0.975]), a=shapes, b=shapes)
def test_quantiles_agree_with_scipy(probability: float, a: float, b: float) -> None:
    # The referee is scipy's forward function: its inverse is off by up to 1e-8 at places (0.5 of equal shapes).
    # The quantile is within 1e-9 of the true one when the probability lies between the values 1e-9 to either side.
    found = beta_quantile(probability, a, b)
    below, above = special.betainc(a, b, [max(found - 1e-9, 0.0), min(found + 1e-9, 1.0)])
    assert below - 1e-9 <= probability <= above + 1e-9


@settings(max_examples=80)
@given(eggs=st.integers(1, 600), share=st.floats(0, 1), confidence=st.sampled_from([0.9, 0.95, 0.99]))
def test_exact_intervals_agree_with_scipy(eggs: int, share: float, confidence: float) -> None:
    males = round(share * eggs)
    referee = stats.binomtest(males, eggs).proportion_ci(confidence, "exact")
    assert exact_interval(males, eggs, confidence) == pytest.approx((referee.low, referee.high), abs=1e-9)


@given(a=st.floats(0.1, 300), b=st.floats(0.1, 300))
def test_shapes_from_moments_come_back(a: float, b: float) -> None:
    mean, variance = stats.beta.stats(a, b)
    assert beta_from_moments(float(mean), float(variance)) == pytest.approx((a, b), rel=1e-6)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: exact_interval(3, 2), "not 3 of 2"),
        (lambda: exact_interval(0, 0), "1 to 9999"),
        (lambda: exact_interval(1, 2, 1.0), "the confidence"),
        (lambda: incomplete_beta(1.5, 1, 1), "between 0 and 1"),
        (lambda: incomplete_beta(0.5, 0, 1), "above 0 and up to 10000"),
        (lambda: beta_quantile(-0.1, 1, 1), "between 0 and 1"),
        (lambda: beta_from_moments(0.5, 0.3), "variance must lie between 0 and 0.25"),
    ],
)
def test_impossible_input_is_refused(call: Callable[[], object], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()
