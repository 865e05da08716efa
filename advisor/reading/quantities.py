"""Texts such as "29 °C", "55 x 35 x 22 cm" or "16 to 24 °C" to SI numbers, or a reason why not."""

import math
import re
from functools import cache, lru_cache

from msgspec import Struct

from advisor.reading.unit_words import known_unit, unit_of
from advisor.units import UNITS, Unit, celsius_to_fahrenheit, number

_NUMBER = r"[-+−]?(?:\d+/\d+|\d+(?:\.\d+)?(?:\s+\d+/\d+)?|\.\d+)"
_ONE = re.compile(rf"^(?P<number>{_NUMBER})\s*(?P<unit>\D.*)?$")
_UNIT = r"[^\d\s.+−-][^\d]*?"
_RANGE_TO = re.compile(
    rf"^(?P<low>{_NUMBER})\s*(?P<low_unit>(?!to\b){_UNIT})?\s*\bto\s+(?P<high>{_NUMBER})\s*(?P<unit>\D.*)?$"
)
_RANGE_DASH = re.compile(
    rf"^(?P<low>{_NUMBER})\s*(?P<low_unit>{_UNIT})?\s*[-–—]\s*(?P<high>{_NUMBER})\s*(?P<unit>\D.*)?$"
)
_TIMES = re.compile(r"\s*[x×*]\s*(?=[\d.])", re.IGNORECASE)

LONGEST = 100  # characters of a quantity; checked before any pattern sees the text

COUNTS = ("days", "count")


class Refusal(Exception):
    """Why a text is no such quantity, and what to write instead."""

    def __init__(self, message: str, hint: str) -> None:
        """Keeps the sentence about the fault and the sentence about the remedy."""
        super().__init__(message)
        self.message = message
        self.hint = hint


class Kind(Struct, frozen=True):
    """What a schema says of a quantity: its kind, whether a range may stand there, its limits, an example, the same
    in US units where it differs, and which number is wanted.
    """

    name: str
    range: bool = False
    least: str | None = None
    most: str | None = None
    example: str = ""
    us_example: str = ""
    about: str = ""


WORDS = {
    "temperature": "a temperature",
    "temperature-step": "a temperature step",
    "temperature-band": "a temperature step",
    "length": "a length",
    "altitude": "a height above the sea",
    "size2": "a size of length x width",
    "size3": "a size of length x width x height",
    "mass": "a mass",
    "mass-gain": "a gain in mass",
    "volume": "a volume",
    "power": "a power",
    "energy": "an amount of energy",
    "power-per-length": "a power for each metre",
    "duration": "a time",
    "humidity": "a humidity",
    "percent": "a share in percent",
    "water-content": "a water content",
    "water-potential": "a water potential",
    "days": "a number of days",
    "count": "a whole number",
    "share": "a share between 0 and 1",
    "date": "a date",
    "date-range": "a date or two dates",
    "yes-no": "yes or no",
}


def refuse_long(value: object, what: str) -> None:
    """Raises `Refusal` for a text that no pattern shall see."""
    if isinstance(value, str) and len(value) > LONGEST:
        raise Refusal(
            f"a text of {len(value)} characters stands where {what} belongs",
            f"Write it with at most {LONGEST} characters.",
        )


def read_quantity(value: object, kind: Kind) -> tuple[float, ...]:
    """SI numbers of a quantity: (low, high) for one value or a range, the sides of a size in metres.

    Raises `Refusal` when the text is no quantity of this kind, has no unit, runs backwards or lies
    outside the kind's limits.
    """
    refuse_long(value, WORDS[kind.name])
    return _read_text(value, kind) if isinstance(value, str) else _read_quantity(value, kind)


@lru_cache(maxsize=4096)
def _read_text(value: str, kind: Kind) -> tuple[float, ...]:
    """As `read_quantity`; a profile says the same text many times. (Other values are not kept: 1 equals True.)"""
    return _read_quantity(value, kind)


