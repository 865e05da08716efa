"""Radiation in a closed box with blocks standing in it: views by tracing rays, grey exchange by their balance.

Rays start at evenly spread points (a lattice on generalised golden ratios, so every call gives the same) in
directions that follow the cosine law. Temperatures do not enter: work it out once for each geometry.
"""

import functools
import math
from collections.abc import Callable, Sequence
from itertools import product

from msgspec import Struct

from advisor.formulas.numerics.matrices import Matrix, eliminate

Point = tuple[float, float, float]

# Steps of the lattice in four dimensions: powers of 1/g with g^5 = g + 1. Roberts 2018, derived.
_GOLDEN = 1.1673039782614187
_STEPS = (_GOLDEN**-1, _GOLDEN**-2, _GOLDEN**-3, _GOLDEN**-4)
_SCALINGS = 40  # rounds that bring the rows to their areas; they settle within a dozen
_NEAR = 1e-9  # m, a ray does not hit what it leaves
_NO_WAY = 1e-12  # [-], in place of nought: lengths are divided by directions


class Block(Struct, frozen=True):
    """A block standing in the box: corners [m] and the tier of egg boxes that it belongs to."""

    low: Point
    high: Point
    tier: int


class Patch(Struct, frozen=True):
    """A level or upright rectangle that rays leave: corner, its two sides as (axis, length [m]), outward axis.

    towards: +1 or -1, the way along that axis into the air.
    """

    corner: Point
    first: tuple[int, float]
    second: tuple[int, float]
    axis: int
    towards: int

    @property
    def area(self) -> float:
        """Area [m2]."""
        return self.first[1] * self.second[1]


WallAt = Callable[[int, int, float, float, float], int]  # axis, side (0 low, 1 high), point → face
BlockAt = Callable[[int, int, int, float], int]  # tier, axis, side, height → face
_Corners = tuple[float, float, float, float, float, float, int]  # of a block, and its tier


@functools.cache
def _lattice(number: int) -> tuple[float, float, float, float, float]:
    """One place of the lattice: where along all patches and across one [-], and a direction (two along the face, one off it)."""
    a, b, c, d = _STEPS
    across = math.sqrt((0.5 + number * c) % 1.0)
    angle = 2.0 * math.pi * ((0.5 + number * d) % 1.0)
    off = math.sqrt(max(1.0 - across * across, 1e-12))
    return (
        (0.5 + number * a) % 1.0,
        (0.5 + number * b) % 1.0,
        across * math.cos(angle) or _NO_WAY,
        across * math.sin(angle) or _NO_WAY,
        off,
    )


def _leaving(
    patches: Sequence[Patch], rays: int, covered: Callable[[Point], bool] | None
) -> list[tuple[Point, Point]]:
    """Starts and directions of rays that leave the patches, in proportion to their areas."""
    areas = [patch.area for patch in patches]
    sides = [(*p.corner, *p.first, *p.second, p.axis, p.towards) for p in patches]
    whole, last = sum(areas), len(patches) - 1
    found: list[tuple[Point, Point]] = []
    number = 0
    while len(found) < rays:
        number += 1
        along, aside, first_way, second_way, off = _lattice(number)
        place = along * whole
        index = 0
        while index < last and place >= areas[index]:
            place -= areas[index]
            index += 1
        x, y, z, i, length, j, width, axis, towards = sides[index]
        start = [x, y, z]
        part = place / areas[index]
        start[i] += (part if part < 1.0 else 1.0) * length
        start[j] += aside * width
        x, y, z = start
        if covered is not None and covered((x, y, z)) and number < 50 * rays:
            continue
        way = [0.0, 0.0, 0.0]
        way[i], way[j], way[axis] = first_way, second_way, towards * off
        u, v, w = way
        found.append(((x, y, z), (u, v, w)))
    return found


def _ahead(size: Point, blocks: Sequence[Block]) -> dict[tuple[bool, ...], tuple[Point, list[_Corners]]]:
    """What rays run towards, by whether they go up each axis: walls, and of each block the corners met first and last."""
    low = (-size[0] if math.isinf(size[0]) else 0.0, 0.0, 0.0)

    def corner(ups: tuple[bool, ...], low: Point, high: Point) -> Point:
        x, y, z = (b if up else a for up, a, b in zip(ups, low, high, strict=True))
        return x, y, z

    found = {}
    for ups in product((False, True), repeat=3):
        met = [(*corner(ups, b.high, b.low), *corner(ups, b.low, b.high), b.tier) for b in blocks]
        found[ups] = corner(ups, low, size), met
    return found


def _first_block(
    start: Point, inverse: Point, blocks: list[_Corners], best: float, axis: int
) -> tuple[float, int, int]:
    """How far a ray goes, across which axis and into which tier, or -1: the wall that is `best` away.

    start [m]; inverse: of its direction [-]; the loop is written out, since every ray runs through it.
    """
    (x, y, z), (p, q, r) = start, inverse
    hit = -1
    for ax, ay, az, bx, by, bz, tier in blocks:
        near, far = (az - z) * r, (bz - z) * r
        if near >= best or far <= _NEAR:
            continue
        at = 2
        one, two = (ay - y) * q, (by - y) * q
        if one > near:
            near, at = one, 1
        if two < far:
            far = two
        if near >= far:
            continue
        one, two = (ax - x) * p, (bx - x) * p
        if one > near:
            near, at = one, 0
        if two < far:
            far = two
        if near < far and _NEAR < near < best:
            best, axis, hit = near, at, tier
    return best, axis, hit


