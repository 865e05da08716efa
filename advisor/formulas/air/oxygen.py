"""Breathing eggs: the oxygen they use, and the air that is left in a closed egg box.

Amounts of oxygen are volumes of dry gas at 0 °C and 101 325 Pa (STPD) unless the name says otherwise; shares
of oxygen and carbon dioxide are of dry air. The stage tau is the elapsed share of the incubation: 0 at
laying, 1 at hatching.
"""

import math
from typing import Literal

from msgspec import Struct

from advisor.formulas.air.moist_air import (
    STANDARD_PRESSURE,
    ZERO_CELSIUS,
    NoSolution,
    check_range,
    saturation_pressure,
)
from advisor.formulas.air.vents import LikelyRange

OXYGEN_IN_AIR = 0.2095  # share of dry air (handbook value, from memory)
CARBON_DIOXIDE_IN_AIR = 0.0004  # share of dry outdoor air (from memory); a living room holds more
# CO2 given off for each O2 used [-]; Caretta 0.69 to 0.74 (derived from Reid 2009, via Noble 2018).
RESPIRATORY_QUOTIENT = 0.72
Q10 = 2.2  # [-]; Sceloporus 2.1 (Angilletta 2006, seen), other species 1.5 to 3.5 (derived)

# J for each m3 of oxygen used: the usual oxycaloric value, fat to carbohydrate (standard physiology, from memory).
HEAT_OF_OXYGEN = LikelyRange(19.6e6, 20.1e6, 20.9e6)

Breather = Literal["python", "other"]

_MILLILITRES_PER_HOUR = 1e-6 / 3600.0  # m3/s

# V_peak = 0.267 m^0.66 ml/h at 30 °C, m in g: fit to six species of 0.16 to 175 g (points seen, fit derived).
_PEAK_COEFFICIENT = 0.267
_PEAK_EXPONENT = 0.66
_PEAK_TEMPERATURE = 30.0  # °C
# kg; above it the published allometry quoted by Birchard et al. 1995 implies nearly twice the fit (derived).
_LARGE_EGG = 0.050
_FIT_FACTORS = LikelyRange(0.6, 1.0, 1.6)  # judgement from the spread of the six species, 0.7 to 1.5
_LARGE_EGG_FACTORS = LikelyRange(0.7, 1.0, 2.0)  # judgement
# ml/h for each g of egg, late, at 30 °C. Python bivittatus 0.110 to 0.130 over its last nine days (Van Mierop &
# Barnard 1978, Copeia, seen; "about 30 °C"). Python regius about 0.09 at 29.2 °C (total 3.6 L in 58 to 70 days:
# Ellis & Chappell 1987, seen; peak over mean of 3 and an egg of 80 g, derived). The ends are judgement: below, the
# royal python; above, a tenth over the highest seen.
_PYTHON_RATE = LikelyRange(0.090, 0.120, 0.143)


class BoxAir(Struct, frozen=True):
    """The air in an egg box: shares of dry air [-]; no oxygen when eggs want more than comes in."""

    oxygen: float
    carbon_dioxide: float


class OxygenLimits(Struct, frozen=True):
    """Shares of oxygen [-] that part the levels: good from `good` up, then below each the word it names."""

    good: float
    note: float
    warn: float
    bad: float
    danger: float


# Judgement from what was seen: 17 % delays alligators, 15 % and less harms late snakes and pond turtles.
_USUAL_LIMITS = OxygenLimits(good=0.19, note=0.18, warn=0.17, bad=0.15, danger=0.12)
_STRICTER_BY = 0.01  # judgement
_HOT = 31.0  # °C; heat makes want of oxygen worse (Liang 2015, seen)
_LATE = 0.75  # tau; the late embryo is the sensitive one (Li et al. 2025, seen)


def peak_oxygen_use(egg_mass: float, temperature: float) -> float:
    """The most oxygen one egg uses, late in its incubation.

    Arguments: egg_mass [kg] at laying, 0.0001 to 0.3; temperature [°C], 15 to 40.
    Result: flow [m3/s STPD].
    Assumes an average species; multiply by `peak_factors` for the spread. Fitted from 0.16 to 175 g and 22 to
    33 °C.
    Errors: ValueError out of range.
    Reference: V = 0.267 m^0.66 2.2^((T-30)/10) ml/h, fit to six species in Noble 2018 and Birchard et al.
    1995 (points seen, fit derived).
    """
    check_range("egg mass", egg_mass, 1e-4, 0.3, "kg")
    check_range("temperature", temperature, 15.0, 40.0, "°C")
    grams = egg_mass * 1000.0
    warmth = math.pow(Q10, (temperature - _PEAK_TEMPERATURE) / 10.0)
    return _PEAK_COEFFICIENT * math.pow(grams, _PEAK_EXPONENT) * warmth * _MILLILITRES_PER_HOUR


