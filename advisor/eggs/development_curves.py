"""Published curves of development rate and incubation length against temperature.

T is the temperature of the egg [°C]; a rate is the share of the whole development done in a day [1/day].
"""

import math
from typing import Final

from advisor.physics.moist_air import NoSolution

# Inhibition constants of the Dallwitz-Higgins curve that Georges et al. 2005 leave at these values
# (Dallwitz & Higgins 1992, CSIRO Division of Entomology Report 2, formula from memory) [dimensionless].
USUAL_B4: Final = 6.0
USUAL_B5: Final = 0.4

GAS_CONSTANT: Final = 1.987
"""Gas constant [cal/(mol K)] as Schoolfield et al. 1981, J Theor Biol 88:719, use it (seen)."""

KELVIN_AT_ZERO: Final = 273.15
"""0 °C on the kelvin scale [K] (definition)."""

WIDEST_RANGE: Final = (-20.0, 70.0)
"""Temperatures [°C] these functions accept: far wider than any egg survives (judgement)."""


def check_temperature(temperature: float) -> None:
    """Raise ValueError unless the temperature [°C] lies in WIDEST_RANGE."""
    if not WIDEST_RANGE[0] <= temperature <= WIDEST_RANGE[1]:
        raise NoSolution(
            f"the temperature must lie between {WIDEST_RANGE[0]:g} and {WIDEST_RANGE[1]:g} °C, "
            f"not {temperature:g}"
        )


def degree_day_rate(temperature: float, threshold: float, degree_days: float) -> float:
    """Return the development rate of the degree-day rule, zero at and below the threshold.

    Arguments: temperature T [°C]; threshold T0 [°C]; degree_days K [K day], above 0.
    Result: (T - T0)/K [1/day].
    Assumes a straight line of rate on temperature, which holds in the middle of the range; above about
    31 °C turtles hatch later than the line says, and T0 is an intercept, not a lethal temperature.
    Errors: ValueError outside -20 to 70 °C and for degree_days not above 0.
    Reference: degree-day rule, e.g. Matsuzawa et al. 2002, Mar Biol 140:639 (seen).
    """
    check_temperature(temperature)
    if degree_days <= 0:
        raise NoSolution(f"the degree-days must be above 0 K day, not {degree_days:g}")
    return max(0.0, temperature - threshold) / degree_days


def schoolfield_rate(
    temperature: float,
    rate_at_25: float,
    activation: float,
    cold_half: float,
    cold_enthalpy: float,
    hot_half: float,
    hot_enthalpy: float,
) -> float:
    """Return the development rate of the Schoolfield form of the Sharpe-DeMichele model.

    Arguments: temperature [°C]; rate_at_25 [1/day] without inactivation; activation HA [cal/mol], above 0;
    cold_half TL and hot_half TH [K], temperatures of half inactivation; cold_enthalpy HL [cal/mol], below 0;
    hot_enthalpy HH [cal/mol], above 0.
    Result: rate [1/day].
    Assumes one rate-limiting enzyme that cold and heat switch off. Its constants cannot be told apart from
    the few temperatures tried with reptile eggs, so no fit here uses it.
    Errors: ValueError outside -20 to 70 °C.
    Reference: Schoolfield et al. 1981, J Theor Biol 88:719, equation 4 (seen).
    """
    check_temperature(temperature)
    kelvin = temperature + KELVIN_AT_ZERO
    warmest = 25.0 + KELVIN_AT_ZERO
    top = rate_at_25 * kelvin / warmest * math.exp(activation / GAS_CONSTANT * (1 / warmest - 1 / kelvin))
    cold = math.exp(cold_enthalpy / GAS_CONSTANT * (1 / cold_half - 1 / kelvin))
    hot = math.exp(hot_enthalpy / GAS_CONSTANT * (1 / hot_half - 1 / kelvin))
    return top / (1 + cold + hot)


def dallwitz_higgins_rate(
    temperature: float,
    peak_rate: float,
    cold: float,
    peak: float,
    b4: float = USUAL_B4,
    b5: float = USUAL_B5,
) -> float:
    """Return the development rate of the Dallwitz-Higgins curve.

    Arguments: temperature T [°C]; peak_rate b1 [1/day, or any rate unit]; cold b2 [°C], where the rate is
    about a tenth of the peak; peak b3 [°C], above cold; b4 and b5 [dimensionless], shape of the two
    shoulders.
    Result: rate [unit of peak_rate].
    r = b1 * 10^(-v^2 (1 - b5 + b5 v^2)), v = (u + exp(b4 u))/c2, u = (T - b3)/(b3 - b2) - c1,
    c1 = 1/(1 + 0.28 b4 + 0.72 ln(1 + b4)), c2 = 1 + b4/(1 + 1.5 b4 + 0.39 b4^2).
    Valid range: the temperatures it was fitted to; past them it is no evidence.
    Errors: ValueError outside -20 to 70 °C and when peak is not above cold.
    Reference: Dallwitz & Higgins 1992, CSIRO Division of Entomology Report 2 (from memory; the rate at b3 is
    b1 within 0.1 % and at b2 about b1/10); used for turtles by Georges et al. 2005, Physiol Biochem Zool
    78:18.
    """
    check_temperature(temperature)
    if peak <= cold:
        raise NoSolution(f"the peak must be warmer than the cold point ({cold:g} °C), not {peak:g} °C")
    c1 = 1 / (1 + 0.28 * b4 + 0.72 * math.log(1 + b4))
    c2 = 1 + b4 / (1 + 1.5 * b4 + 0.39 * b4**2)
    u = (temperature - peak) / (peak - cold) - c1
    # exp(300) squared still fits a float; the rate is zero long before.
    v = (u + math.exp(min(b4 * u, 300.0))) / c2
    return float(peak_rate * 10.0 ** (-(v**2) * (1 - b5 + b5 * v**2)))


def exponential_hyperbolic_days(
    temperature: float, scale: float, steepness: float, asymptote: float
) -> float:
    """Return the incubation length of the exponential-hyperbolic curve.

    Arguments: temperature T [°C], above asymptote; scale [days]; steepness [K]; asymptote [°C].
    Result: scale * exp(steepness/(T - asymptote)) [days].
    Errors: ValueError at or below the asymptote and above 70 °C.
    Reference: Du et al. 2007, Aquaculture 272:747, for Mauremys reevesii 42.74 days, 4.30 K, 17.28 °C at
    24-34 °C (seen; the operator was unreadable in the copy and is taken as a product, which reproduces the
    data).
    """
    check_temperature(temperature)
    if temperature <= asymptote:
        raise NoSolution(f"the temperature must be above {asymptote:g} °C, not {temperature:g} °C")
    return scale * math.exp(steepness / (temperature - asymptote))
