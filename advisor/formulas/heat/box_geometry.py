"""Where everything stands in a heated box: layers of air, strips of wall, egg boxes, and the exchange of radiation.

The egg boxes of a tier stand evenly spaced, with the same gap at the walls. Air lies in layers bounded by what
stands in the box: floor, base, top of the medium, lid of each tier; the free height above in one to three.
"""

import math
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from advisor.formulas.heat.box_faces import (
    Rectangle,
    TierPlace,
    area_of,
    box_faces,
    box_radiation,
    core_of,
    heats_floor,
    heats_lid,
    inner_perimeter,
    is_sheet,
    overlap,
)
from advisor.formulas.heat.box_setup import BoxSetup, EggBoxes, Uncertain, has_moist_air

_LEAST_GAP = 0.001  # m between what is stacked without room to spare
_FULL_COVER = 0.99  # [-], so that a bare ceiling, floor or wall always remains
_LOW, _HIGH = 0.06, 0.16  # m of free height up to which it counts as one layer, two; judgement


class Geometry(Struct, frozen=True):
    """What the links of the network need, independent of temperatures and of uncertain constants.

    names of the nodes; tiers; bounds of the layers and their depths [m], from below; size of the box, the longer side first [m]; free:
    open cross-section between neighbouring layers [m2], from below; strips: bare wall of each layer [m2];
    ceiling, floor, heater: bare areas [m2]; heater_on [-]: share of the heater in each layer, on a side wall;
    heater_sides [m], 0 without a sheet; core: its inner half, of one on the ceiling [m2], included in heater as
    core_over_lids is in heater_over_lids; over_lids, heater_over_lids: how much of ceiling and heater lies over
    the highest lids, between_tiers: lower lids under upper bases, under_base, heater_under_base: floor and
    heater under the lowest bases [m2]; exchange [m2]: of radiation among all nodes, empty rows for those that do
    not radiate; point_views [-]: what a bulb lights, by node.
    """

    names: tuple[str, ...]
    tiers: tuple[TierPlace, ...]
    bounds: tuple[float, ...]
    depths: tuple[float, ...]
    size: tuple[float, float, float]
    free: tuple[float, ...]
    strips: tuple[float, ...]
    ceiling: float
    floor: float
    heater: float
    heater_on: tuple[float, ...]
    heater_sides: tuple[float, float]
    over_lids: float
    core: float
    heater_over_lids: float
    core_over_lids: float
    between_tiers: float
    under_base: float
    heater_under_base: float
    exchange: tuple[tuple[float, ...], ...]
    point_views: tuple[float, ...]


def on_wall(setup: BoxSetup) -> bool:
    """Whether the heater lies on side walls. setup: the box. Result: yes or no."""
    return setup.heat_place in ("one side", "all sides")


def plan_size(setup: BoxSetup) -> tuple[float, float]:
    """Length and width of the box as seen from above, the longer first [m]. setup: the box."""
    box = setup.inside
    if setup.endless:
        return box.length, box.width
    return max(box.length, box.width), min(box.length, box.width)


def _spread_out(count: int, size: float, inside: float) -> list[tuple[float, float]]:
    """Places of so many lengths along another, evenly spaced; they are cut where they would overlap."""
    size = min(size, inside / count * _FULL_COVER)
    gap = (inside - count * size) / (count + 1)
    return [(gap + k * (gap + size), gap + k * (gap + size) + size) for k in range(count)]


def _footprints(boxes: EggBoxes, length: float, width: float, endless: bool) -> tuple[Rectangle, ...]:
    """In rows that leave the widest gaps, longer sides along the box where they fit so."""
    wall = 2.0 * boxes.lid_thickness
    if endless:
        return tuple(
            (-math.inf, math.inf, low, high)
            for low, high in _spread_out(boxes.count, boxes.width + wall, width)
        )
    best, rows = -math.inf, (boxes.count, 1, boxes.length, boxes.width)
    sides = max(boxes.length, boxes.width) + wall, min(boxes.length, boxes.width) + wall
    for one, other in (sides, sides[::-1]):
        if best > 0.0:
            break
        for across in range(1, boxes.count + 1):
            along = math.ceil(boxes.count / across)
            gap = min((length - along * one) / (along + 1), (width - across * other) / (across + 1))
            if gap > best + 1e-12:
                best, rows = gap, (along, across, one, other)
    along, across, one, other = rows
    found: list[Rectangle] = []
    left = boxes.count
    for number, (low, high) in enumerate(_spread_out(across, other, width)):
        here = math.ceil(left / (across - number))
        left -= here
        found += [(a, b, low, high) for a, b in _spread_out(here, one, length)] if here else []
    return tuple(found)


