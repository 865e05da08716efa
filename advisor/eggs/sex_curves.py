"""Published curves of the expected share of males against constant temperature.

T is the temperature of the egg [°C], P the pivotal temperature [°C] where the share is 0.5, S a width [K]
(or, in the flexit curve, the slope at P [1/K]). S below 0 means that warm eggs give females.
"""

import math
from collections.abc import Callable
from typing import Final

ShareCurve = Callable[[float], float]

LARGEST_SHAPE: Final = 50.0
"""Largest shape of the skewed curves accepted [dimensionless]; fits give a few (judgement)."""


def _raised_logistic(exponent: float) -> float:
    """1/(1 + exp(exponent)) without overflow."""
    if exponent > 0:
        small = math.exp(-exponent)
        return small / (1 + small)
    return 1 / (1 + math.exp(exponent))


def _skewed_logistic(exponent: float, power: float) -> float:
    """(1 + (2^power - 1) exp(exponent))^(-1/power), 0.5 at exponent 0, without overflow."""
    if power == 0 or abs(power) > LARGEST_SHAPE:
        raise ValueError(f"a shape must lie between -{LARGEST_SHAPE:g} and {LARGEST_SHAPE:g} and not be 0")
    factor = 2.0**power - 1
    if power > 0 and exponent > 100:
        # The 1 no longer counts beside factor * exp(exponent).
        return math.exp(-(exponent + math.log(factor)) / power)
    base = 1 + factor * math.exp(min(exponent, 100.0))
    # A negative power makes factor negative: past the zero of the base the share is zero.
    return 0.0 if base <= 0 else float(base ** (-1 / power))


def logistic_share(temperature: float, pivotal: float, width: float) -> float:
    """Return the share of males of the logistic curve.

    Arguments: temperature T [°C]; pivotal P [°C]; width S [K], not 0, below 0 when warm gives females.
    Result: 1/(1 + exp((P - T)/S)) [share].
    Assumes constant temperature through the sensitive part of development.
    Errors: ValueError when width is 0.
    Reference: Girondot 1999, Evol Ecol Res 1:479 (equation from memory).
    """
    if width == 0:
        raise ValueError("the width S must not be 0 K")
    return _raised_logistic((pivotal - temperature) / width)


def hill_share(temperature: float, pivotal: float, slope: float) -> float:
    """Return the share of males of the Hill curve.

    Arguments: temperature T [°C], above 0; pivotal P [°C], above 0; slope S [dimensionless], below 0 when
    warm gives females.
    Result: 1/(1 + (P/T)^S) [share].
    Errors: ValueError when a temperature is not above 0 °C.
    Reference: Godfrey, Delmas & Girondot 2003, Ecoscience 10:265 (abstract seen, equation from memory).
    """
    if temperature <= 0 or pivotal <= 0:
        raise ValueError("the Hill curve needs temperatures above 0 °C")
    return _raised_logistic(slope * math.log(pivotal / temperature))


def a_logistic_share(temperature: float, pivotal: float, width: float, skew: float) -> float:
    """Return the share of males of the A-logistic (Richards) curve.

    Arguments: temperature T [°C]; pivotal P [°C]; width S [K], not 0; skew K [dimensionless], 0 for the
    logistic.
    Result: (1 + (2^(e^K) - 1) exp((P - T)/S))^(-1/e^K) [share].
    Errors: ValueError when width is 0.
    Reference: Godfrey, Delmas & Girondot 2003, Ecoscience 10:265 (equation from memory).
    """
    if width == 0:
        raise ValueError("the width S must not be 0 K")
    return _skewed_logistic((pivotal - temperature) / width, math.exp(skew))


