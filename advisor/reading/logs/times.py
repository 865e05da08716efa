"""Dates and clock times of a log. The order of day and month is found out from the whole log, or asked for; never guessed."""

import datetime
import itertools
import re
from array import array
from collections.abc import Iterable, Sequence

from msgspec import Struct

from advisor.model.logs import clock_time, usual_step

ORDERS = ("dmy", "mdy", "ymd")
DAY, HOUR = 86_400.0, 3600.0
_EPOCH = datetime.date(1970, 1, 1).toordinal()
_STAMP = re.compile(
    r"(?P<date>.+?)(?:[T ,]|, )\s*(?P<hour>\d{1,2}):(?P<minute>\d\d)(?::(?P<second>\d\d(?:[.,]\d+)?))?"
    r"\s*(?P<half>[aApP]\.?\s?[mM]\.?)?\s*(?P<zone>[zZ]|UTC|GMT|[+-]\d\d:?\d\d)?"
)
_CLOCK = re.compile(r"\d{1,2}:\d\d(?::\d\d(?:[.,]\d+)?)?(?:\s*[aApP]\.?\s?[mM]\.?)?")
_YEAR_FIRST = re.compile(r"(\d{4})([-/.])(\d{1,2})\2(\d{1,2})\.?")
_NUMBERS = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})\.?")
_NAMED = re.compile(r"(?:(\d{1,2})[-. ]+([A-Za-z]{3,9})|([A-Za-z]{3,9})[-. ]+(\d{1,2}),?)[-. ]+(\d{4})")
_MONTHS = {name.lower()[:3]: at for at, name in enumerate(
    ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"], 1
)}  # fmt: skip
_COUNT = re.compile(r"\d{1,9}(?:[.,]\d+)?")
_SECONDS = re.compile(r"\d{10}(?:\.\d+)?|\d{13}")
_ELAPSED = re.compile(r"[(\[,]?\b(s|secs?|seconds?|min|mins|minutes?|h|hrs?|hours?)\b[)\]]?\s*$", re.I)
_STEP_OF_MONTHS = 20.0  # days; where day and month are mixed up, each midnight jumps by a month


class Date(Struct, frozen=True):
    """A date as written: three numbers, and the orders in which they may be read; none where the year stands first.

    `dots` tells whether dots part the numbers.
    """

    numbers: tuple[int, int, int]
    orders: tuple[str, ...]
    dots: bool = False


def read_date_text(text: str) -> Date | None:
    """The date in a text, or None."""
    if found := _YEAR_FIRST.fullmatch(text):
        return _settled(int(found[1]), int(found[3]), int(found[4]))
    if found := _NAMED.fullmatch(text):
        month = _MONTHS.get((found[2] or found[3]).lower()[:3])
        return _settled(int(found[5]), month, int(found[1] or found[4])) if month else None
    if found := _NUMBERS.fullmatch(text):
        orders = ORDERS if len(found[4]) == 2 else ORDERS[:2]
        numbers = (int(found[1]), int(found[3]), int(found[4]))
        possible = tuple(order for order in orders if _day(numbers, order) is not None)
        return Date(numbers, possible, found[2] == ".") if possible else None
    return None


def _settled(year: int, month: int, day: int) -> Date | None:
    return Date((year, month, day), ()) if _day((year, month, day), "ymd") is not None else None


def _day(numbers: tuple[int, int, int], order: str) -> int | None:
    """Days since 1970, or None for no day of the calendar."""
    named = dict(zip(order, numbers, strict=True))
    year = named["y"] + (2000 if named["y"] < 100 else 0)
    try:
        return datetime.date(year, named["m"], named["d"]).toordinal() - _EPOCH
    except ValueError:
        return None


def elapsed_unit(header: str) -> float | None:
    """Seconds of the unit behind a header such as "Elapsed (min)"; None where none is told."""
    found = _ELAPSED.search(header)
    return None if found is None else {"s": 1.0, "m": 60.0, "h": HOUR}[found[1][0].lower()]


def is_clock(text: str) -> bool:
    """Whether a text is a time of day."""
    return bool(_CLOCK.fullmatch(text))


