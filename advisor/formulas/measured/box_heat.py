"""What a watch of the heater, an energy meter or an hour without heat tell of a box, and how well."""

import math

from advisor.formulas.air.moist_air import NoSolution

MINUTE = 60.0  # s, to which people read a clock; judgement
# a whole range over the standard deviation of a rectangular distribution, JCGM 100, 4.3.7
SQRT_12 = math.sqrt(12.0)


def counting_error(share: float, over: float) -> float:
    """Error in logarithms of an on-share that was watched from one switching-on to a later one.

    share [-], above 0 to 1; over [s], above 0. The time that the heater was on, in all, is known to the minute.
    Rectangular, JCGM 100. A watch that does not end where a cycle ends can mislead far more.
    """
    return MINUTE / (SQRT_12 * share * over)


def heater_power(used: float, over: float, thermostat: float) -> float:
    """Mean power of the heater [W] from what a meter counted: energy used [J] over a time [s], less the thermostat's own [W].

    Raises `NoSolution` where nothing is left for the heater.
    """
    power = used / over - thermostat
    if power <= 0.0:
        raise NoSolution("the meter counted no more than the thermostat takes")
    return power


def weighed_mean(values: tuple[tuple[float, float], ...]) -> tuple[float, float]:
    """Mean of values above 0 with errors in logarithms that are independent, each counted by one over its variance.

    values: pairs of value and error, at least one. Result: the mean and its error in logarithms. Reference: JCGM 100.
    """
    weights = [error**-2 for _, error in values]
    mean = sum(weight * math.log(value) for weight, (value, _) in zip(weights, values, strict=True))
    return math.exp(mean / sum(weights)), sum(weights) ** -0.5


def share_left(start: float, end: float, room: float) -> float:
    """Share of the way to the room that is left after a fall from start to end [°C]; room [°C].

    Result [-], between 0 and 1. Raises `NoSolution` where the medium does not fall toward the room.
    """
    if not start > end > room:
        raise NoSolution("the medium does not fall toward the room")
    return (end - room) / (start - room)
