"""The keeper's own outer box in cross-section, to scale: wall, heater, egg boxes, probe, temperatures, drops."""

import math

from advisor.drawings.box_parts import heater_part, probe_part
from advisor.drawings.canvas import (
    LINE,
    SIZE,
    WIDTH,
    Box,
    Drawing,
    Label,
    ellipse,
    hatched,
    label_lines,
    line,
    lines,
    rectangle,
    wrapped,
)
from advisor.drawings.egg_boxes import DrawnPart, Place, egg_box_parts, spots_of
from advisor.model.figures import Unknown
from advisor.model.forecast import Forecast
from advisor.model.papers import EggSizes
from advisor.model.plan import Plan, Size
from advisor.show import Show
from advisor.wording import size_words

PICTURE = 272.0  # units, widest the box is drawn
HIGHEST = 230.0  # units, highest the box is drawn
BESIDE = 28.0  # units between the box and the texts beside it
TOP = 6.0  # units, above the box
GAP = 5.0  # units between two texts
THIN = 0.006  # m, wall drawn where its thickness is not told; judgement
FOOT = 40.0  # units below the box: scale and size
NUMBER, INDENT = 7.5, 18.0  # units: radius round a number; from a number to its text


def cross_section(
    plan: Plan,
    forecast: Forecast,
    egg_sizes: EggSizes,
    show: Show,
    name: str = "your-box",
    width: float = WIDTH,
) -> Drawing | Unknown:
    """The box seen from the front, cut open; what the plan does not tell is said in the notes, not drawn."""
    size = inside_of(plan)
    if size is None:
        return Unknown("The plan does not tell the size of the outer box.")
    thickness = plan.outer_box.wall.thickness
    wall, length, height = thickness or THIN, size.length, size.height
    if min(length, height) <= 0:
        return Unknown("The walls leave no room inside the outer box.")
    scale = min(PICTURE / (length + 2 * wall), HIGHEST / (height + 2 * wall))
    outer = Box(0.5, TOP, 0.5 + (length + 2 * wall) * scale, TOP + (height + 2 * wall) * scale)
    inner = Box(
        outer.left + wall * scale,
        outer.top + wall * scale,
        outer.right - wall * scale,
        outer.bottom - wall * scale,
    )
    place = Place(inner, outer, scale, name)
    spots, undrawn = spots_of(plan, place)
    parts = [
        _room_part(plan, show, outer),
        _wall_part(plan, show, outer, inner, thickness is not None),
        heater_part(plan, forecast, show, place),
        *egg_box_parts(plan, forecast, egg_sizes, show, place, spots),
        probe_part(plan, show, place, spots),
    ]
    notes = [*undrawn, *(note for part in parts for note in part.notes)]
    shapes = [
        rectangle(outer, hatched(name)),
        rectangle(inner, "#fff"),
        *(shape for part in parts for shape in part.shapes),
    ]
    told = [part for part in parts if part.text and part.at is not None]
    labels, leaders, lowest = with_words(told, outer, outer.bottom + FOOT, width)
    foot, foot_labels = _scale_bar(show, scale, outer, _size_words(plan, show))
    height_drawn = max(outer.bottom + FOOT, lowest + 4.0)
    return Drawing(
        name=name,
        title="Your outer box in cross-section",
        description=" ".join(
            (
                "The outer box cut open and seen from the front, drawn to scale.",
                *(f"{part.text}." for part in parts if part.text),
                *notes,
            )
        ),
        height=height_drawn,
        shapes=(*shapes, *leaders, *foot),
        labels=(*labels, *foot_labels),
        notes=tuple(notes),
        width=width,
    )


def inside_of(plan: Plan) -> Size | None:
    """The room inside the outer box, from its outside where that alone is told; None where neither is."""
    box = plan.outer_box
    if box.inside is not None or box.outside is None:
        return box.inside
    walls = 2 * (box.wall.thickness or THIN)
    return Size(box.outside.length - walls, box.outside.width - walls, box.outside.height - walls)


def _room_part(plan: Plan, show: Show, outer: Box) -> DrawnPart:
    room = plan.room.temperature
    if room is None:
        return DrawnPart("", None, (), ("How warm the room is: not in the plan.",))
    return DrawnPart(
        f"Room: {show.temperature_range(room.low, room.high)}", (outer.right + 4.0, outer.top + 2.0), (), ()
    )


