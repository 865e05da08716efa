"""The constant temperature that gives the same sex ratio as a daily swing (constant temperature equivalent,
CTE).

Sex follows the share of development, not of time, spent above the threshold (Georges 1989, Oecologia 81:323,
from memory; Georges, Limpus & Stoutjesdijk 1994, J Exp Zool 270:432, abstract seen): the CTE is the
temperature above and below which half of the day's development is done.

Where it is known to fail (Neuwald & Valenzuela 2011, PLoS ONE 6:e18117, seen): Chrysemys picta gave 0.76 and
1.00 males at 31 +/- 5 °C and 0.05 to 0.16 at 26 +/- 5 °C, where the CTE predicts 0 and 0.67. In five further
pairs (painted turtle, slider, Reeves' turtle) the direction was right and the share off by up to 0.4. A
milder rule is development_weighted_share: give both as a range.
"""

from collections.abc import Callable, Sequence

from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.days.swings import Rate, Readings, development_done


def equivalent_of_readings(temperatures: Sequence[float], rate: Rate) -> float:
    """Return the constant temperature equivalent of evenly spaced readings.

    Arguments: temperatures [°C], evenly spaced in time over whole days; rate [1/day] at a temperature [°C].
    Result: the median of the readings weighted by their rate [°C], interpolated between neighbours.
    Assumes readings of the egg itself. A two-step day has no useful median: it jumps to the warmer step
    however small the step is; smooth by the eggs' thermal lag first. Other failures: see the module.
    Errors: ValueError without readings or without any development.
    Reference: definition of Georges et al. 1994 (derived); with a curved rate as Georges et al. 2005,
    Physiol Biochem Zool 78:18 (from memory).
    """
    if not temperatures:
        raise NoSolution("the equivalent temperature needs at least 1 reading, not 0")
    ordered = sorted((temperature, rate(temperature)) for temperature in temperatures)
    total = sum(weight for _, weight in ordered)
    if total <= 0:
        raise NoSolution("no development: no reading lies above the threshold of the curve")
    # Each reading stands for its weight centred on itself, so that the median moves smoothly.
    before, previous_middle, previous = 0.0, None, ordered[0][0]
    for temperature, weight in ordered:
        middle = before + weight / 2
        if middle >= total / 2:
            if previous_middle is None or middle == previous_middle:
                return temperature
            share = (total / 2 - previous_middle) / (middle - previous_middle)
            return previous + share * (temperature - previous)
        before, previous_middle, previous = before + weight, middle, temperature
    return previous


def development_weighted_share(share: Callable[[float], float], rate: Rate, trace: Readings) -> float:
    """Return the mean share of males over the development done in a trace.

    Arguments: share of males [0 to 1] at a constant temperature [°C]; rate [1/day] at a temperature [°C];
    trace of (hours, °C) through the sensitive part of development.
    Result: integral of share times rate over integral of rate [0 to 1].
    Assumes that each bit of development counts alike; milder than the CTE for wide swings, so give both as a
    range.
    Errors: ValueError for a bad trace or one without development.
    Reference: 2019, J Exp Biol 222:jeb190215 (abstract seen: 69 % of the variance between nests of snapping
    turtles, against up to 64 % for a modified CTE).
    """
    total = development_done(rate, trace)
    if total <= 0:
        raise NoSolution("no development: the trace stays under the threshold of the curve")
    return development_done(lambda temperature: share(temperature) * rate(temperature), trace) / total
