"""Water vapour in air: saturation, dew point, latent heat, humidity over a medium, diffusivity.

The vapour is an ideal gas: at 30 °C that is 0.2 % below real saturated vapour (CoolProp) and 0.5 % below
moist air at sea level, far below what any humidity sensor tells apart.
"""

import math
from functools import lru_cache

ZERO_CELSIUS = 273.15  # K, exact by definition
STANDARD_PRESSURE = 101325.0  # Pa, standard atmosphere, exact by definition
_EARTH_RADIUS = 6356766.0  # m, nominal; ISO 2533, from memory
VAPOUR_GAS_CONSTANT = 461.52  # J/(kg K), of water vapour; IAPWS, from memory
_GAS_CONSTANT = 8.314462618  # J/(mol K), exact by definition (SI 2019)
_MOLAR_VOLUME_OF_WATER = 1.807e-5  # m3/mol, liquid at 30 °C; from memory
_VAPOUR_LIGHTNESS = 0.378  # [-], 1 - (molar mass of water)/(molar mass of air) = 1 - 18.015/28.96; derived

# Hyland & Wexler 1983, over liquid water, as printed in ASHRAE Fundamentals 2017, chapter 1, equation 6; from
# memory, the values agree with psychrolib to 0.01 Pa.
_C8, _C9, _C10 = -5.8002206e3, 1.3914993, -4.8640239e-2
_C11, _C12, _C13 = 4.1764768e-5, -1.4452093e-8, 6.5459673


class NoSolution(ValueError):
    """Numbers for which a formula has no answer; the forecast tells it as a reason, not as a fault."""


class OutOfRange(NoSolution):
    """A number outside the range for which a formula is known."""

    def __init__(self, name: str, value: float, lowest: float, highest: float, unit: str) -> None:
        """name: what is out of range; value, lowest, highest [unit]."""
        super().__init__(f"{name} is {value:g} {unit}: must be from {lowest:g} to {highest:g} {unit}")
        self.name, self.value, self.lowest, self.highest, self.unit = name, value, lowest, highest, unit


def check_range(name: str, value: float, lowest: float, highest: float, unit: str) -> None:
    """Refuse a number outside its range.

    name: what is checked; value, lowest, highest [unit]; unit: its name, for the message.
    Raises OutOfRange, a ValueError which states the allowed range, when value is outside it or not a number.
    """
    if not lowest <= value <= highest:
        raise OutOfRange(name, value, lowest, highest, unit)


def air_pressure(altitude: float) -> float:
    """Pressure of the standard atmosphere at a height above the sea.

    altitude [m], -500 to 5500. Result [Pa]. Weather moves it by 3 %. Raises ValueError out of range.
    Reference: ISO 2533:1975, with the geopotential height of the altitude; from memory.
    """
    check_range("altitude", altitude, -500.0, 5500.0, "m")
    geopotential = _EARTH_RADIUS * altitude / (_EARTH_RADIUS + altitude)
    return STANDARD_PRESSURE * math.pow(1.0 - 0.0065 * geopotential / 288.15, 5.25588)


@lru_cache(maxsize=1024)  # a season's steps ask for the same few temperatures again and again
def saturation_pressure(temperature: float) -> float:
    """Vapour pressure of air that is saturated over liquid water.

    temperature [°C], 0 to 200. Result [Pa]. Raises ValueError out of range.
    Reference: Hyland & Wexler 1983, ASHRAE Fundamentals 2017 ch. 1 eq. 6; coefficients from memory, values
    checked against psychrolib. Within 0.02 % of IAPWS-95 from 0 to 50 °C.
    """
    check_range("temperature", temperature, 0.0, 200.0, "°C")
    kelvin = temperature + ZERO_CELSIUS
    polynomial = _C9 + kelvin * (_C10 + kelvin * (_C11 + kelvin * _C12))
    return math.exp(_C8 / kelvin + polynomial + _C13 * math.log(kelvin))


def saturation_pressure_slope(temperature: float) -> float:
    """How steeply the saturation pressure rises with temperature.

    temperature [°C], 0 to 200. Result [Pa/K]. Raises ValueError out of range.
    Reference: derivative of Hyland & Wexler 1983; derived.
    """
    kelvin = temperature + ZERO_CELSIUS
    slope_of_logarithm = -_C8 / kelvin**2 + _C10 + kelvin * (2 * _C11 + 3 * _C12 * kelvin) + _C13 / kelvin
    return saturation_pressure(temperature) * slope_of_logarithm


