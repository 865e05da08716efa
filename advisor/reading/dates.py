"""Dates and yes-or-no as files hold them."""

import datetime
import re

from advisor.reading.quantities import WORDS, Refusal, found_text, refuse_long

_DATE = re.compile(r"^(\d{4})-(\d{2})-(\d{2})$")
FIRST_YEAR, LAST_YEAR = 1990, 2200  # of any date in a plan; far from where date arithmetic ends; judgement
YES_NO = {"yes": True, "no": False, "true": True, "false": False}


def read_yes_no(value: object) -> bool:
    """True or False from yes/no (the words) or true/false; raises `Refusal`."""
    refuse_long(value, WORDS["yes-no"])
    answer = value if isinstance(value, bool) else YES_NO.get(str(value).strip().lower())
    if answer is None:
        raise Refusal(f"{found_text(value)} stands where yes or no belongs", "Write yes or no.")
    return answer


def read_date(value: object) -> datetime.date:
    """A date from text like 2027-05-02; raises `Refusal`."""
    refuse_long(value, WORDS["date"])
    found = _DATE.match(str(value).strip())
    if not found:
        raise Refusal(
            f"{found_text(value)} stands where a date belongs",
            "Write year-month-day, month and day with two digits: 2027-05-02.",
        )
    if not FIRST_YEAR <= int(found[1]) <= LAST_YEAR:
        raise Refusal(f"the year of {value} is outside {FIRST_YEAR} to {LAST_YEAR}", "Check the year.")
    try:
        return datetime.date(int(found[1]), int(found[2]), int(found[3]))
    except ValueError as error:
        raise Refusal(
            f"the date {value} does not exist", "Check the day and the month: year-month-day."
        ) from error


def read_date_range(value: object) -> tuple[datetime.date, datetime.date]:
    """Two dates from "2027-05-09 to 2027-05-16", or one date twice; raises `Refusal`."""
    refuse_long(value, WORDS["date-range"])
    first, _, second = str(value).partition(" to ")
    low = read_date(first)
    high = read_date(second) if second else low
    if low > high:
        raise Refusal(f"{found_text(value)} runs backwards", f"Write {high} to {low}.")
    return low, high
