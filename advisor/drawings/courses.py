"""A figure over time with its likely range; by day in one kind of egg box: water in the medium, and what the scale should read."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise

from msgspec import Struct

from advisor.drawings.axes import Axis, frame, level, round_steps, upright
from advisor.drawings.canvas import (
    COLUMN,
    SIZE,
    Box,
    Drawing,
    Label,
    dotted,
    hatched,
    line,
    lines,
    rectangle,
    shape,
    text_width,
)
from advisor.drawings.key import Entry, key, line_and_range, swatch
from advisor.model.figures import Figure, Unknown
from advisor.model.forecast import EggBoxForecast
from advisor.model.papers import ScaleReading
from advisor.show import Show
from advisor.units import UNITS

Course = Sequence[tuple[float, Figure]]
WATER, SCALE = (COLUMN, 130.0), (206.0, 132.0)  # units, width of a chart and lower end of its plot


def water_chart(
    box: EggBoxForecast,
    course: Course,
    other: Course,
    band: tuple[float, float] | None,
    show: Show,
    name: str = "water",
) -> Drawing | Unknown:
    """Grams of water for each gram of dry medium by day of incubation; `band` is what the eggs bear [kg/kg].

    `course` holds a day with a top-up twice, before and after it: there the line goes straight up. `other` is the course with
    the top-ups that the plan does not make, or without those that it makes: a second line.
    """
    if not course:
        reason = (
            box.water.water_loss.reason if isinstance(box.water.water_loss, Unknown) else "no days are known"
        )
        return Unknown(reason)
    highest = max([figure.high for _, figure in (*course, *other)] + ([band[1]] if band else []))
    first, last, made = course[0][1], course[-1][1], _top_ups(course)
    told = f"It starts at {show.water_content(first.value)} and ends at {show.water_content(last.value)}"
    told += f" ({show.water_content_range(last.low, last.high)}) on day {course[-1][0]:.0f}."
    if band is not None:
        told += f" The eggs bear {show.water_content_range(*band)}."
    if made:
        told += f" Top-ups on day {', '.join(f'{day:.0f}' for day in made)}."
    chart = Chart(course, other, course[-1][0], round_steps(0.0, highest, 5), name, WATER)
    return chart.drawn(
        f"Water in the medium of box '{box.name}' by day",
        "Water, g to each g of dry medium, by day",
        told,
        band=band,
    )


def scale_chart(
    readings: Sequence[ScaleReading], other: Course, last_day: int, tare: float | None, show: Show, name: str
) -> Drawing:
    """What the scale should read, to plot on; with the mass of the empty box [kg] it tells the whole box.

    A day with a top-up stands twice in the line, before and after it. Days after the likely hatching, up to `last_day`,
    are left to plot on.
    """
    unit = "oz" if show.us else "g"
    gram, empty = UNITS["mass"][unit].factor, tare or 0.0
    course = [
        (reading.day, mass)
        for reading in readings
        for mass in (reading.mass, reading.after)
        if mass is not None
    ]

    def inside(kilograms: float) -> float:
        return (kilograms + empty) / gram

    masses = [mass for _, mass in (*course, *other)]
    low, high = min(mass.low for mass in masses), max(mass.high for mass in masses)
    steps = round_steps(inside(low), inside(high), 6)
    what = "the whole closed box" if tare is not None else "without the box"
    chart = Chart(course, other, last_day, steps, name, SCALE, inside)
    return chart.drawn(
        "What the scale should read",
        f"{unit} by day, {what}",
        f"From {inside(course[0][1].value):.0f} to {inside(course[-1][1].value):.0f} {unit} "
        f"in {show.days(course[-1][0])}. The table has the figures.",
        grid=True,
    )


def _top_ups(course: Course) -> list[float]:
    return [day for (day, _), (after, _) in pairwise(course) if day == after]


class Chart(Struct, frozen=True):
    """One course by day or hour and its axes; `value` turns an SI figure into what stands at the upright axis.

    `beside` is room right of the plot; a course holds a day with a top-up twice.
    """

    course: Course
    other: Course
    last: float
    steps: list[float]
    name: str
    size: tuple[float, float]
    value: Callable[[float], float] = float
    beside: float = 6.0

    @property
    def plot(self) -> Box:
        left = 12.0 + max(text_width(f"{step:g}") for step in self.steps)
        return Box(left, 18.0, self.size[0] - self.beside, self.size[1])

    @property
    def across(self) -> Axis:
        return Axis(0.0, max(self.last, 1.0), self.plot.left, self.plot.right)

    @property
    def up(self) -> Axis:
        return Axis(self.steps[0], self.steps[-1], self.plot.bottom, self.plot.top)

    @property
    def days(self) -> list[float]:
        return [day for day in round_steps(0.0, self.last, 7) if day <= self.last]

    def points(self, end: str, of: Course) -> list[tuple[float, float]]:
        return [(self.across.at(day), self.up.at(self.value(getattr(mass, end)))) for day, mass in of]

    def drawn(
        self,
        title: str,
        heading: str,
        description: str,
        band: tuple[float, float] | None = None,
        grid: bool = False,
        marks: Sequence[str] = (),
        words: Sequence[Label] = (),
        entries: Iterable[Entry] = (),
    ) -> Drawing:
        """The picture; `marks`, `words` and `entries` of the key come from whoever draws more on it."""
        plot, name, made = self.plot, self.name, _top_ups(self.course)
        ticks, numbers = upright(self.up, [(step, f"{step:g}") for step in self.steps], plot)
        strokes, dates = level(self.across, [(day, f"{day:.0f}") for day in self.days], plot)
        known = (*self._entries(band is not None, bool(made)), *entries)
        explained, key_words, bottom = key(known, plot.bottom + 18.0, self.size[0])
        line_of = self.points("value", self.course)
        shapes = [
            *([self._band(band)] if band else []),
            *(self._grid() if grid else []),
            shape(
                [*self.points("low", self.course), *reversed(self.points("high", self.course))],
                dotted(name),
                0.4,
            ),
            *frame(plot),
            *ticks,
            *strokes,
            *([lines(self.points("value", self.other), 0.9)] if self.other else []),
            lines(line_of, 4.0).replace("#000", "#fff"),  # keeps it apart from the hatching
            lines(line_of, 2.0),
            *(_triangle(self.across.at(day), plot.bottom - 5.0) for day in made),
            *marks,
            explained,
        ]
        labels = (Label(0.0, 9.0, heading, SIZE), *numbers, *dates, *words, *key_words)
        return Drawing(name, title, description, bottom + 2.0, tuple(shapes), labels, width=self.size[0])

    def _grid(self) -> Iterator[str]:
        """Lines to plot on."""
        plot = self.plot
        for step in self.steps:
            yield line(plot.left, self.up.at(step), plot.right, self.up.at(step), 0.3)
        for day in self.days:
            yield line(self.across.at(day), plot.top, self.across.at(day), plot.bottom, 0.3)

    def _band(self, band: tuple[float, float]) -> str:
        low, high = (self.up.at(end) for end in band)
        return rectangle(Box(self.plot.left, high, self.plot.right, low), hatched(self.name), 0.6)

    def _entries(self, band: bool, made: bool) -> Iterator[Entry]:
        yield from line_and_range(self.name)
        if band:
            yield swatch(hatched(self.name), 0.6), "what eggs bear"
        if made:
            yield _triangle, "top-up"
        if self.other:
            words = "without top-ups" if made else "with top-ups, not planned"
            yield lambda x, y: line(x - 8.0, y, x + 8.0, y, 0.9), words


def _triangle(x: float, y: float) -> str:
    return shape(((x, y + 4.0), (x - 4.0, y - 4.0), (x + 4.0, y - 4.0)))
