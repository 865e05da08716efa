"""Share of males by temperature: the curve of one species, the counts behind it, and where this plan lies."""

import math
from itertools import pairwise

from advisor.drawings.axes import Axis, frame, level, round_steps, upright
from advisor.drawings.canvas import (
    SIZE,
    WIDTH,
    Box,
    Drawing,
    Label,
    ellipse,
    hatched,
    line,
    lines,
    rectangle,
    text_width,
)
from advisor.model.figures import Figure, Result
from advisor.model.papers import ShareCurve, SharePoint
from advisor.show import Show
from advisor.units import celsius_to_fahrenheit

HEIGHT = 210.0  # units, of the whole picture
FEW, MANY = 10, 1000  # eggs behind the smallest and the largest circle


def sex_chart(
    curve: ShareCurve,
    set_to: float | None,
    between: tuple[float, float] | None,
    share: Result,
    show: Show,
    name: str = "sexes",
) -> Drawing:
    """The curve with its range, the counts, the set point [°C] and the temperatures the eggs see `between`."""
    temperatures = [point.temperature for piece in curve.pieces for point in piece]
    temperatures += [point.temperature for point in curve.observed]
    marked = [
        value for value in (*(between or ()), *([set_to] if set_to is not None else [])) if value is not None
    ]
    known = [*temperatures, *marked]
    steps = round_steps(_shown(min(known), show), _shown(max(known), show), 8)
    plot = Box(44.0, 30.0, WIDTH - 12.0, HEIGHT - 40.0)
    across = Axis(_celsius(steps[0], show), _celsius(steps[-1], show), plot.left, plot.right)
    up = Axis(0.0, 1.0, plot.bottom, plot.top)
    values = [_celsius(step, show) for step in steps]
    strokes, numbers = level(across, values, [f"{step:g}" for step in steps], plot)
    shares = [0.0, 0.25, 0.5, 0.75, 1.0]
    ticks, percents = upright(up, shares, [show.percent(value) for value in shares], plot)
    shapes: list[str] = []
    labels = [Label(0.0, 10.0, "Males", SIZE), *percents, *numbers]
    if between is not None:
        left, right = across.at(between[0]), across.at(between[1])
        shapes.append(rectangle(Box(left, plot.top, right, plot.bottom), hatched(name), 0.0))
    shapes += [*frame(plot), *ticks, *strokes]
    shapes += [stroke for piece in curve.pieces for stroke in _strokes(piece, across, up)]
    labels += _gaps(curve, across, plot)
    for point in curve.observed:
        radius = _radius(point.eggs)
        shapes.append(ellipse(across.at(point.temperature), up.at(point.share), radius, radius, "none", 1.1))
    if set_to is not None:
        x = across.at(set_to)
        shapes.append(line(x, plot.top - 4.0, x, plot.bottom, 1.6))
        words = f"your set point, {show.temperature(set_to)}"
        words += "" if isinstance(share, Figure) else ": males not known"
        half = text_width(words, SIZE) / 2
        at = min(max(x, 40.0 + half), WIDTH - 2.0 - half)
        labels.append(Label(at, plot.top - 7.0, words, SIZE, "middle"))
        if isinstance(share, Figure):
            shapes += [
                line(x, up.at(share.low), x, up.at(share.high), 4.0),
                ellipse(x, up.at(share.value), 4.0, 4.0, "#000", 1.0),
            ]
    unit = "°F" if show.us else "°C"
    key = "thick line: likely; dashed: range; circles: counts; hatched: what your eggs see"
    labels += [
        Label(0.0, plot.bottom + 34.0, key, SIZE),
        Label(plot.right, plot.bottom + 34.0, unit, SIZE, "end"),
    ]
    return Drawing(
        name=name,
        title=f"Males by temperature: {curve.name}",
        description=_told(curve, set_to, between, share, show),
        height=HEIGHT,
        shapes=tuple(shapes),
        labels=tuple(labels),
    )


def _strokes(piece: tuple[SharePoint, ...], across: Axis, up: Axis) -> list[str]:
    """The likely line of one piece and the two ends of its range."""

    def through(what: str) -> list[tuple[float, float]]:
        return [(across.at(point.temperature), up.at(getattr(point, what))) for point in piece]

    return [
        lines(through("low"), 1.0, "5 3"),
        lines(through("high"), 1.0, "5 3"),
        lines(through("share"), 2.2),
    ]


def _gaps(curve: ShareCurve, across: Axis, plot: Box) -> list[Label]:
    """ "not known" between two pieces, where nothing can be told."""
    labels = []
    for before, after in pairwise(curve.pieces):
        left, right = across.at(before[-1].temperature), across.at(after[0].temperature)
        words = next(
            (words for words in ("not known", "?") if text_width(words, SIZE) + 4.0 < right - left), ""
        )
        labels.append(Label((left + right) / 2, (plot.top + plot.bottom) / 2, words, SIZE, "middle"))
    return [label for label in labels if label.text]


def _told(
    curve: ShareCurve, set_to: float | None, between: tuple[float, float] | None, share: Result, show: Show
) -> str:
    counts = [
        f"{show.percent(point.share)} at {show.temperature(point.temperature)}" for point in _few(curve)
    ]
    told = f"Share of males by temperature. The curve runs through {', '.join(counts)}."
    for before, after in pairwise(curve.pieces):
        gap = show.temperature_range(before[-1].temperature, after[0].temperature)
        told += f" From {gap} it is not known."
    if set_to is not None:
        told += f" Your set point is {show.temperature(set_to)}."
    if between is not None:
        told += f" Your eggs see {show.temperature_range(*between)}."
    if isinstance(share, Figure):
        told += f" Expect {show.about_percent(share.value, share.low, share.high)} males."
    else:
        told += f" How many males to expect is not known: {share.reason}."
    return told


def _few(curve: ShareCurve) -> list[SharePoint]:
    """Some points along the curve, for people who cannot see it."""
    points = [point for piece in curve.pieces for point in piece]
    return points[:: max(len(points) // 6, 1)]


def _shown(celsius: float, show: Show) -> float:
    return celsius_to_fahrenheit(celsius) if show.us else celsius


def _celsius(number: float, show: Show) -> float:
    return (number - 32.0) * 5.0 / 9.0 if show.us else number


def _radius(eggs: int | None) -> float:
    """Radius of the circle of a count, by the logarithm of its eggs."""
    known = min(max(eggs or FEW, FEW), MANY)
    return 2.5 + 3.5 * math.log(known / FEW) / math.log(MANY / FEW)
