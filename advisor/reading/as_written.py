"""Quantities and dates as people write them, to the form that files take: "about 30,5 cm" is 30.5 cm, "10 May 2027" is 2027-05-10.

Nothing is guessed. What can be read in two ways, and what lacks its unit or its year, is a `Refusal` that names the readings.
"""

import calendar
import re

from advisor.reading.dates import read_date, read_date_range, read_yes_no
from advisor.reading.quantities import (
    LONGEST,
    Kind,
    Refusal,
    read_quantity,
)
from advisor.reading.words import meant

MONTHS = {
    name.lower(): number
    for names in (calendar.month_name, calendar.month_abbr)
    for number, name in enumerate(names)
    if name
} | {"sept": 9}
NUMBERS = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
    "twenty",
]
YES_NO_ALSO = {
    "yes": ("y", "yep", "yeah", "sure", "true", "of course"),
    "no": ("n", "nope", "not", "false", "none"),
}
_ROUGHLY = r"about|around|approximately|approx\.?|roughly|circa|ca\.?|some|maybe|probably|perhaps|usually|nearly|almost|~|≈"
_DEGREES = re.compile(
    r"\s*(?:degrees?|deg\b\.?|[°º])\s*(?P<scale>(?:c|f|k|celsius|fahrenheit|kelvin)\b)?", re.IGNORECASE
)
_SIZED = re.compile(r"\s*\b(?:thick|wide|long|deep|high|tall|each|inside|across|in diameter)$", re.IGNORECASE)
_DATE_FILLERS = frozenset(
    [
        "of",
        "the",
        "on",
        "in",
        "about",
        "around",
        "approximately",
        "roughly",
        "circa",
        "was",
        "were",
        "is",
        "are",
        "she",
        "they",
        "it",
        "eggs",
        "expected",
        "due",
        "from",
        "probably",
        "maybe",
        "shed",
        "laid",
    ]
)


def read_value(value: object, kind: Kind) -> object:
    """What a file says of a quantity, in SI units; raises `Refusal`."""
    read = {"yes-no": read_yes_no, "date": read_date, "date-range": read_date_range}.get(kind.name)
    return read(value) if read else read_quantity(value, kind)


def in_file_form(text: str, kind: Kind) -> str:
    """The text as a file takes it: itself where that can be read, else rewritten; raises `Refusal`."""
    try:
        read_value(text, kind)
        return text
    except Refusal:
        if len(text) > LONGEST:
            raise
    form = _rewritten(text, kind)
    read_value(form, kind)
    return form


def better_refusal(value: object, kind: Kind, refusal: Refusal) -> Refusal:
    """The same fault with the hint that names the form to write, where it can be told from what stands there."""
    if not isinstance(value, str):
        return refusal
    try:
        return Refusal(refusal.message, f"Write `{in_file_form(value, kind)}`.")
    except Refusal as asked:
        return asked if _rewritten_differs(value, kind) else refusal


def _rewritten_differs(text: str, kind: Kind) -> bool:
    try:
        return len(text) <= LONGEST and _rewritten(text, kind) != text.strip()
    except Refusal:
        return True


def _rewritten(text: str, kind: Kind) -> str:
    if kind.name == "date":
        return date_form(text)
    if kind.name == "date-range":
        return dates_form(text)
    if kind.name == "yes-no":
        found = meant(text, ("yes", "no"), YES_NO_ALSO)
        return found.words[0] if found.sure else text.strip()
    return _quantity_form(text, kind)


def plain_number(text: str) -> str:
    """A text with its numbers as files take them: without "about", with a decimal point, in digits; raises `Refusal`."""
    text = re.sub(
        rf"^(?:(?:{_ROUGHLY})\s*)+(?=[\w.+−-])|\s+or so$|(?<=\w)[.!]+$", "", text.strip(), flags=re.IGNORECASE
    )
    text = re.sub(r"^(?:a )?dozen\b", "12", text, flags=re.IGNORECASE)
    words = "|".join(NUMBERS)
    text = re.sub(
        rf"\b(?:{words})\b", lambda found: str(NUMBERS.index(found[0].lower())), text, flags=re.IGNORECASE
    )
    text = re.sub(r"^(?:between|from)\s+(?=\S+.*\b(?:to|and)\b)", "", text, flags=re.IGNORECASE)
    return _with_points(text)


def _with_points(text: str) -> str:
    """Decimal commas as points, where they can be nothing else."""

    def point(found: re.Match[str]) -> str:
        whole, rest = found[1], found[2]
        if "," in rest or "." in rest or (len(rest) == 3 and len(whole) <= 3 and whole.strip("0")):
            digits = re.sub(r"[,.]", "", rest)
            raise Refusal(
                f"the comma in '{found[0]}' can part thousands or decimals",
                f"Write it without a comma: {whole}{rest.replace(',', '')}, or {float(f'{whole}.{digits}'):g}.",
            )
        return f"{whole}.{rest}"

    return re.sub(r"(?<![\d.,])(\d+),(\d[\d,.]*)(?<![.,])", point, text)


