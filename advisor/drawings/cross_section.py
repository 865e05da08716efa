"""The keeper's own outer box in cross-section, to scale: wall, heater, egg boxes, probe, temperatures, drops."""

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
from advisor.model.papers import PaperFigures
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


def cross_section(
    plan: Plan,
    forecast: Forecast,
    figures: PaperFigures,
    show: Show,
    name: str = "your-box",
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
        *egg_box_parts(plan, forecast, figures, show, place, spots),
        probe_part(plan, show, place, spots),
    ]
    notes = [*undrawn, *(note for part in parts for note in part.notes)]
    shapes = [
        rectangle(outer, hatched(name)),
        rectangle(inner, "#fff"),
        *(shape for part in parts for shape in part.shapes),
    ]
    told = [part for part in parts if part.text and part.at is not None]
    labels, leaders, lowest = beside(told, outer)
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


def beside(parts: list[DrawnPart], outer: Box) -> tuple[list[Label], list[str], float]:
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
        text = wrapped(part.text, WIDTH - column - 2.0, SIZE, most=6)
        block = len(text) * LINE * SIZE
        top = max(bottom + GAP, height(part) - block / 2)
        labels += label_lines(text, column, top + SIZE, SIZE)
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