class Unclear(Exception):
    """Times that can be read in more than one way, or in none: what is unclear, what to do, row of the log."""

    def __init__(self, message: str, hint: str, row: int = 0) -> None:
        """Keeps the three."""
        self.message, self.hint, self.row = message, hint, row
        super().__init__(message)


class Stamps:
    """Collects the time of every row. Dates are kept as written until the last row has told their order."""

    def __init__(self, starts: float | None = None, unit: float = 1.0) -> None:
        """Nothing collected. Numbers count from `starts` [s since 1970] in a unit [s], where it is given."""
        self._starts, self._unit = starts, unit
        self._seen: dict[str, int] = {}
        self._dates: list[Date | None] = []
        self._first_row: list[int] = []
        self._date_at = array("l")
        self._second = array("d")
        self._marked = False
        self._zone: float | None = None
        self._hours: set[int] = set()
        self._clocks: dict[
            str, float
        ] = {}  # plain times of day that have been read; a day has no more than 86 400

    def add(self, text: str) -> bool:
        """Takes up the time in a text; False where there is none."""
        if self._starts is not None:
            if not _COUNT.fullmatch(text):
                return False
            return self._keep(-1, self._starts + float(text.replace(",", ".")) * self._unit)
        date, _, clock = text.rpartition(" " if " " in text else "T")
        known = self._clocks.get(clock)
        if known is not None and self._dates[place := self._seen.get(date, -1)] is not None and place >= 0:
            self._date_at.append(place)
            self._second.append(known)
            return True
        return self._add_new(text, clock)

    def _add_new(self, text: str, clock: str) -> bool:
        found = _STAMP.fullmatch(text)
        if found is None:
            if not _SECONDS.fullmatch(text):
                return False
            number = float(text)
            return self._keep(-1, number / 1000 if number > 1e11 else number)
        date, hour, minute, second, half, zone = found.groups()
        place = self._place_of(date)
        if self._dates[place] is None:
            return False
        hours = int(hour)
        self._hours.add(hours)
        if half:
            self._marked = True
            if not 1 <= hours <= 12:
                return False
            hours = hours % 12 + (12 if half[0] in "pP" else 0)
        if hours > 24 or int(minute) > 59:
            return False
        seconds = hours * HOUR + int(minute) * 60.0 + (float(second.replace(",", ".")) if second else 0.0)
        if zone:
            offset = _offset(zone)
            self._zone = offset if self._zone is None else self._zone
            seconds += self._zone - offset
        elif not half and is_clock(clock) and len(self._clocks) < DAY:
            self._clocks[clock] = seconds
        return self._keep(place, seconds)

    def _place_of(self, date: str) -> int:
        if date not in self._seen:
            self._seen[date] = len(self._dates)
            self._dates.append(read_date_text(date.strip()))
            self._first_row.append(len(self._second))
        return self._seen[date]

    def _keep(self, place: int, seconds: float) -> bool:
        self._date_at.append(place)
        self._second.append(seconds)
        return True

    def __len__(self) -> int:
        """How many times are kept."""
        return len(self._second)

    def seconds(self, asked: str | None) -> tuple["array[float]", tuple[str, ...]]:
        """Seconds since 1970 of every row in the order of the file, and what was found out, in sentences.

        asked: the order of --dates, or None. Raises `Unclear`.
        """
        notes: list[str] = []
        days = self._days(asked, notes)
        times = array(
            "d",
            (
                second if place < 0 else days[place] * DAY + second
                for place, second in zip(self._date_at, self._second, strict=True)
            ),
        )
        if self._dates and not self._marked and self._hours and max(self._hours) <= 12 and min(self._hours):
            ordered = sorted(times)
            if len(self._dates) > 2 and ordered[-1] - ordered[0] > 2 * DAY and len(self._hours) == 12:
                raise Unclear(
                    "the clock never passes 12:59, and no AM or PM tells the half of the day",
                    "Export the log with a 24-hour clock, or with AM and PM.",
                )
        if self._starts is None and self._zone is None and times:
            if self._dates and times[-1] < times[0]:  # newest first
                times.reverse()
                notes += _without_clock_changes(times)
                times.reverse()
            elif self._dates:
                notes += _without_clock_changes(times)
            else:
                notes.append("The log counts seconds since 1970: its times are shown in UTC.")
        return times, tuple(notes)

    def _days(self, asked: str | None, notes: list[str]) -> list[int]:
        dates = [date for date in self._dates if date is not None]
        unclear = [date for date in dates if date.orders]
        order = asked
        possible = tuple(order for order in ORDERS if all(order in date.orders for date in unclear))
        if unclear:
            if asked is None:
                order = self._found_order(unclear, possible, notes)
            elif asked not in possible:
                raise Unclear(
                    f"--dates {asked} cannot be: '{self._written(unclear, asked)}' is then no day",
                    "Leave --dates out, or name the order in which the log writes day, month and year.",
                )
        return [
            0 if date is None else _day(date.numbers, order if date.orders and order else "ymd") or 0
            for date in self._dates
        ]

    def _written(self, unclear: Sequence[Date], order: str | None = None) -> str:
        date = next((date for date in unclear if order is None or order not in date.orders), unclear[0])
        return next(text for text, place in self._seen.items() if self._dates[place] is date)

    def _found_order(self, unclear: Sequence[Date], possible: tuple[str, ...], notes: list[str]) -> str:
        if not possible:
            raise Unclear(
                "the log writes some dates day first and some month first",
                "Export it again with one form of dates, best 2027-04-20.",
            )
        if "dmy" in possible and all(date.dots for date in unclear) and "ymd" not in possible:
            return "dmy"  # with dots the day stands first wherever people write so
        if len(possible) == 1:
            return possible[0]
        steps = {order: list(_steps(unclear, order)) for order in possible}
        near = [order for order in possible if steps[order] and max(steps[order]) <= 1.0]
        far = [order for order in possible if steps[order] and min(steps[order]) >= _STEP_OF_MONTHS]
        if len(near) == 1 and len(far) == len(possible) - 1:
            notes.append(f"Dates are read as {near[0]}: in no other order do the days follow each other.")
            return near[0]
        choices = " or ".join(f"--dates {order}" for order in possible)
        raise Unclear(
            f"the date '{self._written(unclear)}' can be read in more than one way",
            f"Add {choices} (d day, m month, y year).",
            self._first_row[self._seen[self._written(unclear)]],
        )


