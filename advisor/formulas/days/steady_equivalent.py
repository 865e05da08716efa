"""Days observed under a daily swing, as days at the constant temperature that develops eggs as fast."""

import math
from collections.abc import Sequence

from msgspec.structs import replace

from advisor.formulas.days.fit import DevelopmentCurve, fit_development
from advisor.formulas.days.points import DurationPoint
from advisor.formulas.days.rate_curves import check_temperature
from advisor.formulas.days.swings import development_rate, mean_rate, swing_temperatures

# Widest daily swing whose days are used, coldest to warmest [K]: up to it days at a swing lay -1 to +8 % off those
# at the constant mean in nine published pairs (judgement on Du & Ji 2006, Li et al. 2013, Lowenborg et al. 2012 and
# others in the data of Noble et al. 2018).
WIDEST_SWING = 12.0
# Further standard deviation of the days at a swing of 8 K, in proportion at others [share]: rates add up to within
# 5 % of what was observed (judgement on the same pairs).
SWING_SPREAD = 0.025
_STEP = 0.05


def steady_temperature(curve: DevelopmentCurve, mean: float, swing: float) -> float:
    """Return the constant temperature at which eggs develop as fast as under a daily swing.

    Arguments: curve; mean [°C]; swing, coldest to warmest of the day [K], at least 0.
    Result: temperature [°C] within half a swing of the mean, the nearest of several, to 0.05 K.
    Assumes a sine day that the eggs follow, and rates that add up (see development_swings). It is not the
    equivalent for sex, which follows the median of development and not its mean.
    Errors: ValueError for a swing below 0 K or a mean outside -20 to 70 °C.
    Reference: rate(T) = mean of rate over the day (derived).
    """
    check_temperature(mean)
    rate = mean_rate(lambda at: development_rate(curve, at), swing_temperatures(mean, swing / 2))
    steps = range(math.ceil(swing / 2 / _STEP) + 1)
    candidates = [mean + sign * step * _STEP for step in steps for sign in (1, -1)]
    # The nearest temperature at which the rate is passed; on a straight line it is the mean itself.
    missed = development_rate(curve, mean) - rate
    for at in candidates:
        if abs(missed) < 1e-6 * rate or (development_rate(curve, at) - rate) * missed <= 0:
            return at
    return mean


def steady_points(points: Sequence[DurationPoint]) -> tuple[DurationPoint, ...]:
    """Return the points of a species with each daily swing turned into its constant temperature.

    Arguments: points of one species, some with a swing [K].
    Result: steady points as they are; points with swings up to 12 K at their equivalent temperature, their
    `spread` raised by the whole correction and by what rate summation misses; wider swings are left out.
    Assumes the curve of the species' steady points; where there are none, that of the others at their means.
    Errors: ValueError for impossible points.
    Reference: accumulated development (Georges et al. 2005, Physiol Biochem Zool 78:18, from memory).
    """
    usable = [point for point in points if point.swing <= WIDEST_SWING]
    steady = [point for point in usable if not point.swing]
    if len(steady) == len(usable):
        return tuple(steady)
    curve = fit_development(steady or usable)
    found = []
    for point in usable:
        if not point.swing:
            found.append(point)
            continue
        at = steady_temperature(curve, point.temperature, point.swing)
        rates = [development_rate(curve, temperature) for temperature in (at, point.temperature)]
        moved = math.log(rates[0] / rates[1]) if min(rates) > 0 else 0.0
        spread = math.hypot(moved, SWING_SPREAD * point.swing / 8)
        found.append(replace(point, temperature=at, spread=spread))
    return tuple(found)
