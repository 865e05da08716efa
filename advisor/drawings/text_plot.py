"""A curve over temperature drawn with characters: points, fitted curve and its likely range."""

import itertools
from collections.abc import Callable, Iterator

from advisor.drawings.axes import round_steps
from advisor.drawings.temperature_axis import temperature_ticks, unit_sign
from advisor.model.curves import Curve, CurvePoint
from advisor.show import Show

COLUMNS, ROWS = 66, 15
MARGIN = 7  # columns left of the axis, for the numbers
KEY = "o published  x weaker evidence  # several  | stated range  - expected  . likely range (95 %)"


def plot_lines(curve: Curve, what: str, show: Show) -> Iterator[str]:
    """The plot, line by line; `what` is "days" or "share"."""
    points = [point for piece in curve.pieces for point in piece.points]
    temperatures = [point.temperature for point in points] + [point.temperature for point in curve.observed]
    ticks = temperature_ticks(min(temperatures), max(temperatures), show, 8)
    steps = _steps(curve, what)
    cold, warm, least, most = ticks[0][0], ticks[-1][0], steps[0], steps[-1]

    def column(temperature: float) -> int:
        return round((temperature - cold) / (warm - cold) * (COLUMNS - 1))

    def row(value: float) -> int:
        return round((most - value) / (most - least) * (ROWS - 1))

    cells = [[" "] * COLUMNS for _ in range(ROWS)]
    for piece in curve.pieces:
        for place in range(COLUMNS):
            here = _between(piece.points, cold + place / (COLUMNS - 1) * (warm - cold))
            if here is not None:
                for line in range(row(here.high), row(here.low) + 1):
                    cells[line][place] = "."
                cells[row(here.value)][place] = "-"
    _mark_observed(cells, curve, column, row)
    numbers = {row(step): show.percent(step) if what == "share" else f"{step:g}" for step in steps}
    for line, cell in enumerate(cells):
        edge = "+" if line in numbers else "|"
        yield f"{numbers.get(line, ''):>{MARGIN - 1}} {edge}{''.join(cell)}".rstrip()
    yield from _bottom([(column(at), text) for at, text in ticks], unit_sign(show))
    yield KEY


def _steps(curve: Curve, what: str) -> list[float]:
    """The values written beside the plot."""
    if what == "share":
        return [0.0, 0.25, 0.5, 0.75, 1.0]
    points = [point for piece in curve.pieces for point in piece.points]
    lows = [point.low for point in points] + [point.low for point in curve.observed]
    highs = [point.high for point in points] + [point.high for point in curve.observed]
    return round_steps(min(lows), max(highs), 8)


def _mark_observed(
    cells: list[list[str]], curve: Curve, column: Callable[[float], int], row: Callable[[float], int]
) -> None:
    """A bar over each stated range, then a sign at its middle; # where several fall together."""
    for point in curve.observed:
        for line in range(row(point.high), row(point.low) + 1):
            cells[line][column(point.temperature)] = "|"
    seen: set[tuple[int, int]] = set()
    for point in curve.observed:
        spot = row((point.low + point.high) / 2), column(point.temperature)
        mark = "o" if point.known == "published" else "x"
        cells[spot[0]][spot[1]] = "#" if spot in seen else mark
        seen.add(spot)


def _bottom(ticks: list[tuple[int, str]], unit: str) -> Iterator[str]:
    """The axis with a mark under each tick, and the numbers that do not touch."""
    axis = ["-"] * COLUMNS
    numbers = ""
    for place, text in ticks:
        axis[place] = "+"
        start = place - len(text) // 2 + MARGIN + 1
        if not numbers or start > len(numbers):
            numbers = f"{numbers:<{start}}{text}"
    yield " " * MARGIN + "+" + "".join(axis)
    yield f"{numbers} {unit}"


def _between(points: tuple[CurvePoint, ...], temperature: float) -> CurvePoint | None:
    """The curve at a temperature [°C]: straight between two of its points, None past its ends."""
    for left, right in itertools.pairwise(points):
        if left.temperature <= temperature <= right.temperature:
            w = (temperature - left.temperature) / (right.temperature - left.temperature)
            return CurvePoint(
                temperature,
                *(
                    (1 - w) * getattr(left, part) + w * getattr(right, part)
                    for part in ("value", "low", "high")
                ),
            )
    return None