def _read_quantity(value: object, kind: Kind) -> tuple[float, ...]:
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise Refusal(f"{found_text(value)} stands where {WORDS[kind.name]} belongs", _example(kind))
    if kind.name in COUNTS or kind.name == "share":
        numbers = _bare_numbers(value, kind)
    elif isinstance(value, int | float) or re.fullmatch(_NUMBER, value.strip()):
        raise _unit_missing(str(value).strip(), kind)
    elif kind.name in ("size2", "size3"):
        numbers = _sides(value, kind)
    else:
        numbers = _one_or_range(value, kind)
    _check_limits(value, numbers, kind)
    # What rounding took past a limit stands at the limit, so that nothing behind the reader meets less or more.
    least = -math.inf if kind.least is None else _limit(kind.least, kind)
    most = math.inf if kind.most is None else _limit(kind.most, kind)
    return tuple(min(max(one, least), most) for one in numbers)


def _refuse_range(value: str, kind: Kind) -> None:
    if not kind.range:
        message = f"{found_text(value)} is a range, one value belongs here"
        raise Refusal(message, f"Write one number. {kind.about} {_example(kind)}")


def _bare_numbers(value: float | str, kind: Kind) -> tuple[float, ...]:
    if isinstance(value, int | float):
        numbers: tuple[float, ...] = (float(value), float(value))
    else:
        text = value.strip()
        if kind.name == "days":
            text = re.sub(r"\s*(days|day|d)$", "", text)
        single = re.fullmatch(_NUMBER, text)
        found = _RANGE_TO.match(text) or _RANGE_DASH.match(text)
        if single:
            numbers = (_to_float(text), _to_float(text))
        elif found and not found["unit"] and not found["low_unit"]:
            _refuse_range(value, kind)
            numbers = (_to_float(found["low"]), _to_float(found["high"]))
        else:
            raise Refusal(f"{found_text(value)} stands where {WORDS[kind.name]} belongs", _example(kind))
    if numbers[0] > numbers[1]:
        raise Refusal(
            f"{found_text(value)} runs from high to low",
            f"Write {number(numbers[1], 6)} to {number(numbers[0], 6)}.",
        )
    if kind.name == "count" and any(part != int(part) for part in numbers):
        raise Refusal(f"{found_text(value)} is not a whole number", _example(kind))
    return numbers


def _without_words(value: str, kind: Kind) -> str:
    """What is left to read as number and unit when the words and signs of this kind are taken away."""
    text = value.strip()
    _refuse_signs(text, kind)
    if kind.name == "duration":
        return re.sub(r"^day$", "1 day", re.sub(r"^every\s+", "", text))
    if kind.name == "mass-gain":
        if not text.startswith("+"):
            message = f"{found_text(value)} does not say by how much it grows"
            raise Refusal(message, f"Write the gain with a plus. {_example(kind)}")
        return re.sub(r"\s+by hatching$", "", text)
    if kind.name in ("temperature-step", "temperature-band") and text[:1] in "±":
        if kind.name == "temperature-band":
            raise Refusal(
                f"{found_text(value)}: the whole step from on to off is asked for",
                "Write twice the number after ±, without the sign.",
            )
        return text[1:].strip()
    return text


def _one_or_range(value: str, kind: Kind) -> tuple[float, float]:
    text = _without_words(value, kind)
    found = _RANGE_TO.match(text) or _RANGE_DASH.match(text)
    if found:
        _refuse_range(value, kind)
        if not found["unit"] and not found["low_unit"]:
            raise _unit_missing(found["high"], kind, f"{found['low']} to ")
        high_unit = _unit(value, found["unit"], kind, found["high"])
        low_unit = _unit(value, found["low_unit"], kind, found["low"]) if found["low_unit"] else high_unit
        low, high = _to_si(found["low"], low_unit), _to_si(found["high"], high_unit)
        if low > high:
            raise Refusal(f"{found_text(value)} runs from high to low", "Write the lower value first.")
        return low, high
    single = _ONE.match(text)
    if not single:
        raise Refusal(f"{found_text(value)} cannot be read as {WORDS[kind.name]}", _example(kind))
    result = _to_si(single["number"], _unit(value, single["unit"], kind, single["number"]))
    return result, result