def peak_factors(egg_mass: float) -> LikelyRange:
    """How far a species may lie from `peak_oxygen_use`.

    Arguments: egg_mass [kg] at laying, 0.0001 to 0.3. Result: factors low, typical and high [-].
    Assumes that eggs above 50 g may use up to twice the fit, as the published allometry quoted by Birchard et
    al. 1995 implies. Errors: ValueError out of range. Reference: judgement.
    """
    check_range("egg mass", egg_mass, 1e-4, 0.3, "kg")
    return _LARGE_EGG_FACTORS if egg_mass > _LARGE_EGG else _FIT_FACTORS


def peak_oxygen(egg_mass: float, temperature: float, breather: Breather) -> LikelyRange:
    """The most oxygen one egg of a group uses, late in its incubation, with its likely range.

    Arguments: egg_mass [kg] at laying, 0.0001 to 0.3; temperature [°C], 15 to 40; breather, "python" or "other".
    Result: flow low, typical and high [m3/s STPD].
    Assumes that python eggs breathe in proportion to their mass: two species of 80 to 200 g were measured, and
    use 1.6 to 3 times what the fit says; at 13 g both agree. Errors: ValueError out of range.
    Reference: `peak_oxygen_use` times `peak_factors`; pythons Van Mierop & Barnard 1978 and Ellis & Chappell 1987.
    """
    usual = peak_oxygen_use(egg_mass, temperature)
    if breather == "python":
        warmth = math.pow(Q10, (temperature - _PEAK_TEMPERATURE) / 10.0)
        per_rate = egg_mass * 1000.0 * warmth * _MILLILITRES_PER_HOUR
        rate = _PYTHON_RATE
        return LikelyRange(rate.low * per_rate, rate.typical * per_rate, rate.high * per_rate)
    factors = peak_factors(egg_mass)
    return LikelyRange(factors.low * usual, factors.typical * usual, factors.high * usual)


def flow_at_temperature(flow_stpd: float, temperature: float, pressure: float = STANDARD_PRESSURE) -> float:
    """The volume flow of a dry gas at the box's temperature and pressure from its flow at 0 °C.

    Arguments: flow_stpd [m3/s STPD], 0 or more; temperature [°C], 0 to 60; pressure [Pa], 5e4 to 1.1e5.
    Result: flow [m3/s].
    Errors: ValueError out of range. Reference: ideal gas law.
    """
    check_range("pressure", pressure, 5e4, 1.1e5, "Pa")
    check_range("gas flow", flow_stpd, 0.0, 1e-3, "m3/s")
    check_range("temperature", temperature, 0.0, 60.0, "°C")
    return flow_stpd * (temperature + ZERO_CELSIUS) / ZERO_CELSIUS * STANDARD_PRESSURE / pressure


def sea_level_share(share: float, temperature: float, pressure: float) -> float:
    """The share of oxygen that would press on an egg at sea level as this one does higher up.

    Arguments: share of dry air [-], 0 to 0.25; temperature [°C], 0 to 60; pressure [Pa], 5e4 to 1.1e5.
    Result: share [-]; fresh air at 1600 m counts as 17.1 % at 30 °C.
    Assumes air full of water vapour, in both places. Errors: ValueError out of range.
    Reference: Dalton's law; eggs take in oxygen by its partial pressure (derived).
    """
    check_range("share of oxygen", share, 0.0, 0.25, "")
    check_range("pressure", pressure, 5e4, 1.1e5, "Pa")
    vapour = saturation_pressure(temperature)
    return share * (pressure - vapour) / (STANDARD_PRESSURE - vapour)


