"""Heater and probe of the cross-section, each with its words."""

from math import inf

from advisor.drawings.canvas import Box, ellipse, line, lines, rectangle, shape
from advisor.drawings.egg_boxes import DrawnPart, Place, Spot, water_depth
from advisor.model.figures import Figure
from advisor.model.forecast import Forecast
from advisor.model.plan import Heat, Plan
from advisor.show import Show
from advisor.wording import set_point_words


def heater_part(plan: Plan, forecast: Forecast, show: Show, place: Place) -> DrawnPart:
    """The heater at its place, in its size."""
    heat = plan.heat
    missing = [word for word, value in (("kind", heat.source), ("place", heat.place)) if value is None]
    if missing or heat.source is None or heat.place is None:
        return DrawnPart("", None, (), (f"The heater: {' and '.join(missing)} not told.",))
    power = f", {show.power(heat.power)}" if heat.power is not None else ""
    surface = forecast.heat.heater_surface
    warm = f", {show.figure(surface)}" if isinstance(surface, Figure) else ""
    several = f"{heat.count} x " if heat.count > 1 else ""
    second = " and on the floor" if heat.floor_heater else ""
    words = f"Heater: {several}{heat.source}, {where_heater(heat.place)}{second}{power}{warm}"
    if heat.place == "in water":
        words += f", {show.volume(heat.bath_water)} of water" if heat.bath_water else ""
        return DrawnPart(words, *heater_shapes(heat, place), ("How deep the water stands: not in the plan.",))
    if heat.size is None and (heat.source != "cable" or heat.length is None):
        return DrawnPart(words, None, (), ("How large the heater is: not in the plan.",))
    return DrawnPart(words, *heater_shapes(heat, place), ())


def heater_shapes(heat: Heat, place: Place) -> tuple[tuple[float, float], tuple[str, ...]]:
    """A heater whose kind and place are known: a point on it, and its shapes."""
    inner = place.inner
    if heat.place == "in water":
        return _water_bath(place)
    # A cable that is told by its length is drawn over all that carries it.
    area = (heat.size.length, heat.size.width) if heat.size else (inf, inf)
    long, short = max(area), min(area)
    if heat.count > 1:  # end to end where there is room for it, else side by side
        row = heat.count * long
        long = row if row * place.scale <= inner.right - inner.left else max(long, heat.count * short)
    middle = (inner.left + inner.right) / 2
    if heat.source in ("bulb", "ceramic emitter"):
        return _bulb(place, long * place.scale / 2, heat.place)
    thick = 5.0
    if heat.place in ("lid", "floor"):
        half = min(long * place.scale, inner.right - inner.left - 4.0) / 2
        top = inner.top + 1.0 if heat.place == "lid" else inner.bottom - 1.0 - thick
        boxes = [Box(middle - half, top, middle + half, top + thick)]
    else:
        half = min(short * place.scale, inner.bottom - inner.top - 4.0) / 2
        y = (inner.top + inner.bottom) / 2
        sides = [inner.left + 1.0, inner.right - 1.0 - thick]
        boxes = [
            Box(x, y - half, x + thick, y + half) for x in (sides[:1] if heat.place == "one side" else sides)
        ]
    marked = boxes[-1]
    if heat.floor_heater is not None:
        half = min(heat.floor_heater.size.length * place.scale, inner.right - inner.left - 4.0) / 2
        boxes.append(Box(middle - half, inner.bottom - 1.0 - thick, middle + half, inner.bottom - 1.0))
    at = (
        (marked.right - 3.0, (marked.top + marked.bottom) / 2)
        if heat.place in ("lid", "floor")
        else ((marked.left + marked.right) / 2, marked.top + 6.0)
    )
    if heat.source == "cable":
        shapes = tuple(dot for box in boxes for dot in _cable(box))
    else:
        shapes = tuple(rectangle(box, "#000", 0.0) for box in boxes)
    return at, shapes


def where_heater(place: str) -> str:
    """Where the heater sits, in words that follow its kind."""
    return {
        "lid": "under the lid",
        "floor": "on the floor",
        "one side": "on one side",
        "all sides": "on all sides",
        "in water": "in the water",
    }[place]


def _cable(box: Box) -> list[str]:
    if box.right - box.left >= box.bottom - box.top:
        count = max(int((box.right - box.left) / 10.0), 1)
        step = (box.right - box.left) / count
        y = (box.top + box.bottom) / 2
        return [ellipse(box.left + (index + 0.5) * step, y, 2.4, 2.4, "#000", 0.0) for index in range(count)]
    count = max(int((box.bottom - box.top) / 10.0), 1)
    step = (box.bottom - box.top) / count
    x = (box.left + box.right) / 2
    return [ellipse(x, box.top + (index + 0.5) * step, 2.4, 2.4, "#000", 0.0) for index in range(count)]


