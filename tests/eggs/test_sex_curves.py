"""Curves of the share of males: every published or worked vector to 4 decimals, and the algebra of each form.

The vectors were worked out apart from this code, from the equations of the papers named in the docstrings. A
value printed to 4 decimals may be off by half a unit of the last.
"""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from advisor.eggs.sex_curves import (
    a_logistic_share,
    crossing,
    flexit_share,
    hill_share,
    logistic_share,
    transitional_range_of_logistic,
    two_sided_share,
)

HALF_UNIT = 0.00005 + 1e-9


@pytest.mark.parametrize(
    ("temperature", "share"),
    [(28, 0.9974), (28.5, 0.9697), (29, 0.7291), (29.2, 0.5), (29.4, 0.2709), (30, 0.0187)],
)
def test_logistic_vectors(temperature: float, share: float) -> None:
    assert logistic_share(temperature, 29.2, -0.202) == pytest.approx(share, abs=HALF_UNIT)


@pytest.mark.parametrize(("temperature", "share"), [(28, 0.9977), (29, 0.7298), (29.4, 0.2716), (30, 0.0197)])
def test_hill_vectors(temperature: float, share: float) -> None:
    assert hill_share(temperature, 29.2, -144.55) == pytest.approx(share, abs=HALF_UNIT)


@pytest.mark.parametrize(
    ("skew", "temperature", "share"),
    [
        (0.5, 28, 0.9966),
        (0.5, 29, 0.7017),
        (0.5, 29.2, 0.5),
        (0.5, 29.4, 0.3141),
        (0.5, 30, 0.0568),
        (-0.5, 28, 0.9977),
        (-0.5, 29, 0.7464),
        (-0.5, 29.4, 0.2351),
        (-0.5, 30, 0.0040),
    ],
)
def test_a_logistic_vectors(skew: float, temperature: float, share: float) -> None:
    assert a_logistic_share(temperature, 29.2, -0.202, skew) == pytest.approx(share, abs=HALF_UNIT)


FLEXIT = {
    (1, 1): ({27: 0.9608, 28: 0.8320, 29: 0.5, 30: 0.1680, 31: 0.0392}, 27.160, 30.840),
    (2, 0.5): (
        {27: 0.9796, 28: 0.8590, 28.5: 0.7014, 29.5: 0.3161, 30: 0.1821, 31: 0.0518},
        27.442,
        31.028,
    ),
    (0.5, 3): ({27: 0.9482, 28: 0.8179, 29.5: 0.2885, 30: 0.1166, 31: 0.0095}, 26.972, 30.363),
}


@pytest.mark.parametrize(("shapes", "vector"), FLEXIT.items())
def test_flexit_vectors_and_their_transitional_ranges(shapes, vector) -> None:
    shares, low, high = vector
    for temperature, share in shares.items():
        assert flexit_share(temperature, 29, -0.4, *shapes) == pytest.approx(share, abs=HALF_UNIT)

    def curve(temperature: float) -> float:
        return flexit_share(temperature, 29, -0.4, *shapes)

    # Limits printed to 3 decimals.
    assert crossing(curve, 0.95, 20, 29) == pytest.approx(low, abs=0.0005)
    assert crossing(curve, 0.05, 29, 40) == pytest.approx(high, abs=0.0005)


@pytest.mark.parametrize(
    ("temperature", "share"), [(22.5, 0.004), (24, 0.416), (25, 0.858), (27, 0.273), (28, 0.073)]
)
def test_two_sided_vectors(temperature: float, share: float) -> None:
    # Printed to 3 decimals.
    found = two_sided_share(temperature, 24.086, 0.291, 26.373, -0.639)
    assert found == pytest.approx(share, abs=0.0005)


@pytest.mark.parametrize(
    ("temperature", "share"),
    [(28, 0.008), (29, 0.061), (30, 0.339), (31, 0.788), (32, 0.862), (32.5, 0.750), (33, 0.55)],
)
def test_the_two_sided_curve_of_the_leopard_gecko(temperature: float, share: float) -> None:
    # Eublepharis macularius; parameters printed to 2 or 3 digits, so the shares carry up to 0.006 of
    # rounding.
    found = two_sided_share(temperature, 30.32, 0.484, 33.11, -0.535)
    assert found == pytest.approx(share, abs=0.006)


@pytest.mark.parametrize(
    ("temperature", "share"), [(27.1, 0.945), (28.5, 0.806), (29.9, 0.5), (31, 0.247), (32.9, 0.045)]
)
def test_the_olive_ridley_read_as_a_logistic(temperature: float, share: float) -> None:
    # Pivot 29.9 °C and limits 27.1 and 32.9 °C (Sandoval, Gomez-Munoz & Porta-Gandara, Herpetology Notes),
    # taken as 5 % and 95 %: S = -0.9849 K. Printed to 3 decimals.
    assert logistic_share(temperature, 29.9, -0.9849) == pytest.approx(share, abs=0.0005)


