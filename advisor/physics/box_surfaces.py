"""The surfaces of a box that exchange heat: patches of ceiling, floor and side walls, and what they see.

Shares of view are judgement throughout: a box with egg boxes, rack and bottles in it has no exact ones. How
much the results move when they vary can be tried with `box_setup.UNCERTAIN_RANGES`.
"""

from advisor.frozen import dataclass
from advisor.physics.box_setup import POINT_SOURCES, BoxSetup, EggBoxes, is_water_bath

# Share of its view that the ceiling gives to the near (upper) and far (lower) side walls and to the floor
# when egg boxes take 0.20 of it; the floor likewise. Judgement.
_NEAR_WALL, _FAR_WALL, _OPPOSITE, _REFERENCE_BOXES = 0.40, 0.15, 0.25, 0.20
_MOST_BOXES = 0.9  # [-], egg boxes never fill the whole view; judgement
_LARGEST_COVER = 0.99  # [-], so that a bare ceiling or floor always remains a node
_RACK_HEIGHT = 0.02  # m, judgement


@dataclass(frozen=True, slots=True)
class Areas:
    """Areas [m2]: ceiling or floor, half of the side walls, heater on ceiling or floor, egg boxes touching.

    cover [-]: share of its ceiling, floor or side walls that the heater covers.
    """

    flat: float
    half_walls: float
    heater: float
    contact_heater: float
    contact_floor: float
    cover: float


@dataclass(frozen=True, slots=True)
class Surfaces:
    """Patches by node name: of ceiling and floor [m2], of the side walls as shares [-].

    from_ceiling, from_floor: shares of view [-] by what is seen; opposite: what ceiling and floor see of each
    other.
    """

    ceiling: dict[str, float]
    floor: dict[str, float]
    upper_sides: dict[str, float]
    lower_sides: dict[str, float]
    from_ceiling: dict[str, float]
    from_floor: dict[str, float]
    opposite: float


def base_area(boxes: EggBoxes) -> float:
    """Base, or lid, of all egg boxes of a tier. boxes: the tier. Result [m2]. Reference: geometry."""
    return boxes.count * boxes.length * boxes.width


def side_area(boxes: EggBoxes, height: float) -> float:
    """Sides of all egg boxes of a tier. boxes: the tier; height [m] of the part meant. Result [m2]."""
    return boxes.count * 2.0 * (boxes.length + boxes.width) * height


def is_sheet(setup: BoxSetup) -> bool:
    """Whether the heater is a surface (mat, cable, water), not a point. setup: the box. Result: yes or no."""
    return setup.heat_source not in POINT_SOURCES


def areas_of(setup: BoxSetup) -> Areas:
    """Areas that several links need.

    setup: the box, checked. Result: areas; the heater is held to 99 % of its surface. Reference: geometry.
    """
    box = setup.inside
    flat, walls = box.length * box.width, 2.0 * (box.length + box.width) * box.height
    on_wall = setup.heat_place in ("one side", "all sides")
    surface = walls if on_wall else flat
    cover = min(setup.heater_area / surface, _LARGEST_COVER) if is_sheet(setup) else 0.0
    heater = 0.0 if on_wall else cover * flat
    base = _LARGEST_COVER * base_area(setup.lower)
    contact_heater = contact_floor = 0.0
    if setup.boxes_stand == "on the heater":
        contact_heater = min(base, _LARGEST_COVER * heater)
    elif setup.boxes_stand == "on the floor":
        # On a partly heated floor the boxes stand on the heater as far as the heater fills the floor.
        on_heater = cover if setup.heat_place in ("floor", "in water") else 0.0
        contact_heater, contact_floor = base * on_heater, base * (1.0 - on_heater)
    return Areas(flat, walls / 2.0, heater, contact_heater, contact_floor, cover)


def node_names(setup: BoxSetup) -> tuple[str, ...]:
    """Names of the nodes, in the order of their temperatures.

    setup: the box. Result: names; a bulb or emitter has no heater node, a single tier no upper medium and
    lid.
    """
    names = ["heater"] if is_sheet(setup) else []
    names += ["ceiling", "floor", "upper sides", "lower sides"]
    if setup.upper is not None:
        names += ["upper lid", "upper medium"]
    names += ["lower lid", "lower medium", "upper air", "lower air"]
    if is_water_bath(setup):
        names.append("dew point")
    return tuple(names)