def _heights(setup: BoxSetup) -> tuple[list[tuple[float, float, float]], float]:
    """Base, top of the medium and lid of each tier, and the height of the box [m], stretched where nothing fits."""
    tiers = [setup.lower] if setup.upper is None else [setup.lower, setup.upper]
    stack = sum(boxes.height + 2.0 * boxes.lid_thickness for boxes in tiers)
    rack = setup.rack_height if setup.boxes_stand == "on a rack" else 0.0
    gaps = [rack, *([setup.tier_gap] * (len(tiers) - 1)), 0.02]
    scale = min(max(setup.inside.height - stack, 0.0) / max(sum(gaps), 1e-9), 1.0)
    gaps = [max(gap * scale, _LEAST_GAP) if gap else 0.0 for gap in gaps]
    found, floor = [], 0.0
    for boxes, gap in zip(tiers, gaps, strict=False):
        base = floor + gap
        floor = base + boxes.height + 2.0 * boxes.lid_thickness
        found.append((base, base + boxes.lid_thickness + boxes.medium_depth, floor))
    return found, max(setup.inside.height, floor + gaps[-1])


def _bounds(places: Sequence[tuple[float, float, float]], height: float) -> list[float]:
    bounds = [0.0]
    for number, (base, surface, top) in enumerate(places):
        if number == 0 and base > 0.0:
            bounds.append(base)
        above = places[number + 1][0] if number + 1 < len(places) else top
        bounds += [surface, (top + above) / 2.0]
    free = height - bounds[-1]
    parts = 1 if free < _LOW else 2 if free < _HIGH else 3
    return bounds + [bounds[-1] + free * (k + 1) / parts for k in range(parts)]


def node_names(setup: BoxSetup, layers: int) -> tuple[str, ...]:
    """Names of the nodes in the order of their temperatures: those with few links first.

    setup: the box; layers: of air. Result: names. A bulb or emitter has no node; "dew point" is that of the
    moist air, over a water bath or open trays.
    """
    kinds = [(tier, boxes) for tier, boxes in (("lower", setup.lower), ("upper", setup.upper)) if boxes]
    tiers = [tier for tier, _ in kinds]
    names = [f"{tier} surface" for tier in tiers]
    names += [f"air {number}" for number in range(layers)]
    if has_moist_air(setup):
        names.append("dew point")
    for tier in tiers:
        names += [f"{tier} base", f"{tier} medium sides", f"{tier} sides", f"{tier} lid"]
    names += [f"{tier} foam" for tier, boxes in kinds if boxes.lid_foam]
    names += [f"wall {number}" for number in range(layers)]
    names += ["ceiling", "floor"]
    if is_sheet(setup):
        names.append("heater")
    if heats_lid(setup):
        names.append("heater core")
    return tuple(names)


def geometry_of(setup: BoxSetup) -> Geometry:
    """The geometry of a box; kept, so that the rays are traced once for each.

    setup: the box, checked. Result: areas, layers, and exchange of radiation. Reference: geometry; rays as in
    `enclosure`.
    """
    lower, upper = (None if boxes is None else _plain(boxes) for boxes in (setup.lower, setup.upper))
    assert lower is not None
    # What the geometry does not depend on is the same for all.
    return _geometry(
        replace(
            setup,
            lower=lower,
            upper=upper,
            wall_thickness=1.0,
            wall_conductivity=1.0,
            room=0.0,
            set_point=0.0,
            probe="medium",
            probe_tier="lower",
            stands_on="shelf",
            lid_fits="well",
            floor_share=0.0,
            floor_heater_area=0.0,
            vapour_exchange=0.0,
            room_vapour=0.0,
            uncertain=_TYPICAL,
            panes=(),
            vents=None,
            fan_power=0.0,
            fan_share=0.0,
        )
    )


_TYPICAL = Uncertain()


def _plain(boxes: EggBoxes) -> EggBoxes:
    return replace(boxes, wall_conductivity=1.0, medium_conductivity=1.0, water_potential=0.0)


