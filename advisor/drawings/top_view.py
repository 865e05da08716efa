"""The outer box from above: one way to place egg boxes, bottles and thermometers, with the warmest and the coolest place."""

import math
from collections.abc import Iterator

from advisor.drawings.box_parts import diamond, where_heater, where_probe
from advisor.drawings.canvas import WIDTH, Box, Drawing, ellipse, hatched, line, rectangle, shape
from advisor.drawings.cross_section import TOP, inside_of, with_words
from advisor.drawings.egg_boxes import PLASTIC, RIM, DrawnPart
from advisor.model.figures import Figure, Unknown
from advisor.model.forecast import Forecast
from advisor.model.plan import EggBox, Plan
from advisor.show import Show, counted

LONGEST, WIDEST = 240.0, 140.0  # units, largest the box is drawn
WALL = 5.0  # units; walls are not drawn to scale here
BOTTLE, LITRE = 0.08, 1e-3  # m, m3: a litre bottle as drawn; judgement
# Where the medium is warmest and coolest, as shares of length and width from the left back corner. Walls lose heat, corners
# most, and one side is drawn on the left; judgement.
WARM_COOL = {
    "lid": ((0.5, 0.5), (0.97, 0.95)),
    "floor": ((0.5, 0.5), (0.97, 0.95)),
    "one side": ((0.03, 0.5), (0.97, 0.95)),
    "all sides": ((0.03, 0.5), (0.5, 0.5)),
}
Spot = tuple[int, Box]  # number of the kind of box, its place on the floor [m]


def top_view(plan: Plan, forecast: Forecast, show: Show, width: float = WIDTH) -> Drawing | Unknown:
    """The floor of the box, to scale; what finds no room or is not in the plan is said in the notes."""
    size = inside_of(plan)
    if size is None:
        return Unknown("The plan does not tell the size of the outer box.")
    scale = min(LONGEST / size.length, WIDEST / size.width)
    inner = Box(WALL + 0.5, TOP, WALL + 0.5 + size.length * scale, TOP + size.width * scale)
    outer = Box(0.5, inner.top - WALL, inner.right + WALL, inner.bottom + WALL)
    spots, notes = _spots(plan, size.length, size.width)
    bottles, left_over = _bottles(plan, spots, size.length, size.width)

    def at(x: float, y: float) -> tuple[float, float]:
        return inner.left + x * scale, inner.top + y * scale

    boxes = [(index, Box(*at(box.left, box.top), *at(box.right, box.bottom))) for index, box in spots]
    shapes = [rectangle(outer, hatched("top-view")), rectangle(inner, "#fff")]
    shapes += [_outline(plan.egg_boxes[index], box) for index, box in boxes]
    shapes += [ellipse(*at(x, y), BOTTLE / 2 * scale, BOTTLE / 2 * scale) for x, y in bottles]
    parts = [
        *_box_parts(plan, boxes),
        *_places(plan, forecast, show, inner),
        *_thermometers(plan, boxes, inner),
    ]
    if bottles:
        words = f"{counted(len(bottles), 'bottle')} of water, drawn {show.length(BOTTLE)} wide"
        parts.append(DrawnPart(words, at(*bottles[-1]), (), ()))
    if dish := plan.outer_box.water_dish:
        notes.append(f"The water dish, {show.length(dish.length)} x {show.length(dish.width)}: not drawn.")
    if left_over:
        notes.append(f"No room on the floor for {counted(left_over, 'litre bottle')}.")
    notes += [note for part in parts for note in part.notes]
    told = [part for part in parts if part.at is not None]
    labels, leaders, lowest = with_words(told, outer, outer.bottom + 8.0, width)
    return Drawing(
        name="top-view",
        title="Your box from above",
        description=" ".join(
            (
                "One way to place what stands in the box, seen from above, to scale.",
                *(f"{part.text}." for part in told),
                *notes,
            )
        ),
        height=max(outer.bottom, lowest) + 4.0,
        shapes=(*shapes, *(one for part in parts for one in part.shapes), *leaders),
        labels=tuple(labels),
        notes=tuple(notes),
        width=width,
    )


