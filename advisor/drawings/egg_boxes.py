"""The egg boxes of the cross-section: where they stand, medium, eggs, lid and drops, each with its words."""

from msgspec import Struct

from advisor.constants import DAY
from advisor.drawings.canvas import Box, dotted, drop, ellipse, line, rectangle
from advisor.model.figures import Figure, Unknown
from advisor.model.forecast import EggBoxForecast, Forecast
from advisor.model.papers import EggSizes
from advisor.model.plan import EggBox, Plan
from advisor.model.shelves import has_shelf
from advisor.rules.shared import LID_COLDER_BY, lid_cools_in_off_times
from advisor.show import Show
from advisor.units import TRACE

RACK = 0.02  # m, height of the rack as drawn where the plan does not tell it; judgement
PLASTIC = 0.0015  # m, wall and lid of an egg box as drawn; judgement
RIM = 0.006  # m, how far the lid stands out on each side as drawn; judgement
BATH = 0.03  # m, water as drawn in a bath; judgement
DROP, DROP_ROOM = 7.0, 0.4  # units; share of the air under the lid that a drop takes at most
DROPS = (0.15, 0.32, 0.5, 0.68, 0.85)  # where drops hang, as shares of the width
APART = 4.0  # units, least gap between two boxes
STEADY, OFF_TIMES, PERHAPS = "steady", "off-times", "perhaps"  # when water drips from a lid


class Place(Struct, frozen=True):
    """Where the parts go: inside and outside of the box on the sheet, units per metre, name of the picture."""

    inner: Box
    outer: Box
    scale: float
    name: str


class DrawnPart(Struct, frozen=True):
    """One part: its words, the point they belong to, its shapes, and what could not be drawn.

    The line to the words of a part that stands `behind` others leads down out of the box first.
    """

    text: str
    at: tuple[float, float] | None
    shapes: tuple[str, ...]
    notes: tuple[str, ...]
    behind: bool = False


class Spot(Struct, frozen=True):
    """Where one kind of egg box is drawn: its number in the plan, left end, foot, width, height of one box, tiers."""

    index: int
    left: float
    foot: float
    width: float
    high: float
    tiers: int


def water_depth(place: Place) -> float:
    """How deep the water of a bath is drawn [units]."""
    return min(BATH * place.scale, (place.inner.bottom - place.inner.top) / 3)


def spots_of(plan: Plan, place: Place) -> tuple[tuple[Spot, ...], tuple[str, ...]]:
    """One spot a kind of box, the first kind with eggs outermost on the right; and what is not drawn, in words."""
    if not plan.egg_boxes:
        return (), ("The egg boxes: not in the plan.",)
    notes: list[str] = []
    drawable: list[int] = []
    for index, box in enumerate(plan.egg_boxes):
        missing = [word for word, value in (("size", box.inside), ("layers", box.tier)) if value is None]
        if missing:
            notes.append(f"Egg box '{box.name}': {' and '.join(missing)} not told.")
        else:
            drawable.append(index)
    first, probe = first_with(plan, "eggs"), first_with(plan, "probe")
    drawable.sort(key=lambda index: (index != first, index != probe))
    room = place.inner.right - place.inner.left
    chosen: list[int] = []
    crowded: list[str] = []
    for index in drawable:
        width = _width(plan.egg_boxes[index], place) + APART
        if width <= room or not chosen:
            chosen.append(index)
            room -= width
        else:
            crowded.append(f"'{plan.egg_boxes[index].name}'")
    if crowded:
        more = f" and {len(crowded) - 4} more" if len(crowded) > 4 else ""
        notes.append(f"No room beside the others: {', '.join(crowded[:4])}{more}.")
    step = max(room, 0.0) / (len(chosen) + 1)
    right = place.inner.right - step - APART / 2
    spots: list[Spot] = []
    for index in chosen:
        box = plan.egg_boxes[index]
        width = _width(box, place)
        spot, said = _spot(plan, index, right - width, place)
        spots.append(spot)
        notes += said
        right -= width + APART + step
    return tuple(spots), tuple(notes)


def first_with(plan: Plan, holds: str) -> int:
    """The number of the first kind of box that holds eggs or the probe, or -1."""
    return next((index for index, box in enumerate(plan.egg_boxes) if box.holds == holds), -1)


def _width(box: EggBox, place: Place) -> float:
    assert box.inside is not None
    return (box.inside.length + 2 * (PLASTIC + RIM)) * place.scale