def traced_views(
    size: Point,
    faces: Sequence[Sequence[Patch]],
    blocks: Sequence[Block],
    wall_at: WallAt,
    block_at: BlockAt,
    rays: int,
    count: int,
    covered: Callable[[Point], bool] | None = None,
) -> Matrix:
    """How many of its rays each face sends to each other one.

    size: inner lengths of the box [m], the first infinite for an endless one; faces: the patches of each
    face; blocks: what stands in the box; wall_at, block_at: which face a point belongs to; rays: from each
    face; count: how many faces can be hit; covered: whether a start lies under a block, if any can. Result: shares [-], each row 1 in total.
    Reference: cosine law of diffuse radiation; first surface hit.
    """
    ahead = _ahead(size, blocks)
    views = [[0.0] * count for _ in faces]
    share = 1.0 / rays
    for row, patches in zip(views, faces, strict=True):
        for start, way in _leaving(patches, rays, covered):
            (x, y, z), (u, v, w) = start, way
            p, q, r = inverse = 1.0 / u, 1.0 / v, 1.0 / w
            (wall_x, wall_y, wall_z), boxes = ahead[u > 0, v > 0, w > 0]
            best, axis = (wall_x - x) * p, 0
            far = (wall_y - y) * q
            if far < best:
                best, axis = far, 1
            far = (wall_z - z) * r
            if far < best:
                best, axis = far, 2
            best, axis, hit = _first_block(start, inverse, boxes, best, axis)
            side = 1 if (way[axis] > 0) == (hit < 0) else 0
            if hit < 0:
                face = wall_at(axis, side, x + best * u, y + best * v, z + best * w)
            else:
                face = block_at(hit, axis, side, z + best * w)
            row[face] += share
    return views


def balanced_exchange(views: Matrix, areas: Sequence[float]) -> Matrix:
    """Exchange areas A F from views that carry the noise of rays: symmetric, rows equal to the areas.

    views: shares of rays [-]; areas [m2]. Result [m2]. Reference: reciprocity, both directions weighted by
    their precision; rows scaled by Sinkhorn's method.
    """
    size = len(areas)
    both = [
        [areas[i] * areas[j] * (views[i][j] + views[j][i]) / (areas[i] + areas[j]) for j in range(size)]
        for i in range(size)
    ]
    scale = [1.0] * size
    for _ in range(_SCALINGS):
        sums = [sum([g * s for g, s in zip(row, scale, strict=True)]) for row in both]
        scale = [math.sqrt(s * a / t) if t > 0.0 else s for s, a, t in zip(scale, areas, sums, strict=True)]
    return [[g * s * t for g, t in zip(row, scale, strict=True)] for row, s in zip(both, scale, strict=True)]


def grey_exchange(direct: Matrix, areas: Sequence[float], emissivity: float) -> Matrix:
    """Heat that each face sends out for the fourth powers of all temperatures.

    direct: exchange areas A F [m2]; areas [m2]; emissivity [-], above 0 and below 1, of all faces. Result
    [m2]: outflow of face i = sum over j of result[i][j] sigma T_j^4. Rows and columns are zero in total.
    Reference: grey diffuse enclosure, e/(1 - e) A (1 - e (1 - (1 - e) F)^-1); Hottel & Sarofim 1967.
    """
    size, rest = len(areas), 1.0 - emissivity
    # (A - (1 - e) A F) J = A e E: radiosities J for unit emissions E, the diagonal outweighs its row.
    rows = [
        [(areas[i] if i == j else 0.0) - rest * direct[i][j] for j in range(size)]
        + [areas[i] * emissivity if i == j else 0.0 for j in range(size)]
        for i in range(size)
    ]
    eliminate(rows, size)
    scale = emissivity / rest
    result = [
        [scale * areas[i] * ((1.0 if i == j else 0.0) - rows[i][size + j]) for j in range(size)]
        for i in range(size)
    ]
    for i in range(size):
        result[i][i] -= sum(result[i])
    return result


def plate_view(length: float, width: float, gap: float) -> float:
    """View of one of two equal aligned plates by the other.

    length, width, gap [m], above 0; length may be infinite. Result [-], 0 to 1.
    Reference: Howell's catalogue C-11 (Incropera table 13.2); strips by crossed strings.
    """
    if math.isinf(length):
        reach = gap / width
        return math.sqrt(1.0 + reach * reach) - reach
    x, y = length / gap, width / gap
    p, q = math.sqrt(1.0 + x * x), math.sqrt(1.0 + y * y)
    total = math.log(p * q / math.sqrt(1.0 + x * x + y * y))
    total += x * q * math.atan(x / q) + y * p * math.atan(y / p) - x * math.atan(x) - y * math.atan(y)
    return 2.0 * total / (math.pi * x * y)
