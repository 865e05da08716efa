"""Dates and yes-or-no as files hold them, dates in words too: "10 May 2027" is 2027-05-10.

What can be two days, and what lacks its year or its day, is a `Refusal` that names the readings.
"""

import calendar
import datetime
import re

from advisor.reading.quantities import WORDS, Refusal, found_text, refuse_long

_DATE = re.compile(r"^(\d{4})-(\d{2})-(\d{2})$")
FIRST_YEAR, LAST_YEAR = 1990, 2200  # of any date in a plan; far from where date arithmetic ends; judgement
YES_NO = {"yes": True, "no": False, "true": True, "false": False}
MONTHS = {
    name.lower(): number
    for names in (calendar.month_name, calendar.month_abbr)
    for number, name in enumerate(names)
    if name
} | {"sept": 9}
_FILLERS = frozenset((
    "of", "the", "on", "in", "about", "around", "approximately", "roughly", "circa", "was", "were", "is", "are", "she",
    "they", "it", "eggs", "expected", "due", "from", "probably", "maybe",
))  # fmt: skip


def read_yes_no(value: object) -> bool:
    """True or False from yes/no (the words) or true/false; raises `Refusal`."""
    refuse_long(value, WORDS["yes-no"])
    answer = value if isinstance(value, bool) else YES_NO.get(str(value).strip().lower())
    if answer is None:
        raise Refusal(f"{found_text(value)} stands where yes or no belongs", "Write yes or no.")
    return answer


def read_date(value: object) -> datetime.date:
    """A date from text like 2027-05-02 or 2 May 2027; raises `Refusal`."""
    refuse_long(value, WORDS["date"])
    if not isinstance(value, str):
        raise _no_date(value)
    found = _DATE.match(value.strip()) or _DATE.match(date_form(value))
    assert found is not None
    year, month, day = map(int, found.groups())
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise Refusal(f"the year of {value} is outside {FIRST_YEAR} to {LAST_YEAR}", "Check the year.")
    try:
        return datetime.date(year, month, day)
    except ValueError as error:
        raise Refusal(
            f"the date {value} does not exist", "Check the day and the month: year-month-day."
        ) from error


def read_date_range(value: object) -> tuple[datetime.date, datetime.date]:
    """Two dates from "2027-05-09 to 2027-05-16" or "9 to 16 May 2027", or one date twice; raises `Refusal`."""
    refuse_long(value, WORDS["date-range"])
    if not isinstance(value, str):
        raise _no_date(value)
    first, _, second = dates_form(value).partition(" to ")
    low = read_date(first)
    high = read_date(second) if second else low
    if low > high:
        raise Refusal(f"{found_text(value)} runs backwards", f"Write {high} to {low}.")
    return low, high


def date_form(text: str) -> str:
    """A date in words, or in any order that can only be one date, as 2027-05-10; raises `Refusal`."""
    return _iso(_date_parts(text), text)


def dates_form(text: str) -> str:
    """One date or two of them, "10 to 17 May 2027", or a whole month, as files take them; raises `Refusal`."""
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
    (year, month, day), (last_year, last_month, last_day) = found[0], found[-1]
    year, last_year = year or last_year, last_year or year
    month, last_month = month or last_month, last_month or month
    if month and year and not (day or last_day):  # whole months
        day, last_day = 1, calendar.monthrange(last_year, last_month)[1]
    both = (_iso((year, month, day), text), _iso((last_year, last_month, last_day), text))
    return " to ".join(dict.fromkeys(both))


_Parts = tuple[int, ...]  # year, month, day; 0 where it is not told


def _date_parts(text: str) -> _Parts:
    plain = re.sub(r"(?<=\d)(?:st|nd|rd|th)\b", "", text.lower())
    tokens = [part for part in re.findall(r"[^\W\d_]+|\d+", plain) if part not in _FILLERS]
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
    if month and not year:
        told = f"{day or ''} {calendar.month_name[month]}".strip()
        raise Refusal(f"'{text}' has no year", f"Write it with the year: {told} and the year.")
    if month and not day:
        raise Refusal(
            f"'{text}' names no day", f"Write day, month and year: 10 {calendar.month_name[month]} {year}."
        )
    if not (year and month and day):
        raise _no_date(text)
    return f"{year:04}-{month:02}-{day:02}"


def _no_date(value: object) -> Refusal:
    return Refusal(
        f"{found_text(value)} stands where a date belongs", "Write year-month-day, 2027-05-02, or 2 May 2027."
    )