def flexit_share(
    temperature: float, pivotal: float, slope: float, cool_shape: float, warm_shape: float
) -> float:
    """Return the share of males of the flexit curve, whose two shoulders are shaped apart.

    Arguments: temperature T [°C]; pivotal P [°C]; slope S of the share at P [1/K], below 0 when warm gives
    females; cool_shape K1 and warm_shape K2 [dimensionless], not 0, both 1 for the logistic.
    Result: share; below P (1 + (2^K1 - 1) exp(4 S1 (P - T)))^(-1/K1), from P up 1 minus the same with K2, S2
    and T - P, with Si = 2^(Ki - 1) S Ki/(2^Ki - 1).
    Errors: ValueError when a shape is 0.
    Reference: Abreu-Grobois et al. 2020, PeerJ 8:e8451 (abstract seen, equation from memory; 0.5 and slope S
    at P checked).
    """
    shape = cool_shape if temperature < pivotal else warm_shape
    if shape == 0:
        raise ValueError("the shapes K1 and K2 must not be 0")
    if abs(shape) > LARGEST_SHAPE:
        raise ValueError(f"the shapes K1 and K2 must lie between -{LARGEST_SHAPE:g} and {LARGEST_SHAPE:g}")
    scaled = 2 ** (shape - 1) * slope * shape / (2.0**shape - 1)
    side = _skewed_logistic(4 * scaled * abs(pivotal - temperature), shape)
    return side if temperature < pivotal else 1 - side


def two_sided_share(
    temperature: float,
    low_pivotal: float,
    low_width: float,
    high_pivotal: float,
    high_width: float,
    greatest: float = 1.0,
) -> float:
    """Return the share of males of the two-sided curve: females from cool and from hot eggs, males between.

    Arguments: temperature T [°C]; low_pivotal and high_pivotal [°C]; low_width [K], above 0; high_width [K],
    below 0; greatest share pmax [0 to 1].
    Result: pmax F(T; low) F(T; high), the product of a rising and a falling logistic [share].
    Assumes nothing on how far apart the limbs are; the pivots are true 0.5 points only when they lie more
    than about 1.5 transitional ranges apart. (The difference of two logistics can go below 0 and is not
    used.)
    Errors: ValueError for widths of the wrong sign or a greatest share outside 0 to 1.
    Reference: usual form for pattern II (from memory).
    """
    if low_width <= 0 or high_width >= 0:
        raise ValueError("the low width must be above 0 K and the high width below 0 K")
    if not 0 <= greatest <= 1:
        raise ValueError(f"the greatest share must lie between 0 and 1, not {greatest:g}")
    rising = logistic_share(temperature, low_pivotal, low_width)
    return greatest * rising * logistic_share(temperature, high_pivotal, high_width)


def transitional_range_of_logistic(width: float, limit: float = 0.05) -> float:
    """Return the width of the band of temperatures that give both sexes, for the logistic curve.

    Arguments: width S [K]; limit L, the share taken as none [above 0, below 0.5].
    Result: |S| 2 ln((1 - L)/L) [K], 5.8889 |S| for L = 0.05.
    Errors: ValueError for a limit outside 0 to 0.5.
    Reference: Girondot 1999, Evol Ecol Res 1:479 (from memory).
    """
    if not 0 < limit < 0.5:
        raise ValueError(f"the limit must lie between 0 and 0.5, not {limit:g}")
    return abs(width) * 2 * math.log((1 - limit) / limit)


def crossing(curve: ShareCurve, share: float, below: float, above: float) -> float:
    """Return the temperature between two bounds at which a one-sided curve takes a share.

    Arguments: curve, share of males at a temperature [°C]; share wanted [0 to 1]; below and above [°C],
    bounds on whose two sides the curve lies above and under that share.
    Result: temperature [°C], by halving the bracket to 1e-9 K.
    Errors: ValueError when the curve does not cross the share between the bounds.
    Reference: bisection (derived).
    """
    left, right = curve(below) - share, curve(above) - share
    if left * right > 0:
        raise ValueError(f"the curve does not take the share {share:g} between {below:g} and {above:g} °C")
    while above - below > 1e-9:
        middle = (below + above) / 2
        if (curve(middle) - share) * left > 0:
            below = middle
        else:
            above = middle
    return (below + above) / 2
