"""Likely ranges of computed figures: one input at a time to its low and high, combined in quadrature.

This is the law of propagation of uncertainty (JCGM 100:2008, 5.1.2) with differences in place of derivatives, kept
apart for rises and falls so that a lopsided input gives a lopsided range.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from advisor.frozen import dataclass
from advisor.model.figures import Figure


@dataclass(frozen=True, slots=True)
class Uncertainty:
    """An input that is not known exactly: typical, low and high value, and how the keeper can find it out."""

    name: str
    typical: float
    low: float
    high: float
    find_out: str


@dataclass(frozen=True, slots=True)
class Spread:
    """A computed value with its likely low and high, and the input that widens the range most."""

    value: float
    low: float
    high: float
    matters_most: str


Model = Callable[[Mapping[str, float]], Mapping[str, float]]


def propagate(model: Model, inputs: Sequence[Uncertainty]) -> dict[str, Spread]:
    """Typical values and likely ranges of everything the model computes.

    model: from input values by name to results by name; it may raise `ValueError` at the typical values only for want
    of a solution. A single input whose low or high has no solution is passed over on that side.
    """
    typical = {entry.name: entry.typical for entry in inputs}
    middle = dict(model(typical))
    down = dict.fromkeys(middle, 0.0)
    up = dict.fromkeys(middle, 0.0)
    widest = {name: (0.0, "") for name in middle}
    for entry in inputs:
        moved: dict[str, list[float]] = {name: [0.0] for name in middle}
        for value in (entry.low, entry.high):
            if value == entry.typical:
                continue
            try:
                results = model({**typical, entry.name: value})
            except ValueError:
                continue
            for name, result in results.items():
                if name in middle and math.isfinite(result) and math.isfinite(middle[name]):
                    moved[name].append(result - middle[name])
        for name, differences in moved.items():
            fall, rise = min(differences), max(differences)
            down[name] += fall**2
            up[name] += rise**2
            if rise - fall > widest[name][0]:
                widest[name] = (rise - fall, entry.find_out)
    return {
        name: Spread(value, value - math.sqrt(down[name]), value + math.sqrt(up[name]), widest[name][1])
        for name, value in middle.items()
    }


def figure(
    spread: Spread, quantity: str, basis: str, least: float = -math.inf, most: float = math.inf
) -> Figure:
    """A `Figure` from a propagated spread, its ends kept between `least` and `most`."""
    return Figure(
        min(max(spread.value, least), most),
        min(max(spread.low, least), most),
        min(max(spread.high, least), most),
        quantity,
        basis,
        spread.matters_most,
    )


def widened(spread: Spread, below: float, above: float) -> Spread:
    """The spread with its ends at least `below` under and `above` over the value.

    For what a model leaves open however well its inputs are known; both in the unit of the value, 0 or more.
    """
    return replace(
        spread, low=min(spread.low, spread.value - below), high=max(spread.high, spread.value + above)
    )
