"""Likely ranges of computed figures: one input at a time to its low and high, combined in quadrature.

This is the law of propagation of uncertainty (JCGM 100:2008, 5.1.2) with differences in place of derivatives, kept
apart for rises and falls so that a lopsided input gives a lopsided range.
"""

import math
from collections.abc import Callable, Iterable, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from advisor.formulas.air.moist_air import NoSolution
from advisor.model.figures import Figure, Formula


class Uncertainty(Struct, frozen=True):
    """An input that is not known exactly: typical, low and high value, and how the keeper can find it out."""

    name: str
    typical: float
    low: float
    high: float
    find_out: str


class Spread(Struct, frozen=True):
    """A computed value with its likely low and high, and the input that widens the range most."""

    value: float
    low: float
    high: float
    matters_most: str


Model = Callable[[Mapping[str, float]], Mapping[str, float]]
Moved = Sequence[tuple[Uncertainty, Sequence[Mapping[str, float]]]]


def propagate(model: Model, inputs: Sequence[Uncertainty]) -> dict[str, Spread]:
    """Typical values and likely ranges of everything the model computes.

    model: from input values by name to results by name; it may raise `ValueError` at the typical values only for want
    of a solution. A single input whose low or high has no solution is passed over on that side.
    """
    middle, ends = moved(model, inputs)
    return combined(middle, ends)


def moved(model: Model, inputs: Sequence[Uncertainty]) -> tuple[dict[str, float], Moved]:
    """The results at the typical inputs, and those with each input at its low and at its high, as `propagate` takes them."""
    typical = {entry.name: entry.typical for entry in inputs}
    ends = []
    middle = dict(model(typical))
    for entry in inputs:
        found: list[Mapping[str, float]] = []
        for value in (entry.low, entry.high):
            if value == entry.typical:
                continue
            try:
                found.append(model({**typical, entry.name: value}))
            except NoSolution:
                continue
        ends.append((entry, tuple(found)))
    return middle, ends


def combined(
    middle: Mapping[str, float], ends: Iterable[tuple[Uncertainty, Sequence[Mapping[str, float]]]]
) -> dict[str, Spread]:
    """Likely ranges from the results at the typical inputs, and those with each input at its low and its high."""
    down = dict.fromkeys(middle, 0.0)
    up = dict.fromkeys(middle, 0.0)
    widest = {name: (0.0, "") for name in middle}
    for entry, results in ends:
        for name, value in middle.items():
            fall = rise = 0.0
            for result in results:
                difference = result.get(name, value) - value
                if -math.inf < difference < fall:
                    fall = difference
                elif rise < difference < math.inf:
                    rise = difference
            down[name] += fall**2
            up[name] += rise**2
            if rise - fall > widest[name][0]:
                widest[name] = (rise - fall, entry.find_out)
    return {
        name: Spread(value, value - math.sqrt(down[name]), value + math.sqrt(up[name]), widest[name][1])
        for name, value in middle.items()
    }


def opened(spread: Spread, factor: float, below: float, above: float) -> Spread:
    """The spread times a factor, with what a model leaves open in quadrature: below and above in the unit of the value."""
    value = factor * spread.value
    return replace(
        spread,
        value=value,
        low=value - math.hypot(factor * (spread.value - spread.low), below),
        high=value + math.hypot(factor * (spread.high - spread.value), above),
    )


def asking(spread: Spread, how: str) -> Spread:
    """The spread with what to do about the input that widens it most, where that does not say so itself.

    What names an entry of the plan in backticks, or says that nobody knows it, is told as it is.
    """
    what = spread.matters_most
    return replace(
        spread, matters_most=f"{what}: {how}" if what and "`" not in what and "nobody" not in what else what
    )


def figure(
    spread: Spread,
    quantity: str,
    basis: str,
    *formulas: Formula,
    least: float = -math.inf,
    most: float = math.inf,
) -> Figure:
    """A `Figure` from a propagated spread that formulas made, its ends kept between `least` and `most`."""
    return Figure(
        min(max(spread.value, least), most),
        min(max(spread.low, least), most),
        min(max(spread.high, least), most),
        quantity,
        basis,
        spread.matters_most,
        formulas,
    )


def around(
    value: float, error: float, quantity: str, basis: str, helps: str = "", least: float = -math.inf
) -> Figure:
    """A `Figure` with one error to both sides, its low end at `least` or above."""
    return Figure(value, max(value - error, least), value + error, quantity, basis, helps)


def widened(spread: Spread, below: float, above: float) -> Spread:
    """The spread with its ends at least `below` under and `above` over the value.

    For what a model leaves open however well its inputs are known; both in the unit of the value, 0 or more.
    """
    return replace(
        spread, low=min(spread.low, spread.value - below), high=max(spread.high, spread.value + above)
    )
