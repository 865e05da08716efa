"""Axes of charts: round steps, ticks with their numbers, dates along the bottom."""

import datetime
import math

from msgspec import Struct

from advisor.drawings.canvas import SIZE, Box, Label, line, text_width
from advisor.wording import month_words, short_day

TEXT = SIZE  # of the numbers at an axis
MOST_MONTHS = 5  # months marked; more would run into each other
APART = 6.0  # units, least gap between two numbers

Marks = list[tuple[float, str]]  # values to mark at an axis, with their words


class Axis(Struct, frozen=True):
    """A straight axis: its first and last value, and where they lie on the sheet."""

    first: float
    last: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Where a value lies."""
        return self.start + (value - self.first) / (self.last - self.first) * (self.end - self.start)


def round_steps(low: float, high: float, most: int = 6) -> list[float]:
    """Round values from at or below `low` to at or above `high`: steps of 1, 2 or 5 with a power of ten."""
    span = max(high - low, 1e-9)
    raw = span / most
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(step * power for step in (1.0, 2.0, 5.0, 10.0) if step * power >= raw * 0.999)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return [round(number * step, 9) for number in range(first, last + 1)]


def frame(plot: Box) -> list[str]:
    """The left and the bottom line of a chart."""
    return [
        line(plot.left, plot.top, plot.left, plot.bottom, 1.2),
        line(plot.left, plot.bottom, plot.right, plot.bottom, 1.2),
    ]


def upright(axis: Axis, marks: Marks, plot: Box) -> tuple[list[str], list[Label]]:
    """Ticks and numbers at the left of a chart."""
    ticks = [line(plot.left - 4.0, axis.at(value), plot.left, axis.at(value)) for value, _ in marks]
    labels = [
        Label(plot.left - 7.0, axis.at(value) + 0.35 * SIZE, text, SIZE, "end") for value, text in marks
    ]
    return ticks, labels


def level(axis: Axis, marks: Marks, plot: Box) -> tuple[list[str], list[Label]]:
    """Ticks and numbers below a chart; a number that would touch the one before it is left out."""
    ticks = [line(axis.at(value), plot.bottom, axis.at(value), plot.bottom + 4.0) for value, _ in marks]
    labels: list[Label] = []
    taken = -math.inf
    for value, text in marks:
        half = text_width(text, SIZE) / 2
        if axis.at(value) - half < taken + APART:
            continue
        labels.append(Label(axis.at(value), plot.bottom + 6.0 + SIZE, text, SIZE, "middle"))
        taken = axis.at(value) + half
    return ticks, labels


def day_ticks(first: datetime.date, last: datetime.date) -> Marks:
    """Days to mark between two dates, as ordinals, with their words: weeks in a short span, else whole months."""
    if (last - first).days <= 70:
        start = first + datetime.timedelta(days=(7 - first.weekday()) % 7)
        days = [start + datetime.timedelta(days=7 * week) for week in range((last - start).days // 7 + 1)]
        return [(float(day.toordinal()), short_day(day)) for day in days]
    days = []
    day = first.replace(day=1)
    every = next(step for step in (1, 2, 3, 6, 12, 10**6) if (last - first).days / 30 / step <= MOST_MONTHS)
    while day <= last:
        if day >= first and (day.month - 1) % every == 0:
            days.append(day)
        day = (day.replace(day=28) + datetime.timedelta(days=4)).replace(day=1)
    return [(float(day.toordinal()), month_words(day)) for day in days]