def _spot(plan: Plan, index: int, left: float, place: Place) -> tuple[Spot, list[str]]:
    box = plan.egg_boxes[index]
    assert box.inside is not None
    notes: list[str] = []
    foot = place.inner.bottom
    if plan.heat.source == "water bath":
        foot -= water_depth(place) + 3.0
    elif box.stands == "on a rack":
        foot -= (box.shelf_height or RACK) * place.scale
    elif box.stands == "on the heater" and plan.heat.place == "floor":
        foot -= 7.0
    elif box.stands is None:
        notes.append(f"What egg box '{box.name}' stands on: not in the plan.")
    high = (box.inside.height + 2 * PLASTIC + box.foam_on_lid) * place.scale
    tiers = 2 if box.tier == "two" else 1
    if foot - tiers * high < place.inner.top:
        notes.append(f"The boxes '{box.name}' do not fit below the lid as the plan has them.")
        tiers = 1
    if box.tier == "upper" and not has_shelf(box, plan.egg_boxes) and foot - 2 * high >= place.inner.top:
        foot -= high
    return Spot(index, left, foot, _width(box, place), high, tiers), notes


def egg_box_parts(
    plan: Plan, forecast: Forecast, egg_sizes: EggSizes, show: Show, place: Place, spots: tuple[Spot, ...]
) -> list[DrawnPart]:
    """The boxes at their spots; words for every kind that holds eggs, and for the lid of the first."""
    parts: list[DrawnPart] = []
    lid_told = False
    for spot in spots:
        box, found = plan.egg_boxes[spot.index], forecast.egg_boxes[spot.index]
        shapes = _stand(plan, box, place, spot)
        for tier in range(spot.tiers):
            shapes += _egg_box(plan, box, found, egg_sizes, place, spot, spot.foot - tier * spot.high)
        notes: list[str] = []
        if box.holds != "probe" and not _eggs_known(plan, box, egg_sizes):
            notes.append(f"The eggs in box '{box.name}': their size is not known.")
        depth = (box.medium.depth or 0.0) * place.scale
        at = (spot.left + spot.width - RIM * place.scale - 6.0, spot.foot - depth / 2 - PLASTIC * place.scale)
        text = _medium_words(box, found, show) if box.holds != "probe" else ""
        parts.append(DrawnPart(text, at if text else None, tuple(shapes), tuple(notes)))
        if box.holds != "probe" and box.lid.fitted and not lid_told:
            lid_told = True
            top = spot.foot - spot.tiers * spot.high + box.foam_on_lid * place.scale
            parts.append(_lid_part(plan, found, show, (spot.left + 0.9 * spot.width, top + 1.0)))
    return parts


def _stand(plan: Plan, box: EggBox, place: Place, spot: Spot) -> list[str]:
    on_bath = plan.heat.source == "water bath"
    if not on_bath and box.stands != "on a rack":
        return []
    right = spot.left + spot.width
    legs = [line(x, spot.foot, x, place.inner.bottom, 1.4) for x in (spot.left + 4.0, right - 4.0)]
    return [line(spot.left, spot.foot, right, spot.foot, 1.8), *legs]


def _egg_box(
    plan: Plan,
    box: EggBox,
    forecast: EggBoxForecast,
    egg_sizes: EggSizes,
    place: Place,
    spot: Spot,
    bottom: float,
) -> list[str]:
    assert box.inside is not None
    scale = place.scale
    plastic, rim = PLASTIC * scale, RIM * scale
    top = bottom - spot.high + plastic + box.foam_on_lid * scale
    body = Box(spot.left + rim, top, spot.left + spot.width - rim, bottom)
    shapes = [rectangle(body, "#fff", 1.0)]
    surface = bottom - plastic - (box.medium.depth or 0.0) * scale
    if box.medium.depth:
        medium = Box(body.left + plastic, surface, body.right - plastic, bottom - plastic)
        shapes.append(rectangle(medium, dotted(place.name), 0.5))
    dripping = drips(plan, forecast)
    if dripping is not None:
        wide, fill = body.right - body.left, "#000" if dripping == STEADY else "#fff"
        size = min(DROP, DROP_ROOM * (surface - body.top))
        shapes += [drop(body.left + wide * share, body.top + 2.0, size, fill) for share in DROPS]
    if box.holds != "probe":
        shapes += _eggs(plan, box, egg_sizes, place, body, surface)
    if not box.lid.fitted:
        return shapes
    lid = Box(spot.left, body.top - 1.5, spot.left + spot.width, body.top + 1.0)
    if box.foam_on_lid:
        shapes.append(
            rectangle(Box(body.left, lid.top - box.foam_on_lid * scale, body.right, lid.top), "#fff", 0.8)
        )
    return [*shapes, rectangle(lid, "#000", 0.0)]


