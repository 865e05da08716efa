"""The ways people write a unit, and the unit that is meant."""

from advisor.units import UNITS, Unit

SPELLINGS = {
    "c": "°C", "°c": "°C", "ºc": "°C", "℃": "°C", "deg c": "°C", "degc": "°C", "celsius": "°C",
    "degrees c": "°C", "degrees celsius": "°C",
    "f": "°F", "°f": "°F", "ºf": "°F", "℉": "°F", "deg f": "°F", "degf": "°F", "fahrenheit": "°F",
    "degrees f": "°F", "degrees fahrenheit": "°F",
    "k": "K", "kelvin": "K",
    "mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
    "cm": "cm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
    "m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m",
    "in": "in", "in.": "in", "inch": "in", "inches": "in", '"': "in", "″": "in",
    "ft": "ft", "foot": "ft", "feet": "ft",
    "mg": "mg", "g": "g", "gram": "g", "grams": "g", "gramme": "g", "grammes": "g",
    "kg": "kg", "kilogram": "kg", "kilograms": "kg",
    "oz": "oz", "ounce": "oz", "ounces": "oz", "lb": "lb", "lbs": "lb", "pound": "lb", "pounds": "lb",
    "ml": "ml", "millilitre": "ml", "millilitres": "ml", "milliliter": "ml", "milliliters": "ml",
    "cm3": "ml", "cm³": "ml", "cc": "ml",
    "l": "l", "litre": "l", "litres": "l", "liter": "l", "liters": "l", "dm3": "l", "dm³": "l",
    "tsp": "tsp", "teaspoon": "tsp", "teaspoons": "tsp",
    "tbsp": "tbsp", "tablespoon": "tbsp", "tablespoons": "tbsp",
    "fl oz": "fl oz", "fl. oz": "fl oz", "fluid ounce": "fl oz", "fluid ounces": "fl oz",
    "cup": "cup", "cups": "cup", "pint": "pint", "pints": "pint", "quart": "quart", "quarts": "quart",
    "qt": "quart", "gallon": "gallon", "gallons": "gallon", "gal": "gallon",
    "w": "W", "watt": "W", "watts": "W", "kw": "kW",
    "kwh": "kWh", "wh": "Wh",
    "w/m": "W/m", "w/metre": "W/m", "w/meter": "W/m", "w per m": "W/m", "w/ft": "W/ft", "w/foot": "W/ft",
    "s": "s", "sec": "s", "second": "s", "seconds": "s", "min": "min", "minute": "min", "minutes": "min",
    "h": "h", "hr": "h", "hrs": "h", "hour": "h", "hours": "h",
    "d": "days", "day": "days", "days": "days", "week": "weeks", "weeks": "weeks",
    "%": "%", "percent": "%", "per cent": "%",
    "g/g": "g/g",
    "kpa": "kPa", "pa": "Pa", "mpa": "MPa",
}  # fmt: skip


def unit_of(kind: str, spelling: str) -> Unit | None:
    """The unit that a spelling stands for among the units of `kind`, or None."""
    return UNITS[kind].get(SPELLINGS.get(" ".join(spelling.lower().split()), ""))


def known_unit(spelling: str) -> str | None:
    """The unit's usual sign when the spelling is a unit of any kind, else None."""
    return SPELLINGS.get(" ".join(spelling.lower().split()))
