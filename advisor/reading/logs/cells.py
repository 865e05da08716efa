"""One cell of a log: a number, a word for no value, a unit."""

import math
import re

NO_VALUE = frozenset(
    ["nan", "null", "none", "-", "--", "---", "n/a", "na", "#n/a", "#n/v", "#nv", "#na", "err", "err.", "error", "fault", "fail", "open", "ol", "or", "lo", "hi", "short", "no", "sensor", "nosensor", "disconnected", "unavailable", "unknown", "void", "invalid", "missing", "****", "***", "?", "1.#qnan", "-1.#ind", "1.#inf", "inf", "-inf"]
) | {"no value", "no data", "no sensor", "not connected"}  # fmt: skip
SWITCHES = {"on": 1.0, "off": 0.0, "true": 1.0, "false": 0.0, "yes": 1.0, "no": 0.0}
# What digital sensors send when they have measured nothing [°C]: just powered, not connected, out of range; common practice, no source.
ERROR_CODES = (85.0, -127.0, -55.0, -40.0, -100.0, -99.9, 0.0, 999.0, 999.9, 3276.7, 6553.5, -999.0, 9999.0)
_NUMBER = re.compile(r"([-+]?\d+(?:[.,]\d*)?|[-+]?[.,]\d+)\s*(.*)", re.DOTALL)
_UNITS = re.compile(
    r"(?:[°º?]|Â°|deg\.?|degrees?)?\s*(c|f|k|celsius|fahrenheit|kelvin)|℃|℉|%|%\s*rh|w|watts?", re.I
)
_IN_NAME = re.compile(
    r"℃|℉|(?:[°º]|Â°|\bdeg\.?\s*|_deg)\s?([CFK])\b|[(\[]\s*([CFK])\s*[)\]]|temp[a-z]*[ _]?([CF])$|\b(celsius|fahrenheit|kelvin)\b", re.I
)  # fmt: skip
_OTHER = re.compile(r"%|\brh\b|humid|dew|volt|\bbatt|\(v\)|pressure|hpa|lux|rssi", re.I)
_UNIT_BEHIND = re.compile(r"\s*(?:[(\[][^()\[\]]*[)\]]|(?:[°º]|Â°|\bdeg\.?\s*)[CFK]|℃|℉)\s*$", re.I)
_SPACES = str.maketrans({"\u00a0": " ", "\u202f": " ", "\u2009": " ", "\ufeff": "", "\u2212": "-"})


def clean(cell: str) -> str:
    """A cell without the spaces and signs that only spreadsheets write."""
    return cell.translate(_SPACES).strip().strip("\"'").strip()


def number_in(cell: str) -> float | None:
    """The number in a cell; NaN where the cell says that there is no value, None where it is neither.

    A comma is a decimal comma: where commas part the cells, one inside a cell stands in quotation marks.
    """
    try:
        value = float(cell)
    except ValueError:
        return _worded(clean(cell))
    return None if "_" in cell else value if math.isfinite(value) else math.nan


def _worded(text: str) -> float | None:
    found = _NUMBER.fullmatch(text)
    if found is None or (found[2] and not _UNITS.fullmatch(found[2].strip())):
        return math.nan if not text or text.lower() in NO_VALUE else None
    return float(found[1].replace(",", "."))


def is_number(cell: str) -> bool:
    """Whether a cell holds a number."""
    value = number_in(cell)
    return value is not None and not math.isnan(value)


def unit_in(text: str) -> str | None:
    """ "C", "F" or "K" of a header or of a cell of units; "other" for what is no temperature; None when nothing is told."""
    name = clean(text)
    found = _IN_NAME.search(name) or _UNITS.fullmatch(name)
    letter = next((group for group in (found.groups() if found else ()) if group), "")[:1].upper()
    if letter in ("C", "F", "K"):
        return letter
    if "℃" in name or "℉" in name:
        return "C" if "℃" in name else "F"
    return "other" if _OTHER.search(name) else None


def is_unit(text: str) -> bool:
    """Whether a cell is nothing but a unit."""
    return bool(_UNITS.fullmatch(clean(text)))


def unit_after(cell: str) -> str | None:
    """The unit behind the number in a cell: "28.5 °C"."""
    found = _NUMBER.fullmatch(clean(cell))
    return unit_in(found[2]) if found and found[2] else None


def bare_name(header: str) -> str:
    """A header without its unit: "T1" of "T1 (°C)"."""
    name = clean(header)
    return (_UNIT_BEHIND.sub("", name) or name).strip()
