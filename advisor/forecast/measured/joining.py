"""A figure of the forecast joined with a measurement, and what is told of the two."""

import math
from collections.abc import Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from advisor.forecast.ranges import Moved, Spread
from advisor.formulas.measured.joining import AGREE, NORMAL, apart, factor_error, joined
from advisor.model.figures import Figure, Formula
from advisor.model.forecast import MeasuredAgainst

SENSOR = 0.29  # K, standard deviation of a thermometer known to ±0.5 K: 0.5/sqrt(3), JCGM 100, 4.3.7
CHECKED_SENSOR = 0.12  # K, of one whose ice point was read: ±0.2 K is left (common practice, no source)
NO_RANGE = 1e-6  # error of a forecast without a range: it never agrees with another number


class Estimate(Struct, frozen=True):
    """A measured value and its standard deviation: in logarithms for factors, in the unit of the value for the rest."""

    value: float
    error: float


class Narrowed(Struct, frozen=True):
    """A figure after a measurement, and the two beside each other."""

    figure: Figure
    against: MeasuredAgainst


def by_factor(forecast: Figure, measured: Estimate, path: str, what: str, *formulas: Formula) -> Narrowed:
    """A figure above 0 joined with a measurement in logarithms.

    forecast and measured in one unit; measured.error in logarithms; path of the plan entry, and what was measured. Whether
    the two agree is judged by the side of the forecast toward the measurement, where that is the wider one.
    """
    ours, theirs = math.log(forecast.value), math.log(measured.value)
    error = max(factor_error(forecast.low, forecast.value, forecast.high), NO_RANGE)
    side = forecast.high / forecast.value if theirs > ours else forecast.value / max(forecast.low, 1e-9)
    toward = max(error, math.log(side) / NORMAL) if forecast.low > 0.0 else error
    value, left = joined(ours, error, theirs, measured.error, toward)
    return _narrowed(
        forecast, measured.value, apart(ours, toward, theirs, measured.error), path, what, formulas,
        tuple(math.exp(value + side * NORMAL * left) for side in (-1, 0, 1)),
        tuple(math.exp(theirs + side * NORMAL * measured.error) for side in (-1, 0, 1)),
    )  # fmt: skip


def by_step(forecast: Figure, measured: Estimate, path: str, what: str, *formulas: Formula) -> Narrowed:
    """A figure of either sign joined with a measurement, both in one unit."""
    error = max((forecast.high - forecast.low) / (2.0 * NORMAL), NO_RANGE)
    up = measured.value > forecast.value
    side = forecast.high - forecast.value if up else forecast.value - forecast.low
    toward = max(error, side / NORMAL)
    value, left = joined(forecast.value, error, measured.value, measured.error, toward)
    return _narrowed(
        forecast, measured.value, apart(forecast.value, toward, measured.value, measured.error), path, what, formulas,
        tuple(value + side * NORMAL * left for side in (-1, 0, 1)),
        tuple(measured.value + side * NORMAL * measured.error for side in (-1, 0, 1)),
    )  # fmt: skip


def _narrowed(
    forecast: Figure,
    value: float,
    differs: float,
    path: str,
    what: str,
    formulas: tuple[Formula, ...],
    best: tuple[float, ...],
    alone: tuple[float, ...],
) -> Narrowed:
    low, middle, high = best
    basis = (
        f"{forecast.basis}, and as measured"
        if differs < AGREE
        else "as measured: the forecast does not agree"
    )
    figure = replace(
        forecast, value=middle, low=low, high=high, basis=basis, matters_most="", formulas=(*forecast.formulas, *formulas, joined)
    )  # fmt: skip
    measured = Figure(value, alone[0], alone[2], forecast.quantity, "as measured", formulas=formulas)
    return Narrowed(figure, MeasuredAgainst(path, what, measured, forecast, differs))


def through(
    middle: Mapping[str, float],
    ends: Moved,
    name: str,
    measured: Estimate,
    agrees: bool,
    logs: frozenset[str],
) -> dict[str, Spread]:
    """All results of a model of which one was measured: each moves and narrows as far as it hangs on the same inputs.

    middle, ends: as `ranges.moved` gives them; `name` is the result that was measured, above 0 and taken in logarithms as
    those in `logs` are. Where the two agree the inputs share the misfit by their variances; else they carry all of it.
    Reference: linear update of correlated values (Gauss-Markov), with differences in place of derivatives.
    """

    def scale(result: str, value: float) -> float:
        return math.log(value) if result in logs or result == name else value

    def steps(result: str) -> list[float]:
        found = ([scale(result, one[result]) for one in results] for _, results in ends)
        here = scale(result, middle[result])
        return [(max(here, *one) - min(here, *one)) / 2.0 * _sign(one) for one in found if one]

    own, error = steps(name), NORMAL * measured.error
    variance = sum(step**2 for step in own)
    misfit = math.log(measured.value) - scale(name, middle[name])
    told = {}
    for result in middle:
        theirs = steps(result)
        shared = sum(one * other for one, other in zip(own, theirs, strict=True))
        gain = shared / (variance + error**2 if agrees else variance)
        left = sum(step**2 for step in theirs) - (
            gain * shared if agrees else gain * (shared - gain * error**2)
        )
        value, half = scale(result, middle[result]) + gain * misfit, math.sqrt(max(left, 0.0))
        low, value, high = value - half, value, value + half
        if result in logs or result == name:
            low, value, high = math.exp(low), math.exp(value), math.exp(high)
        told[result] = Spread(value, low, high, "")
    return told


def _sign(ends: Sequence[float]) -> float:
    """Whether a result rises or falls from the low end of an input to its high end."""
    return 1.0 if ends[-1] >= ends[0] else -1.0
