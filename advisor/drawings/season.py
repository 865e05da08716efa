"""The season as bars: trial run, laying, checks, top-ups, hatching."""

import datetime
from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from advisor.drawings.axes import Axis, day_ticks, level, round_steps
from advisor.drawings.canvas import (
    LINE,
    SIZE,
    WIDTH,
    Box,
    Drawing,
    Label,
    hatched,
    label_lines,
    line,
    rectangle,
    shape,
    wrapped,
)
from advisor.drawings.key import Entry, key, swatch
from advisor.model.figures import Figure, Unknown
from advisor.model.forecast import ClutchForecast, Forecast, TopUpForecast, Window
from advisor.model.plan import Plan
from advisor.wording import capital, day_words, joined, middle_day, trial_end, window_words

NAMES = 196.0  # units, width of the words left of the bars
ROW = 22.0  # units, least height of a row: bars in its lower half, single days in its upper
MOST_CLUTCHES = 12  # clutches drawn; more would not fit on one page


class SeasonRow(Struct, frozen=True):
    """One row: its words, hatched and black bars (first and last day as numbers), days marked by a stroke or a triangle;
    outlined bars with a text each.
    """

    words: str
    hatched: tuple[float, float] | None = None
    black: tuple[float, float] | None = None
    strokes: tuple[float, ...] = ()
    triangles: tuple[float, ...] = ()
    outlined: tuple[tuple[float, float, str], ...] = ()


def season(plan: Plan, forecast: Forecast, names: tuple[str, ...], width: float = WIDTH) -> Drawing | Unknown:
    """One row a clutch, with dates where a laying window is known, else by day of incubation; `names` of the species by clutch.

    Where clutches take turns in the egg boxes, then a row a box.
    """
    dated = any(clutch.laying_window for clutch in forecast.clutches)
    notes: list[str] = []
    rows: list[SeasonRow] = _before_laying(plan, forecast) if dated else []
    for index, clutch in enumerate(forecast.clutches[:MOST_CLUTCHES]):
        about = f"Clutch {index + 1}, {names[index]}" if len(forecast.clutches) > 1 else capital(names[index])
        top_ups = tuple(float(top_up.day) for top_up in _top_ups(plan, forecast, index))
        if dated and clutch.laying_window is None:
            notes.append(f"{about}: the laying days are not in the plan.")
            continue
        if not isinstance(clutch.incubation_days, Figure) and clutch.hatch_window is None:
            notes.append(f"{about}: {clutch.incubation_days.reason}.")
        if dated or isinstance(clutch.incubation_days, Figure):
            row = (_dated if dated else _counted)(clutch, top_ups, about)
            rows.append(replace(row, words=about) if plan.clutches[index].repeats and dated else row)
    if len(forecast.clutches) > MOST_CLUTCHES:
        notes.append(f"Only the first {MOST_CLUTCHES} clutches are drawn.")
    rows += _boxes(plan, forecast) if dated else []
    if not rows:
        return Unknown(" ".join(notes) or "The plan tells no dates.")
    return _drawn(rows, dated, tuple(notes), width)


def _before_laying(plan: Plan, forecast: Forecast) -> list[SeasonRow]:
    """One row for all that comes before the eggs."""
    words: list[str] = []
    start, days = plan.trial_run.from_, plan.trial_run.days
    run = (start, trial_end(start, days)) if start is not None and days is not None else None
    if run is not None:
        words.append(f"trial run: {window_words(run)}")
    boxes = sorted(
        {clutch.lay_box.ready_on for clutch in plan.clutches if clutch.lay_box.ready_on is not None}
    )
    if boxes:
        told = joined([day_words(day) for day in boxes]) if len(boxes) < 3 else f"from {day_words(boxes[0])}"
        words.append(f"lay box in place: {told}")
    ready = min((clutch.ready_by for clutch in forecast.clutches if clutch.ready_by), default=None)
    if ready is not None:
        words.append(f"all ready by: {day_words(ready)}")
    marked = (*boxes, *([ready] if ready else []))
    row = SeasonRow(
        capital("; ".join(words)),
        _numbers(run) if run else None,
        triangles=tuple(float(day.toordinal()) for day in marked),
    )
    return [row] if words else []


def _boxes(plan: Plan, forecast: Forecast) -> Iterator[SeasonRow]:
    """Which clutch is likely to lie in which box when, for kinds of boxes that clutches use by turns."""
    for box, use in zip(plan.egg_boxes, forecast.box_use, strict=True):
        if isinstance(use, Unknown) or not use.by_turns:
            continue
        for number in range(1, max(number for stay in use.stays for number in stay.boxes) + 1):
            inside = [stay for stay in use.stays if number in stay.boxes]
            named = ", ".join(str(stay.clutch + 1) for stay in inside)
            yield SeasonRow(
                f"Box '{box.name}' {number}: clutches {named}",
                outlined=tuple((*_numbers(stay.days), str(stay.clutch + 1)) for stay in inside),
            )


def _top_ups(plan: Plan, forecast: Forecast, index: int) -> tuple[TopUpForecast, ...]:
    box = plan.clutches[index].box
    return next((found.water.top_ups for found in forecast.egg_boxes if found.name == box), ())


def _numbers(window: Window) -> tuple[float, float]:
    return float(window[0].toordinal()), float(window[1].toordinal())


