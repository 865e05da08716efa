"""Water in the medium of one kind of egg box, by day, with its range and the band the eggs bear."""

from advisor.drawings.axes import Axis, frame, level, round_steps, upright
from advisor.drawings.canvas import (
    SIZE,
    WIDTH,
    Box,
    Drawing,
    Label,
    dotted,
    hatched,
    line,
    lines,
    rectangle,
    shape,
)
from advisor.model.figures import Figure, Unknown
from advisor.model.forecast import EggBoxForecast
from advisor.show import Show

HEIGHT = 200.0  # units, of the whole picture


def water_chart(
    box: EggBoxForecast,
    course: tuple[tuple[int, Figure], ...],
    other: tuple[tuple[int, Figure], ...],
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
    days = [day for day, _ in course]
    highest = max([figure.high for _, figure in (*course, *other)] + ([band[1]] if band else []))
    steps = round_steps(0.0, highest, 5)
    plot = Box(34.0, 22.0, WIDTH - 12.0, HEIGHT - 50.0)
    across = Axis(float(days[0]), float(max(days[-1], days[0] + 1)), plot.left, plot.right)
    up = Axis(0.0, steps[-1], plot.bottom, plot.top)
    day_values = [value for value in round_steps(days[0], days[-1], 8) if value <= days[-1]]
    ticks, numbers = upright(up, steps, [f"{step:g}" for step in steps], plot)
    strokes, dates = level(across, day_values, [f"{value:.0f}" for value in day_values], plot)
    points = [(across.at(day), up.at(figure.value)) for day, figure in course]
    lows = [(across.at(day), up.at(figure.low)) for day, figure in course]
    highs = [(across.at(day), up.at(figure.high)) for day, figure in reversed(course)]
    shapes = [*frame(plot), *ticks, *strokes]
    labels = [
        Label(0.0, 10.0, "Grams of water for each gram of dry medium", SIZE),
        *numbers,
        *dates,
        Label(plot.right, plot.bottom + 31.0, "day of incubation", SIZE, "end"),
    ]
    keys = ["line: expected; dotted: likely range"]
    if band is not None:
        shapes.insert(
            0, rectangle(Box(plot.left, up.at(band[1]), plot.right, up.at(band[0])), hatched(name), 0.6)
        )
        keys.append("hatched: what eggs bear")
    made = sorted({day for day, _ in course if sum(day == same for same, _ in course) > 1})
    for day in made:
        x = across.at(day)
        shapes.append(
            shape(((x, plot.bottom - 1.0), (x - 4.0, plot.bottom - 9.0), (x + 4.0, plot.bottom - 9.0)))
        )
    if made:
        keys.append("triangle: top-up")
    if other:
        keys.append(f"thin: {'without' if made else 'with top-ups, not planned'}")
    # White under the lines keeps them apart from the hatching.
    shapes += [
        shape([*lows, *highs], dotted(name), 0.5),
        *([lines([(across.at(day), up.at(figure.value)) for day, figure in other], 0.9)] if other else []),
        lines(points, 4.0).replace("#000", "#fff"),
        lines(points, 2.2),
    ]
    shapes += [line(x, y - 2.5, x, y + 2.5, 1.4) for x, y in points]
    labels.append(Label(0.0, plot.bottom + 46.0, "; ".join(keys), SIZE))
    first, last = course[0][1], course[-1][1]
    told = f"It starts at {show.water_content(first.value)} and ends at {show.water_content(last.value)}"
    told += f" ({show.water_content_range(last.low, last.high)}) on day {days[-1]}."
    if band is not None:
        told += f" The eggs bear {show.water_content_range(*band)}."
    if made:
        told += f" Top-ups on day {', '.join(map(str, made))}."
    return Drawing(
        name=name,
        title=f"Water in the medium of box '{box.name}' by day",
        description=told,
        height=HEIGHT,
        shapes=tuple(shapes),
        labels=tuple(labels),
    )