@pytest.mark.parametrize(
    ("width", "range_"), [(-0.202, 1.19), (-0.526, 3.10), (-0.462, 2.72), (-0.991, 5.83), (-0.109, 0.64)]
)
def test_transitional_ranges_of_logistic_fits(width: float, range_: float) -> None:
    # TRT_5 = 5.8889 |S| (Girondot 1999), printed to 2 decimals beside widths of 3 decimals: 0.003 + 0.005.
    assert transitional_range_of_logistic(width) == pytest.approx(range_, abs=0.008)


temperatures = st.floats(15, 45)
pivots = st.floats(24, 34)
widths = st.floats(0.05, 3)


@settings(max_examples=100)
@given(t=temperatures, p=pivots, w=widths, sign=st.sampled_from([1, -1]))
def test_special_cases_are_the_logistic(t: float, p: float, w: float, sign: int) -> None:
    plain = logistic_share(t, p, sign * w)
    assert a_logistic_share(t, p, sign * w, 0.0) == pytest.approx(plain, abs=1e-12)
    assert flexit_share(t, p, sign / (4 * w), 1, 1) == pytest.approx(plain, abs=1e-9)
    # With the other limb far away the product is the logistic.
    assert two_sided_share(t, -1000, 1, p, -w) == pytest.approx(logistic_share(t, p, -w), abs=1e-12)


@settings(max_examples=100)
@given(p=pivots, w=widths, k=st.floats(-2, 2), k1=st.floats(0.2, 4), k2=st.floats(0.2, 4))
def test_every_one_sided_form_is_half_at_its_pivot(
    p: float, w: float, k: float, k1: float, k2: float
) -> None:
    assert a_logistic_share(p, p, -w, k) == pytest.approx(0.5)
    assert hill_share(p, p, -p / w) == pytest.approx(0.5)
    assert flexit_share(p, p, -0.4, k1, k2) == pytest.approx(0.5)
    assert flexit_share(p - 1e-9, p, -0.4, k1, k2) == pytest.approx(0.5, abs=1e-8)


@settings(max_examples=60)
@given(p=pivots, slope=st.floats(-3, -0.05), k1=st.floats(0.2, 4), k2=st.floats(0.2, 4))
def test_the_flexit_slope_at_the_pivot_is_its_parameter(p: float, slope: float, k1: float, k2: float) -> None:
    step = 1e-6
    below = (flexit_share(p, p, slope, k1, k2) - flexit_share(p - step, p, slope, k1, k2)) / step
    above = (flexit_share(p + step, p, slope, k1, k2) - flexit_share(p, p, slope, k1, k2)) / step
    # A one-sided difference is off by half the step times the curvature, here under 1e-4.
    assert below == pytest.approx(slope, rel=1e-3)
    assert above == pytest.approx(slope, rel=1e-3)


@settings(max_examples=100)
@given(
    t=temperatures,
    p=pivots,
    w=widths,
    k=st.floats(-3, 3),
    k1=st.floats(-4, 6).filter(lambda v: abs(v) > 0.05),
)
def test_shares_stay_between_nought_and_one(t: float, p: float, w: float, k: float, k1: float) -> None:
    for share in (
        a_logistic_share(t, p, -w, k),
        hill_share(t, p, -p / w),
        flexit_share(t, p, -1 / w, k1, 1),
        two_sided_share(t, p, w, p + 2, -w, 0.9),
    ):
        assert 0 <= share <= 1


def test_averaging_over_an_uncertain_temperature() -> None:
    # Trachemys scripta, logistic 29.2 and -0.202: worked values, printed to 3 decimals.
    for mean, sd, expected in ((28.9, 0.3, 0.745), (28.9, 0.5, 0.688), (28.5, 0.5, 0.873)):
        averaged, _ = integrate.quad(
            lambda t, mean=mean, sd=sd: logistic_share(t, 29.2, -0.202) * stats.norm.pdf(t, mean, sd),
            mean - 6 * sd,
            mean + 6 * sd,
        )
        assert averaged == pytest.approx(expected, abs=0.0005)
    assert logistic_share(28.9, 29.2, -0.202) == pytest.approx(0.815, abs=0.0005)
    # The closed approximation S' = S sqrt(1 + pi sd^2/(8 S^2)).
    wider = -0.202 * math.sqrt(1 + math.pi * 0.5**2 / (8 * 0.202**2))
    assert logistic_share(28.9, 29.2, wider) == pytest.approx(0.691, abs=0.0005)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: logistic_share(28, 29, 0), "must not be 0"),
        (lambda: hill_share(0, 29, -100), "above 0 °C"),
        (lambda: a_logistic_share(28, 29, 0, 0), "must not be 0"),
        (lambda: a_logistic_share(28, 29, -1, 5), "between -50 and 50"),
        (lambda: flexit_share(28, 29, -1, 0, 1), "must not be 0"),
        (lambda: flexit_share(28, 29, -1, 60, 1), "between -50 and 50"),
        (lambda: two_sided_share(28, 24, -1, 29, -1), "above 0 K"),
        (lambda: two_sided_share(28, 24, 1, 29, -1, 1.2), "between 0 and 1"),
        (lambda: transitional_range_of_logistic(1, 0.6), "between 0 and 0.5"),
        (lambda: crossing(lambda t: 0.3, 0.5, 20, 30), "does not take the share 0.5"),
    ],
)
def test_impossible_input_is_refused(call, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()