def _wall_part(plan: Plan, show: Show, outer: Box, inner: Box, told: bool) -> DrawnPart:
    material = plan.outer_box.wall.material
    at = ((outer.right + inner.right) / 2, outer.top + 0.3 * (outer.bottom - outer.top))
    thickness = plan.outer_box.wall.thickness
    words = ", ".join(
        [material or "material not told", *([show.length(thickness)] if thickness is not None else [])]
    )
    notes = () if told else ("How thick the wall is: not in the plan.",)
    return DrawnPart(f"Wall: {words}", at, (), notes)


def with_words(
    parts: list[DrawnPart], outer: Box, below: float, width: float
) -> tuple[list[Label], list[str], float]:
    """The texts of a picture: beside it where it is as wide as a page, else numbered and from `below` downwards; where they end."""
    return _beside(parts, outer) if width >= WIDTH else _numbered(parts, below, width)


def _numbered(parts: list[DrawnPart], below: float, width: float) -> tuple[list[Label], list[str], float]:
    """A number near each part, where it hides neither a part nor another number, and the texts by their numbers."""
    labels: list[Label] = []
    marks: list[str] = []
    taken = [part.at for part in parts if part.at is not None]
    spots: list[tuple[float, float]] = []
    y = below
    for number, part in enumerate(parts, 1):
        assert part.at is not None
        here, others = part.at, [at for at in taken if at != part.at]
        around = [
            (here[0] + far * math.cos(turn * math.pi / 6), here[1] + far * math.sin(turn * math.pi / 6))
            for far in (16.0, 24.0, 34.0)
            for turn in range(-3, 9)
        ]
        free = [
            (x, y)
            for x, y in around
            if NUMBER < x < width - NUMBER
            and NUMBER < y < below - NUMBER
            and all(math.dist((x, y), spot) > 2 * NUMBER + 1 for spot in spots)
            and all(math.dist((x, y), at) > NUMBER + 4 for at in others)
        ]
        spot = (free or around)[0]
        spots.append(spot)
        marks += [
            lines([here, spot], 0.7),
            ellipse(*here, 1.8, 1.8, "#000", 0.5),
            ellipse(*spot, NUMBER, NUMBER, "#fff", 0.7),
        ]
        labels.append(Label(spot[0], spot[1] + 0.36 * SIZE, str(number), SIZE, "middle", bold=True))
        text = wrapped(part.text, width - INDENT - 2.0, most=6)
        labels.append(Label(0.0, y + SIZE, str(number), SIZE, bold=True))
        labels += label_lines(text, INDENT, y + SIZE)
        y += len(text) * LINE * SIZE + 3.0
    return labels, marks, y


def _beside(parts: list[DrawnPart], outer: Box) -> tuple[list[Label], list[str], float]:
    """The texts right of the box, in the order of what they point at, each with its thin line."""
    below, column = outer.bottom + 5.0, outer.right + BESIDE

    def height(part: DrawnPart) -> float:
        assert part.at is not None
        return below if part.behind else part.at[1]

    labels: list[Label] = []
    leaders: list[str] = []
    bottom = 0.0
    for part in sorted(parts, key=height):
        assert part.at is not None
        text = wrapped(part.text, WIDTH - column - 2.0, most=6)
        block = len(text) * LINE * SIZE
        top = max(bottom + GAP, height(part) - block / 2)
        labels += label_lines(text, column, top + SIZE)
        corner = [(part.at[0], below)] if part.behind else []
        leaders.append(lines([part.at, *corner, (column - 4.0, top + SIZE * 0.65)], 0.7))
        leaders.append(ellipse(part.at[0], part.at[1], 1.8, 1.8, "#000", 0.5))
        bottom = top + block
    return labels, leaders, bottom


def _size_words(plan: Plan, show: Show) -> str:
    box = plan.outer_box
    size = box.inside or box.outside
    assert size is not None
    where = "inside" if box.inside is not None else "outside"
    return f"{where} {size_words(size, show)}"


def _scale_bar(show: Show, scale: float, outer: Box, size: str) -> tuple[list[str], tuple[Label, ...]]:
    metres, words = (4 * 0.0254, "4 in") if show.us else (0.1, "10 cm")
    y = outer.bottom + 14.0
    left, right = outer.left, outer.left + metres * scale
    bars = [line(left, y, right, y, 1.5), line(left, y - 3, left, y + 3), line(right, y - 3, right, y + 3)]
    return bars, (Label(left, y + 16.0, f"{words}; {size}", SIZE),)
