"""Heat loss from the share of time that a heater is on, with the error of each."""

import math

from advisor.formulas.air.moist_air import NoSolution

SENSOR = 0.289  # K, standard deviation of a thermometer known to ±0.5 K: 0.5/sqrt(3), JCGM 100, 4.3.7
LABEL = 0.058  # of a heater's label of ±10 %: 0.1/sqrt(3); IEC 60335-1 allows 10 % above 25 W (from memory)
COUNTING = 0.02  # of a share of time counted over some cycles; judgement
STRAIGHT = 0.02  # of a box whose loss is not quite in proportion; own heat balance
MODEL = 0.06  # of our heat balance against another model of the same box; judgement
LEAST_SHARE, LEAST_DIFFERENCE = 0.05, 2.0  # of time; K; below, the errors are as large as the figure
NORMAL = 1.96  # standard deviations of a range that holds 95 %
# How the heat that leaves behind a heater grows with the loss of the box: exponent by its place, from boxes of 0.6 to 1.6
# times the wall's conductivity in our heat balance (under the lid 1.20, 1.32, 1.48 times what the air of the box gets).
BEHIND = {"lid": 0.21, "floor": 0.03, "one side": 0.06, "all sides": 0.06, "in water": 0.0}


def warmer_by(medium: float, room: float) -> float:
    """Medium minus room [K]; raises `NoSolution` below 2 K, where errors of the thermometers are as large."""
    if medium - room < LEAST_DIFFERENCE:
        raise NoSolution("the room is as warm as the box")
    return medium - room


def error_of_difference(difference: float) -> float:
    """Standard deviation of the logarithm of a difference [K] of two thermometers known to ±0.5 K."""
    return math.hypot(SENSOR, SENSOR) / difference


def stuck_on_rise(share: float, difference: float, error: float = COUNTING) -> tuple[float, float]:
    """How far the box rises above its room when the heater never stops [K], and its error in logarithms.

    share [-] of the time that the heater is on, 0.05 to 1; difference [K], medium minus room. The watts of the heater
    cancel. Raises `NoSolution` for a smaller share. Reference: heat lost in proportion to the difference.
    """
    if share < LEAST_SHARE:
        raise NoSolution("the heater is hardly on")
    return difference / share, math.hypot(error, error_of_difference(difference), STRAIGHT)


def power_for_each_kelvin(power: float, difference: float, error: float) -> tuple[float, float]:
    """Mean power over medium minus room [W/K], and its error in logarithms; `error` is that of the power in logarithms."""
    return power / difference, math.hypot(error, error_of_difference(difference))


def conductance(forecast: float, ratio: float, place: str, error: float) -> tuple[float, float]:
    """Heat loss of the box's air [W/K], and its error in logarithms.

    forecast [W/K]; ratio, measured over forecast power for each kelvin; place of the heater; error of the ratio in
    logarithms. A leakier box also loses more behind its heater, so that the loss moves a little less than the power.
    Raises `NoSolution` for an unknown place.
    """
    if place not in BEHIND:
        raise NoSolution("the plan does not tell where the heater is")
    return forecast * ratio ** (1.0 / (1.0 + BEHIND[place])), math.hypot(error, MODEL)


def ends(value: float, error: float) -> tuple[float, float]:
    """Low and high end of the range that holds 95 %, of a value with an error in logarithms."""
    factor = math.exp(NORMAL * error)
    return value / factor, value * factor
