"""Where everything stands in a heated box: layers of air, strips of wall, egg boxes, and the exchange of radiation.

The egg boxes of a tier stand evenly spaced, with the same gap at the walls. Air lies in layers bounded by what
stands in the box: floor, base, top of the medium, lid of each tier; the free height above in one to three.
"""

import math
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

from advisor.frozen import dataclass
from advisor.physics.box_setup import POINT_SOURCES, BoxSetup, EggBoxes, Uncertain, is_water_bath
from advisor.physics.enclosure import (
    Block,
    Matrix,
    Patch,
    Point,
    balanced_exchange,
    grey_exchange,
    plate_view,
    traced_views,
)

EMISSIVITY = 0.9  # [-], plastics, foam, wet medium, water 0.90 to 0.96; from memory
RAYS = 160  # from each face: 100 move the power by 0.3 %, 300 nothing; derived
_LEAST_GAP = 0.001  # m between what is stacked without room to spare
_FULL_COVER = 0.99  # [-], so that a bare ceiling, floor or wall always remains
_LOW, _HIGH = 0.06, 0.16  # m of free height up to which it counts as one layer, two; judgement

Rectangle = tuple[float, float, float, float]  # from, to along the length; from, to along the width [m]


@dataclass(frozen=True, slots=True)
class TierPlace:
    """One tier: heights of base, top of the medium and lid [m], footprints, layers of air beside it by number."""

    name: str
    bottom: float
    surface: float
    top: float
    footprints: tuple[Rectangle, ...]
    below: int
    above: int
    beside_medium: int
    beside_headspace: int


