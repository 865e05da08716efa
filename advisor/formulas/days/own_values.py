"""A fitted curve of days moved as little as lets it pass between a species' own values.

A curve is fitted to all temperatures at once, so that studies which disagree far off can push it past every
study at one temperature. There it is brought back to the nearest value that was observed.
"""

import itertools
import math
from collections.abc import Sequence

from msgspec import Struct

from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.days.forms import FormName, log_days
from advisor.formulas.days.points import DurationPoint

SAME = 0.25  # Temperatures this close count as one [K]: half the error of a home thermometer (judgement).


class ObservedSpan(Struct, frozen=True):
    """Least and greatest ln(days) observed at one temperature, and whether several studies measured there."""

    low: float
    high: float
    several: bool


class Node(Struct, frozen=True):
    """A temperature with own values [°C]: ln(days) of the plain curve, and of the curve that was moved."""

    temperature: float
    plain: float
    moved: float


def own_band(points: Sequence[DurationPoint], temperature: float) -> ObservedSpan:
    """Return the least and the greatest days observed at a temperature.

    Arguments: points, one of them within 0.25 K; temperature [°C].
    Result: Band of ln(days/1 day), over the values there with the ranges that their sources state.
    Errors: ValueError when no point lies within 0.25 K.
    Reference: judgement.
    """
    here = [point for point in points if abs(point.temperature - temperature) <= SAME + 1e-9]
    if not here:
        raise NoSolution(f"no point lies within {SAME:g} K of {temperature:g} °C")
    # What turning a swing into a constant temperature leaves open counts as a stated range.
    low = min(math.log(point.low or point.days) - 2 * point.spread for point in here)
    high = max(math.log(point.high or point.days) + 2 * point.spread for point in here)
    return ObservedSpan(low, high, len({point.study for point in here}) > 1)


def in_order(bands: Sequence[ObservedSpan]) -> list[ObservedSpan]:
    """Return bands that a sequence which never rises can pass through.

    Arguments: bands, from cold to warm. Where a warmer one lies wholly above a colder one, their studies
    contradict each other: a single study gives way to several, else they meet half-way.
    Result: bands whose ends never rise from cold to warm.
    Reference: derived (a falling value that is cut to such bands still falls).
    """
    lows, highs = [band.low for band in bands], [band.high for band in bands]
    pairs = list(itertools.combinations(range(len(bands)), 2))
    for i, j in pairs:
        if bands[i].several and not bands[j].several:
            lows[j] = min(lows[j], highs[i])
        elif bands[j].several and not bands[i].several:
            highs[i] = max(highs[i], lows[j])
    halves = {(i, j): (highs[i] + lows[j]) / 2 for i, j in pairs if highs[i] < lows[j]}
    for (i, j), half in halves.items():
        highs[i], lows[j] = max(highs[i], half), min(lows[j], half)
    lows = list(itertools.accumulate(reversed(lows), max))[::-1]
    highs = list(itertools.accumulate(highs, min))
    return [ObservedSpan(low, high, band.several) for low, high, band in zip(lows, highs, bands, strict=True)]


def own_nodes(
    form: FormName, parameters: Sequence[float], points: Sequence[DurationPoint]
) -> tuple[Node, ...]:
    """Return where a fitted curve has to pass at each temperature that has own values.

    Arguments: form and parameters, as `development_forms.log_days` reads them; points.
    Result: one Node a temperature, coldest first; warmer stays no slower up to the peak of the curve.
    Reference: judgement.
    """
    temperatures = sorted({point.temperature for point in points})
    bands = [own_band(points, temperature) for temperature in temperatures]
    rising = sum(temperature <= _peak(form, parameters) for temperature in temperatures)
    bands = in_order(bands[:rising]) + bands[rising:]
    nodes = []
    for temperature, band in zip(temperatures, bands, strict=True):
        plain = log_days(form, parameters, temperature)[0]
        nodes.append(Node(temperature, plain, min(max(plain, band.low), band.high)))
    return tuple(nodes)


def _peak(form: FormName, parameters: Sequence[float]) -> float:
    return parameters[2] if form == "Dallwitz-Higgins curve" else math.inf


def move_at(nodes: Sequence[Node], form: FormName, parameters: Sequence[float], temperature: float) -> float:
    """Return how far the curve is moved at a temperature, in ln(days).

    Arguments: nodes from own_nodes; form and parameters of the curve; temperature [°C].
    Result: the move of the outermost node outside them; between two nodes a mean of theirs, weighted by how
    much of the way between them the plain curve has gone, so that its order is kept. A node past the peak of the
    curve moves nothing on this side of it: there warmer stays no slower.
    Reference: derived.
    """
    if temperature <= nodes[0].temperature:
        return nodes[0].moved - nodes[0].plain
    for cold, warm in itertools.pairwise(nodes):
        if temperature <= warm.temperature:
            step = warm.plain - cold.plain
            peak = _peak(form, parameters)
            if cold.temperature <= peak < warm.temperature:
                share = max(temperature - peak, 0.0) / (warm.temperature - peak)
            elif abs(step) < 1e-6:
                share = (temperature - cold.temperature) / (warm.temperature - cold.temperature)
            else:
                share = (log_days(form, parameters, temperature)[0] - cold.plain) / step
            return (1 - share) * (cold.moved - cold.plain) + share * (warm.moved - warm.plain)
    return nodes[-1].moved - nodes[-1].plain
