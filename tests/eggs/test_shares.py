"""Beta quantiles, Jeffreys intervals, the next clutch, clutch effects, against scipy and printed values."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import special, stats

from advisor.eggs.shares import (
    beta_binomial_probability,
    beta_from_moments,
    beta_quantile,
    effective_eggs,
    exact_interval,
    incomplete_beta,
    jeffreys_interval,
    next_clutch,
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


# Worked values [own calculation of the project's fact sheet, checked here against scipy below]; printed to 3
# digits, so 0.0005 either way.
@pytest.mark.parametrize(
    ("males", "eggs", "mean", "low", "high"),
    [
        (0, 1, 0.250, 0, 0.853),
        (0, 15, 0.031, 0, 0.152),
        (3, 5, 0.583, 0.209, 0.906),
        (5, 10, 0.500, 0.224, 0.777),
        (8, 9, 0.850, 0.586, 0.988),
        (10, 16, 0.618, 0.383, 0.826),
        (16, 16, 0.971, 0.857, 1),
        (50, 100, 0.500, 0.403, 0.597),
    ],
)
def test_jeffreys_intervals(males: int, eggs: int, mean: float, low: float, high: float) -> None:
    # 5 of 10: the upper end is 0.77647, printed 0.777; so the tolerance is 0.0006 there as everywhere.
    found = jeffreys_interval(males, eggs)
    assert found.mean == pytest.approx(mean, abs=0.0006)
    assert found.low == pytest.approx(low, abs=0.0006)
    assert found.high == pytest.approx(high, abs=0.0006)
    if males not in (0, eggs):
        # scipy as referee: Brown, Cai & DasGupta 2001 define the ends as these quantiles.
        assert found.low == pytest.approx(stats.beta.ppf(0.025, males + 0.5, eggs - males + 0.5), abs=1e-9)
        assert found.high == pytest.approx(stats.beta.ppf(0.975, males + 0.5, eggs - males + 0.5), abs=1e-9)


@settings(max_examples=80)
@given(eggs=st.integers(1, 600), share=st.floats(0, 1), confidence=st.sampled_from([0.9, 0.95, 0.99]))
def test_exact_intervals_agree_with_scipy(eggs: int, share: float, confidence: float) -> None:
    males = round(share * eggs)
    referee = stats.binomtest(males, eggs).proportion_ci(confidence, "exact")
    assert exact_interval(males, eggs, confidence) == pytest.approx((referee.low, referee.high), abs=1e-9)


def test_the_upper_end_after_no_male_is_near_the_rule_of_three() -> None:
    # Rule of three: about 3/n; Jeffreys gives a little less (2.5 for large n: half the chi-squared quantile).
    assert 2.3 < 200 * jeffreys_interval(0, 200).high < 3.0


@pytest.mark.parametrize(
    ("males", "eggs", "following", "mean", "deviation", "low", "high"),
    [(10, 16, 20, 12.35, 3.12, 6, 18), (0, 15, 20, 0.62, None, 0, 4), (16, 16, 8, 7.76, None, 6, 8)],
)
def test_the_next_clutch(
    males: int, eggs: int, following: int, mean: float, deviation: float | None, low: int, high: int
) -> None:
    found = next_clutch(following, males + 0.5, eggs - males + 0.5)
    # Printed to 2 decimals; 0.625 is printed 0.62.
    assert found.mean == pytest.approx(mean, abs=0.0051)
    if deviation is not None:
        assert found.standard_deviation == pytest.approx(deviation, abs=0.005)
    assert (low, high) == (found.low, found.high)


def test_chances_of_one_sex_only() -> None:
    assert beta_binomial_probability(0, 20, 0.5, 15.5) == pytest.approx(0.658, abs=0.0005)
    assert beta_binomial_probability(8, 8, 16.5, 0.5) == pytest.approx(0.819, abs=0.0005)


@settings(max_examples=60, deadline=None)
@given(eggs=st.integers(1, 60), a=st.floats(0.05, 300), b=st.floats(0.05, 300))
def test_the_next_clutch_agrees_with_scipy(eggs: int, a: float, b: float) -> None:
    found = next_clutch(eggs, a, b)
    referee = stats.betabinom(eggs, a, b)
    assert found.mean == pytest.approx(referee.mean(), rel=1e-9)
    assert found.standard_deviation == pytest.approx(referee.std(), rel=1e-6)
    for males in {0, eggs // 2, eggs}:
        # 1e-9: both take differences of log-gammas.
        assert beta_binomial_probability(males, eggs, a, b) == pytest.approx(referee.pmf(males), abs=1e-9)
    # The definition of the two ends, with a hair for rounding.
    assert referee.cdf(found.low) >= 0.025 - 1e-9
    assert found.low == 0 or referee.cdf(found.low - 1) < 0.025 + 1e-9
    assert referee.cdf(found.high) >= 0.975 - 1e-9
    assert found.high == 0 or referee.cdf(found.high - 1) < 0.975 + 1e-9


def test_clutch_mates_count_for_less() -> None:
    # 10 of 16 eggs in clutches of 4 with rho 0.3: 8.42 eggs, 0.302 to 0.877 (worked value).
    eggs = effective_eggs(16, 4, 0.3)
    found = jeffreys_interval(10 * eggs / 16, eggs)
    assert eggs == pytest.approx(8.42, abs=0.005)
    assert found.low == pytest.approx(0.302, abs=0.0005)
    assert found.high == pytest.approx(0.877, abs=0.0005)


@given(eggs=st.floats(0, 1000), clutch=st.floats(1, 60))
def test_eggs_that_are_not_alike_all_count(eggs: float, clutch: float) -> None:
    assert effective_eggs(eggs, clutch, 0) == eggs
    assert effective_eggs(eggs, clutch, 1) == pytest.approx(eggs / clutch)


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
        (lambda: jeffreys_interval(5, 4), "males must lie between 0 and the number of eggs"),
        (lambda: jeffreys_interval(1, 4, 1.0), "confidence must lie between 0 and 1"),
        (lambda: next_clutch(0, 1, 1), "at least 1 egg"),
        (lambda: effective_eggs(10, 0, 0.1), "at least 1"),
        (lambda: effective_eggs(10, 4, 1.1), "between 0 and 1"),
        (lambda: beta_from_moments(0.5, 0.3), "variance must lie between 0 and 0.25"),
        (lambda: beta_binomial_probability(5, 4, 1, 1), "males must lie between 0"),
    ],
)
def test_impossible_input_is_refused(call, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()