def box_air(
    oxygen_use: float,
    temperature: float,
    oxygen_conductance: float,
    carbon_dioxide_conductance: float,
    respiratory_quotient: float = RESPIRATORY_QUOTIENT,
    outside_oxygen: float = OXYGEN_IN_AIR,
    outside_carbon_dioxide: float = CARBON_DIOXIDE_IN_AIR,
    pressure: float = STANDARD_PRESSURE,
) -> BoxAir:
    """Oxygen and carbon dioxide in a closed egg box with steady breathing and steady diffusion.

    Arguments: oxygen_use [m3/s STPD]; temperature [°C] of the box; oxygen_conductance and
    carbon_dioxide_conductance [m3/s], from `vents_conductance`, 0 for a sealed box; respiratory_quotient [-],
    0.6 to 1; outside_oxygen and outside_carbon_dioxide, shares of the dry air round the egg box [-];
    pressure [Pa] of the air.
    Result: the air in the box. When the eggs want more than comes in, oxygen is 0, and
    carbon dioxide is what the oxygen that does come in turns into: real embryos slow down and die before
    that.
    Assumes well-mixed air that has settled, which takes about three times volume over conductance (a few
    hours). With the leakage of the outer box as both conductances it gives the outer box's air.
    Errors: ValueError out of range.
    Reference: x_in = x_out - Q/G, steady diffusion (derived); conductances after Brown & Escombe 1900.
    """
    check_range("oxygen conductance", oxygen_conductance, 0.0, 1.0, "m3/s")
    check_range("carbon dioxide conductance", carbon_dioxide_conductance, 0.0, 1.0, "m3/s")
    if (oxygen_conductance == 0.0) != (carbon_dioxide_conductance == 0.0):
        raise ValueError("oxygen and carbon dioxide conductance must both be above 0 m3/s, or both 0 m3/s")
    check_range("respiratory quotient", respiratory_quotient, 0.6, 1.0, "")
    check_range("outside oxygen", outside_oxygen, 0.0, 0.25, "")
    check_range("outside carbon dioxide", outside_carbon_dioxide, 0.0, 0.2, "")
    wanted = flow_at_temperature(oxygen_use, temperature, pressure)
    if wanted == 0.0:
        return BoxAir(outside_oxygen, outside_carbon_dioxide)
    if oxygen_conductance == 0.0:
        return BoxAir(0.0, outside_carbon_dioxide + respiratory_quotient * outside_oxygen)
    used = min(wanted, oxygen_conductance * outside_oxygen)
    return BoxAir(
        max(0.0, outside_oxygen - used / oxygen_conductance),
        outside_carbon_dioxide + respiratory_quotient * used / carbon_dioxide_conductance,
    )


def oxygen_limits(temperature: float, stage: float) -> OxygenLimits:
    """The limits of oxygen that hold at a temperature and stage.

    Arguments: temperature [°C], 0 to 60; stage tau [-], 0 to 1. Result: limits [-].
    Assumes limits one percentage point stricter above 31 °C or after tau 0.75. Heat and lateness together do
    not add up: two points would call fresh air less than good.
    Errors: ValueError out of range.
    Reference: judgement, from Warburton et al. 1995, Crossley & Altimiras 2005, Li et al. 2025 and others
    (seen).
    """
    check_range("temperature", temperature, 0.0, 60.0, "°C")
    check_range("stage", stage, 0.0, 1.0, "")
    if temperature <= _HOT and stage <= _LATE:
        return _USUAL_LIMITS
    usual = _USUAL_LIMITS
    return OxygenLimits(
        usual.good + _STRICTER_BY,
        usual.note + _STRICTER_BY,
        usual.warn + _STRICTER_BY,
        usual.bad + _STRICTER_BY,
        usual.danger + _STRICTER_BY,
    )


def holes_enough(
    oxygen_use: float,
    temperature: float,
    least_oxygen: float,
    hole: float,
    rim: float = 0.0,
    outside_oxygen: float = OXYGEN_IN_AIR,
    pressure: float = STANDARD_PRESSURE,
) -> int:
    """How many holes keep the oxygen in an egg box at or above a limit.

    Arguments: oxygen_use [m3/s STPD]; temperature [°C]; least_oxygen, share of dry air [-], below
    outside_oxygen; hole and rim [m3/s], conductances for oxygen of one hole and of the lid's rim, from
    `vents_conductance`; outside_oxygen, share of the air round the egg box [-]; pressure [Pa]. Result:
    number of holes, 0 or more. For a likely range take all of it at its bad end.
    Assumes holes about ten diameters apart and free of drops. Errors: ValueError out of range.
    Reference: `box_air` solved for the conductance (derived).
    """
    check_range("outside oxygen", outside_oxygen, 0.0, 0.25, "")
    if not 0.0 <= least_oxygen < outside_oxygen:
        raise NoSolution(f"least oxygen is {least_oxygen:g}: must be from 0 to below {outside_oxygen:g}")
    check_range("conductance of a hole", hole, 1e-12, 1.0, "m3/s")
    check_range("conductance of the rim", rim, 0.0, 1.0, "m3/s")
    wanted = flow_at_temperature(oxygen_use, temperature, pressure) / (outside_oxygen - least_oxygen)
    return max(0, math.ceil((wanted - rim) / hole - 1e-9))