def _refuse_signs(text: str, kind: Kind) -> None:
    """Signs that other people read otherwise: a decimal comma, and a stroke that may be a range or a fraction."""
    if re.match(r"^[-+]?\d+,\d", text):
        raise Refusal(f"'{text}' has a comma", "Write the decimal point as a full stop: 28.5.")
    if kind.name.startswith("temperature") and re.search(r"\d/\d", text):
        raise Refusal(f"'{text}' has a stroke", f"Write a range with the word to. {_example(kind)}")


def _sides(value: str, kind: Kind) -> tuple[float, ...]:
    parts = _TIMES.split(value.strip())
    sides = [match for part in parts if (match := _ONE.match(part.strip()))]
    if len(parts) != int(kind.name[-1]) or len(sides) < len(parts):
        raise Refusal(f"{found_text(value)} is not {WORDS[kind.name]}", _example(kind))
    if not any(side["unit"] for side in sides):
        raise Refusal(f"{found_text(value)} has no unit", f"Write {value.strip()} cm or {value.strip()} in.")
    units = [_unit(value, side["unit"] or sides[-1]["unit"], kind, side["number"]) for side in sides]
    return tuple(_to_si(side["number"], unit) for side, unit in zip(sides, units, strict=True))


def _unit(value: object, spelling: str | None, kind: Kind, digits: str) -> Unit:
    if not spelling or not spelling.strip():
        raise _unit_missing(digits, kind)
    unit = unit_of(kind.name, spelling.strip())
    if unit is None:
        other = known_unit(spelling.strip())
        if kind.name == "temperature" and other == "K":
            raise Refusal(f"{found_text(value)} is in kelvin", "Write the temperature in °C or °F.")
        reason = (
            f"{found_text(value)} has the unit {other}, which does not measure {WORDS[kind.name]}"
            if other
            else f"{found_text(value)} has a unit that is not known here"
        )
        raise Refusal(reason, f"{_example(kind)} Units: {', '.join(UNITS[kind.name])}.")
    return unit


def _to_float(text: str) -> float:
    text = text.replace("−", "-").strip()
    if "/" not in text:
        return float(text)
    sign = -1.0 if text.startswith("-") else 1.0
    whole, _, fraction = text.lstrip("+-").rpartition(" ")
    above, _, below = fraction.partition("/")
    if not int(below):
        raise Refusal(f"'{text}' divides by zero", "Write the number as a decimal, for example 1.5 in.")
    return sign * (float(whole or 0) + int(above) / int(below))


def _to_si(digits: str, unit: Unit) -> float:
    return _to_float(digits) * unit.factor + unit.offset


def _unit_missing(digits: str, kind: Kind, start: str = "") -> Refusal:
    """A bare number where a unit belongs: both likely readings are offered; `start` is the first half of a range."""
    value = _to_float(digits)
    if kind.name == "temperature":
        limits = kind.least is not None and kind.most is not None
        least, most = _limit(kind.least, kind), _limit(kind.most, kind)
        in_fahrenheit = (value - 32) * 5 / 9
        if limits and least <= value <= most:
            readings = f"{digits} °C or {round(celsius_to_fahrenheit(value))} °F"
        elif limits and least <= in_fahrenheit <= most:
            readings = f"{digits} °F or {round(in_fahrenheit)} °C"
        else:
            readings = f"{digits} °C or {digits} °F"
    elif kind.name == "percent":
        readings = f"{number(100.0 * value if 0.0 < value < 1.0 else value)} %"
    elif kind.name in ("temperature-step", "temperature-band"):
        readings = f"{digits} °C or {digits} °F"
    else:
        digits = f"+{digits.lstrip('+')}" if kind.name == "mass-gain" else digits
        days = _example_unit(kind, "days")
        metric, other = {
            "length": (_example_unit(kind, "cm"), "in"), "altitude": ("m", "ft"), "size2": ("cm", "in"), "size3": ("cm", "in"),
            "mass": (_example_unit(kind, "g"), "oz"), "mass-gain": ("g", "oz"), "volume": ("litres", "quarts"),
            "power": ("W", ""), "energy": ("kWh", "Wh"), "power-per-length": ("W/m", "W/ft"), "humidity": ("%", ""), "water-content": ("g/g", ""),
            "water-potential": ("kPa", ""), "duration": (days, {"s": "min", "min": "h", "h": "days"}.get(days, "h")),
        }[kind.name]  # fmt: skip
        readings = f"{digits} {metric}" + (f" or {digits} {other}" if other else "")
    if start:
        units = [
            reading.removeprefix(digits) for reading in readings.split(" or ") if reading.startswith(digits)
        ]
        return Refusal(
            f"'{start}{digits}' has no unit", f"Write {' or '.join(start + digits + unit for unit in units)}."
        )
    return Refusal(f"the number {digits} has no unit", f"Write {readings}.")