def _outline(box: EggBox, at: Box) -> str:
    """A box as it is seen from above, that of the probe with a thinner line."""
    thick = 2.0 if box.holds != "probe" else 1.0
    if box.inside is None or not box.inside.round:
        return rectangle(at, "#fff", thick)
    return ellipse(*_middle(at), (at.right - at.left) / 2, (at.bottom - at.top) / 2, "#fff", thick)


def _spots(plan: Plan, length: float, width: float) -> tuple[list[Spot], list[str]]:
    """The boxes in rows on the floor, the probe's in the middle; turned by a quarter where more of them fit so."""
    feet: list[tuple[int, float, float]] = []
    notes: list[str] = []
    for index, box in enumerate(plan.egg_boxes):
        if box.inside is None:
            notes.append(f"Egg box '{box.name}': size not told.")
            continue
        edge = 2 * (PLASTIC + RIM)
        foot = (index, box.inside.length + edge, box.inside.width + edge)
        count = math.ceil((box.count or 1) / (2 if box.tier == "two" else 1))
        middle = len(feet) // 2 if box.holds == "probe" else len(feet)
        feet[middle:middle] = [foot] * count
    turned = [(index, wide, long) for index, long, wide in feet]
    spots = max((_rows(feet, length, width), _rows(turned, length, width)), key=len)
    if len(spots) < len(feet):
        notes.append(f"No room on the floor for {counted(len(feet) - len(spots), 'egg box', 'egg boxes')}.")
    return spots, notes


def _rows(feet: list[tuple[int, float, float]], length: float, width: float) -> list[Spot]:
    rows: list[list[tuple[int, float, float]]] = []
    for foot in feet:
        fits = rows and sum(long for _, long, _ in rows[-1]) + foot[1] <= length
        deep = sum(max(wide for *_, wide in row) for row in rows)
        if (
            fits
            and deep - max(wide for *_, wide in rows[-1]) + max(foot[2], *(w for *_, w in rows[-1])) <= width
        ):
            rows[-1].append(foot)
        elif foot[1] <= length and deep + foot[2] <= width:
            rows.append([foot])
    spots: list[Spot] = []
    gap = (width - sum(max(wide for *_, wide in row) for row in rows)) / (len(rows) + 1)
    y = gap
    for row in rows:
        apart = (length - sum(long for _, long, _ in row)) / (len(row) + 1)
        x = apart
        for index, long, wide in row:
            spots.append((index, Box(x, y, x + long, y + wide)))
            x += long + apart
        y += max(wide for *_, wide in row) + gap
    return spots


def _bottles(
    plan: Plan, spots: list[Spot], length: float, width: float
) -> tuple[list[tuple[float, float]], int]:
    """Middles of litre bottles [m] on what is left of the floor, and how many find no room."""
    wanted = math.ceil((plan.power_cut.water or 0.0) / LITRE - 1e-9)
    if plan.power_cut.prepared != "water bottles":
        return [], 0
    half, step = BOTTLE / 2, BOTTLE / 8
    found: list[tuple[float, float]] = []
    across, down = (int((side - BOTTLE) / step) + 1 for side in (length, width))
    for x, y in ((half + i * step, half + j * step) for i in range(across) for j in range(down)):
        beside_boxes = not any(
            box.left - half < x < box.right + half and box.top - half < y < box.bottom + half
            for _, box in spots
        )
        beside_others = all(math.hypot(x - other, y - more) >= BOTTLE for other, more in found)
        if len(found) < wanted and beside_boxes and beside_others:
            found.append((x, y))
    return found, wanted - len(found)


