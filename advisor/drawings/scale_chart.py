"""What the scale should read for one egg box, by day, as a chart to plot on: expected, likely range, the other way of topping up."""

from collections.abc import Sequence

from advisor.drawings.axes import Axis, frame, level, round_steps, upright
from advisor.drawings.canvas import SIZE, Box, Drawing, Label, dotted, line, lines, shape, text_width
from advisor.model.figures import Figure
from advisor.model.papers import ScaleReading
from advisor.show import Show
from advisor.units import UNITS

MARK = 14.0  # units of height that words beside the chart need


def scale_chart(
    readings: Sequence[ScaleReading],
    other: Sequence[tuple[int, Figure]],
    last_day: int,
    tare: float | None,
    show: Show,
    name: str,
    size: tuple[float, float],
) -> Drawing:
    """The chart, as wide and high as `size` [units]; with the mass of the empty box [kg] it tells the whole box.

    A day with a top-up stands twice in the line, before and after it. Days after the likely hatching, up to `last_day`,
    are left to plot on.
    """
    gram = UNITS["mass"]["oz" if show.us else "g"].factor
    course = [
        (reading.day, mass)
        for reading in readings
        for mass in (reading.mass, reading.after)
        if mass is not None
    ]
    empty = tare or 0.0

    def inside(kilograms: float) -> float:
        return (kilograms + empty) / gram

    drawn = [*course, *other]
    steps = round_steps(
        inside(min(mass.low for _, mass in drawn)), inside(max(mass.high for _, mass in drawn)), 6
    )
    texts = [f"{step:g}" for step in steps]
    left = 12.0 + max(text_width(text) for text in texts)
    plot = Box(left, 18.0, size[0] - 6.0, size[1] - 20.0 - 2 * MARK)
    across = Axis(0.0, float(max(last_day, 1)), plot.left, plot.right)
    up = Axis(steps[0], steps[-1], plot.bottom, plot.top)
    days = [day for day in round_steps(0.0, last_day, 7) if day <= last_day]
    ticks, numbers = upright(up, steps, texts, plot)
    strokes, dates = level(across, days, [f"{day:.0f}" for day in days], plot)

    def points(end: str, of: Sequence[tuple[int, Figure]]) -> list[tuple[float, float]]:
        return [(across.at(day), up.at(inside(getattr(mass, end)))) for day, mass in of]

    topped = any(reading.after is not None for reading in readings)
    keys = ["thick: expected; dotted: likely range"]
    if other:
        keys.append("thin: without the top-ups" if topped else "thin: with top-ups, not planned")
    what = "the whole closed box" if tare is not None else "without the box"
    unit = "oz" if show.us else "g"
    return Drawing(
        name=name,
        title="What the scale should read",
        description=f"From {inside(course[0][1].value):.0f} to {inside(course[-1][1].value):.0f} {unit} "
        f"in {show.days(course[-1][0])}. The table has the figures.",
        height=size[1],
        shapes=(
            *(line(plot.left, up.at(step), plot.right, up.at(step), 0.3) for step in steps),
            *(line(across.at(day), plot.top, across.at(day), plot.bottom, 0.3) for day in days),
            shape([*points("low", course), *reversed(points("high", course))], dotted(name), 0.4),
            *frame(plot),
            *ticks,
            *strokes,
            *([lines(points("value", other), 0.9)] if other else []),
            lines(points("value", course), 2.0),
        ),
        labels=(
            Label(0.0, 9.0, f"{unit}: {what}", SIZE),
            *numbers,
            *dates,
            *(
                Label(0.0, size[1] - 4.0 - MARK * (len(keys) - 1 - row), key, SIZE)
                for row, key in enumerate(keys)
            ),
        ),
        width=size[0],
    )
