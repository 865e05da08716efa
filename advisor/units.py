"""Units: what each is in SI.

Inside the program every number is SI (temperatures in °C, which SI admits); this module, `show`,
`reading.unit_words` and `reading.quantities` are the only places that know other units. Factors are exact by definition
(international yard and pound agreement 1959; NIST SP 811, appendix B) and are checked against `pint` in the tests.
"""

from collections.abc import Sequence

from msgspec import Struct

from advisor.constants import DAY


class Unit(Struct, frozen=True):
    """One unit: SI = number * factor + offset."""

    factor: float
    offset: float = 0.0


INCH = 0.0254
POUND = 0.45359237
_US_GALLON = 231 * INCH**3
TRACE = 5e-5  # kg of water a day, told as 0: nobody sees it, and the forecast does not know it; judgement

_TEMPERATURE = {"°C": Unit(1.0), "°F": Unit(5 / 9, -32 * 5 / 9)}
_STEP = {"°C": Unit(1.0), "K": Unit(1.0), "°F": Unit(5 / 9)}
_LENGTH = {"mm": Unit(1e-3), "cm": Unit(1e-2), "m": Unit(1.0), "in": Unit(INCH), "ft": Unit(12 * INCH)}
_MASS = {"mg": Unit(1e-6), "g": Unit(1e-3), "kg": Unit(1.0), "oz": Unit(POUND / 16), "lb": Unit(POUND)}
_VOLUME = {
    "ml": Unit(1e-6),
    "l": Unit(1e-3),
    "tsp": Unit(_US_GALLON / 768),
    "tbsp": Unit(_US_GALLON / 256),
    "fl oz": Unit(_US_GALLON / 128),
    "cup": Unit(_US_GALLON / 16),
    "pint": Unit(_US_GALLON / 8),
    "quart": Unit(_US_GALLON / 4),
    "gallon": Unit(_US_GALLON),
}
_DURATION = {
    "s": Unit(1.0),
    "min": Unit(60.0),
    "h": Unit(3600.0),
    "days": Unit(DAY),
    "weeks": Unit(7 * DAY),
}

UNITS: dict[str, dict[str, Unit]] = {
    "temperature": _TEMPERATURE,
    "temperature-step": _STEP,
    "temperature-band": _STEP,
    "length": _LENGTH,
    "altitude": {"m": _LENGTH["m"], "ft": _LENGTH["ft"]},
    "size2": _LENGTH,
    "size3": _LENGTH,
    "mass": _MASS,
    "mass-gain": _MASS,
    "volume": _VOLUME,
    "power": {"W": Unit(1.0), "kW": Unit(1000.0)},
    "energy": {"kWh": Unit(3.6e6), "Wh": Unit(3600.0)},
    "power-per-length": {"W/m": Unit(1.0), "W/ft": Unit(1 / (12 * INCH))},
    "duration": _DURATION,
    "humidity": {"%": Unit(0.01)},
    "percent": {"%": Unit(0.01)},
    "water-content": {"g/g": Unit(1.0)},
    "water-potential": {"kPa": Unit(1000.0), "MPa": Unit(1e6), "Pa": Unit(1.0)},
}


def celsius_to_fahrenheit(temperature: float) -> float:
    """°F from °C."""
    return temperature * 9 / 5 + 32


def number(value: float, digits: int = 3) -> str:
    """A number with at most `digits` significant digits, without trailing zeros and without exponent."""
    if value == 0:
        return "0"
    text = f"{value:.{digits}g}"
    if "e" in text:
        text = f"{float(text):.0f}" if abs(value) >= 1 else f"{float(text):.12f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


class Quantity(Struct, frozen=True):
    """How a computed quantity leaves the program: its unit in JSON and SI * factor = number in that unit."""

    unit: str
    factor: float = 1.0


QUANTITIES = {
    "temperature": Quantity("°C"),
    "step": Quantity("K"),
    "power": Quantity("W"),
    "conductance": Quantity("W/K"),
    "share": Quantity("1"),
    "days": Quantity("days"),
    "hours": Quantity("h", 1 / 3600),
    "mass": Quantity("g", 1000.0),
    "mass per day": Quantity("g/day", DAY * 1000.0),
    "volume": Quantity("l", 1000.0),
    "water content": Quantity("g/g"),
    "water potential": Quantity("kPa", 1e-3),
    "gas share": Quantity("%", 100.0),
    "count": Quantity("1"),
}


def number_ranges(numbers: Sequence[int]) -> str:
    """Numbers in their order with runs drawn together: "1 to 4 and 6"."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    texts = [text for run in runs for text in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else map(str, run))]
    return " and ".join(filter(None, (", ".join(texts[:-1]), texts[-1])))
