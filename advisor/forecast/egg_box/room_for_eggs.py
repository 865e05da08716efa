"""Room: eggs that fit into the egg boxes, and what to buy for all of them."""

import math
from collections.abc import Callable, Mapping, Sequence

from advisor.constants import WATER_DENSITY
from advisor.forecast.edge import reason_of
from advisor.forecast.egg_box.medium import CONTENT_BY, contents_of
from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.air.vents import LikelyRange
from advisor.formulas.water.places import (
    EGG_DENSITY,
    egg_width_from_mass,
    places_for_eggs,
    places_in_round_box,
)
from advisor.model.figures import Figure, Formula, Result, Unknown
from advisor.model.forecast import BoxUse, Shopping
from advisor.model.plan import Clutch, Plan, Range, Size
from advisor.model.species import Species
from advisor.show import Show

# m between two eggs. Typical: Marco et al. 2004 compared touching eggs with eggs 1 cm apart. Ends: judgement.
SPACINGS = LikelyRange(0.005, 0.010, 0.020)
# Width over length. Typical: turtle eggs in Tracy, Packard & Packard 1978, Physiol Zool 51:378 (seen). Ends: judgement.
AXIS_RATIO = LikelyRange(0.5, 0.6, 0.8)
ROUNDING = 1e-9  # eggs; so that shares of a box that add up to a whole one are not lost to rounding
SPARE = 1.10  # bought for one that is mixed: 10 % to spill and to mix again; judgement


def lies_singly(clutch: Clutch, species: Species) -> bool | None:
    """Whether the eggs of a clutch lie one by one in the medium; None when the plan does not tell.

    A clutch that stays stuck together, or on what it is glued to, is one lump: a gap between its eggs means nothing.
    """
    if clutch.placed == "attached to its surface":
        return False
    if species.eggs.cling is False:
        return True
    return None if clutch.parted is None else clutch.parted != "left together"


def egg_size(clutch: Clutch, species: Species) -> tuple[Range, Range] | Unknown:
    """Length and width of one egg [m]: from the profile, else from the mass and the usual shape of eggs."""
    length, width, mass = species.eggs.length, species.eggs.width, species.eggs.mass
    if clutch.egg_mass is not None:
        mass = Range(clutch.egg_mass, clutch.egg_mass)
    if length is not None and width is not None:
        return length, width
    if mass is None:
        return Unknown(
            f"neither size nor mass of the {species.name} eggs is known",
            (f"clutches[{clutch.entry}].egg_mass",),
        )
    if length is None:
        length = Range(
            _length_from_mass(mass.low, AXIS_RATIO.high), _length_from_mass(mass.high, AXIS_RATIO.low)
        )
    low, high = (egg_width_from_mass(end, length.middle) for end in (mass.low, mass.high))
    if high <= length.middle:
        return length, Range(low, high)
    # Too heavy for its length: taken as a ball of that mass, longer than the profile says.
    ball = _length_from_mass(mass.high, 1.0)
    return Range(ball, ball), Range(ball, ball)


def _length_from_mass(mass: float, axis_ratio: float) -> float:
    """Length [m] of an ellipsoid of a mass [kg] and width over length [-]."""
    return math.cbrt(6 * mass / (math.pi * EGG_DENSITY * axis_ratio**2))


def _counting(inside: Size) -> Callable[[float, float, float, float, float], int]:
    return places_in_round_box if inside.round else places_for_eggs


def places_in_one(inside: Size, length: Range, width: Range) -> LikelyRange:
    """Eggs of a length and width [m] that fit in one box; raises `NoSolution` out of range."""
    ends = (
        (length.high, width.high, SPACINGS.high),
        (length.middle, width.middle, SPACINGS.typical),
        (length.low, width.low, SPACINGS.low),
    )
    return LikelyRange(*(_counting(inside)(inside.length, inside.width, *end) for end in ends))


