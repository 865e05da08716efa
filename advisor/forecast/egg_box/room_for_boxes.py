"""Whether the egg boxes fit into the outer box, side by side or in two tiers."""

import math
from collections.abc import Iterator, Sequence
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from advisor.forecast.heat.setup import outer_inside
from advisor.model.figures import Unknown
from advisor.model.plan import EggBox, Plan
from advisor.model.shelves import shelf_above

WALL = 0.002  # m, wall of an egg box; judgement
RIM = 0.010  # m, how far lid and rim stand out on each side, at most; judgement
AIR_ABOVE = 0.03  # m, free height between the highest egg box and the outer lid or its heater; judgement
MOST_BOXES = 60  # side by side; more are not searched, and nobody keeps so many in one outer box; judgement
MOST_WORK = 150_000  # pairs of boxes compared before the search gives up, about 0.1 s; judgement
ROUNDING = 1e-9  # m, so that what fits exactly is not lost to rounding

Fit = Literal["yes", "perhaps", "not searched out", "no"]
Sides = tuple[float, float]
Block = tuple[float, float, float]
Placed = tuple[float, float, float, float]  # left, near, length, width


class BoxesInOuterBox(Struct, frozen=True):
    """How the egg boxes fit: on the floor, in height, both if all were stacked in two tiers.

    "perhaps": the boxes themselves fit, but not with rims of 1 cm all round, or not with 3 cm of air above; or no
    way to lay them out exists though the floor is large enough. "not searched out": there are more ways than are tried.
    `height` [m] is that of the highest stack, with the rack below it where its height is told.
    """

    side_by_side: Fit
    in_height: Fit
    if_stacked: Fit
    height: float
    inside_length: float
    inside_width: float
    inside_height: float


def boxes_in_outer_box(plan: Plan) -> BoxesInOuterBox | Unknown:
    """How the egg boxes of a plan fit into its outer box. Boxes whose tier is not told stand in one tier."""
    outer = outer_inside(plan)
    missing = [
        f"egg_boxes[{index}].{entry}"
        for index, box in enumerate(plan.egg_boxes)
        for entry in ("inside", "count")
        if getattr(box, entry) is None
    ]
    if isinstance(outer, Unknown):
        return Unknown(outer.reason, (*outer.needs, *missing))
    if not plan.egg_boxes:
        return Unknown("the plan has no egg boxes", ("egg_boxes",))
    if missing:
        return Unknown("size or number of the egg boxes is not told", tuple(missing))
    floor = (outer.length, outer.width)
    stacks = _stacks(plan.egg_boxes)
    all_stacked = _stacks([replace(box, tier="two") for box in plan.egg_boxes])
    shelf = max(box.shelf_height or 0.0 for box in plan.egg_boxes)
    height = _on_their_shelves(plan) or shelf + max(stack[2] for stack in stacks)
    return BoxesInOuterBox(
        _fit_on_floor(stacks, floor),
        _fit_in_height(height, outer.height),
        _worse(
            _fit_on_floor(all_stacked, floor),
            _fit_in_height(shelf + max(stack[2] for stack in all_stacked), outer.height),
        ),
        height,
        outer.length,
        outer.width,
        outer.height,
    )


def _on_their_shelves(plan: Plan) -> float | None:
    """Height [m] that boxes on two shelves reach; None where none has a shelf of its own above others."""
    if shelf_above(plan.egg_boxes) is None:
        return None
    return max(
        (box.shelf_height or 0.0) + (box.inside.height if box.inside else 0.0) + 2 * WALL + box.foam_on_lid
        for box in plan.egg_boxes
    )


def _stacks(boxes: Sequence[EggBox]) -> list[Block]:
    """Length, width, height [m] of every stack, walls and foam on lids counted; of two stacked boxes the larger one stands below."""
    single: list[Block] = []
    paired: list[Block] = []
    for box in boxes:
        assert box.inside is not None and box.count is not None
        size = (
            box.inside.length + 2 * WALL,
            box.inside.width + 2 * WALL,
            box.inside.height + 2 * WALL + box.foam_on_lid,
        )
        (paired if box.stacked else single).extend([size] * box.count)
    paired.sort(key=lambda size: size[0] * size[1], reverse=True)
    for lower, upper in zip(paired[::2], [*paired[1::2], (0.0, 0.0, 0.0)], strict=False):
        single.append((max(lower[0], upper[0]), max(lower[1], upper[1]), lower[2] + upper[2]))
    return single