def _steps(dates: Sequence[Date], order: str) -> Iterable[float]:
    for before, after in itertools.pairwise(dates):
        yield abs((_day(after.numbers, order) or 0) - (_day(before.numbers, order) or 0))


def _offset(zone: str) -> float:
    if not zone[-1].isdigit():
        return 0.0
    digits = zone[1:].replace(":", "")
    return (-1 if zone[0] == "-" else 1) * (int(digits[:2]) * HOUR + int(digits[2:]) * 60.0)


def _without_clock_changes(times: "array[float]") -> list[str]:
    """Takes the lost or doubled hour of the clocks' change out of the times, in place; tells each.

    A step of an hour and one interval, forward or back, on a Sunday between midnight and four in spring or autumn.
    """
    interval, shift, notes = usual_step(times), 0.0, []
    if not 0 < interval <= HOUR:
        return []
    before = times[0]
    for place in range(1, len(times)):
        now = times[place]
        step = now - before
        if abs(step) >= interval / 2 and 0.0 <= before % DAY < 4 * HOUR and _may_change(before):
            # Two sensors may share a time, so that a step back may also lack the interval.
            if abs(step - HOUR - interval) <= interval / 2 and before % DAY < 3 * HOUR and interval < HOUR:
                shift -= HOUR
                notes.append(f"The clock goes forward after {clock_time(before)}: the lost hour is no gap.")
            elif -HOUR - interval / 2 <= step <= -HOUR + 1.5 * interval and interval < HOUR:
                shift += HOUR
                notes.append(f"The clock goes back after {clock_time(before)}: the doubled hour is kept.")
        before = now
        times[place] = now + shift
    return notes


def _may_change(time: float) -> bool:
    day = datetime.date.fromordinal(_EPOCH + int(time // DAY))
    return day.weekday() == 6 and day.month in (3, 4, 9, 10, 11)
