"""The course of a log: medium, air and room over time, with the band of the eggs, the set point, and marks of what was found.

A log of any length is thinned to a lowest and a highest reading a column, so that no extreme is lost.
"""

import datetime
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from advisor.drawings.axes import TEXT, Axis, frame, level, upright
from advisor.drawings.canvas import (
    WIDTH,
    Box,
    Drawing,
    Label,
    hatched,
    line,
    lines,
    rectangle,
    shape,
    text_width,
)
from advisor.drawings.temperature_axis import temperature_ticks, unit_sign
from advisor.model.logs import (
    AIR_ABOVE,
    AIR_BELOW,
    EGG_MEDIUM,
    PROBE_MEDIUM,
    ROOM,
    Log,
    Sensor,
    clock_time,
    usual_step,
)
from advisor.rules.engine import Situation
from advisor.show import Show
from advisor.wording import short_day

HEIGHT, COLUMNS = 250.0, 220  # units; columns that the picture has room for
TEXT_COLUMNS, TEXT_ROWS, TEXT_MARGIN = 66, 15, 7
HOUR, DAY = 3600.0, 86_400.0
STEPS = (*(hours * HOUR for hours in (1, 3, 6, 12)), *(days * DAY for days in (1, 2, 7, 14, 28, 56, 112)))
MOST_TICKS = 8
MOST_MARKS = 9  # marked in the picture; the list below has all
NAMES = {"medium": "#", "air": ":", "room": "."}
Mark = tuple[float, str]  # when [s since 1970] and what
Column = tuple[float, float] | None  # lowest and highest reading [°C]


class LogPicture(Struct, frozen=True):
    """What is drawn: the log's course of each place, from, to [s], set point and usual band [°C], marks in order of time."""

    sensors: tuple[tuple[str, tuple[Sensor, ...]], ...]
    start: float
    end: float
    set_to: float | None
    band: tuple[float, float] | None
    marks: tuple[Mark, ...]
    show: Show


def log_picture(log: Log, situation: Situation, marks: Iterable[Mark] = ()) -> LogPicture:
    """The picture of a log beside its plan; the band is that in which all species of the plan are usual."""
    groups = (("medium", (EGG_MEDIUM,), (PROBE_MEDIUM,)), ("air", (AIR_ABOVE,), (AIR_BELOW,)), ("room", (ROOM,), ()))  # fmt: skip
    sensors = [(name, log.at(*first) or log.at(*second)) for name, first, second in groups]
    bands = [species.aim for species in situation.species.values() if species.aim is not None]
    band = (max(one.low for one in bands), min(one.high for one in bands)) if bands else (1.0, 0.0)
    return LogPicture(
        tuple(entry for entry in sensors if entry[1]),
        min(sensor.times[0] for sensor in log.sensors),
        max(sensor.times[-1] for sensor in log.sensors),
        situation.plan.control.set_to,
        band if band[0] < band[1] else None,
        tuple(sorted(marks)),
        situation.show,
    )


def thinned(sensors: Sequence[Sensor], start: float, end: float, columns: int) -> list[Column]:
    """Lowest and highest reading in each of so many equal times; None without readings."""
    found: list[Column] = []
    edges = [start + (end - start) * number / columns for number in range(1, columns)]
    parts = [
        [0, *(bisect_left(sensor.times, edge) for edge in edges), len(sensor.times)] for sensor in sensors
    ]
    for place in range(columns):
        slices = [
            sensor.values[part[place] : part[place + 1]]
            for sensor, part in zip(sensors, parts, strict=True)
            if part[place] < part[place + 1]
        ]
        found.append((min(map(min, slices)), max(map(max, slices))) if slices else None)
    return found


def _reach(picture: LogPicture) -> tuple[float, float]:
    values = [value for _, sensors in picture.sensors for sensor in sensors for value in (min(sensor.values), max(sensor.values))]  # fmt: skip
    values += [*(picture.band or ()), *([] if picture.set_to is None else [picture.set_to])]
    return min(values), max(values) if max(values) > min(values) else min(values) + 1.0


