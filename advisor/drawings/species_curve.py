"""A curve of one species over temperature, days to hatching or share of males, with its range and counts; and where a plan lies."""

import math
from collections.abc import Iterator
from itertools import pairwise

from msgspec import Struct

from advisor.drawings.axes import TEXT, Axis, frame, level, round_steps, upright
from advisor.drawings.canvas import (
    WIDTH,
    Box,
    Drawing,
    Label,
    dotted,
    ellipse,
    hatched,
    line,
    lines,
    rectangle,
    shape,
    text_width,
)
from advisor.drawings.temperature_axis import temperature_ticks, unit_sign
from advisor.model.curves import Curve, CurvePiece, CurvePoint, ObservedPoint
from advisor.model.figures import Figure, Result
from advisor.show import Show

HEIGHT = 238.0  # units, of the picture without the words that explain it
ROW = 12.0  # units, of each line of those
LEAST_RADIUS, MOST_EGGS = 3.5, 400  # of the circle of a count; more eggs than that draw no larger circle
RADIUS_STEP = 0.15  # units of radius for each square root of an egg, so that area goes with the count
LEAST_GAP = 0.3  # K between two pieces; less is a step of the drawn points, where only the evidence changes
KEYS = (
    "line: expected, dashed on weaker evidence; dotted: likely range (95 %)",
    "circles: counts; open squares: weaker evidence; larger for more eggs; upright bar: stated range",
)
OUR_KEY = "hatched: what your eggs see; thick bar: likely at your set point"


class PlanAt(Struct, frozen=True):
    """Where a plan lies: set point [°C], temperatures the eggs see [°C], what to expect there."""

    set_to: float | None
    between: tuple[float, float] | None
    expected: Result


class _Chart(Struct, frozen=True):
    """The place of the curve on the sheet, its axes, and how it is told."""

    plot: Box
    across: Axis
    up: Axis
    what: str
    show: Show
    name: str


def curve_drawing(
    curve: Curve, what: str, species: str, show: Show, name: str, plan: PlanAt | None = None
) -> Drawing:
    """The curve as a picture; `what` is "days" or "share", `name` is its id on the page."""
    temperatures = [point.temperature for point in _drawn(curve)]
    if plan is not None:
        temperatures += [*(plan.between or ()), *([] if plan.set_to is None else [plan.set_to])]
    ticks = temperature_ticks(min(temperatures), max(temperatures), show, 9)
    values = _values(curve, what)
    plot = Box(44.0, 24.0, WIDTH - 16.0, HEIGHT - 50.0)
    chart = _Chart(
        plot,
        Axis(ticks[0][0], ticks[-1][0], plot.left, plot.right),
        Axis(values[0], values[-1], plot.bottom, plot.top),
        what,
        show,
        name,
    )
    marks, numbers = level(chart.across, [at for at, _ in ticks], [text for _, text in ticks], plot)
    texts = [show.percent(value) if what == "share" else f"{value:g}" for value in values]
    steps, labels = upright(chart.up, values, texts, plot)
    heading = "Males" if what == "share" else "Days from laying to hatching"
    keys = KEYS if plan is None else (*KEYS, OUR_KEY)
    ours, our_labels = ([], []) if plan is None else _plan_marks(plan, chart)
    return Drawing(
        name=name,
        title=f"{heading} by temperature: {species}",
        description=_description(curve, plan, chart),
        height=HEIGHT + ROW * (len(keys) - 1),
        shapes=(
            *([] if plan is None else _seen(plan, chart)),
            *(_band(piece, chart) for piece in curve.pieces if len(piece.points) > 1),
            *frame(plot),
            *marks,
            *steps,
            *(_line(piece, chart) for piece in curve.pieces),
            *(mark for point in curve.observed for mark in _marks(point, chart)),
            *ours,
        ),
        labels=(
            Label(0.0, 10.0, heading, TEXT),
            *labels,
            *numbers,
            *_gap_labels(curve, chart),
            *our_labels,
            Label(plot.right, plot.bottom + 30.0, f"temperature of the eggs, {unit_sign(show)}", TEXT, "end"),
            *(Label(0.0, plot.bottom + 46.0 + ROW * row, key, TEXT) for row, key in enumerate(keys)),
        ),
    )


def _drawn(curve: Curve) -> list[CurvePoint | ObservedPoint]:
    return [*_points(curve), *curve.observed]


def _points(curve: Curve) -> list[CurvePoint]:
    return [point for piece in curve.pieces for point in piece.points]


def _values(curve: Curve, what: str) -> list[float]:
    if what == "share":
        return [0.0, 0.25, 0.5, 0.75, 1.0]
    drawn = _drawn(curve)
    return round_steps(min(point.low for point in drawn), max(point.high for point in drawn), 6)