def _view(boxes: float, facing: str, near: str, far: str) -> dict[str, float]:
    boxes = min(boxes, _MOST_BOXES)
    rest = (1.0 - boxes) / (1.0 - _REFERENCE_BOXES)
    return {facing: boxes, near: _NEAR_WALL * rest, far: _FAR_WALL * rest, "opposite": _OPPOSITE * rest}


def surfaces_of(setup: BoxSetup, areas: Areas) -> Surfaces:
    """Patches of the inner surfaces and what they see.

    setup: the box, checked; areas: see `areas_of`. Result: patches and shares of view.
    Reference: a lid gives `view_of_boxes` of its view to the ceiling, so by reciprocity the ceiling gives
    that times lid area over ceiling area to the lids; the rest is split by judgement.
    """
    ceiling = {"ceiling": areas.flat}
    floor = {"floor": areas.flat}
    upper_sides, lower_sides = {"upper sides": 1.0}, {"lower sides": 1.0}
    if is_sheet(setup):
        if setup.heat_place == "lid":
            ceiling = {"ceiling": areas.flat - areas.heater, "heater": areas.heater}
        elif setup.heat_place in ("floor", "in water"):
            floor = {"floor": areas.flat - areas.heater, "heater": areas.heater}
        else:
            upper_sides = {"upper sides": 1.0 - areas.cover, "heater": areas.cover}
            lower_sides = {"lower sides": 1.0 - areas.cover, "heater": areas.cover}
    view, top = setup.uncertain.view_of_boxes, setup.upper if setup.upper is not None else setup.lower
    top_lid = "upper lid" if setup.upper is not None else "lower lid"
    base = base_area(setup.lower)
    from_ceiling = _view(view * base_area(top) / areas.flat, top_lid, "upper sides", "lower sides")
    from_floor = _view(view * base / areas.flat, "lower medium", "lower sides", "upper sides")
    # Where boxes touch, contact replaces their view of the floor. The floor's other exchange stays: heat
    # spreads along the mat and under the boxes.
    from_floor["lower medium"] *= 1.0 - (areas.contact_floor + areas.contact_heater) / base
    opposite = min(from_ceiling.pop("opposite"), from_floor.pop("opposite"))
    return Surfaces(ceiling, floor, upper_sides, lower_sides, from_ceiling, from_floor, opposite)


def sources_of(setup: BoxSetup, surfaces: Surfaces) -> dict[str, float]:
    """Share of the power that each node receives.

    setup: the box, checked; surfaces: see `surfaces_of`. Result [-] by node name, 1 in total.
    Reference: bulbs and emitters radiate `radiant_share` like a mat in their place and warm the air beside
    them with the rest; from the side they light boxes, ceiling, floor and walls with 0.20, 0.15, 0.15 and
    0.50 (judgement).
    """
    if is_sheet(setup):
        return {"heater": 1.0}
    radiant = setup.uncertain.radiant_share
    if setup.heat_place == "lid":
        view, air = {**surfaces.from_ceiling, "floor": surfaces.opposite}, {"upper air": 1.0}
    elif setup.heat_place == "floor":
        view, air = {**surfaces.from_floor, "ceiling": surfaces.opposite}, {"lower air": 1.0}
    else:
        media = ("lower medium",) if setup.upper is None else ("lower medium", "upper medium")
        view = {"ceiling": 0.15, "floor": 0.15, "upper sides": 0.25, "lower sides": 0.25}
        view |= {medium: _REFERENCE_BOXES / len(media) for medium in media}
        air = {"upper air": 0.5, "lower air": 0.5}
    whole = sum(view.values())
    shares = {name: radiant * share / whole for name, share in view.items()}
    return shares | {name: (1.0 - radiant) * share for name, share in air.items()}


def lid_share_in_upper_air(setup: BoxSetup) -> float:
    """How far the lids of a single tier reach into the upper air.

    setup: the box. Result [-]: 0 with the lid at a quarter of the height, 1 at three quarters, where the two
    airs are taken to lie. Reference: straight line between the layers; judgement.
    """
    height = setup.inside.height
    top = setup.lower.height + (_RACK_HEIGHT if setup.boxes_stand == "on a rack" else 0.0)
    return min(max((top - height / 4.0) / (height / 2.0), 0.0), 1.0)
