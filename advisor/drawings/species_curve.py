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
from advisor.drawings.key import Entry, key, line_and_range, swatch
from advisor.drawings.temperature_axis import temperature_ticks, unit_sign
from advisor.model.curves import Curve, CurvePiece, CurvePoint, ObservedPoint
from advisor.model.figures import Figure, Result
from advisor.show import Show

EDGE = 16.0  # units right of the plot
HEIGHT = 190.0  # units, of the picture without its key
LEAST_RADIUS, MOST_EGGS = 2.5, 400  # of the mark of a count; more eggs than that draw no larger mark
RADIUS_STEP = 0.4  # units of radius for each square root of an egg, so that the area goes with the count
LEAST_GAP = 0.3  # K between two pieces; less is a step of the drawn points, where only the evidence changes


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
    curve: Curve,
    what: str,
    species: str,
    show: Show,
    name: str,
    plan: PlanAt | None = None,
    width: float = WIDTH,
) -> Drawing:
    """The curve as a picture; `what` is "days" or "share", `name` is its id on the page."""
    temperatures = [point.temperature for point in _drawn(curve)]
    if plan is not None:
        temperatures += [*(plan.between or ()), *([] if plan.set_to is None else [plan.set_to])]
    ticks = temperature_ticks(min(temperatures), max(temperatures), show, 9)
    values = _values(curve, what)
    plot = Box(44.0, 24.0, width - EDGE, HEIGHT - 50.0)
    chart = _Chart(
        plot,
        Axis(ticks[0][0], ticks[-1][0], plot.left, plot.right),
        Axis(values[0], values[-1], plot.bottom, plot.top),
        what,
        show,
        name,
    )
    marks, numbers = level(chart.across, ticks, plot)
    texts = [(value, show.percent(value) if what == "share" else f"{value:g}") for value in values]
    steps, labels = upright(chart.up, texts, plot)
    heading = "Males" if what == "share" else "Days from laying to hatching"
    explained, key_labels, bottom = key(_entries(curve, plan, name), plot.bottom + 34.0, width)
    ours, our_labels = ([], []) if plan is None else _plan_marks(plan, chart)
    return Drawing(
        name=name,
        title=f"{heading} by temperature: {species}",
        description=_description(curve, plan, chart),
        height=bottom + 2.0,
        shapes=(
            *([] if plan is None else _seen(plan, chart)),
            *(_band(piece, chart) for piece in curve.pieces if len(piece.points) > 1),
            *frame(plot),
            *marks,
            *steps,
            *(_line(piece, chart) for piece in curve.pieces if len(piece.points) > 1),
            *(mark for point in curve.observed for mark in _marks(point, chart)),
            *ours,
            explained,
        ),
        labels=(
            Label(0.0, 10.0, heading, TEXT),
            *labels,
            *numbers,
            *_gap_labels(curve, chart),
            *our_labels,
            Label(plot.right, plot.bottom + 30.0, f"temperature of the eggs, {unit_sign(show)}", TEXT, "end"),
            *key_labels,
        ),
        width=width,
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
    return lines(
        [(chart.across.at(point.temperature), chart.up.at(point.value)) for point in piece.points], 2.0
    )


def _marks(point: ObservedPoint, chart: _Chart) -> Iterator[str]:
    """A bar over a stated range, then a circle or square whose area goes with its count."""
    x, y = chart.across.at(point.temperature), chart.up.at((point.low + point.high) / 2)
    if point.low < point.high:
        yield _bar(x, chart.up.at(point.low), chart.up.at(point.high))
    radius = max(LEAST_RADIUS, RADIUS_STEP * math.sqrt(min(point.eggs or 0, MOST_EGGS)))
    yield (_circle if point.known == "published" else _square)(x, y, radius)


def _bar(x: float, low: float, high: float) -> str:
    return line(x, low, x, high, 1.2)


def _circle(x: float, y: float, radius: float = 4.0) -> str:
    """Edged in white, to stand apart from the line and from other circles."""
    return ellipse(x, y, radius, radius, "#000", 1.0, edge="#fff")


def _square(x: float, y: float, half: float = 3.5) -> str:
    return rectangle(Box(x - half, y - half, x + half, y + half), "#fff", 1.2)


def _entries(curve: Curve, plan: PlanAt | None, name: str) -> Iterator[Entry]:
    """The marks that are drawn and what they mean, the same on every paper."""
    known = [point.known == "published" for point in curve.observed]
    if any(len(piece.points) > 1 for piece in curve.pieces):
        yield from line_and_range(name)
    if any(known):
        yield _circle, "counted (area by eggs)"
    if not all(known):
        yield _square, "weaker evidence (area by eggs)"
    if any(point.low < point.high for point in curve.observed):
        yield lambda x, y: _bar(x, y - 5.0, y + 5.0), "range that a source states"
    if plan is not None and plan.between is not None:
        yield swatch(hatched(name), 0.0), "what your eggs see"
    if plan is not None and plan.set_to is not None and isinstance(plan.expected, Figure):
        yield lambda x, y: "".join(_likely(x, y, y - 8.0, y + 8.0)), "likely at your set point"


def _likely(x: float, y: float, low: float, high: float) -> list[str]:
    """What to expect at the set point: a thick bar with a diamond."""
    diamond = ((x - 6.0, y), (x, y - 6.0), (x + 6.0, y), (x, y + 6.0))
    return [line(x, low, x, high, 4.0), shape(diamond, "#fff", 1.4)]


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
        shapes += _likely(x, up.at(expected.value), up.at(expected.low), up.at(expected.high))
    else:
        words += ": males not known"
    half = text_width(words, TEXT) / 2
    at = min(max(x, 40.0 + half), chart.plot.right + EDGE - 2.0 - half)
    return shapes, [Label(at, chart.plot.top - 7.0, words, TEXT, "middle")]


def _description(curve: Curve, plan: PlanAt | None, chart: _Chart) -> str:
    """The picture in words, for people who cannot see it."""
    show, points = chart.show, _points(curve)
    told = "; ".join(_value(point, chart) for point in points[:: max(len(points) // 6, 1)])
    told = f"{len(curve.observed)} points. Expected, with the likely range: {told}."
    for gap in _gaps(curve):
        told += f" From {show.temperature_range(*gap)} it is not known."
    for piece in curve.pieces:
        if piece.known != "published":
            ends = show.temperature_range(piece.points[0].temperature, piece.points[-1].temperature)
            told += f" At {ends} it rests on weaker evidence."
    if plan is None:
        return told
    if plan.set_to is not None:
        told += f" Your set point is {show.temperature(plan.set_to)}."
    if plan.between is not None:
        told += f" Your eggs see {show.temperature_range(*plan.between)}."
    if isinstance(plan.expected, Figure):
        share = show.figure(plan.expected)
        return f"{told} Expect {share} males."
    return f"{told} How many males to expect is not known: {plan.expected.reason}."


def _value(point: CurvePoint, chart: _Chart) -> str:
    show = chart.show
    if chart.what == "share":
        value, span = show.percent(point.value), show.percent_range(point.low, point.high)
    else:
        value, span = show.days(point.value), show.days_range(point.low, point.high)
    return f"{show.temperature(point.temperature)}: {value} ({span})"