def forecast_places(plan: Plan, index: int, species: Mapping[str, Species]) -> Result:
    """Eggs that fit in all egg boxes of a kind at the usual spacing; clutches of several sizes by their shares."""
    box, path = plan.egg_boxes[index], f"egg_boxes[{index}]"
    unsettled = [f"clutches[{clutch.entry}].box" for clutch in plan.clutches if clutch.box is None]
    inside = [
        clutch
        for clutch in plan.clutches
        if clutch.box == box.name and lies_singly(clutch, species[clutch.species]) is not False
    ]
    missing = [
        *(f"{path}.{entry}" for entry in ("inside", "count") if getattr(box, entry) is None),
        *unsettled,
    ]
    if missing:
        return Unknown("size or number of the boxes, or the box of a clutch, is not told", tuple(missing))
    if not inside:
        return Unknown("no egg lies singly in this box")
    assert box.inside is not None and box.count is not None
    eggs, shares = 0, [0.0, 0.0, 0.0]
    for clutch in inside:
        size = egg_size(clutch, species[clutch.species])
        if isinstance(size, Unknown):
            return size
        if clutch.eggs is None:
            return Unknown("the number of eggs is not told", (f"clutches[{clutch.entry}].eggs",))
        try:
            room = places_in_one(box.inside, *size)
        except NoSolution as error:
            return Unknown(reason_of(error))
        eggs += clutch.eggs
        for place, places in enumerate((room.low, room.typical, room.high)):
            shares[place] += clutch.eggs / places if places else math.inf
    show = Show(plan.units)
    low, typical, high = (math.floor(box.count * eggs / share + ROUNDING) for share in shares)
    return Figure(
        typical,
        low,
        high,
        "count",
        f"one layer of rows, {show.length(SPACINGS.typical)} between eggs "
        f"({show.length_range(SPACINGS.low, SPACINGS.high)})",
        "the size of your eggs: nobody knows it before, measure the largest then",
        (_counting(box.inside),),
    )


def forecast_shopping(plan: Plan, box_use: Sequence[BoxUse | Unknown]) -> Shopping | Unknown:
    """Dry medium and water for all egg boxes with 10 % to spare; a box that one clutch has left is filled anew for the next."""
    if not plan.egg_boxes:
        return Unknown("the plan has no egg boxes", ("egg_boxes",))
    volume = [0.0, 0.0, 0.0]
    mass = [0.0, 0.0, 0.0]
    water = [0.0, 0.0, 0.0]
    mixes: dict[Formula, None] = {}
    for index, box in enumerate(plan.egg_boxes):
        if box.medium.material == "none":
            continue
        contents = contents_of(box, f"egg_boxes[{index}]")
        if isinstance(contents, Unknown):
            return contents
        if box.count is None:
            return Unknown("the number of boxes is not told", (f"egg_boxes[{index}].count",))
        use = box_use[index]
        fills = max(box.count, 0 if isinstance(use, Unknown) else sum(len(stay.boxes) for stay in use.stays))
        mixes[CONTENT_BY[contents.mix.by]] = None
        parts = (contents.dry_mass.low, contents.dry_mass.typical, contents.dry_mass.high)
        for place, dry in enumerate(parts):
            volume[place] += fills * contents.volume * SPARE
            mass[place] += fills * dry * SPARE
            # By volume the water follows the volume of the medium, by mass its mass.
            basis = dry if contents.mix.by == "mass" else contents.dry_mass.typical
            water[place] += fills * basis * contents.water_content.typical * SPARE / WATER_DENSITY

    def result(values: list[float], quantity: str, basis: str, *formulas: Formula) -> Figure:
        return Figure(values[1], values[0], values[2], quantity, basis, formulas=formulas)

    return Shopping(
        medium=result(volume, "volume", "base times depth of every box, 10 % to spare"),
        medium_mass=result(mass, "mass", "the same volume at the density of the medium"),
        water=result(water, "volume", "the planned mix", *mixes),
    )