def drips(plan: Plan, forecast: EggBoxForecast) -> str | None:
    """Whether water drips from the lid of an egg box: all the time, while the heater is off, perhaps; None if not.

    None as well where the plan does not allow a forecast.
    """
    water = forecast.heat.condensation
    if not isinstance(water, Figure):
        return None
    if water.value * DAY > TRACE:
        return STEADY
    if lid_cools_in_off_times(plan):
        return OFF_TIMES
    return PERHAPS if water.high * DAY > TRACE else None


def _first_clutch(plan: Plan, box: EggBox) -> int | None:
    return next((number for number, clutch in enumerate(plan.clutches) if clutch.box == box.name), None)


def _eggs_known(plan: Plan, box: EggBox, egg_sizes: EggSizes) -> bool:
    number = _first_clutch(plan, box)
    return number is None or egg_sizes[number] is not None


def _eggs(plan: Plan, box: EggBox, egg_sizes: EggSizes, place: Place, body: Box, surface: float) -> list[str]:
    number = _first_clutch(plan, box)
    axes = egg_sizes[number] if number is not None else None
    if axes is None or number is None:
        return []
    clutch = plan.clutches[number]
    long, wide = (axis * place.scale for axis in axes)
    lift = egg_lift(clutch.placed or "half buried", wide)
    room = body.right - body.left
    fit = int((room - 6.0) / (long + 0.01 * place.scale))
    count = min(fit, clutch.eggs if clutch.eggs is not None else fit)
    if count <= 0:
        return []
    step = room / count
    shapes = [
        ellipse(body.left + (number + 0.5) * step, surface + lift, long / 2, wide / 2, "#fff", 1.1)
        for number in range(count)
    ]
    if clutch.placed == "over the medium":
        shapes.append(line(body.left + 2.0, surface - 6.0, body.right - 2.0, surface - 6.0, 1.0, "3 2"))
    return shapes


def egg_lift(placed: str, wide: float) -> float:
    """How far below the surface of the medium the middle of an egg lies [units], by its width [units]; above it is negative."""
    return {"half buried": 0.0, "buried": 0.65 * wide, "over the medium": -wide / 2 - 6.0}.get(
        placed, -wide / 2
    )


def _medium_words(box: EggBox, forecast: EggBoxForecast, show: Show) -> str:
    count = f"{box.count} egg boxes '{box.name}'" if (box.count or 1) > 1 else f"Egg box '{box.name}'"
    depth = f"{show.length(box.medium.depth)} of " if box.medium.depth is not None else ""
    material = box.medium.called or "medium"
    if material == "none":
        depth, material = "", "no medium"
    warm = forecast.heat.medium_temperature
    at = f", {show.figure(warm)}" if isinstance(warm, Figure) else ""
    return f"{count}: {depth}{material}{at}"


def _lid_part(plan: Plan, forecast: EggBoxForecast, show: Show, at: tuple[float, float]) -> DrawnPart:
    lid, water = forecast.heat.lid_minus_medium, forecast.heat.condensation
    if isinstance(lid, Unknown) or isinstance(water, Unknown):
        reason = lid.reason if isinstance(lid, Unknown) else ""
        return DrawnPart("", None, (), (f"Whether water drips from the lid is not known: {reason}.",))
    words = f"{_lid_words(lid, show)}; {_water_words(water, show)}"
    if drips(plan, forecast) == OFF_TIMES:
        words = (
            f"on average {_lid_words(lid, show)}; while the heater is off up to {show.step(max(LID_COLDER_BY))} colder: "
            "water can drip then"
        )
    return DrawnPart(f"Lid of the egg box: {words}", at, (), ())


def _lid_words(lid: Figure, show: Show) -> str:
    if lid.low < 0 < lid.high:
        return f"between {show.step(-lid.low)} colder and {show.step(lid.high)} warmer than the medium"
    low, value, high = sorted((abs(lid.low), abs(lid.value), abs(lid.high)))
    return f"{show.about_step(value, low, high)} {'warmer' if lid.value >= 0 else 'colder'} than the medium"


def _water_words(water: Figure, show: Show) -> str:
    most = show.about_water_a_day(water.high, water.high, water.high).removeprefix("about ")
    if water.value * DAY > TRACE:
        return f"water drips there, {show.figure(water)}"
    if water.high * DAY > TRACE:
        return f"water may drip there, up to {most}"
    return "no water gathers there"