def _box_parts(plan: Plan, boxes: list[Spot]) -> Iterator[DrawnPart]:
    """Each kind of box by the last one of it, and the probe."""
    kinds = dict(boxes)
    for index, box in kinds.items():
        kind = plan.egg_boxes[index]
        stacked = ", two on each other" if kind.tier == "two" else ""
        yield DrawnPart(f"Egg box '{kind.name}'{stacked}", (box.right - 4.0, box.top + 4.0), (), ())
    sits = plan.control.probe.sits_in
    holds = {"probe box medium": "probe", "egg box medium": "eggs"}.get(sits or "")
    held = next((box for index, box in boxes if (plan.egg_boxes[index].holds or "eggs") == holds), None)
    if held is None:
        where = f"The probe ({where_probe(sits)})" if sits else "Where the probe sits"
        yield DrawnPart("", None, (), (f"{where}: {'not drawn here' if sits else 'not in the plan'}.",))
        return
    x, y = _middle(held)[0], _middle(held)[1] - 8.0
    yield DrawnPart(f"Probe: {where_probe(sits or '')}", (x, y), (diamond(x, y),), ())


def _places(plan: Plan, forecast: Forecast, show: Show, inner: Box) -> Iterator[DrawnPart]:
    """The heater under the lid or on the floor as a dashed frame, the warmest and the coolest place."""
    place, size = plan.heat.place, plan.heat.size
    x, y = _middle(inner)
    if place in ("lid", "floor") and size is not None and (whole := inside_of(plan)) is not None:
        half = min(size.length / whole.length, 1.0) * (x - inner.left)
        deep = min(size.width / whole.width, 1.0) * (y - inner.top)
        ends = [(x - half, y - deep), (x + half, y - deep), (x + half, y + deep), (x - half, y + deep)]
        frame = tuple(
            line(*one, *other, 1.0, "6 4") for one, other in zip(ends, ends[1:] + ends[:1], strict=True)
        )
        yield DrawnPart(f"Heater, {where_heater(place)}: dashed", ends[1], frame, ())
    if place not in WARM_COOL:
        yield DrawnPart("", None, (), ("Where it is warmest and coolest is not known for this heater.",))
        return
    spread = forecast.heat.spread
    apart = ""
    if isinstance(spread, Figure):
        apart = f"; the boxes differ by {show.figure(spread)}"
    for words, (across, down) in zip(
        ("Warmest place", f"Coolest place{apart}"), WARM_COOL[place], strict=True
    ):
        at = inner.left + across * (inner.right - inner.left), inner.top + down * (inner.bottom - inner.top)
        yield DrawnPart(words, at, (), ())


def _thermometers(plan: Plan, boxes: list[Spot], inner: Box) -> Iterator[DrawnPart]:
    """One in the medium of the egg box nearest to the coolest place, the next in that nearest to the warmest."""
    count = plan.watching.thermometers
    eggs = [_middle(box) for index, box in boxes if plan.egg_boxes[index].holds != "probe"]
    if not count or plan.heat.place not in WARM_COOL:
        yield DrawnPart("", None, (), () if count else ("Thermometers: none in the plan.",))
        return
    warm, cool = WARM_COOL[plan.heat.place]
    for words, (across, down) in (("coolest", cool), ("warmest", warm))[:count]:
        goal = inner.left + across * (inner.right - inner.left), inner.top + down * (inner.bottom - inner.top)
        if not eggs:
            return
        nearest = min(eggs, key=lambda middle: math.dist(goal, middle))
        eggs.remove(nearest)
        x, y = nearest[0], nearest[1] + 8.0
        mark = shape(((x - 4.5, y + 4.0), (x + 4.5, y + 4.0), (x, y - 5.0)))
        yield DrawnPart(f"Thermometer in the {words} egg box", (x, y), (mark,), ())


def _middle(box: Box) -> tuple[float, float]:
    return (box.left + box.right) / 2, (box.top + box.bottom) / 2
