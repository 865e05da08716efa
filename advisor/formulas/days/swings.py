"""Development under changing temperature: rates added up over a trace or a daily swing."""

import itertools
import math
from collections.abc import Callable, Sequence

from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.days.fit import DevelopmentCurve
from advisor.formulas.days.forms import REFERENCE, log_days

Rate = Callable[[float], float]
Readings = Sequence[tuple[float, float]]
"""Readings (time [hours], temperature [°C]) in order of time, joined by straight lines."""

HOURS_A_DAY = 24.0
_STEPS = 96  # Temperatures taken over one swing, a quarter of an hour of a day each (judgement).


def development_rate(curve: DevelopmentCurve, temperature: float) -> float:
    """Return the development rate of a fitted curve, without its moves towards single temperatures' own values.

    Arguments: curve; temperature [°C]. Result: 1/days at that temperature [1/day], 0 at and under a line's
    threshold.
    Assumes nothing about survival; outside the points of the curve it is no evidence.
    Reference: rate 1/D (degree-day rule or Dallwitz-Higgins curve, see development_fit).
    """
    if curve.form != "Dallwitz-Higgins curve":
        slope = curve.parameters[1]
        if 1 + slope * (min(temperature, REFERENCE) - REFERENCE) <= 0:
            return 0.0
    return math.exp(-log_days(curve.form, curve.parameters, temperature)[0])


def _check_trace(trace: Readings) -> None:
    if len(trace) < 2:
        raise NoSolution(f"a trace needs at least 2 readings, not {len(trace)}")
    if any(later <= earlier for (earlier, _), (later, _) in itertools.pairwise(trace)):
        raise NoSolution("the readings of a trace must be in order of time, each later than the one before")


def _piece(rate: Rate, hours: float, start: float, end: float) -> float:
    """Development over one straight piece [share], by Simpson's rule."""
    return hours / HOURS_A_DAY * (rate(start) + 4 * rate((start + end) / 2) + rate(end)) / 6


def development_done(rate: Rate, trace: Readings) -> float:
    """Return the share of the whole development done over a trace of temperatures.

    Arguments: rate [1/day] at a temperature [°C]; trace of (hours, °C), at least two readings in order of
    time.
    Result: integral of the rate over the trace [share of development].
    Assumes that the rate follows the temperature at once and does not depend on what came before.
    Errors: ValueError for fewer than two readings or readings out of order.
    Reference: accumulated development (Georges et al. 2005, Physiol Biochem Zool 78:18, from memory);
    Simpson's rule.
    """
    _check_trace(trace)
    return sum(_piece(rate, t2 - t1, a, b) for (t1, a), (t2, b) in itertools.pairwise(trace))


def hatching_day(rate: Rate, trace: Readings, done: float = 0.0) -> float | None:
    """Return the day of the trace on which development is complete, or None when it is not.

    Arguments: rate [1/day] at a temperature [°C]; trace of (hours, °C); done, the share of development
    already done at its start [0 to below 1].
    Result: days from the first reading [days].
    Errors: ValueError as development_done, and for done outside 0 to 1.
    Reference: accumulated development, as development_done.
    """
    _check_trace(trace)
    if not 0 <= done < 1:
        raise NoSolution(f"the development already done must lie between 0 and 1, not {done:g}")
    for (t1, a), (t2, b) in itertools.pairwise(trace):
        gain = _piece(rate, t2 - t1, a, b)
        if done + gain >= 1:
            low, high = 0.0, 1.0
            for _ in range(50):
                middle = (low + high) / 2
                if done + _piece(rate, (t2 - t1) * middle, a, a + (b - a) * middle) >= 1:
                    high = middle
                else:
                    low = middle
            return (t1 + (t2 - t1) * high - trace[0][0]) / HOURS_A_DAY
        done += gain
    return None


def swing_temperatures(mean: float, half_range: float) -> list[float]:
    """Return temperatures [°C] that stand for equal times of a day whose temperature follows a sine.

    Arguments: mean [°C]; half_range, from the mean to the top [K], at least 0.
    Result: 96 temperatures.
    Errors: ValueError for a half range below 0 K.
    Reference: midpoint rule (derived).
    """
    if half_range < 0:
        raise NoSolution(f"the half range must be at least 0 K, not {half_range:g}")
    phases = ((step + 0.5) / _STEPS for step in range(_STEPS))
    return [mean + half_range * math.cos(math.pi * phase) for phase in phases]


def mean_rate(rate: Rate, temperatures: Sequence[float]) -> float:
    """Return the mean of a rate [its unit] over temperatures [°C] that stand for equal times, at least one."""
    return sum(map(rate, temperatures)) / len(temperatures)