def _dated(clutch: ClutchForecast, top_ups: tuple[float, ...], about: str) -> SeasonRow:
    laid, hatching = clutch.laying_window, clutch.hatch_window
    assert laid is not None
    first = middle_day(laid).toordinal()
    words = f"{about}: laid {window_words(laid)}"
    return SeasonRow(
        f"{words}, hatching {window_words(hatching)}" if hatching else words,
        _numbers(laid),
        _numbers(hatching) if hatching else None,
        tuple(float(first + day) for day in (*clutch.check_days, *clutch.late_check_days)),
        tuple(first + day for day in top_ups),
    )


def _counted(clutch: ClutchForecast, top_ups: tuple[float, ...], about: str) -> SeasonRow:
    days = clutch.incubation_days
    assert isinstance(days, Figure)
    first, last = float(int(days.low)), float(round(days.high))
    return SeasonRow(
        f"{about}: laid on day 0, hatching on day {first:.0f} to {last:.0f}",
        (0.0, 0.0),
        (first, last),
        tuple(float(day) for day in (*clutch.check_days, *clutch.late_check_days)),
        top_ups,
    )


def _days_of(row: SeasonRow) -> tuple[float, ...]:
    outlined = (day for first, last, _ in row.outlined for day in (first, last))
    return (*(row.hatched or ()), *(row.black or ()), *row.strokes, *row.triangles, *outlined)


def _drawn(rows: list[SeasonRow], dated: bool, notes: tuple[str, ...], width: float) -> Drawing:
    """The words of a row stand left of its bars, or above them in a picture that is narrower than a page."""
    above = width < WIDTH
    names = 0.0 if above else NAMES
    low = min(min(_days_of(row)) for row in rows)
    high = max(max(_days_of(row)) for row in rows)
    if high - low < 7:
        high = low + 7
    margin = (high - low) * 0.02
    axis = Axis(low - margin, high + margin, names + 10.0, width - 2.0)
    if dated:
        days = day_ticks(datetime.date.fromordinal(int(low)), datetime.date.fromordinal(int(high + margin)))
    else:
        days = [(day, f"day {day:.0f}") for day in round_steps(low, high) if low <= day <= high]
    shapes: list[str] = []
    labels: list[Label] = []
    y = 4.0
    for row in rows:
        text = wrapped(row.words, names or width)
        high_words = len(text) * LINE * SIZE + 4.0
        height = high_words + ROW if above else max(ROW, high_words)
        middle = y + (height - ROW / 2 if above else height / 2)
        labels += label_lines(text, 0.0, y + 3.0 + SIZE * 0.9)
        shapes += _marks(row, axis, middle)
        labels += [
            Label(axis.at((first + last) / 2), middle + SIZE * 0.35, text, SIZE, "middle")
            for first, last, text in row.outlined
        ]
        y += height
        shapes.append(line(0.0, y, width, y, 0.4, "1 2"))
    plot = Box(axis.start, 2.0, axis.end, y)
    ticks, numbers = level(axis, days, plot)
    numbers = [label for label in numbers if axis.start - 8.0 <= label.x <= axis.end]
    if not above:
        shapes += [line(axis.at(day), 2.0, axis.at(day), y, 0.4, "1 3") for day, _ in days]
    shapes += [line(axis.start, y, axis.end, y, 1.2), *ticks]
    explained, key_labels, bottom = key(_entries(rows), y + 24.0, width)
    return Drawing(
        name="season",
        title="Your season",
        description=" ".join(
            [
                "Bars on a line of time." if dated else "Bars by day of incubation.",
                *(f"{row.words}." for row in rows),
            ]
        ),
        height=bottom + 2.0,
        shapes=(*shapes, explained),
        labels=(*labels, *_inside(numbers, width), *key_labels),
        notes=notes,
        width=width,
    )


def _inside(labels: list[Label], width: float) -> list[Label]:
    """The labels moved in where they would stand over the right edge."""
    moved = []
    for label in labels:
        if label.x > width - 26.0:
            label = Label(width - 1.0, label.y, label.text, label.size, "end")
        moved.append(label)
    return moved


def _marks(row: SeasonRow, axis: Axis, y: float) -> list[str]:
    shapes: list[str] = []
    for ends, fill in ((row.hatched, hatched("season")), (row.black, "#000")):
        if ends is not None:
            left, right = (axis.at(day) for day in ends)
            wider = max(4.0 - (right - left), 0.0) / 2
            shapes.append(_bar(left - wider, right + wider, y + 5.0, fill))
    shapes += [
        rectangle(Box(axis.at(first), y - 8.0, axis.at(last), y + 8.0), "#fff")
        for first, last, _ in row.outlined
    ]
    shapes += [_stroke(axis.at(day), y - 5.0) for day in row.strokes]
    return shapes + [_triangle(axis.at(day), y - 5.0) for day in row.triangles]


def _bar(left: float, right: float, y: float, fill: str) -> str:
    return rectangle(Box(left, y - 4.0, right, y + 4.0), fill)


def _stroke(x: float, y: float) -> str:
    return line(x, y - 4.0, x, y + 4.0, 1.4)


def _triangle(x: float, y: float) -> str:
    return shape(((x, y + 4.0), (x - 4.5, y - 4.5), (x + 4.5, y - 4.5)))


def _entries(rows: list[SeasonRow]) -> Iterator[Entry]:
    if any(row.hatched for row in rows):
        yield lambda x, y: _bar(x - 8.0, x + 8.0, y, hatched("season")), "trial run, laying"
    if any(row.strokes for row in rows):
        yield _stroke, "check, if laid midway"
    if any(row.triangles for row in rows):
        yield _triangle, "ready by, top-up"
    if any(row.outlined for row in rows):
        yield swatch("#fff"), "clutch in its egg box"
    if any(row.black for row in rows):
        yield lambda x, y: _bar(x - 8.0, x + 8.0, y, "#000"), "hatching"
