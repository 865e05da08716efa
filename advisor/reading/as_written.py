"""Quantities and dates as people write them, to the form that files take: "about 30,5 cm" is 30.5 cm, "10 May 2027" is 2027-05-10.

Nothing is guessed. What can be read in two ways, and what lacks its unit or its year, is a `Refusal` that names the readings.
"""

import re

from advisor.reading.dates import date_form, dates_form, read_date, read_date_range, read_yes_no
from advisor.reading.quantities import LONGEST, Kind, Refusal, read_quantity
from advisor.reading.words import meant

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
_BY_NIGHT = re.compile(
    r"[\s,]*\b(?:(?:at|by|in|during|on) )?(?:the )?(?:(?:coldest|warmest) )?(?:night|day)(?:s|times?|-time)?\b[\s,]*(?:and\b)?",
    re.IGNORECASE,
)
_TWO_TEMPERATURES = re.compile(r"(-?\d+(?:\.\d+)?) ?(°?[CF])? (-?\d+(?:\.\d+)?) ?(°?[CF])?", re.IGNORECASE)
_SIZED = re.compile(r"\s*\b(?:thick|wide|long|deep|high|tall|each|inside|across|in diameter)$", re.IGNORECASE)


def read_value(value: object, kind: Kind) -> object:
    """What a file says of a quantity, in SI units; raises `Refusal`."""
    read = {"yes-no": read_yes_no, "date": read_date, "date-range": read_date_range}.get(kind.name)
    return read(value) if read else read_quantity(value, kind)


def in_file_form(text: str, kind: Kind) -> str:
    """The text as a file takes it: itself where that can be read, else rewritten; raises `Refusal`."""
    try:
        read_value(text, kind)
        if not kind.name.startswith("date"):
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
    text = re.sub(r"^(?:a )?(?:couple|pair)\b(?: of\b)?", "2", text, flags=re.IGNORECASE)
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
        if kind.range and "night" in kind.about:
            form = _by_night_and_day(form)
    if kind.name in ("length", "size2", "size3"):
        form = _SIZED.sub("", form)
    return form.strip()


def _by_night_and_day(form: str) -> str:
    """ "50 °F at night, 64 °F by day" as from the colder to the warmer."""
    words = re.findall("night|day", form, re.IGNORECASE)
    found = _TWO_TEMPERATURES.fullmatch(" ".join(_BY_NIGHT.sub(" ", form).split()))
    if len(words) != 2 or not found:
        return form
    unit, other = found[2] or found[4], found[4] or found[2]
    (low, low_unit), (high, high_unit) = sorted(
        ((found[1], unit), (found[3], other)), key=lambda one: float(one[0])
    )
    return f"{low} {low_unit or ''} to {high} {high_unit or ''}".strip()
