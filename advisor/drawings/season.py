"""The season as bars: trial run, laying, checks, top-ups, hatching."""

import datetime

from msgspec import Struct

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
from advisor.model.figures import Figure, Unknown
from advisor.model.forecast import ClutchForecast, Forecast, TopUpForecast, Window
from advisor.model.plan import Plan
from advisor.wording import day_words, joined, middle_day, trial_end, window_words

NAMES = 196.0  # units, width of the words left of the bars
ROW = 15.0  # units, least height of a row
MOST_CLUTCHES = 4  # clutches drawn; more would not fit on one page


class SeasonRow(Struct, frozen=True):
    """One row: its words, a bar (first and last day as numbers), and days marked by a stroke or a triangle."""

    words: str
    bar: tuple[float, float] | None = None
    strokes: tuple[float, ...] = ()
    triangles: tuple[float, ...] = ()
    hollow: bool = False


def season(plan: Plan, forecast: Forecast, names: tuple[str, ...], name: str = "season") -> Drawing | Unknown:
    """The season with dates where a laying window is known, else by day of incubation; `names` of the species by clutch."""
    dated = any(clutch.laying_window for clutch in forecast.clutches)
    notes: list[str] = []
    rows: list[SeasonRow] = _before_laying(plan, forecast) if dated else []
    for index, clutch in enumerate(forecast.clutches[:MOST_CLUTCHES]):
        about = f"clutch {index + 1} ({names[index]})" if len(forecast.clutches) > 1 else ""
        top_ups = _top_ups(plan, forecast, index)
        if dated and clutch.laying_window is None:
            notes.append(f"The laying days of {about or 'the clutch'} are not in the plan.")
        elif not isinstance(clutch.incubation_days, Figure):
            notes.append(f"{about or names[index]}: {clutch.incubation_days.reason}.")
            rows += _laying_row(clutch, about) if dated else []
        else:
            rows += _dated_rows(clutch, top_ups, about) if dated else _counted_rows(clutch, top_ups, about)
    if len(forecast.clutches) > MOST_CLUTCHES:
        notes.append(f"Only the first {MOST_CLUTCHES} clutches are drawn.")
    if not rows:
        return Unknown(" ".join(notes) or "The plan tells no dates.")
    return _drawn(rows, dated, tuple(notes), name)


def _before_laying(plan: Plan, forecast: Forecast) -> list[SeasonRow]:
    rows: list[SeasonRow] = []
    start, days = plan.trial_run.from_, plan.trial_run.days
    if start is not None and days is not None:
        end = trial_end(start, days)
        rows.append(
            SeasonRow(
                f"Trial run: {window_words((start, end))}", (start.toordinal(), end.toordinal()), hollow=True
            )
        )
    boxes = sorted(
        {clutch.lay_box.ready_on for clutch in plan.clutches if clutch.lay_box.ready_on is not None}
    )
    if boxes:
        words = joined([day_words(day) for day in boxes]) if len(boxes) < 3 else f"from {day_words(boxes[0])}"
        rows.append(
            SeasonRow(f"Lay box in place: {words}", triangles=tuple(float(day.toordinal()) for day in boxes))
        )
    ready = min((clutch.ready_by for clutch in forecast.clutches if clutch.ready_by), default=None)
    if ready is not None:
        rows.append(SeasonRow(f"All ready by: {day_words(ready)}", triangles=(float(ready.toordinal()),)))
    return rows


def _top_ups(plan: Plan, forecast: Forecast, index: int) -> tuple[TopUpForecast, ...]:
    box = plan.clutches[index].box
    return next((found.water.top_ups for found in forecast.egg_boxes if found.name == box), ())


def _named(word: str, about: str) -> str:
    return f"{word}, {about}" if about else word


def _laying_row(clutch: ClutchForecast, about: str) -> list[SeasonRow]:
    window = clutch.laying_window
    if window is None:
        return []
    return [SeasonRow(f"{_named('Laying', about)}: {window_words(window)}", _numbers(window))]


def _numbers(window: Window) -> tuple[float, float]:
    return float(window[0].toordinal()), float(window[1].toordinal())


def _dated_rows(clutch: ClutchForecast, top_ups: tuple[TopUpForecast, ...], about: str) -> list[SeasonRow]:
    window = clutch.laying_window
    assert window is not None
    first = middle_day(window).toordinal()
    rows = _laying_row(clutch, about)
    counted_from = "" if window[0] == window[1] else f", if laid on {day_words(middle_day(window))}"
    if clutch.check_days:
        words = f"{_named('Checks', about)}: {len(clutch.check_days)}{counted_from}"
        rows.append(SeasonRow(words, strokes=tuple(float(first + day) for day in clutch.check_days)))
    if top_ups:
        words = f"{_named('Top-ups', about)}: {len(top_ups)}"
        rows.append(SeasonRow(words, triangles=tuple(float(first + top_up.day) for top_up in top_ups)))
    if clutch.hatch_window is not None:
        words = f"{_named('Hatching', about)}: {window_words(clutch.hatch_window)}"
        rows.append(SeasonRow(words, _numbers(clutch.hatch_window)))
    return rows