def _quantity_form(text: str, kind: Kind) -> str:
    form = plain_number(text)
    form = re.sub(r"(?<=\d)((?:\s*[^\d\s.]+)?)\s*(?:and|till|until|\.\.+)\s*(?=\d)", r"\1 to ", form)
    if kind.name.startswith("size"):
        form = re.sub(r"\s*\bby\b\s*", " x ", form, flags=re.IGNORECASE)
    if kind.name.startswith("temperature"):
        form = _DEGREES.sub(lambda found: f" °{found['scale'][0].upper()} " if found["scale"] else " ", form)
        form = " ".join(form.replace("°K", "K").split())
    if kind.name in ("length", "size2", "size3"):
        form = _SIZED.sub("", form)
    return form.strip()


def date_form(text: str) -> str:
    """A date in words, or in any order that can only be one date, as 2027-05-10; raises `Refusal`."""
    return _iso(_date_parts(text), text)


def dates_form(text: str) -> str:
    """One date or two of them, "10 to 17 May 2027", as files take them; raises `Refusal`."""
    plain = re.sub(r"^\s*between\b", "", text, flags=re.IGNORECASE)
    plain = re.sub(
        r"(\d(?:st|nd|rd|th)?)\s*[-–]\s*(?=\d{1,2}(?:st|nd|rd|th)?\s+[a-z]{3})",
        r"\1 to ",
        plain,
        flags=re.IGNORECASE,
    )
    plain = re.sub(r"([a-z] \d{1,2})\s*[-–]\s*(?=\d{1,2}\b(?!\d))", r"\1 to ", plain, flags=re.IGNORECASE)
    parts = re.split(r"\s+(?:to|until|till|and|[-–])\s+", plain.strip(), flags=re.IGNORECASE)
    if len(parts) > 2:
        raise _no_date(text)
    found = [_date_parts(part) for part in parts]
    first, last = found[0], found[-1]
    low = tuple(one or other for one, other in zip(first, last, strict=True))
    high = tuple(one or other for one, other in zip(last, first, strict=True))
    return " to ".join(dict.fromkeys((_iso(low, text), _iso(high, text))))


_Parts = tuple[int, ...]  # year, month, day; 0 where it is not told


def _date_parts(text: str) -> _Parts:
    plain = re.sub(r"(?<=\d)(?:st|nd|rd|th)\b", "", text.lower())
    tokens = [part for part in re.findall(r"[^\W\d_]+|\d+", plain) if part not in _DATE_FILLERS]
    numbers = [part for part in tokens if part.isdecimal() and len(part) in (1, 2, 4)]
    words = [part for part in tokens if not part.isdecimal()]
    if len(numbers) + len(words) != len(tokens) or len(words) > 1 or not tokens:
        raise _no_date(text)
    if words and words[0] not in MONTHS:
        raise _no_date(text)
    years = [int(number) for number in numbers if len(number) == 4]
    days = [int(number) for number in numbers if len(number) < 4]
    if words and len(years) <= 1 and len(days) <= 1:
        return (years or [0])[0], MONTHS[words[0]], (days or [0])[0]
    if not words and len(days) == 1 and len(years) <= 1:
        return (years or [0])[0], 0, days[0]
    if not words and len(years) == 1 and len(days) == 2:
        return _in_order(text, [len(number) for number in numbers].index(4), years[0], days)
    if len(days) > 1 and not years:
        raise Refusal(
            f"the year of '{text}' is not clear",
            "Write year-month-day, the year with four digits: 2027-05-10.",
        )
    raise _no_date(text)


def _in_order(text: str, place: int, year: int, days: list[int]) -> _Parts:
    """Three numbers with the year at a place; raises `Refusal` where day and month can be either way round."""
    one, two = days
    if place == 0:
        return year, one, two
    if place == 1:
        raise _no_date(text)
    if one <= 12 and two <= 12 and one != two:
        readings = " or ".join(
            f"{year}-{month:02}-{day:02} ({day} {calendar.month_name[month]})"
            for day, month in ((one, two), (two, one))
        )
        raise Refusal(f"'{text}' can be two days", f"Write {readings}.")
    return (year, two, one) if two <= 12 else (year, one, two)


def _iso(parts: _Parts, text: str) -> str:
    year, month, day = parts
    if month and day and not year:
        raise Refusal(
            f"'{text}' has no year",
            f"Write it with the year: {day} {calendar.month_name[month]} and the year.",
        )
    if year and month and not day and 1 <= month <= 12:
        last = calendar.monthrange(year, month)[1]
        raise Refusal(
            f"'{text}' names no day",
            f"Write the day. For the whole month write {year}-{month:02}-01 to {year}-{month:02}-{last}, where two dates can stand.",
        )
    if not (year and month and day):
        raise _no_date(text)
    return f"{year:04}-{month:02}-{day:02}"


def _no_date(text: str) -> Refusal:
    return Refusal(
        f"'{text}' stands where a date belongs", "Write year-month-day, 2027-05-02, or 2 May 2027."
    )