def _band(piece: CurvePiece, chart: _Chart) -> str:
    there = [(chart.across.at(point.temperature), chart.up.at(point.low)) for point in piece.points]
    back = [(chart.across.at(point.temperature), chart.up.at(point.high)) for point in reversed(piece.points)]
    return shape([*there, *back], dotted(chart.name), 0.5)


def _line(piece: CurvePiece, chart: _Chart) -> str:
    points = [(chart.across.at(point.temperature), chart.up.at(point.value)) for point in piece.points]
    return lines(points, 2.0, "" if piece.known == "published" else "7 4")


def _marks(point: ObservedPoint, chart: _Chart) -> Iterator[str]:
    """A bar over a stated range, then a circle or square as large as its count, edged in white to stand apart."""
    x, y = chart.across.at(point.temperature), chart.up.at((point.low + point.high) / 2)
    if point.low < point.high:
        yield line(x, chart.up.at(point.low), x, chart.up.at(point.high), 1.2)
    radius = LEAST_RADIUS + RADIUS_STEP * math.sqrt(min(point.eggs or 0, MOST_EGGS))
    if point.known == "published":
        yield ellipse(x, y, radius, radius, "#000", 1.0, edge="#fff")
    else:
        yield rectangle(Box(x - radius, y - radius, x + radius, y + radius), "#fff", 1.2)


def _gaps(curve: Curve) -> Iterator[tuple[float, float]]:
    """Temperatures [°C] between which nothing can be told."""
    for before, after in pairwise(curve.pieces):
        left, right = before.points[-1].temperature, after.points[0].temperature
        if right - left > LEAST_GAP:
            yield left, right


def _gap_labels(curve: Curve, chart: _Chart) -> Iterator[Label]:
    plot = chart.plot
    for gap in _gaps(curve):
        left, right = map(chart.across.at, gap)
        for words in ("not known", "?"):
            if text_width(words, TEXT) + 4.0 < right - left:
                yield Label((left + right) / 2, (plot.top + plot.bottom) / 2, words, TEXT, "middle")
                break


def _seen(plan: PlanAt, chart: _Chart) -> Iterator[str]:
    """The temperatures that the eggs see."""
    if plan.between is not None:
        left, right = map(chart.across.at, plan.between)
        yield rectangle(Box(left, chart.plot.top, right, chart.plot.bottom), hatched(chart.name), 0.0)


def _plan_marks(plan: PlanAt, chart: _Chart) -> tuple[list[str], list[Label]]:
    """The set point, and what to expect there."""
    if plan.set_to is None:
        return [], []
    x, up, expected = chart.across.at(plan.set_to), chart.up, plan.expected
    shapes = [line(x, chart.plot.top - 4.0, x, chart.plot.bottom, 1.6)]
    words = f"your set point, {chart.show.temperature(plan.set_to)}"
    if isinstance(expected, Figure):
        y = up.at(expected.value)
        shapes += [
            line(x, up.at(expected.low), x, up.at(expected.high), 4.0),
            shape(((x - 6.0, y), (x, y - 6.0), (x + 6.0, y), (x, y + 6.0)), "#fff", 1.4),
        ]
    else:
        words += ": males not known"
    half = text_width(words, TEXT) / 2
    at = min(max(x, 40.0 + half), WIDTH - 2.0 - half)
    return shapes, [Label(at, chart.plot.top - 7.0, words, TEXT, "middle")]


def _description(curve: Curve, plan: PlanAt | None, chart: _Chart) -> str:
    """The picture in words, for people who cannot see it."""
    show, points = chart.show, _points(curve)
    told = "; ".join(_value(point, chart) for point in points[:: max(len(points) // 6, 1)])
    told = f"{len(curve.observed)} points. Expected, with the likely range: {told}."
    for gap in _gaps(curve):
        told += f" From {show.temperature_range(*gap)} it is not known."
    if plan is None:
        return told
    if plan.set_to is not None:
        told += f" Your set point is {show.temperature(plan.set_to)}."
    if plan.between is not None:
        told += f" Your eggs see {show.temperature_range(*plan.between)}."
    if isinstance(plan.expected, Figure):
        share = show.about_percent(plan.expected.value, plan.expected.low, plan.expected.high)
        return f"{told} Expect {share} males."
    return f"{told} How many males to expect is not known: {plan.expected.reason}."


def _value(point: CurvePoint, chart: _Chart) -> str:
    show = chart.show
    if chart.what == "share":
        value, span = show.percent(point.value), show.percent_range(point.low, point.high)
    else:
        value, span = show.days(point.value), show.days_range(point.low, point.high)
    return f"{show.temperature(point.temperature)}: {value} ({span})"
