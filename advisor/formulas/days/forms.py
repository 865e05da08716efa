"""The three forms of incubation length against temperature that are fitted, and their gradients."""

import math
from collections.abc import Sequence
from typing import Literal

from advisor.formulas.days.rate_curves import USUAL_B4, USUAL_B5

FormName = Literal["straight line", "line that flattens", "Dallwitz-Higgins curve"]

# Temperature [°C] at which the level of a line is kept; any value in the usual range does (judgement).
REFERENCE = 28.0
# Temperature [°C] up to which the straight line holds in turtles; above it eggs hatch later than the line says (our
# fits to the data of Noble et al. 2018; derived).
BEND = 30.5
# Slope of the rate above BEND as a share of the slope below it: 0.3 to 0.7 give the same leave-one-out error over
# 30 species within 0.3 % of the days; this is the middle (judgement).
SLOPE_ABOVE_BEND = 0.5

_C1 = 1 / (1 + 0.28 * USUAL_B4 + 0.72 * math.log(1 + USUAL_B4))
_C2 = 1 + USUAL_B4 / (1 + 1.5 * USUAL_B4 + 0.39 * USUAL_B4**2)
_LEAST_RATE = 0.02


def log_days(form: FormName, parameters: Sequence[float], temperature: float) -> tuple[float, list[float]]:
    """Return ln(incubation length) and its gradient in the parameters, for one form.

    Arguments: form; parameters (line: ln(days at 28 °C) and relative slope of the rate at 28 °C [1/K];
    Dallwitz-Higgins: ln(days at the peak), b2 [°C], b3 [°C]); temperature [°C].
    Result: ln(days/1 day) and one derivative a parameter.
    Assumes the rate never falls under 2 % of that at 28 °C on a line, so that the logarithm stays finite.
    Reference: degree-day rule; Dallwitz & Higgins 1992 with b4 = 6 and b5 = 0.4 (see development_curves).
    """
    if form == "Dallwitz-Higgins curve":
        level, cold, peak = parameters
        width = peak - cold
        u = (temperature - peak) / width - _C1
        rise = math.exp(min(USUAL_B4 * u, 100.0))
        v = (u + rise) / _C2
        outer = math.log(10) * v * (2 * (1 - USUAL_B5) + 4 * USUAL_B5 * v * v) * (1 + USUAL_B4 * rise) / _C2
        value = level + math.log(10) * v * v * (1 - USUAL_B5 + USUAL_B5 * v * v)
        return value, [1.0, outer * (temperature - peak) / width**2, -outer * (temperature - cold) / width**2]
    level, slope = parameters
    if form == "line that flattens" and temperature > BEND:
        temperature = BEND + SLOPE_ABOVE_BEND * (temperature - BEND)
    step = temperature - REFERENCE
    relative = 1 + slope * step
    if relative < _LEAST_RATE:
        return level - math.log(_LEAST_RATE), [1.0, 0.0]
    return level - math.log(relative), [1.0, -step / relative]