def _example_unit(kind: Kind, default: str) -> str:
    found = re.search(r"[a-zA-Z%]+$", kind.example.strip())
    unit = known_unit(found.group()) if found else None
    return unit if unit in UNITS[kind.name] else default


@cache
def _limit(text: str | None, kind: Kind) -> float:
    if text is None:
        return float("nan")
    if kind.name in COUNTS or kind.name == "share":
        return float(text)
    found = _ONE.match(text)
    unit = unit_of("length" if kind.name.startswith("size") else kind.name, found["unit"]) if found else None
    if found is None or unit is None:
        raise ValueError(f"the schema's limit {text!r} is not {WORDS[kind.name]}")
    return _to_si(found["number"], unit)


def _hair(limit: str, kind: Kind) -> float:
    """By how much rounding may pass a limit: 1 h is 0.0059524 weeks."""
    return 1e-9 * max(1.0, abs(_limit(limit, kind)))


def _check_limits(value: object, numbers: tuple[float, ...], kind: Kind) -> None:
    below = kind.least is not None and min(numbers) < _limit(kind.least, kind) - _hair(kind.least, kind)
    above = kind.most is not None and max(numbers) > _limit(kind.most, kind) + _hair(kind.most, kind)
    if not below and not above:
        return
    allowed = f"{kind.least} to {kind.most}" if kind.least and kind.most else f"{kind.least or kind.most}"
    if kind.name == "temperature" and kind.least and kind.most:
        low, high = _limit(kind.least, kind), _limit(kind.most, kind)
        allowed += f" ({celsius_to_fahrenheit(low):.0f} to {celsius_to_fahrenheit(high):.0f} °F)"
        wrong_unit = numbers[0]
        as_fahrenheit, as_celsius = (wrong_unit - 32) * 5 / 9, celsius_to_fahrenheit(wrong_unit)
        if low <= as_fahrenheit <= high:
            hint = f"Is the unit right? {number(wrong_unit, 4)} °F would be {as_fahrenheit:.1f} °C."
        elif low <= as_celsius <= high and str(value).rstrip().lower().endswith("f"):
            hint = f"Is the unit right? {as_celsius:.1f} °C would be usual."
        else:
            hint = f"Is the unit right? Usual is {allowed}."
        raise Refusal(f"{found_text(value)} is probably a mix-up of units: outside {allowed}", hint)
    if kind.name in ("length", "size2", "size3") and kind.least and kind.most:
        inches = UNITS["length"]["in"].factor
        allowed += " ({} to {} in)".format(
            *(number(_limit(one, kind) / inches) for one in (kind.least, kind.most))
        )
    side = "too small" if below else "too large"
    raise Refusal(
        f"{found_text(value)} is {side}: {allowed} can stand here",
        f"Check the number and the unit. {_example(kind)}",
    )


def _example(kind: Kind) -> str:
    other = f", or {kind.us_example}" if kind.us_example else ""
    return f"Write it like this: {kind.example}{other}." if kind.example else f"Write {WORDS[kind.name]}."


def found_text(value: object) -> str:
    """What stands in the file, as it is named in a message."""
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "a block of entries"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"'{value}'"
