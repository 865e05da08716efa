"""Room: eggs that fit into the egg boxes, egg boxes that fit into the outer box, and what to buy for all of them."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from advisor.eggs.places import egg_width_from_mass, places_for_eggs
from advisor.forecast.contents import contents_of
from advisor.forecast.heat_setup import outer_inside
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import Shopping
from advisor.model.plan import Clutch, Plan, Range
from advisor.model.species import Species

SPACING = 0.010  # m between two eggs; Marco et al. 2004 compared touching eggs with eggs 1 cm apart
SPACINGS = (0.005, 0.020)  # m, the low and high end of the gaps in use; judgement
SPARE = 1.10  # bought for one that is mixed: 10 % to spill and to mix again
WALL = 0.002  # m, wall of an egg box; judgement
RIM = 0.010  # m, how far lid and rim stand out on each side; judgement
AIR_ABOVE = 0.03  # m, free height between the highest egg box and the outer lid or its heater; judgement


@dataclass(frozen=True, slots=True)
class BoxesInOuterBox:
    """Whether the egg boxes fit: their footprint [m2] against the floor's, their height [m] against the inside's."""

    footprint: float
    floor: float
    height: float
    inside_height: float

    @property
    def fit(self) -> bool:
        """Whether they fit side by side and below the lid."""
        return self.footprint <= self.floor and self.height <= self.inside_height


def egg_size(clutch: Clutch, species: Species) -> tuple[Range, Range] | Unknown:
    """Length and width of one egg [m], from the profile, or the width from the mass and the length."""
    length, width, mass = species.eggs.length, species.eggs.width, species.eggs.mass
    if clutch.egg_mass is not None:
        mass = Range(clutch.egg_mass, clutch.egg_mass)
    if length is None and width is not None:
        length = width
    if length is None:
        return Unknown(
            f"the size of {species.name} eggs is not known", (f"species/{species.id}.yaml: eggs.length",)
        )
    if width is not None:
        return length, width
    if mass is None:
        return Unknown(
            f"the mass of {species.name} eggs is not known", (f"species/{species.id}.yaml: eggs.mass",)
        )
    low, high = (egg_width_from_mass(end, length.middle) for end in (mass.low, mass.high))
    if high <= length.middle:
        return length, Range(low, high)
    # Too heavy for its length: taken as a ball of that mass, longer than the profile says.
    ball = (high * high * length.middle) ** (1 / 3)
    return Range(ball, ball), Range(ball, ball)


def forecast_places(plan: Plan, index: int, species: Mapping[str, Species]) -> Result:
    """Eggs that fit in all egg boxes of a kind at the usual spacing; the species that takes most room decides."""
    box = plan.egg_boxes[index]
    path = f"egg_boxes[{index}]"
    unsettled = tuple(
        f"clutches[{number}].box" for number, clutch in enumerate(plan.clutches) if clutch.box is None
    )
    inside = [clutch for clutch in plan.clutches if clutch.box == box.name]
    missing = [
        f"{path}.{entry}" for entry, value in (("inside", box.inside), ("count", box.count)) if value is None
    ]
    if missing or (unsettled and not inside):
        return Unknown("size or number of the boxes is not told", (*missing, *unsettled))
    if not inside:
        return Unknown("no clutch goes into this box")
    assert box.inside is not None and box.count is not None
    fewest: tuple[int, int, int] | None = None
    for clutch in inside:
        size = egg_size(clutch, species[clutch.species])
        if isinstance(size, Unknown):
            return size
        length, width = size
        try:
            found = tuple(
                box.count * places_for_eggs(box.inside.length, box.inside.width, long, wide, gap)
                for long, wide, gap in (
                    (length.high, width.high, SPACINGS[1]),
                    (length.middle, width.middle, SPACING),
                    (length.low, width.low, SPACINGS[0]),
                )
            )
        except ValueError as error:
            return Unknown(str(error))
        if fewest is None or found[1] < fewest[1]:
            fewest = (found[0], found[1], found[2])
    assert fewest is not None
    return Figure(
        fewest[1], fewest[0], fewest[2], "count", "one layer of rows, 1 cm between eggs (0.5 to 2 cm)"
    )


def boxes_in_outer_box(plan: Plan) -> BoxesInOuterBox | Unknown:
    """Footprint and height of all egg boxes against the inside of the outer box."""
    outer = outer_inside(plan)
    if isinstance(outer, Unknown):
        return outer
    if not plan.egg_boxes:
        return Unknown("the plan has no egg boxes", ("egg_boxes",))
    missing = tuple(
        f"egg_boxes[{index}].{entry}"
        for index, box in enumerate(plan.egg_boxes)
        for entry, value in (("inside", box.inside), ("count", box.count), ("tier", box.tier))
        if value is None
    )
    if missing:
        return Unknown("size, number or layers of the egg boxes are not told", missing)
    footprint = height = 0.0
    for box in plan.egg_boxes:
        assert box.inside is not None and box.count is not None
        layers = 2 if box.tier == "two" else 1
        on_floor = math.ceil(box.count / layers)
        footprint += on_floor * (box.inside.length + 2 * RIM) * (box.inside.width + 2 * RIM)
        height = max(height, layers * (box.inside.height + 2 * WALL))
    return BoxesInOuterBox(footprint, outer.length * outer.width, height + AIR_ABOVE, outer.height)


def forecast_shopping(plan: Plan) -> Shopping:
    """Dry medium and water for all egg boxes with 10 % to spare."""
    if not plan.egg_boxes:
        why = Unknown("the plan has no egg boxes", ("egg_boxes",))
        return Shopping(why, why, why)
    volume = [0.0, 0.0, 0.0]
    mass = [0.0, 0.0, 0.0]
    water = [0.0, 0.0, 0.0]
    for index, box in enumerate(plan.egg_boxes):
        if box.medium.material == "none":
            continue
        contents = contents_of(box, f"egg_boxes[{index}]")
        if isinstance(contents, Unknown):
            return Shopping(contents, contents, contents)
        if box.count is None:
            why = Unknown("the number of boxes is not told", (f"egg_boxes[{index}].count",))
            return Shopping(why, why, why)
        parts = (contents.dry_mass.low, contents.dry_mass.typical, contents.dry_mass.high)
        by_mass = box.medium.mix is not None and box.medium.mix.by == "mass"
        for place, dry in enumerate(parts):
            volume[place] += box.count * contents.volume * SPARE
            mass[place] += box.count * dry * SPARE
            # By volume the water follows the volume of the medium, by mass its mass.
            basis = dry if by_mass else contents.dry_mass.typical
            water[place] += box.count * basis * contents.water_content.typical * SPARE / 1000.0

    def result(values: list[float], quantity: str, basis: str) -> Figure:
        return Figure(values[1], values[0], values[2], quantity, basis)

    return Shopping(
        medium=result(volume, "volume", "base times depth of every box, 10 % to spare"),
        medium_mass=result(mass, "mass", "the same volume at the density of the medium"),
        water=result(water, "volume", "the planned mix"),
    )
