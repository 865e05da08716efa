"""The faces that radiate in a heated box, as patches that rays can leave, and the exchange among them."""

import math
from bisect import bisect_right
from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import pairwise

from msgspec import Struct

from advisor.formulas.heat.box_setup import POINT_SOURCES, BoxSetup, EggBoxes
from advisor.formulas.heat.enclosure import (
    Block,
    BlockAt,
    Patch,
    Point,
    WallAt,
    balanced_exchange,
    grey_exchange,
    plate_view,
    traced_views,
)
from advisor.formulas.numerics.matrices import Matrix

EMISSIVITY = 0.9  # [-], plastics, foam, wet medium, water 0.90 to 0.96; from memory
RAYS = 160  # from each face: 100 move the power by 0.3 %, 300 nothing; derived

Rectangle = tuple[float, float, float, float]  # from, to along the length; from, to along the width [m]


class TierPlace(Struct, frozen=True):
    """One tier: heights of base, top of the medium and lid [m], footprints, layers of air beside it by number.

    roof: the node that the box sees above, its lid or the foam on that.
    """

    name: str
    roof: str
    bottom: float
    surface: float
    top: float
    footprints: tuple[Rectangle, ...]
    below: int
    above: int
    beside_medium: int
    beside_headspace: int


def core_of(heater: Rectangle) -> Rectangle:
    """The inner half of a heater by area: above lids it gets hotter than the rim."""
    a, b, c, d = heater
    if math.isinf(a):
        return a, b, (3.0 * c + d) / 4.0, (c + 3.0 * d) / 4.0
    long, wide = (1.0 - math.sqrt(0.5)) / 2.0 * (b - a), (1.0 - math.sqrt(0.5)) / 2.0 * (d - c)
    return a + long, b - long, c + wide, d - wide


def area_of(rectangle: Rectangle, length: float) -> float:
    a, b, c, d = rectangle
    return (min(b, length) - max(a, 0.0)) * (d - c)


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


def _within(outer: Rectangle, inner: Rectangle) -> Rectangle | None:
    a, b = max(outer[0], inner[0]), min(outer[1], inner[1])
    c, d = max(outer[2], inner[2]), min(outer[3], inner[3])
    return (a, b, c, d) if a < b and c < d else None


def overlap(one: Rectangle, other: Rectangle, length: float) -> float:
    along = min(one[1], other[1], length) - max(one[0], other[0], 0.0)
    across = min(one[3], other[3]) - max(one[2], other[2])
    return max(along, 0.0) * max(across, 0.0)


def _tier_faces(tier: TierPlace, length: float, endless: bool) -> Iterator[tuple[str, list[Patch]]]:
    prints = tier.footprints
    if tier.bottom > 0.0:
        yield f"{tier.name} base", [_level(p, tier.bottom, -1, length) for p in prints]
    for part, low, high in (("medium sides", tier.bottom, tier.surface), ("sides", tier.surface, tier.top)):
        yield (
            f"{tier.name} {part}",
            [patch for p in prints for patch in _upright(p, low, high, length, endless)],
        )
    yield tier.roof, [_level(p, tier.top, 1, length) for p in prints]


def _wall_strip(
    setup: BoxSetup, low: float, high: float, size: tuple[float, float, float], heater: Rectangle
) -> tuple[list[Patch], list[Patch]]:
    """The walls between two heights: what is bare, and what the heater covers."""
    length, width, _height = size
    bare: list[Patch] = []
    heated: list[Patch] = []

    def patch(axis: int, at: float, towards: int, part: Rectangle) -> Patch:
        a, b, c, d = part
        return Patch((a, at, c) if axis == 1 else (at, a, c), (1 - axis, b - a), (2, d - c), axis, towards)

    for axis, side, at, long in (
        (1, 0, 0.0, length), (1, 1, width, length), (0, 0, 0.0, width), (0, 1, length, width),
    ):  # fmt: skip
        if setup.endless and axis == 0:
            continue
        towards, strip = (-1 if side else 1), (0.0, long, low, high)
        hot = _heats_wall(setup, axis, side)
        bare += [patch(axis, at, towards, part) for part in _around(strip, heater if hot else None)]
        if hot and (cut := _within(strip, heater)) is not None:
            heated.append(patch(axis, at, towards, cut))
    return bare, heated


def box_faces(
    setup: BoxSetup,
    tiers: Sequence[TierPlace],
    bounds: Sequence[float],
    size: tuple[float, float, float],
    heater: Rectangle,
) -> dict[str, list[Patch]]:
    """The patches of every face that radiates into the box, by node name; faces of no area are left out."""
    length, width, height = size
    faces: dict[str, list[Patch]] = {}
    for tier in tiers:
        faces |= dict(_tier_faces(tier, length, setup.endless))
    heated: list[Patch] = []
    for number, (low, high) in enumerate(pairwise(bounds)):
        faces[f"wall {number}"], covered = _wall_strip(setup, low, high, size, heater)
        heated += covered
    whole = (0.0, length, 0.0, width)
    lid, floor = heats_lid(setup), heats_floor(setup)
    faces["ceiling"] = [_level(r, height, -1, length) for r in _around(whole, heater if lid else None)]
    faces["floor"] = [_level(r, 0.0, 1, length) for r in _around(whole, heater if floor else None)]
    if floor:
        heated = [_level(heater, 0.0, 1, length)]
    if lid:
        heated = [_level(r, height, -1, length) for r in _around(_clipped(heater, length), core_of(heater))]
    faces["heater"] = heated
    if lid:
        faces["heater core"] = [_level(core_of(heater), height, -1, length)]
    kept = {name: [patch for patch in patches if patch.area > 1e-12] for name, patches in faces.items()}
    return {name: patches for name, patches in kept.items() if patches}