def vapour_density(vapour_pressure: float, temperature: float) -> float:
    """Mass of water vapour in a volume of air.

    vapour_pressure [Pa], 0 or more; temperature [°C], -50 to 200. Result [kg/m3]. Ideal gas.
    Raises ValueError out of range. Reference: ideal gas law, R_v = 461.52 J/(kg K).
    """
    check_range("vapour pressure", vapour_pressure, 0.0, 2e6, "Pa")
    check_range("temperature", temperature, -50.0, 200.0, "°C")
    return vapour_pressure / (VAPOUR_GAS_CONSTANT * (temperature + ZERO_CELSIUS))


def saturation_vapour_density(temperature: float) -> float:
    """Mass of water vapour in a volume of saturated air.

    temperature [°C], 0 to 200. Result [kg/m3]; 0.2 % below CoolProp's saturated vapour at 30 °C, 0.3 % at 40
    °C.
    Raises ValueError out of range. Reference: `saturation_pressure` and the ideal gas law.
    """
    return saturation_pressure(temperature) / (VAPOUR_GAS_CONSTANT * (temperature + ZERO_CELSIUS))


def saturation_vapour_density_slope(temperature: float) -> float:
    """How steeply the vapour density of saturated air rises with temperature.

    temperature [°C], 0 to 200. Result [kg/(m3 K)]. Raises ValueError out of range.
    Reference: derivative of `saturation_vapour_density`; derived.
    """
    kelvin = temperature + ZERO_CELSIUS
    slope = saturation_pressure_slope(temperature) - saturation_pressure(temperature) / kelvin
    return slope / (VAPOUR_GAS_CONSTANT * kelvin)


def relative_humidity_over_medium(water_potential: float, temperature: float) -> float:
    """Relative humidity of the still air just above a medium of known water potential.

    water_potential [Pa], -100e6 (bone dry) to 0 (free water); temperature [°C], 0 to 100. Result [-].
    Assumes equilibrium. Raises ValueError out of range.
    Reference: Kelvin equation, RH = exp(psi V_w/(R T)); from memory.
    """
    check_range("water potential", water_potential, -100e6, 0.0, "Pa")
    check_range("temperature", temperature, 0.0, 100.0, "°C")
    return math.exp(water_potential * _MOLAR_VOLUME_OF_WATER / (_GAS_CONSTANT * (temperature + ZERO_CELSIUS)))


def vapour_diffusivity(temperature: float, pressure: float = STANDARD_PRESSURE) -> float:
    """Diffusivity of water vapour in still air.

    temperature [°C], 0 to 100; pressure [Pa], 5e4 to 1.1e5. Result [m2/s], within 5 to 7 %.
    Raises ValueError out of range.
    Reference: Massman 1998, Atmos. Environ. 32:1111, 0.2178e-4 (T/273.15)^1.81; formula seen in a package
    that uses it, accuracy from memory.
    """
    check_range("temperature", temperature, 0.0, 100.0, "°C")
    check_range("pressure", pressure, 5e4, 1.1e5, "Pa")
    warmth: float = ((temperature + ZERO_CELSIUS) / ZERO_CELSIUS) ** 1.81
    return 0.2178e-4 * warmth * STANDARD_PRESSURE / pressure


def virtual_temperature(temperature: float, vapour_pressure: float) -> float:
    """Temperature of dry air that would be as light as this moist air.

    temperature [°C], -50 to 200; vapour_pressure [Pa], 0 to 101 325, in air of that pressure.
    Result [K]. Ideal gases. Raises ValueError out of range.
    Reference: T/(1 - 0.378 e/p); derived from the molar masses.
    """
    check_range("temperature", temperature, -50.0, 200.0, "°C")
    check_range("vapour pressure", vapour_pressure, 0.0, STANDARD_PRESSURE, "Pa")
    return (temperature + ZERO_CELSIUS) / (1.0 - _VAPOUR_LIGHTNESS * vapour_pressure / STANDARD_PRESSURE)