def _fit_in_height(height: float, inside: float) -> Fit:
    if height > inside + ROUNDING:
        return "no"
    return "yes" if height + AIR_ABOVE <= inside + ROUNDING else "perhaps"


def _fit_on_floor(stacks: Sequence[Block], floor: Sides) -> Fit:
    bare = [(length, width) for length, width, _ in stacks]
    with_rims = [(length + 2 * RIM, width + 2 * RIM) for length, width in bare]
    found = fits_side_by_side(with_rims, floor)
    if found:
        return "yes"
    too_long = any(max(sides) > max(floor) + ROUNDING or min(sides) > min(floor) + ROUNDING for sides in bare)
    too_much = sum(length * width for length, width in bare) > floor[0] * floor[1] + ROUNDING
    if too_long or too_much:
        return "no"
    return "not searched out" if found is None else "perhaps"


def _worse(*fits: Fit) -> Fit:
    order: tuple[Fit, ...] = ("no", "not searched out", "perhaps", "yes")
    return min(fits, key=order.index)


class _GivenUp(Exception):
    """The search has cost all the work it may."""


def fits_side_by_side(rectangles: Sequence[Sides], floor: Sides) -> bool | None:
    """Whether a way was found to lay rectangles [m x m] side by side on a floor; None when the search gave up.

    Each is pushed into a corner made by the walls and the rectangles that lie already, the largest first, and other
    orders when that fails: all one way round, all the other way, then mixed. It gives up after MOST_WORK comparisons
    in each of the three.
    """
    if sum(math.prod(sides) for sides in rectangles) > math.prod(floor) + ROUNDING:
        return False
    if len(rectangles) > MOST_BOXES:
        return None
    largest_first = tuple(sorted(rectangles, key=math.prod, reverse=True))
    found: bool | None = False
    for ways in ((False,), (True,), (False, True)):
        try:
            if _Search(floor, ways).lay(frozenset(), largest_first):
                return True
        except _GivenUp:
            found = None
    return found


class _Search:
    """One search for a layout; `ways` says whether rectangles may be turned."""

    def __init__(self, floor: Sides, ways: tuple[bool, ...]) -> None:
        self._floor = floor
        self._ways = ways
        self._seen: set[frozenset[Placed]] = set()
        self._work = 0

    def lay(self, placed: frozenset[Placed], waiting: tuple[Sides, ...]) -> bool:
        """Whether the waiting rectangles find a place beside the placed ones."""
        if not waiting:
            return True
        if placed in self._seen:
            return False
        self._seen.add(placed)
        for sides in dict.fromkeys(waiting):
            place = waiting.index(sides)
            rest = waiting[:place] + waiting[place + 1 :]
            for turned in self._ways:
                for spot in self._corners(sides[::-1] if turned else sides, placed):
                    if self.lay(placed | {spot}, rest):
                        return True
        return False

    def _corners(self, sides: Sides, placed: frozenset[Placed]) -> Iterator[Placed]:
        """Where a rectangle can be pushed to the left and near against walls or others without lying on one."""
        lefts = sorted({0.0, *(left + length for left, _, length, _ in placed)})
        nears = sorted({0.0, *(near + width for _, near, _, width in placed)})
        length, width = sides
        for left in lefts:
            for near in nears:
                self._work += 1 + len(placed)
                if self._work > MOST_WORK:
                    raise _GivenUp
                spot = (left, near, length, width)
                inside = (
                    left + length <= self._floor[0] + ROUNDING and near + width <= self._floor[1] + ROUNDING
                )
                if inside and not any(_overlap(spot, other) for other in placed):
                    yield spot


def _overlap(one: Placed, other: Placed) -> bool:
    return (
        one[0] + one[2] > other[0] + ROUNDING
        and other[0] + other[2] > one[0] + ROUNDING
        and one[1] + one[3] > other[1] + ROUNDING
        and other[1] + other[3] > one[1] + ROUNDING
    )