@dataclass(frozen=True, slots=True)
class Geometry:
    """What the links of the network need, independent of temperatures and of uncertain constants.

    names of the nodes; tiers; bounds of the layers [m]; size of the box, the longer side first [m]; free:
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

    @property
    def depths(self) -> tuple[float, ...]:
        """Depth of each layer of air [m], from below."""
        return tuple(high - low for low, high in zip(self.bounds, self.bounds[1:], strict=False))


def is_sheet(setup: BoxSetup) -> bool:
    """Whether the heater is a surface (mat, cable, water), not a point. setup: the box. Result: yes or no."""
    return setup.heat_source not in POINT_SOURCES


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


def _overlap(one: Rectangle, other: Rectangle, length: float) -> float:
    along = min(one[1], other[1], length) - max(one[0], other[0], 0.0)
    across = min(one[3], other[3]) - max(one[2], other[2])
    return max(along, 0.0) * max(across, 0.0)


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


def _around(outer: Rectangle, inner: Rectangle | None) -> Iterator[Rectangle]:
    """What is left of a rectangle round a smaller one within it."""
    if inner is None:
        yield outer
        return
    a, b, c, d = outer
    cut = _within(outer, inner)
    if cut is None:
        yield outer
        return
    p, q, r, s = cut
    yield from ((a, p, c, d), (q, b, c, d), (p, q, c, r), (p, q, s, d))


def node_names(setup: BoxSetup, layers: int) -> tuple[str, ...]:
    """Names of the nodes in the order of their temperatures: those with few links first.

    setup: the box; layers: of air. Result: names. A bulb or emitter has no node; "dew point" is that of the
    air over a water bath.
    """
    tiers = ["lower"] if setup.upper is None else ["lower", "upper"]
    names = [f"{tier} surface" for tier in tiers]
    names += [f"air {number}" for number in range(layers)]
    if is_water_bath(setup):
        names.append("dew point")
    for tier in tiers:
        names += [f"{tier} base", f"{tier} medium sides", f"{tier} sides", f"{tier} lid"]
    names += [f"wall {number}" for number in range(layers)]
    names += ["ceiling", "floor"]
    if is_sheet(setup):
        names.append("heater")
        if setup.heat_place == "lid":
            names.append("heater core")
    return tuple(names)


def geometry_of(setup: BoxSetup) -> Geometry:
    """The geometry of a box; kept, so that the rays are traced once for each.

    setup: the box, checked. Result: areas, layers, and exchange of radiation. Reference: geometry; rays as in
    `enclosure`.
    """
    tiers = [boxes and replace(boxes, **_SAME_BOXES) for boxes in (setup.lower, setup.upper)]
    return _geometry(replace(setup, lower=tiers[0], upper=tiers[1], **_SAME))


# What the geometry does not depend on.
_SAME_BOXES = {"wall_conductivity": 1.0, "medium_conductivity": 1.0, "water_potential": 0.0, "egg_heat": 0.0}
_SAME = {
    "wall_thickness": 1.0, "wall_conductivity": 1.0, "room": 0.0, "set_point": 0.0, "probe": "medium",
    "probe_tier": "lower", "stands_on": "shelf", "lid_fits": "well", "uncertain": Uncertain(),
}  # fmt: skip


@lru_cache(maxsize=256)
def _geometry(setup: BoxSetup) -> Geometry:
    length, width = plan_size(setup)
    heights, height = _heights(setup)
    bounds = _bounds(heights, height)
    kinds = [boxes for boxes in (setup.lower, setup.upper) if boxes is not None]
    tiers = tuple(
        TierPlace(
            name=name,
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
    faces = _faces(setup, tiers, bounds, (length, width, height), heater)
    areas = {name: sum(patch.area for patch in patches) for name, patches in faces.items()}
    touching = sum(_area(print_, length) for print_ in tiers[0].footprints) if tiers[0].bottom == 0.0 else 0.0
    flat = length * width
    on_ceiling = heater if setup.heat_place == "lid" and is_sheet(setup) else None
    on_floor = heater if setup.heat_place in ("floor", "in water") and is_sheet(setup) else None
    core = None if on_ceiling is None else _core(on_ceiling)
    over_core = _facing(tiers[-1].footprints, core, length)
    under = _facing(tiers[0].footprints, on_floor, length)
    over = _facing(tiers[-1].footprints, on_ceiling, length)
    heater_area = areas.get("heater", 0.0) + areas.get("heater core", 0.0)
    if touching:
        # What stands on the floor hides it: contact takes the place of sight and of the film.
        areas["floor"] = max(areas["floor"] - (touching - under), 0.01 * flat)
        if on_floor is not None and "heater" in areas:
            areas["heater"] = max(areas["heater"] - under, 0.01 * flat)
    exchange, points = _radiation(setup, tiers, bounds, (length, width, height), heater, faces, areas, names)
    layers = list(zip(bounds, bounds[1:], strict=False))
    sheet = is_sheet(setup) and heater is not None
    wide = heater[3] - heater[2]
    long = min(heater[1], length) - max(heater[0], 0.0)
    return Geometry(
        names=names,
        tiers=tiers,
        bounds=tuple(bounds),
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
        between_tiers=sum(
            _overlap(a, b, length) for a in tiers[0].footprints for b in tiers[-1].footprints
        ) if len(tiers) > 1 else 0.0,
        under_base=_taken(tiers[0], length) - under,
        heater_under_base=under,
        exchange=exchange,
        point_views=points,
    )


def _core(heater: Rectangle) -> Rectangle:
    """The inner half of a heater by area: above lids it gets hotter than the rim."""
    a, b, c, d = heater
    if math.isinf(a):
        return a, b, (3.0 * c + d) / 4.0, (c + 3.0 * d) / 4.0
    long, wide = (1.0 - math.sqrt(0.5)) / 2.0 * (b - a), (1.0 - math.sqrt(0.5)) / 2.0 * (d - c)
    return a + long, b - long, c + wide, d - wide


def _area(rectangle: Rectangle, length: float) -> float:
    a, b, c, d = rectangle
    return (min(b, length) - max(a, 0.0)) * (d - c)


def _taken(tier: TierPlace, length: float) -> float:
    return sum(_area(footprint, length) for footprint in tier.footprints)


def _facing(footprints: Sequence[Rectangle], heater: Rectangle | None, length: float) -> float:
    return 0.0 if heater is None else sum(_overlap(footprint, heater, length) for footprint in footprints)


def _clipped(rectangle: Rectangle, length: float) -> Rectangle:
    return max(rectangle[0], 0.0), min(rectangle[1], length), rectangle[2], rectangle[3]


def _level(rectangle: Rectangle, height: float, towards: int, length: float) -> Patch:
    a, b, c, d = max(rectangle[0], 0.0), min(rectangle[1], length), *rectangle[2:]
    return Patch((a, c, height), (0, b - a), (1, d - c), 2, towards)


def _upright(rectangle: Rectangle, low: float, high: float, length: float, endless: bool) -> Iterator[Patch]:
    """The four sides of a block between two heights, outwards; an endless one has two."""
    a, b, c, d = max(rectangle[0], 0.0), min(rectangle[1], length), *rectangle[2:]
    rise = (2, high - low)
    yield Patch((a, c, low), (0, b - a), rise, 1, -1)
    yield Patch((a, d, low), (0, b - a), rise, 1, 1)
    if not endless:
        yield Patch((a, c, low), (1, d - c), rise, 0, -1)
        yield Patch((b, c, low), (1, d - c), rise, 0, 1)


def _faces(
    setup: BoxSetup,
    tiers: Sequence[TierPlace],
    bounds: Sequence[float],
    size: tuple[float, float, float],
    heater: Rectangle,
) -> dict[str, list[Patch]]:
    """The patches of every face that radiates into the box, by node name; faces of no area are left out."""
    length, width, height = size
    endless = setup.endless
    faces: dict[str, list[Patch]] = {}
    for tier in tiers:
        prints = tier.footprints
        if tier.bottom > 0.0:
            faces[f"{tier.name} base"] = [_level(p, tier.bottom, -1, length) for p in prints]
        faces[f"{tier.name} medium sides"] = [
            patch for p in prints for patch in _upright(p, tier.bottom, tier.surface, length, endless)
        ]
        faces[f"{tier.name} sides"] = [
            patch for p in prints for patch in _upright(p, tier.surface, tier.top, length, endless)
        ]
        faces[f"{tier.name} lid"] = [_level(p, tier.top, 1, length) for p in prints]
    heated: list[Patch] = []
    sheet, place = is_sheet(setup), setup.heat_place
    for number, (low, high) in enumerate(zip(bounds, bounds[1:], strict=False)):
        strip: list[Patch] = []
        for axis, at, towards, long in (
            (1, 0.0, 1, length), (1, width, -1, length), (0, 0.0, 1, width), (0, length, -1, width),
        ):  # fmt: skip
            if endless and axis == 0:
                continue
            hot = sheet and (place == "all sides" or (place == "one side" and axis == 1 and at == 0.0))
            for a, b, c, d in _around((0.0, long, low, high), heater if hot else None):
                corner = (a, at, c) if axis == 1 else (at, a, c)
                strip.append(Patch(corner, (1 - axis, b - a), (2, d - c), axis, towards))
            if hot and (cut := _within((0.0, long, low, high), heater)) is not None:
                a, b, c, d = cut
                corner = (a, at, c) if axis == 1 else (at, a, c)
                heated.append(Patch(corner, (1 - axis, b - a), (2, d - c), axis, towards))
        faces[f"wall {number}"] = strip
    whole = (0.0, length, 0.0, width)
    on_ceiling, on_floor = place == "lid" and sheet, place in ("floor", "in water") and sheet
    faces["ceiling"] = [_level(r, height, -1, length) for r in _around(whole, heater if on_ceiling else None)]
    faces["floor"] = [_level(r, 0.0, 1, length) for r in _around(whole, heater if on_floor else None)]
    if on_floor:
        heated = [_level(heater, 0.0, 1, length)]
    if on_ceiling:
        heated = [_level(r, height, -1, length) for r in _around(_clipped(heater, length), _core(heater))]
    if sheet:
        faces["heater"] = heated
    if on_ceiling:
        faces["heater core"] = [_level(_core(heater), height, -1, length)]
    kept = {name: [patch for patch in patches if patch.area > 1e-12] for name, patches in faces.items()}
    return {name: patches for name, patches in kept.items() if patches}


def _radiation(
    setup: BoxSetup,
    tiers: Sequence[TierPlace],
    bounds: Sequence[float],
    size: tuple[float, float, float],
    heater: Rectangle,
    faces: dict[str, list[Patch]],
    areas: dict[str, float],
    names: Sequence[str],
) -> tuple[tuple[tuple[float, ...], ...], tuple[float, ...]]:
    """Exchange [m2] of every node, in the box and in the headspaces, and what a point source lights."""
    order = list(faces)
    place = {name: number for number, name in enumerate(order)}
    inner = tuple(bounds[1:-1])
    heating = setup.heat_place
    hot = place.get("heater", -1)
    first_wall = place.get("wall 0", 0)
    strips = [place.get(f"wall {k}", hot) for k in range(len(bounds) - 1)]
    core = place.get("heater core", -1)
    (a, b, c, d), (a2, b2, c2, d2) = heater, _core(heater)

    def wall_at(axis: int, side: int, x: float, y: float, z: float) -> int:
        if axis == 2:
            heated = hot >= 0 and heating in (("lid",) if side else ("floor", "in water"))
            if heated and a <= x <= b and c <= y <= d:
                return core if side and a2 <= x <= b2 and c2 <= y <= d2 else hot
            return place["ceiling"] if side else place["floor"]
        if hot >= 0 and (heating == "all sides" or (heating == "one side" and axis == 1 and side == 0)):
            if a <= x <= b and c <= z <= d:
                return hot
        return strips[bisect_right(inner, z)]

    ids = [
        tuple(place.get(f"{tier.name} {part}", -1) for part in ("base", "medium sides", "sides", "lid"))
        for tier in tiers
    ]
    surfaces = [tier.surface for tier in tiers]

    def block_at(tier: int, axis: int, side: int, z: float) -> int:
        base, medium, sides, lid = ids[tier]
        if axis == 2:
            return lid if side else base
        return medium if z < surfaces[tier] else sides

    blocks = [
        Block((p[0], p[2], tier.bottom), (p[1], p[3], tier.top), number)
        for number, tier in enumerate(tiers)
        for p in tier.footprints
    ]
    standing = [p for p in tiers[0].footprints] if tiers[0].bottom == 0.0 else []

    def covered(point: Point) -> bool:
        x, y, z = point
        return z == 0.0 and any(p[0] <= x <= p[1] and p[2] <= y <= p[3] for p in standing)

    length, width, height = size
    room = (math.inf if setup.endless else length, width, height)
    views = traced_views(room, list(faces.values()), blocks, wall_at, block_at, RAYS, len(order), covered)
    face_areas = [areas[name] for name in order]
    outside = grey_exchange(balanced_exchange(views, face_areas), face_areas, EMISSIVITY)
    number_of = {name: number for number, name in enumerate(names)}
    radiating = [number_of[name] for name in order] + [number_of[f"{tier.name} surface"] for tier in tiers]
    whole = [row + [0.0] * len(tiers) for row in outside] + [[0.0] * len(radiating) for _ in tiers]
    for number, (tier, boxes) in enumerate(zip(tiers, (setup.lower, setup.upper), strict=False)):
        assert boxes is not None
        inside = _headspace_exchange(boxes, setup.endless)
        spots = (len(order) + number, place[f"{tier.name} sides"], place[f"{tier.name} lid"])
        for i, row in zip(spots, inside, strict=True):
            for j, value in zip(spots, row, strict=True):
                whole[i][j] += value
    points: tuple[float, ...] = ()
    if not is_sheet(setup):
        seen = traced_views(room, [_point(setup, size)], blocks, wall_at, block_at, 2 * RAYS, len(order), covered)[0]
        points = tuple(seen[place[name]] if name in place else 0.0 for name in names)
    exchange: list[tuple[float, ...]] = [()] * len(names)
    for node, row in zip(radiating, whole, strict=True):
        full = [0.0] * len(names)
        for other, value in zip(radiating, row, strict=True):
            full[other] = value
        exchange[node] = tuple(full)
    return tuple(exchange), points


def _point(setup: BoxSetup, size: tuple[float, float, float]) -> list[Patch]:
    """A bulb or emitter as a small patch in the middle of what it hangs on."""
    length, width, height = size
    side = min(math.sqrt(setup.heater_area), 0.5 * min(size))
    x, y, z = ((extent - side) / 2.0 for extent in size)
    if setup.heat_place == "lid":
        return [Patch((x, y, height), (0, side), (1, side), 2, -1)]
    if setup.heat_place == "floor":
        return [Patch((x, y, 1e-6), (0, side), (1, side), 2, 1)]
    return [Patch((x, 0.0, z), (0, side), (2, side), 1, 1)]


def _headspace_exchange(boxes: EggBoxes, endless: bool) -> Matrix:
    """Exchange [m2] of surface of the medium, sides and lid of the headspaces of a tier, exact views."""
    gap = boxes.height - boxes.medium_depth
    flat = boxes.count * boxes.length * boxes.width
    sides = boxes.count * inner_perimeter(boxes, endless) * gap
    across = flat * plate_view(math.inf if endless else boxes.length, boxes.width, gap)
    rest = flat - across
    direct = [[0.0, rest, across], [rest, sides - 2.0 * rest, rest], [across, rest, 0.0]]
    return grey_exchange(direct, (flat, sides, flat), EMISSIVITY)


def inner_perimeter(boxes: EggBoxes, endless: bool) -> float:
    """Length of the sides of one egg box [m]; an endless one has two. Reference: geometry."""
    return 2.0 * (boxes.length if endless else boxes.length + boxes.width)


def _within(outer: Rectangle, inner: Rectangle) -> Rectangle | None:
    a, b = max(outer[0], inner[0]), min(outer[1], inner[1])
    c, d = max(outer[2], inner[2]), min(outer[3], inner[3])
    return (a, b, c, d) if a < b and c < d else None


def _layer_at(bounds: Sequence[float], height: float) -> int:
    return min(max(bisect_right(bounds, height) - 1, 0), len(bounds) - 2)


def _heater_rectangle(setup: BoxSetup, length: float, width: float, height: float) -> Rectangle | None:
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
