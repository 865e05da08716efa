"""An entry of the calendar, and the calendar as a whole."""

import datetime

from msgspec import Struct

from advisor.model.plan import EggBox
from advisor.reading.problems import printable
from advisor.show import Show

DAY = datetime.timedelta(days=1)
LONGEST_NAME = 40  # characters of a keeper's own name in the heading of an entry; judgement


class Entry(Struct, frozen=True):
    """One entry: a key that stays the same from one writing to the next, first and last day, heading, text.

    `prepare`: something has to be got ready for it, so the alarm rings on the day before; else on the morning itself. It
    comes `times` times, `every` so many days.
    """

    key: str
    first: datetime.date
    last: datetime.date
    heading: str
    text: str
    prepare: bool = False
    every: int = 1
    times: int = 1

    @property
    def end(self) -> datetime.date:
        """The last day of the last time."""
        return self.last + (self.times - 1) * self.every * DAY


class LeftOut(Struct, frozen=True):
    """Something that has no date yet: what, why or what to add, and the plan entry to point at."""

    what: str
    add: str
    path: str


class Season(Struct, frozen=True):
    """The whole calendar, entries in the order of their days."""

    title: str
    entries: tuple[Entry, ...]
    left_out: tuple[LeftOut, ...]


def one_line(text: str, most: int = LONGEST_NAME) -> str:
    """A keeper's own text on one line, with no character that could steer a reader."""
    return printable(" ".join(text.split()), most)


def makes_top_ups(box: EggBox) -> bool:
    """Whether the plan adds water to a box."""
    return box.top_up is not None and box.top_up.way != "none"


def amount(water: float, show: Show) -> str:
    """Water to add [kg] to two digits, since the forecast is not better."""
    return show.mass(float(f"{water:.2g}"))