def _time_ticks(picture: LogPicture) -> list[tuple[float, str]]:
    """Round clock times and days with their words."""
    span = picture.end - picture.start
    step = next((step for step in STEPS if span / step <= MOST_TICKS), STEPS[-1] * max(1, round(span / STEPS[-1] / MOST_TICKS)))  # fmt: skip
    first = -(-picture.start // min(step, DAY)) * min(step, DAY)
    ticks = [first + step * number for number in range(int(max(picture.end - first, 0.0) // step) + 1)]
    return [(tick, clock_time(tick)[-5:] if step < DAY else short_day(_day(tick))) for tick in ticks]


def _day(time: float) -> datetime.date:
    return datetime.date(1970, 1, 1) + datetime.timedelta(days=time // DAY)


def picture_lines(picture: LogPicture) -> Iterator[str]:
    """The picture drawn with characters, and what the signs mean."""
    ticks = temperature_ticks(*_reach(picture), picture.show, 8)
    down = Axis(ticks[-1][0], ticks[0][0], 0.0, TEXT_ROWS - 1.0)
    across = Axis(picture.start, max(picture.end, picture.start + 1.0), 0.0, TEXT_COLUMNS - 1.0)
    heads = [" "] * TEXT_COLUMNS
    for number, (time, _) in enumerate(picture.marks[:MOST_MARKS], 1):
        heads[round(across.at(time))] = str(number)
    yield f"{'':{TEXT_MARGIN + 1}}{''.join(heads)}".rstrip()
    numbers = {round(down.at(value)): text for value, text in ticks}
    for number, cell in enumerate(_cells(picture, down)):
        edge = "+" if number in numbers else "|"
        yield f"{numbers.get(number, ''):>{TEXT_MARGIN - 1}} {edge}{''.join(cell)}".rstrip()
    foot = ""
    for time, text in _time_ticks(picture):
        start = round(across.at(time)) + TEXT_MARGIN + 1
        if not foot or start >= len(foot) + 2:
            foot = f"{foot:<{start}}{text}"
    yield f"{foot} {unit_sign(picture.show)}"
    signs = [f"{NAMES[name]} {name}" for name, _ in picture.sensors]
    signs += ["- set point"] * (picture.set_to is not None) + ["= usual band"] * (picture.band is not None)
    yield "  ".join(signs)
    yield from mark_words(picture)


def _cells(picture: LogPicture, down: Axis) -> list[list[str]]:
    """The signs of each row: band and set point, over them the room, the air, the medium."""
    cells = [[" "] * TEXT_COLUMNS for _ in range(TEXT_ROWS)]
    set_to = () if picture.set_to is None else (picture.set_to,)
    for value, sign in (*((end, "=") for end in picture.band or ()), *((value, "-") for value in set_to)):
        cells[round(down.at(value))] = [sign] * TEXT_COLUMNS
    for name, sensors in reversed(picture.sensors):
        for place, found in enumerate(thinned(sensors, picture.start, picture.end, TEXT_COLUMNS)):
            for at in range(round(down.at(found[1])), round(down.at(found[0])) + 1) if found else ():
                cells[at][place] = NAMES[name]
    return cells


def mark_words(picture: LogPicture) -> list[str]:
    """The marks in words, with their numbers in the picture."""
    return [
        f"{number if number <= MOST_MARKS else '-'} {clock_time(time)} {what}"
        for number, (time, what) in enumerate(picture.marks, 1)
    ]


def log_drawing(picture: LogPicture, title: str) -> Drawing:
    """The picture as a drawing."""
    show, (low, high) = picture.show, _reach(picture)
    ticks = temperature_ticks(low, high, show, 9)
    plot = Box(44.0, 30.0, WIDTH - 16.0, HEIGHT - 42.0)
    up = Axis(ticks[0][0], ticks[-1][0], plot.bottom, plot.top)
    across = Axis(picture.start, max(picture.end, picture.start + 1.0), plot.left, plot.right)
    marks, words = level(across, _time_ticks(picture), plot)
    steps, labels = upright(up, ticks, plot)
    signs = [(across.at(time), str(number)) for number, (time, _) in enumerate(picture.marks[:MOST_MARKS], 1)]
    keys = (
        "thick: medium; thin: air; dots: room; dashes: set point; hatched: usual band; triangles: see below"
    )
    return Drawing(
        name="log",
        title=title,
        description=_description(picture),
        height=HEIGHT,
        shapes=(
            *_band(picture, up, plot),
            *frame(plot),
            *marks,
            *steps,
            *([] if picture.set_to is None else [line(plot.left, up.at(picture.set_to), plot.right, up.at(picture.set_to), 0.8, "6 4")]),
            *(part for name, sensors in picture.sensors for part in _course(name, sensors, picture, across, up)),
            *(shape(((x - 3.0, plot.top - 7.0), (x + 3.0, plot.top - 7.0), (x, plot.top - 1.0))) for x, _ in signs),
        ),
        labels=(
            Label(0.0, 10.0, f"Temperature, {unit_sign(show)}", TEXT),
            *labels,
            *words,
            *(Label(x, plot.top - 9.0, text, TEXT, "middle") for x, text in _apart(signs)),
            Label(0.0, HEIGHT - 4.0, keys, TEXT),
        ),
    )  # fmt: skip


def _band(picture: LogPicture, up: Axis, plot: Box) -> list[str]:
    if picture.band is None:
        return []
    low, high = picture.band
    return [rectangle(Box(plot.left, up.at(high), plot.right, up.at(low)), hatched("log"), 0.0)]


def _course(
    name: str, sensors: Sequence[Sensor], picture: LogPicture, across: Axis, up: Axis
) -> Iterator[str]:
    """A line through lowest and highest of each column, broken where nothing was read."""
    found = thinned(sensors, picture.start, picture.end, COLUMNS)
    wide = (picture.end - picture.start) / COLUMNS
    thick, dashes = {"medium": (1.8, ""), "air": (0.6, ""), "room": (1.0, "1 3")}[name]
    every = max(1, round(usual_step(sensors[0].times) / wide)) if wide else 1
    run: list[tuple[float, float]] = []
    last = 0
    for place, ends in enumerate([*found, None]):
        if ends is not None:
            if run and place - last > 3 * every:
                yield lines(run, thick, dashes)
                run = []
            x = across.at(picture.start + (place + 0.5) * wide)
            run += [(x, up.at(value)) for value in dict.fromkeys(ends)]
            last = place
    if run:
        yield lines(run, thick, dashes)


def _apart(signs: list[tuple[float, str]]) -> list[tuple[float, str]]:
    """The numbers that do not touch the one before."""
    kept: list[tuple[float, str]] = []
    for x, text in signs:
        if not kept or x - kept[-1][0] > text_width(text) + 2.0:
            kept.append((x, text))
    return kept


def _description(picture: LogPicture) -> str:
    """The picture in words, for those who can't see it."""
    show = picture.show
    parts = [f"From {clock_time(picture.start)} to {clock_time(picture.end)}."]
    for name, sensors in picture.sensors:
        low, high = min(min(one.values) for one in sensors), max(max(one.values) for one in sensors)
        parts.append(f"{name.capitalize()}: {show.temperature_range(low, high)}.")
    if picture.set_to is not None:
        parts.append(f"Set point: {show.temperature(picture.set_to)}.")
    if picture.band is not None:
        parts.append(f"Usual band: {show.temperature_range(*picture.band)}.")
    if picture.marks:
        parts.append(f"Marked: {'; '.join(mark_words(picture))}.")
    return " ".join(parts)