@lru_cache(maxsize=256)
def _geometry(setup: BoxSetup) -> Geometry:
    length, width = plan_size(setup)
    heights, height = _heights(setup)
    bounds = _bounds(heights, height)
    kinds = [boxes for boxes in (setup.lower, setup.upper) if boxes is not None]
    tiers = tuple(
        TierPlace(
            name=name,
            roof=f"{name} {'foam' if boxes.lid_foam else 'lid'}",
            bottom=base,
            surface=surface,
            top=top,
            footprints=_footprints(boxes, length, width, setup.endless),
            below=_layer_at(bounds, base - 1e-7),
            above=_layer_at(bounds, top + 1e-7),
            beside_medium=_layer_at(bounds, (base + surface) / 2.0),
            beside_headspace=_layer_at(bounds, (surface + top) / 2.0),
        )
        for name, boxes, (base, surface, top) in zip(("lower", "upper"), kinds, heights, strict=False)
    )
    names = node_names(setup, len(bounds) - 1)
    heater = _heater_rectangle(setup, length, width, height)
    faces = box_faces(setup, tiers, bounds, (length, width, height), heater)
    areas = {name: sum(patch.area for patch in patches) for name, patches in faces.items()}
    touching = (
        sum(area_of(print_, length) for print_ in tiers[0].footprints) if tiers[0].bottom == 0.0 else 0.0
    )
    flat = length * width
    on_ceiling = heater if heats_lid(setup) else None
    on_floor = heater if heats_floor(setup) else None
    core = None if on_ceiling is None else core_of(on_ceiling)
    over_core = _facing(tiers[-1].footprints, core, length)
    under = _facing(tiers[0].footprints, on_floor, length)
    over = _facing(tiers[-1].footprints, on_ceiling, length)
    heater_area = areas.get("heater", 0.0) + areas.get("heater core", 0.0)
    if touching:
        # What stands on the floor hides it: contact takes the place of sight and of the film.
        areas["floor"] = max(areas["floor"] - (touching - under), 0.01 * flat)
        if on_floor is not None and "heater" in areas:
            areas["heater"] = max(areas["heater"] - under, 0.01 * flat)
    exchange, points = box_radiation(
        setup, tiers, bounds, (length, width, height), heater, faces, areas, names
    )
    layers = list(pairwise(bounds))
    sheet = is_sheet(setup) and heater is not None
    wide = heater[3] - heater[2]
    long = min(heater[1], length) - max(heater[0], 0.0)
    return Geometry(
        names=names,
        tiers=tiers,
        bounds=tuple(bounds),
        depths=tuple(high - low for low, high in layers),
        size=(length, width, height),
        free=tuple(
            max(flat - sum(_taken(tier, length) for tier in tiers if tier.bottom < z < tier.top), 0.02 * flat)
            for z in bounds[1:-1]
        ),
        strips=tuple(areas.get(f"wall {number}", 0.0) for number in range(len(layers))),
        ceiling=areas["ceiling"],
        floor=flat - (heater_area if on_floor else 0.0),
        heater=heater_area,
        heater_on=tuple(
            max(min(high, heater[3]) - max(low, heater[2]), 0.0) / wide if on_wall(setup) else 0.0
            for low, high in layers
        ),
        heater_sides=(long, wide) if sheet else (0.0, 0.0),
        over_lids=sum(_taken(tier, length) for tier in tiers[-1:]) - over,
        core=areas.get("heater core", 0.0),
        heater_over_lids=over,
        core_over_lids=over_core,
        between_tiers=sum(overlap(a, b, length) for a in tiers[0].footprints for b in tiers[-1].footprints)
        if len(tiers) > 1
        else 0.0,
        under_base=_taken(tiers[0], length) - under,
        heater_under_base=under,
        exchange=exchange,
        point_views=points,
    )


def _taken(tier: TierPlace, length: float) -> float:
    return sum(area_of(footprint, length) for footprint in tier.footprints)


def _facing(footprints: Sequence[Rectangle], heater: Rectangle | None, length: float) -> float:
    return 0.0 if heater is None else sum(overlap(footprint, heater, length) for footprint in footprints)


def _layer_at(bounds: Sequence[float], height: float) -> int:
    return min(max(bisect_right(bounds, height) - 1, 0), len(bounds) - 2)


def _heater_rectangle(setup: BoxSetup, length: float, width: float, height: float) -> Rectangle:
    """Where the heater lies on its ceiling or floor (length, width) or wall (length, height); centred."""
    if setup.heat_place == "all sides":
        share = min(setup.heater_area / (2.0 * (length + width) * height), _FULL_COVER) * height
        return -math.inf, math.inf, (height - share) / 2.0, (height + share) / 2.0
    across = height if setup.heat_place == "one side" else width
    area = min(setup.heater_area, _FULL_COVER * length * across)
    if setup.endless:
        return -math.inf, math.inf, (across - area / length) / 2.0, (across + area / length) / 2.0
    if setup.heater_length is not None:
        long = min(max(setup.heater_length, area / across), length)
        wide = area / long
    else:
        share = math.sqrt(area / (length * across))
        long, wide = length * share, across * share
    return (length - long) / 2.0, (length + long) / 2.0, (across - wide) / 2.0, (across + wide) / 2.0


def outer_faces(setup: BoxSetup, geometry: Geometry) -> Iterator[tuple[str, float]]:
    """Every surface that the air of the outer box touches: node and area [m2]. setup: the box; its geometry."""
    yield "ceiling", geometry.ceiling
    yield "floor", geometry.floor
    if is_sheet(setup):
        yield "heater", geometry.heater
    for number, area in enumerate(geometry.strips):
        yield f"wall {number}", area
    for tier, boxes in zip(geometry.tiers, (setup.lower, setup.upper), strict=False):
        assert boxes is not None
        around = boxes.count * inner_perimeter(boxes, setup.endless)
        flat = boxes.count * boxes.length * boxes.width
        yield tier.roof, flat
        yield f"{tier.name} sides", around * (tier.top - tier.surface)
        yield f"{tier.name} medium sides", around * (tier.surface - tier.bottom)
        if tier.bottom > 0.0:
            yield f"{tier.name} base", flat