def _counted_rows(clutch: ClutchForecast, top_ups: tuple[TopUpForecast, ...], about: str) -> list[SeasonRow]:
    days = clutch.incubation_days
    assert isinstance(days, Figure)
    rows = [SeasonRow(f"{_named('Laying', about)}: day 0", triangles=(0.0,))]
    if clutch.check_days:
        rows.append(
            SeasonRow(
                f"{_named('Checks', about)}: {len(clutch.check_days)}",
                strokes=tuple(float(day) for day in clutch.check_days),
            )
        )
    if top_ups:
        rows.append(
            SeasonRow(
                f"{_named('Top-ups', about)}: {len(top_ups)}",
                triangles=tuple(float(up.day) for up in top_ups),
            )
        )
    words = f"{_named('Hatching', about)}: day {int(days.low)} to {round(days.high)}"
    rows.append(SeasonRow(words, (float(int(days.low)), float(round(days.high)))))
    return rows


def _days_of(row: SeasonRow) -> tuple[float, ...]:
    return (*(row.bar or ()), *row.strokes, *row.triangles)


def _drawn(rows: list[SeasonRow], dated: bool, notes: tuple[str, ...], name: str) -> Drawing:
    low = min(min(_days_of(row)) for row in rows)
    high = max(max(_days_of(row)) for row in rows)
    if high - low < 7:
        high = low + 7
    margin = (high - low) * 0.02
    axis = Axis(low - margin, high + margin, NAMES + 10.0, WIDTH - 2.0)
    if dated:
        values, texts = day_ticks(
            datetime.date.fromordinal(int(low)), datetime.date.fromordinal(int(high + margin))
        )
    else:
        values = [value for value in round_steps(low, high) if low <= value <= high]
        texts = [f"day {value:.0f}" for value in values]
    shapes: list[str] = []
    labels: list[Label] = []
    y = 4.0
    for row in rows:
        text = wrapped(row.words, NAMES, SIZE, most=3)
        height = max(ROW, len(text) * LINE * SIZE + 4.0)
        labels += label_lines(text, 0.0, y + 3.0 + SIZE * 0.9, SIZE)
        shapes += _marks(row, axis, y + height / 2, name)
        y += height
        shapes.append(line(0.0, y, WIDTH, y, 0.4, "1 2"))
    plot = Box(axis.start, 2.0, axis.end, y)
    ticks, numbers = level(axis, values, texts, plot)
    numbers = [label for label in numbers if axis.start - 8.0 <= label.x <= axis.end]
    shapes += [line(axis.at(value), 2.0, axis.at(value), y, 0.4, "1 3") for value in values]
    shapes += [line(axis.start, y, axis.end, y, 1.2), *ticks]
    return Drawing(
        name=name,
        title="Your season",
        description=" ".join(
            [
                "Bars on a line of time." if dated else "Bars by day of incubation.",
                *(f"{row.words}." for row in rows),
            ]
        ),
        height=y + 24.0,
        shapes=tuple(shapes),
        labels=(*labels, *_inside(numbers)),
        notes=notes,
    )


def _inside(labels: list[Label]) -> list[Label]:
    """The labels moved in where they would stand over the right edge."""
    moved = []
    for label in labels:
        if label.x > WIDTH - 26.0:
            label = Label(WIDTH - 1.0, label.y, label.text, label.size, "end")
        moved.append(label)
    return moved


def _marks(row: SeasonRow, axis: Axis, y: float, name: str) -> list[str]:
    shapes: list[str] = []
    if row.bar is not None:
        left, right = axis.at(row.bar[0]), axis.at(row.bar[1])
        if right - left < 4.0:
            left, right = (left + right) / 2 - 2.0, (left + right) / 2 + 2.0
        fill = hatched(name) if row.hollow else "#000"
        shapes.append(rectangle(Box(left, y - 4.5, right, y + 4.5), fill))
    shapes += [line(axis.at(day), y - 5.0, axis.at(day), y + 5.0, 1.4) for day in row.strokes]
    shapes += [
        shape(((axis.at(day), y + 4.0), (axis.at(day) - 4.5, y - 4.5), (axis.at(day) + 4.5, y - 4.5)))
        for day in row.triangles
    ]
    return shapes
