"""Constant temperature equivalents of two regular days in closed form, beside which the general rule is held."""

import math


def _check_swing(mean: float, half_range: float, threshold: float) -> None:
    if half_range < 0:
        raise ValueError(f"the half range must be at least 0 K, not {half_range:g}")
    if mean + half_range <= threshold:
        raise ValueError(f"the swing must rise above the threshold of {threshold:g} °C")


def sine_equivalent(mean: float, half_range: float, threshold: float) -> float:
    """Return the constant temperature equivalent of a sine day.

    Arguments: mean M [°C]; half_range R, half of the daily range [K], at least 0; threshold T0 of
    development [°C].
    Result: Tc [°C] with (M - T0) tc + R sin(tc) = (pi/2)(M - T0), Tc = M + R cos(tc); where the nights fall
    under T0, the right side is half of the development of the hours above it.
    Assumes a rate that is a straight line above T0 and 0 below; for small R about M + R^2/(M - T0).
    Errors: ValueError for R below 0 K or a day that stays under T0.
    Reference: Georges, Limpus & Stoutjesdijk 1994, J Exp Zool 270:432 (abstract seen; equations from memory).
    """
    _check_swing(mean, half_range, threshold)
    if half_range == 0:
        return mean
    step = mean - threshold
    end = math.pi if step >= half_range else math.acos(-step / half_range)
    target = (step * end + half_range * math.sin(end)) / 2
    low, high = 0.0, end
    for _ in range(60):
        middle = (low + high) / 2
        if step * middle + half_range * math.sin(middle) < target:
            low = middle
        else:
            high = middle
    return mean + half_range * math.cos((low + high) / 2)


def triangle_equivalent(mean: float, half_range: float, threshold: float) -> float:
    """Return the constant temperature equivalent of a day that rises and falls in straight lines.

    Arguments: mean M [°C]; half_range R [K], at least 0; threshold T0 [°C], at or below M - R.
    Result: T0 + sqrt((M - T0)^2 + R^2) [°C].
    Assumes a rate that is a straight line over the whole swing.
    Errors: ValueError for R below 0 K or nights under T0.
    Reference: derived from the definition of Georges et al. 1994 (median of T weighted by T - T0).
    """
    _check_swing(mean, half_range, threshold)
    if mean - half_range < threshold:
        raise ValueError(f"the swing must stay at or above the threshold of {threshold:g} °C")
    return threshold + math.hypot(mean - threshold, half_range)
