"""A curve of a species profile over temperature: days to hatching or share of males, with range and counts."""

import math

from advisor.drawings.axes import TEXT, Axis, frame, level, round_steps, upright
from advisor.drawings.canvas import WIDTH, Box, Drawing, Label, dotted, ellipse, line, lines, shape
from advisor.drawings.temperature_axis import temperature_ticks, unit_sign
from advisor.model.curves import Curve, CurvePiece, CurvePoint, ObservedPoint
from advisor.show import Show

HEIGHT = 250.0  # units, of the whole picture
LEAST_RADIUS, MOST_EGGS = 2.5, 400  # of the circle of a count; more eggs than that draw no larger circle
RADIUS_STEP = 0.3  # units of radius for each square root of an egg, so that area goes with the count


def curve_drawing(curve: Curve, what: str, species: str, show: Show, name: str) -> Drawing:
    """The curve as a picture; `what` is "days" or "share", `name` is its id on the page."""
    points = [point for piece in curve.pieces for point in piece.points]
    temperatures = [point.temperature for point in points] + [point.temperature for point in curve.observed]
    ticks = temperature_ticks(min(temperatures), max(temperatures), show, 9)
    plot = Box(44.0, 24.0, WIDTH - 16.0, HEIGHT - 62.0)
    across = Axis(ticks[0][0], ticks[-1][0], plot.left, plot.right)
    values = _values(curve, what)
    up = Axis(values[0], values[-1], plot.bottom, plot.top)
    marks, numbers = level(across, [at for at, _ in ticks], [text for _, text in ticks], plot)
    texts = [show.percent(value) if what == "share" else f"{value:g}" for value in values]
    steps, labels = upright(up, values, texts, plot)
    heading = "Males" if what == "share" else "Days from laying to hatching"
    keys = [
        "line: expected; dotted: likely range (95 %); circles: counts, larger for more eggs;",
        "dashed line and crosses: weaker evidence; upright bar: range that a source states",
    ]
    return Drawing(
        name=name,
        title=f"{heading} by temperature: {species}",
        description=_told(curve, what, show),
        height=HEIGHT,
        shapes=(
            *(_band(piece, across, up, name) for piece in curve.pieces if len(piece.points) > 1),
            *frame(plot),
            *marks,
            *steps,
            *(_line(piece, across, up) for piece in curve.pieces),
            *(mark for point in curve.observed for mark in _marks(point, across, up)),
        ),
        labels=(
            Label(0.0, 10.0, heading, TEXT),
            *labels,
            *numbers,
            Label(plot.right, plot.bottom + 30.0, f"temperature of the eggs, {unit_sign(show)}", TEXT, "end"),
            *(Label(0.0, plot.bottom + 46.0 + 12.0 * row, key, TEXT) for row, key in enumerate(keys)),
        ),
    )


def _values(curve: Curve, what: str) -> list[float]:
    if what == "share":
        return [0.0, 0.25, 0.5, 0.75, 1.0]
    points = [point for piece in curve.pieces for point in piece.points]
    lows = [point.low for point in points] + [point.low for point in curve.observed]
    highs = [point.high for point in points] + [point.high for point in curve.observed]
    return round_steps(min(lows), max(highs), 6)


def _band(piece: CurvePiece, across: Axis, up: Axis, name: str) -> str:
    there = [(across.at(point.temperature), up.at(point.low)) for point in piece.points]
    back = [(across.at(point.temperature), up.at(point.high)) for point in reversed(piece.points)]
    return shape([*there, *back], dotted(name), 0.5)


def _line(piece: CurvePiece, across: Axis, up: Axis) -> str:
    points = [(across.at(point.temperature), up.at(point.value)) for point in piece.points]
    return lines(points, 2.0, "" if piece.known == "published" else "7 4")


def _marks(point: ObservedPoint, across: Axis, up: Axis) -> list[str]:
    x, y = across.at(point.temperature), up.at((point.low + point.high) / 2)
    marks = [line(x, up.at(point.low), x, up.at(point.high), 1.2)] if point.low < point.high else []
    radius = LEAST_RADIUS + RADIUS_STEP * math.sqrt(min(point.eggs or 0, MOST_EGGS))
    if point.known == "published":
        return [*marks, ellipse(x, y, radius, radius, "#fff", 1.2)]
    arm = radius * 0.8
    return [
        *marks,
        line(x - arm, y - arm, x + arm, y + arm, 1.4),
        line(x - arm, y + arm, x + arm, y - arm, 1.4),
    ]


def _told(curve: Curve, what: str, show: Show) -> str:
    """The curve in words, for people who cannot see it."""
    points = [point for piece in curve.pieces for point in piece.points]
    told = "; ".join(_value(point, what, show) for point in points[:: max(len(points) // 6, 1)])
    return f"{len(curve.observed)} points. Expected, with the likely range: {told}."


def _value(point: CurvePoint, what: str, show: Show) -> str:
    if what == "share":
        value, span = show.percent(point.value), show.percent_range(point.low, point.high)
    else:
        value, span = show.days(point.value), show.days_range(point.low, point.high)
    return f"{show.temperature(point.temperature)}: {value} ({span})"
