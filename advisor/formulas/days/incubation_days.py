"""Incubation length to expect at a temperature, with its likely range, from a species' points."""

import math
from collections.abc import Sequence

from msgspec import Struct

from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.days.fit import (
    DevelopmentCurve,
    fit_development,
    log_days_of,
    new_study_variance,
    slope_of,
)
from advisor.formulas.days.points import DurationPoint, Kind
from advisor.formulas.numerics.no_data import NoData, no_data_at

MARGIN = 0.5  # How far past the data a length is still given [K] (judgement: about the error of a home thermometer).
# How far from the only temperature, or from the middle of points less than 1 K apart, a length is still given [K];
# the slope then is that of other species (judgement: 1 K is 5 to 11 % of the days).
SINGLE_REACH = 1.0
RANGE_FACTOR = 1.96  # Standard deviations in half a 95 % range of a normal distribution [dimensionless].

# Evidence tried in turn, kinds and whether daily swings count: weaker points come in only where the stronger ones
# do not reach.
LADDER: tuple[tuple[tuple[Kind, ...], bool], ...] = (
    (("published",), False),
    (("published",), True),
    (("published", "from memory"), True),
    (("published", "from memory", "common practice"), True),
)


class IncubationLength(Struct, frozen=True):
    """Days from laying to hatching at one temperature.

    days, the typical value, and low and high, its 95 % range [days], of development alone; evidence, the
    weakest kind of point used; points used; swings, how many of them were seen at a daily swing; one_temperature is
    True when all points lie within less than 1 K and the slope is borrowed from other species.
    """

    days: float
    low: float
    high: float
    evidence: Kind
    points: int
    swings: int
    one_temperature: bool


def _outside(points: Sequence[DurationPoint], temperature: float) -> NoData | None:
    temperatures = tuple(point.temperature for point in points)
    reach = max(MARGIN, SINGLE_REACH - _span(temperatures) / 2)
    return no_data_at(temperature, temperatures, reach, reach)


def _span(temperatures: Sequence[float]) -> float:
    return max(temperatures, default=0.0) - min(temperatures, default=0.0)


def evidence_for(points: Sequence[DurationPoint], temperature: float) -> tuple[DurationPoint, ...] | NoData:
    """Return the points to use at a temperature: published ones where they reach, else weaker ones with them.

    Arguments: points of one species; temperature [°C].
    Result: the points of the first rung of LADDER that reaches the temperature, and with them every clutch that a keeper
    logged; else NoData.
    Assumes that practice figures are worth less than any published one that covers the temperature, and days
    at a daily swing less than days at a steady temperature.
    Reference: judgement (see LADDER).
    """
    outside = no_data_at(temperature, (), 0.0, 0.0)
    for kinds, swings in LADDER:
        chosen = tuple(point for point in points if point.kind in kinds and (swings or not point.swing))
        outside = _outside(chosen, temperature)
        if outside is None:
            return tuple(point for point in points if point in chosen or point.logged)
    assert outside is not None
    return outside


def _weakest(points: Sequence[DurationPoint]) -> Kind:
    order: tuple[Kind, ...] = LADDER[-1][0]
    told = [point.kind for point in points if not point.logged]  # a clutch that was logged weakens nothing
    return max(told, key=order.index, default="common practice")


def length_from_curve(
    curve: DevelopmentCurve, temperature: float, temperature_error: float = 0.0
) -> tuple[float, float, float]:
    """Return the days and their 95 % range from a fitted curve, without asking how far the data reach.

    Arguments: curve; temperature [°C]; temperature_error, standard deviation of the temperature [K].
    Result: (days, low, high) [days]; the range is symmetric in ln(days).
    Half range of ln(days): 1.96 standard deviations of a study not yet seen, the temperature error in
    quadrature.
    Errors: ValueError for a temperature error outside 0 to 5 K.
    Reference: law of propagation, JCGM 100 (from memory).
    """
    if not 0 <= temperature_error <= 5:
        raise NoSolution(f"the temperature error must lie between 0 and 5 K, not {temperature_error:g}")
    centre = log_days_of(curve, temperature)
    variance = (
        new_study_variance(curve, temperature) + (slope_of(curve, temperature) * temperature_error) ** 2
    )
    half = RANGE_FACTOR * math.sqrt(variance)
    return math.exp(centre), math.exp(centre - half), math.exp(centre + half)


def predicted_days(
    points: Sequence[DurationPoint], temperature: float, temperature_error: float = 0.0
) -> IncubationLength | NoData:
    """Return the incubation length to expect at a constant temperature.

    Arguments: points of one species, days from laying without any pause [days]; temperature of the eggs
    [°C]; temperature_error, standard deviation of the temperature [K].
    Result: IncubationLength, or NoData more than 0.5 K outside the data (1 K around a single temperature,
    also when its points lie a little apart).
    Assumes one constant temperature; in the straight part a swing round it changes nothing, else see
    development_swings. The range holds for the mean of a clutch in another laboratory or home; single eggs
    scatter 1 to 5 % more.
    Errors: ValueError for bad points or a temperature error over 5 K.
    Reference: see development_fit.
    """
    used = evidence_for(points, temperature)
    if isinstance(used, NoData):
        return used
    curve = fit_development(used)
    days, low, high = length_from_curve(curve, temperature, temperature_error)
    return IncubationLength(
        days=days,
        low=low,
        high=high,
        evidence=_weakest(used),
        points=len(used),
        swings=sum(point.swing > 0 for point in used),
        one_temperature=_span(curve.temperatures) < SINGLE_REACH,
    )