def _face_at(setup: BoxSetup, bounds: Sequence[float], heater: Rectangle, place: Mapping[str, int]) -> WallAt:
    """Which face a point of the walls, floor or ceiling belongs to, by its place in the order of faces."""
    inner = tuple(bounds[1:-1])
    hot, core = place.get("heater", -1), place.get("heater core", -1)
    strips = [place.get(f"wall {k}", hot) for k in range(len(bounds) - 1)]
    ceiling, floor = place["ceiling"], place["floor"]
    (a, b, c, d), (a2, b2, c2, d2) = heater, core_of(heater)
    heats_level = hot >= 0 and heats_floor(setup), hot >= 0 and heats_lid(setup)
    heats_upright = [[hot >= 0 and _heats_wall(setup, axis, side) for side in (0, 1)] for axis in (0, 1)]

    def wall_at(axis: int, side: int, x: float, y: float, z: float) -> int:
        if axis == 2:
            if heats_level[side] and a <= x <= b and c <= y <= d:
                return core if side and a2 <= x <= b2 and c2 <= y <= d2 else hot
            return ceiling if side else floor
        if heats_upright[axis][side] and a <= x <= b and c <= z <= d:
            return hot
        return strips[bisect_right(inner, z)]

    return wall_at


def _block_at(tiers: Sequence[TierPlace], place: Mapping[str, int]) -> BlockAt:
    """Which face a point on a tier of egg boxes belongs to, by its place in the order of faces."""
    ids = [
        [
            place.get(name, -1)
            for name in (*(f"{tier.name} {part}" for part in ("base", "medium sides", "sides")), tier.roof)
        ]
        for tier in tiers
    ]
    surfaces = [tier.surface for tier in tiers]

    def block_at(tier: int, axis: int, side: int, z: float) -> int:
        base, medium, sides, lid = ids[tier]
        if axis == 2:
            return lid if side else base
        return medium if z < surfaces[tier] else sides

    return block_at


def _covered_by(tiers: Sequence[TierPlace]) -> Callable[[Point], bool] | None:
    """Whether a point of the floor lies under an egg box; None when none stands on the floor."""
    if tiers[0].bottom > 0.0:
        return None
    standing = tiers[0].footprints

    def covered(point: Point) -> bool:
        x, y, z = point
        return z == 0.0 and any(p[0] <= x <= p[1] and p[2] <= y <= p[3] for p in standing)

    return covered


def box_radiation(
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
    place = {name: number for number, name in enumerate(faces)}
    blocks = [
        Block((p[0], p[2], tier.bottom), (p[1], p[3], tier.top), number)
        for number, tier in enumerate(tiers)
        for p in tier.footprints
    ]
    room = (math.inf if setup.endless else size[0], *size[1:])
    wall_at, block_at = _face_at(setup, bounds, heater, place), _block_at(tiers, place)

    def views(sources: Sequence[Sequence[Patch]], rays: int) -> Matrix:
        return traced_views(room, sources, blocks, wall_at, block_at, rays, len(faces), _covered_by(tiers))

    face_areas = [areas[name] for name in faces]
    outside = balanced_exchange(views(list(faces.values()), RAYS), face_areas)
    exchange = [[0.0] * len(names) for _ in names]
    _add_exchange(
        exchange, [names.index(name) for name in faces], grey_exchange(outside, face_areas, EMISSIVITY)
    )
    for tier, boxes in zip(tiers, (setup.lower, setup.upper), strict=False):
        assert boxes is not None
        parts = [names.index(f"{tier.name} {part}") for part in ("surface", "sides", "lid")]
        _add_exchange(exchange, parts, _headspace_exchange(boxes, setup.endless))
    points: tuple[float, ...] = ()
    if not is_sheet(setup):
        (seen,) = views([_point(setup, size)], 2 * RAYS)
        points = tuple(seen[place[name]] if name in place else 0.0 for name in names)
    return tuple(tuple(row) if any(row) else () for row in exchange), points


def _add_exchange(exchange: Matrix, nodes: Sequence[int], part: Matrix) -> None:
    for i, row in zip(nodes, part, strict=True):
        for j, value in zip(nodes, row, strict=True):
            exchange[i][j] += value


def _point(setup: BoxSetup, size: tuple[float, float, float]) -> list[Patch]:
    """A bulb or emitter as a small patch in the middle of what it hangs on."""
    height = size[2]
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


def is_sheet(setup: BoxSetup) -> bool:
    """Whether the heater is a surface (mat, cable, water), not a point. setup: the box. Result: yes or no."""
    return setup.heat_source not in POINT_SOURCES


def heats_lid(setup: BoxSetup) -> bool:
    """Whether the heater is a surface under the lid. setup: the box. Result: yes or no."""
    return is_sheet(setup) and setup.heat_place == "lid"


def heats_floor(setup: BoxSetup) -> bool:
    """Whether the heater is a surface on the floor, or its water. setup: the box. Result: yes or no."""
    return is_sheet(setup) and setup.heat_place in ("floor", "in water")


def _heats_wall(setup: BoxSetup, axis: int, side: int) -> bool:
    one_side = setup.heat_place == "one side" and (axis, side) == (1, 0)
    return is_sheet(setup) and (one_side or setup.heat_place == "all sides")