def _bulb(place: Place, radius: float, where: str | None) -> tuple[tuple[float, float], tuple[str, ...]]:
    inner = place.inner
    radius = max(min(radius, (inner.bottom - inner.top) / 3), 4.0)
    x, y = (inner.left + inner.right) / 2, inner.top + radius + 6.0
    if where == "floor":
        y = inner.bottom - radius - 6.0
    elif where in ("one side", "all sides"):
        x, y = inner.left + radius + 6.0, (inner.top + inner.bottom) / 2
    rays = [
        line(x + a * (radius + 2), y + b * (radius + 2), x + a * (radius + 6), y + b * (radius + 6), 0.9)
        for a, b in ((1, 0), (-1, 0), (0.7, 0.7), (-0.7, 0.7), (0.7, -0.7), (-0.7, -0.7), (0, 1))
    ]
    return (x + radius * 0.5, y), (ellipse(x, y, radius, radius, "#fff", 1.6), *rays)


def _water_bath(place: Place) -> tuple[tuple[float, float], tuple[str, ...]]:
    inner = place.inner
    level = inner.bottom - water_depth(place)
    count = max(int((inner.right - inner.left) / 8.0), 2)
    step = (inner.right - inner.left) / count
    wave = [(inner.left + index * step, level + (1.5 if index % 2 else -1.5)) for index in range(count + 1)]
    x = inner.left + 0.62 * (inner.right - inner.left)
    y = (level + inner.bottom) / 2
    half = min(25.0, inner.right - x - 4.0)
    stick = rectangle(Box(x - half, y - 2.0, x + half, y + 2.0), "#000", 0.0)
    return (x, y), (lines(wave, 1.2), stick)


def probe_part(plan: Plan, show: Show, place: Place, spots: tuple[Spot, ...]) -> DrawnPart:
    """The thermostat's probe where it sits: a diamond."""
    sits = plan.control.probe.sits_in
    if sits is None:
        return DrawnPart("", None, (), ("Where the probe sits: not in the plan.",))
    set_to = set_point_words(plan.control, show)
    at = probe_at(plan, sits, place, spots)
    aim = f", thermostat set to {set_to}" if set_to else ""
    words = f"Probe: {where_probe(sits)}{aim}"
    if at is None:
        return DrawnPart(words, None, (), (f"The probe ({where_probe(sits)}): its place cannot be drawn.",))
    return DrawnPart(words, at, (diamond(*at),), (), behind=any(spot.left > at[0] for spot in spots))


def diamond(x: float, y: float) -> str:
    """The mark of the probe."""
    return shape(((x, y - 5.0), (x + 5.0, y), (x, y + 5.0), (x - 5.0, y)), "#fff", 1.4)


def where_probe(sits: str) -> str:
    """Where the probe sits, in words."""
    return {
        "probe box medium": "in the medium of the probe box",
        "egg box medium": "in the medium of an egg box",
        "air": "in the air beside the egg boxes",
        "water": "in the water of the bath",
        "on heater": "on the heater",
        "outside the box": "outside the box",
    }[sits]


def probe_at(plan: Plan, sits: str, place: Place, spots: tuple[Spot, ...]) -> tuple[float, float] | None:
    """Where the probe is drawn; None where its place cannot be."""
    inner = place.inner
    if sits in ("probe box medium", "egg box medium"):
        holds = "probe" if sits == "probe box medium" else "eggs"
        spot = next((spot for spot in spots if (plan.egg_boxes[spot.index].holds or "eggs") == holds), None)
        if spot is None:
            return None
        depth = plan.egg_boxes[spot.index].medium.depth or 0.0
        return spot.left + spot.width / 2, spot.foot - max(depth * place.scale / 2, 6.0)
    if sits == "air":
        return inner.right - 8.0, (inner.top + inner.bottom) / 2
    if sits == "water":
        return inner.left + 0.3 * (inner.right - inner.left), inner.bottom - water_depth(place) / 2
    if sits == "outside the box":
        return place.outer.right + 8.0, (inner.top + inner.bottom) / 2
    middle = (inner.left + inner.right) / 2
    if plan.heat.place in ("one side", "all sides"):
        x = inner.left + 9.0 if plan.heat.place == "one side" else inner.right - 9.0
        return x, (inner.top + inner.bottom) / 2
    ys = {"lid": inner.top + 10.0, "floor": inner.bottom - 10.0, "in water": inner.bottom - 10.0}
    return (middle, ys[plan.heat.place]) if plan.heat.place in ys else None
