"""Incubation length to expect at a temperature, with its likely range, from a species' points."""

import math
from collections.abc import Sequence
from typing import Final

from advisor.eggs.development_fit import (
    DevelopmentCurve,
    DurationPoint,
    FormName,
    Kind,
    curve_variance,
    fit_development,
    log_days,
)
from advisor.eggs.no_data import NoData, no_data_at
from advisor.frozen import dataclass

__all__ = [
    "DurationPoint",
    "IncubationLength",
    "NoData",
    "Pause",
    "evidence_for",
    "fit_development",
    "length_from_curve",
    "predicted_days",
]

MARGIN: Final = 0.5
"""How far past the data a length is still given [K] (judgement: about the error of a home thermometer)."""

SINGLE_REACH: Final = 1.0
"""How far from the only temperature, or from the middle of points less than 1 K apart, a length is still
given [K]; the slope then is that of other species (judgement: 1 K is 5 to 11 % of the days)."""

RANGE_FACTOR: Final = 2.1
"""Standard deviations in half a 95 % range [dimensionless]: a little over 1.96, since the spread itself is
known from few studies (judgement, chosen so that the ranges held for at least 90 % of studies left out)."""

LEAST_HALF_RANGE: Final = 0.08
"""Smallest half range as a share of the days (laboratories and populations differ by 5 to 10 %; fits to 72
species of Noble et al. 2018, Scientific Data 5:180138; derived)."""

LADDER: Final[tuple[tuple[Kind, ...], ...]] = (
    ("published",),
    ("published", "from memory"),
    ("published", "from memory", "common practice"),
)
"""Evidence tried in turn: weaker points come in only where the stronger ones do not reach."""


@dataclass(frozen=True, slots=True)
class Pause:
    """How long embryos rest before they develop [days]: low and high end of the likely range."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class IncubationLength:
    """Days from laying to hatching at one temperature.

    days, the typical value, and low and high, its 95 % range [days], pause included; temperature [°C];
    evidence, the weakest kind of point used; form of the curve; error, its mean leave-one-out error as a
    share of the days, or None; points and studies used; one_temperature is True when all points lie within
    less than 1 K and the slope is borrowed from other species; pause as given.
    """

    days: float
    low: float
    high: float
    temperature: float
    evidence: Kind
    form: FormName
    error: float | None
    points: int
    studies: int
    one_temperature: bool
    pause: Pause | None


def _outside(points: Sequence[DurationPoint], temperature: float) -> NoData | None:
    temperatures = tuple(point.temperature for point in points)
    reach = max(MARGIN, SINGLE_REACH - _span(temperatures) / 2)
    return no_data_at(temperature, temperatures, reach, reach)


def _span(temperatures: Sequence[float]) -> float:
    return max(temperatures, default=0.0) - min(temperatures, default=0.0)


def evidence_for(points: Sequence[DurationPoint], temperature: float) -> tuple[DurationPoint, ...] | NoData:
    """Return the points to use at a temperature: published ones where they reach, else weaker ones with them.

    Arguments: points of one species; temperature [°C].
    Result: the points of the first rung of LADDER that reaches the temperature, else NoData.
    Assumes that practice figures are worth less than any published one that covers the temperature.
    Reference: judgement (see LADDER).
    """
    outside = no_data_at(temperature, (), 0.0, 0.0)
    for kinds in LADDER:
        chosen = tuple(point for point in points if point.kind in kinds)
        outside = _outside(chosen, temperature)
        if outside is None:
            return chosen
    assert outside is not None
    return outside


def _weakest(points: Sequence[DurationPoint]) -> Kind:
    order: tuple[Kind, ...] = LADDER[-1]
    return max((point.kind for point in points), key=order.index)


def length_from_curve(
    curve: DevelopmentCurve, temperature: float, temperature_error: float = 0.0
) -> tuple[float, float, float]:
    """Return the days and their 95 % range from a fitted curve, without asking how far the data reach.

    Arguments: curve; temperature [°C]; temperature_error, standard deviation of the temperature [K].
    Result: (days, low, high) [days]; the range is symmetric in ln(days).
    Half range of ln(days): the largest of 2.1 standard deviations (curve, study, temperature error in
    quadrature), twice the leave-one-out error, and 8 %.
    Errors: ValueError for a temperature error outside 0 to 5 K.
    Reference: law of propagation, JCGM 100 (from memory); the floor is explained at LEAST_HALF_RANGE.
    """
    if not 0 <= temperature_error <= 5:
        raise ValueError(f"the temperature error must lie between 0 and 5 K, not {temperature_error:g}")
    centre, _ = log_days(curve.form, curve.parameters, temperature)
    variance = curve_variance(curve, temperature) + curve.spread**2
    if temperature_error:
        step = 0.1
        warmer, _ = log_days(curve.form, curve.parameters, temperature + step)
        colder, _ = log_days(curve.form, curve.parameters, temperature - step)
        variance += ((warmer - colder) / (2 * step) * temperature_error) ** 2
    half = max(RANGE_FACTOR * math.sqrt(variance), 2 * (curve.error or 0.0), LEAST_HALF_RANGE)
    return math.exp(centre), math.exp(centre - half), math.exp(centre + half)


def predicted_days(
    points: Sequence[DurationPoint],
    temperature: float,
    pause: Pause | None = None,
    temperature_error: float = 0.0,
) -> IncubationLength | NoData:
    """Return the incubation length to expect at a constant temperature.

    Arguments: points of one species, days from laying without any pause [days]; temperature of the eggs
    [°C]; pause, the days that embryos rest first, or None; temperature_error, standard deviation of the
    temperature [K].
    Result: IncubationLength, or NoData more than 0.5 K outside the data (1 K around a single temperature,
    also when its points lie a little apart).
    Assumes one constant temperature; in the straight part a swing round it changes nothing, else see
    development_swings. The range holds for the mean of a clutch in another laboratory or home; single eggs
    scatter 1 to 5 % more.
    Errors: ValueError for bad points, a pause that is not 0 <= low <= high, or a temperature error over 5 K.
    Reference: see development_fit; ranges of pause and development are combined in quadrature (JCGM 100).
    """
    if pause is not None and not 0 <= pause.low <= pause.high:
        raise ValueError(f"a pause must have 0 <= low <= high, not {pause.low:g} to {pause.high:g} days")
    used = evidence_for(points, temperature)
    if isinstance(used, NoData):
        return used
    curve = fit_development(used)
    days, low, high = length_from_curve(curve, temperature, temperature_error)
    if pause is not None:
        rest, half = (pause.low + pause.high) / 2, (pause.high - pause.low) / 2
        low, high = days - math.hypot(days - low, half) + rest, days + math.hypot(high - days, half) + rest
        days += rest
    return IncubationLength(
        days=days,
        low=low,
        high=high,
        temperature=temperature,
        evidence=_weakest(used),
        form=curve.form,
        error=curve.error,
        points=len(used),
        studies=curve.studies,
        one_temperature=_span(curve.temperatures) < SINGLE_REACH,
        pause=pause,
    )
