"""The heated outer box with its egg boxes, as the steady network takes it, and what is uncertain about it."""

from typing import Literal

from msgspec import Struct, field

from advisor.formulas.air.moist_air import NoSolution, check_range
from advisor.formulas.heat.insulated_box import BoxSize, Pane, StandsOn, check_walls, wall_named

FOAM_CONDUCTIVITY = wall_named("expanded polystyrene").conductivity  # W/(m K), of a sheet on an egg-box lid

HeatSource = Literal["mat", "cable", "bulb", "ceramic emitter", "water bath"]
HeatPlace = Literal["lid", "floor", "one side", "all sides", "in water"]
BoxesStand = Literal["on a rack", "on the floor", "on the heater"]
Probe = Literal["medium", "air", "water"]
Tier = Literal["lower", "upper"]
VentsWhere = Literal["lid", "high and low", "low"]


class EggBoxes(Struct, frozen=True):
    """The egg boxes of one tier, all alike.

    count; length, width, height: inner size of one [m]; medium_depth [m]; lid_thickness [m], also taken for
    the walls; wall_conductivity [W/(m K)], polypropylene 0.22 (ISO 10077-2, read); medium_conductivity [W/(m
    K)], wet vermiculite 0.2 (0.12 to 0.30; derived estimate, no measurement found); water_potential [Pa] of
    the medium, 0 or less; lid_foam [m], thickness of packing foam that lies on the lid,
    in the place of air; is_open: trays without lids, whose medium lies open to the air of the outer box.
    """

    count: int
    length: float
    width: float
    height: float
    medium_depth: float
    lid_thickness: float = 0.001
    wall_conductivity: float = 0.22
    medium_conductivity: float = 0.2
    water_potential: float = 0.0
    lid_foam: float = 0.0
    is_open: bool = False

    @property
    def lid_resistance(self) -> float:
        """From the inside of the lid to the outside of its foam [m2 K/W]."""
        return self.lid_thickness / self.wall_conductivity + self.lid_foam / FOAM_CONDUCTIVITY


class Uncertain(Struct, frozen=True):
    """What nobody knows exactly; vary one field at a time within UNCERTAIN_RANGES.

    conductivity_factor, thickness_factor [-]: on the outer wall's conductivity and thickness.
    convection_factor [-]: on all natural convection outside the egg boxes.
    surface_resistance_factor [-]: on the outer surface resistances.
    medium_factor [-]: on the conductivity of the medium.
    air_changes [1/h]: leakage of the outer box.
    mixing [-]: on conduction between layers of air while the upper is warmer.
    stirring [W/(m2 K)]: exchange between layers besides, as by a fan.
    contact [W/(m2 K)]: egg-box base on floor or heater.
    headspace_factor [-]: on convection and vapour in the egg box's headspace.
    radiant_share [-]: part of a bulb's or emitter's power that is radiation.
    edge [-]: heat that spreads in the wall beyond the edge of a heater, over conductivity and length.
    swept [-]: how much the rising air of a floor heater helps its film and the ceiling's.
    excess [-]: warmth of a rising current over that of what drives it.
    vapour_exchange [-]: on the vapour that open trays lose to the room by leaks and walls.
    air_speed [m/s]: of the air that a fan moves through the box, 0 without one.
    vent_factor [-]: on the flow through the vents of the outer box.
    """

    conductivity_factor: float = 1.0
    thickness_factor: float = 1.0
    convection_factor: float = 1.0
    surface_resistance_factor: float = 1.0
    medium_factor: float = 1.0
    air_changes: float = 0.2
    mixing: float = 1.0
    stirring: float = 0.0
    contact: float = 20.0
    headspace_factor: float = 1.0
    radiant_share: float = 0.7
    edge: float = 0.6
    swept: float = 1.5
    excess: float = 0.4
    vapour_exchange: float = 1.0
    air_speed: float = 0.0
    vent_factor: float = 1.0


class UncertainRange(Struct, frozen=True):
    """Likely low and high of one field of `Uncertain`, with the reason."""

    name: str
    low: float
    high: float
    source: str


UNCERTAIN_RANGES = (
    UncertainRange("conductivity_factor", 0.88, 1.15, "unknown grade of foam and its warmth; judgement"),
    UncertainRange("thickness_factor", 0.93, 1.07, "moulded boxes vary; judgement"),
    UncertainRange(
        "convection_factor", 0.7, 1.3, "±15 % in range, ±30 % for small differences (correlations, read)"
    ),
    UncertainRange("surface_resistance_factor", 0.7, 1.3, "draught or shelter outside; judgement"),
    UncertainRange("medium_factor", 0.6, 1.5, "wet vermiculite 0.12 to 0.30 W/(m K); derived, not measured"),
    UncertainRange("air_changes", 0.05, 2.0, "tight or leaky lid of the outer box; judgement"),
    UncertainRange("mixing", 1.0, 3.0, "cool walls stir still layers a little; computed in two dimensions"),
    UncertainRange("contact", 5.0, 50.0, "warped or flat base; judgement"),
    UncertainRange("headspace_factor", 0.7, 1.3, "±30 % of the layer correlation; judgement"),
    UncertainRange(
        "radiant_share", 0.5, 0.9, "most of a bulb's output is radiation (practice); range judgement"
    ),
    UncertainRange("edge", 0.3, 0.9, "spreading in foam beyond a heater's edge; fitted to two dimensions"),
    UncertainRange("swept", 1.0, 2.0, "rising air of a floor heater; fitted to two dimensions"),
    UncertainRange("excess", 0.4, 1.2, "laminar wall layer 0.4 (Squire and Eckert profiles); rest judgement"),
    UncertainRange("vapour_exchange", 0.3, 3.0, "leaks and foam that lets vapour pass; judgement"),
    UncertainRange(
        "vent_factor", 0.5, 1.5, "exchange through small openings, to a factor of 2 at worst; judgement"
    ),
)


class OpenHoles(Struct, frozen=True):
    """Open holes of the outer box: number, at each height where they are at two; diameter [m]; where."""

    count: int
    diameter: float
    where: VentsWhere


class BoxSetup(Struct, frozen=True):
    """One outer box with heater, probe and egg boxes.

    inside: inner size [m]; wall_thickness [m]; wall_conductivity [W/(m K)]; room, set_point [°C];
    heat_source, heat_place: words; heater_area [m2]: heated area of a mat, cable or water surface, own
    surface of a bulb or emitter; lower, upper: egg boxes of the tiers, a single tier is the lower one;
    boxes_stand: what the lower tier stands on; probe: in the medium or the air of probe_tier, or in the water of
    the bath; floor_share [-] of the power that a second sheet has, on the floor, floor_heater_area [m2]; stands_on,
    lid_fits: of the outer box; heater_length [m]: side of a sheet along the box's longer side, None for the
    shape of what it lies on; heater_thickness [m]; rack_height [m]: floor to base of the lower tier;
    tier_gap [m]: lid to base above; endless: no end walls, `inside.length` and the egg boxes' lengths are the
    piece that is looked at (1 m), as in a calculation in two dimensions; vapour_exchange [m3/s], room_vapour
    [kg/m3]: how open trays lose vapour to the room besides the vents, and what its air holds; uncertain: see there;
    panes: doors and windows; vents: open holes in the wall; fan_power [W]: of a fan that always runs; fan_share [-]:
    power of a fan that runs with the heater, over that of the heater.
    """

    inside: BoxSize
    wall_thickness: float
    wall_conductivity: float
    room: float
    set_point: float
    heat_source: HeatSource
    heat_place: HeatPlace
    heater_area: float
    lower: EggBoxes
    upper: EggBoxes | None = None
    boxes_stand: BoxesStand = "on a rack"
    probe: Probe = "medium"
    probe_tier: Tier = "lower"
    stands_on: StandsOn = "shelf"
    lid_fits: Literal["well", "poorly"] = "well"
    heater_length: float | None = None
    heater_thickness: float = 0.001
    rack_height: float = 0.02
    tier_gap: float = 0.01
    endless: bool = False
    floor_share: float = 0.0
    floor_heater_area: float = 0.0
    vapour_exchange: float = 0.0
    room_vapour: float = 0.0
    uncertain: Uncertain = field(default_factory=Uncertain)
    panes: tuple[Pane, ...] = ()
    vents: OpenHoles | None = None
    fan_power: float = 0.0
    fan_share: float = 0.0


POINT_SOURCES = ("bulb", "ceramic emitter")
_SLACK = 1e-9  # m or m2, for rounding


def is_water_bath(setup: BoxSetup) -> bool:
    """Whether the heat comes from a water bath on the floor. setup: the box. Result: yes or no."""
    return setup.heat_source == "water bath"


def open_tiers(setup: BoxSetup) -> tuple[str, ...]:
    """The tiers whose medium lies open. setup: the box. Result: "lower", "upper"."""
    tiers = (("lower", setup.lower), ("upper", setup.upper))
    return tuple(name for name, boxes in tiers if boxes is not None and boxes.is_open)


def has_moist_air(setup: BoxSetup) -> bool:
    """Whether water evaporates into the air of the outer box, from a bath or open trays. setup: the box. Result: yes or no."""
    return is_water_bath(setup) or bool(open_tiers(setup))


def heated_surface(setup: BoxSetup) -> float:
    """Area of the surface that the heater lies on.

    setup: the box. Result [m2]: ceiling, floor, the longer side wall, or all side walls. Reference: geometry.
    """
    box = setup.inside
    if setup.heat_place == "one side":
        return max(box.length, box.width) * box.height
    if setup.heat_place == "all sides":
        return 2.0 * (box.length + box.width) * box.height
    return box.length * box.width


def _one_of(name: str, value: str, allowed: tuple[str, ...]) -> None:
    if value not in allowed:
        raise ValueError(f"{name} is {value!r}: must be one of {', '.join(allowed)}")


def _check_egg_boxes(name: str, boxes: EggBoxes, floor_area: float) -> None:
    if boxes.count < 1:
        raise ValueError(f"number of egg boxes in the {name} tier is {boxes.count}: must be 1 or more")
    for what, value in (("length", boxes.length), ("width", boxes.width), ("height", boxes.height)):
        check_range(f"egg box {what} ({name} tier)", value, 0.02, 2.0, "m")
    check_range(f"medium depth ({name} tier)", boxes.medium_depth, 0.002, boxes.height - 0.003, "m")
    check_range("egg box lid thickness", boxes.lid_thickness, 0.0, 0.02, "m")
    check_range("egg box wall conductivity", boxes.wall_conductivity, 0.05, 500.0, "W/(m K)")
    check_range("medium conductivity", boxes.medium_conductivity, 0.02, 5.0, "W/(m K)")
    check_range("water potential", boxes.water_potential, -100e6, 0.0, "Pa")
    check_range("foam on the lid", boxes.lid_foam, 0.0, 0.1, "m")
    base = boxes.count * boxes.length * boxes.width
    check_range(f"floor area of the egg boxes ({name} tier)", base, 0.0, floor_area + _SLACK, "m2")


def _check_heater(setup: BoxSetup) -> None:
    _one_of("heat source", setup.heat_source, ("mat", "cable", "bulb", "ceramic emitter", "water bath"))
    _one_of("heat place", setup.heat_place, ("lid", "floor", "one side", "all sides", "in water"))
    _one_of("egg boxes stand", setup.boxes_stand, ("on a rack", "on the floor", "on the heater"))
    if is_water_bath(setup) != (setup.heat_place == "in water"):
        raise NoSolution("heat place 'in water' and heat source 'water bath' must come together")
    if setup.floor_share and setup.heat_place != "lid":
        raise NoSolution("a second heater on the floor must come with one in the lid")
    below = ("lid", "floor", "in water") if setup.floor_share else ("floor", "in water")
    if setup.boxes_stand == "on the heater" and (
        setup.heat_place not in below or setup.heat_source in POINT_SOURCES
    ):
        raise NoSolution(
            "egg boxes can stand on the heater only when it is a mat, a cable or water on the floor"
        )
    check_range("heater area", setup.heater_area, 1e-4, heated_surface(setup) + _SLACK, "m2")
    if setup.floor_share:
        check_range("share of the floor heater", setup.floor_share, 0.0, 1.0, "(share)")
        floor = setup.inside.length * setup.inside.width + _SLACK
        check_range("area of the floor heater", setup.floor_heater_area, 1e-4, floor, "m2")


def check_setup(setup: BoxSetup) -> None:
    """Refuse a set-up that cannot be built or lies outside the range of the formulas.

    setup: the box. Raises ValueError, which states the allowed range or words.
    """
    box, known = setup.inside, setup.uncertain
    check_range("room temperature", setup.room, -20.0, 50.0, "°C")
    check_range("set point", setup.set_point, 5.0, 45.0, "°C")
    check_walls(box, setup.wall_thickness * known.thickness_factor)
    check_range("conductivity", setup.wall_conductivity * known.conductivity_factor, 0.005, 10.0, "W/(m K)")
    check_range("heater thickness", setup.heater_thickness, 0.0, 0.05, "m")
    check_range("rack height", setup.rack_height, 0.0, 1.0, "m")
    check_range("gap between tiers", setup.tier_gap, 0.0, 1.0, "m")
    _check_heater(setup)
    _one_of("probe", setup.probe, ("medium", "air", "water") if is_water_bath(setup) else ("medium", "air"))
    _one_of("tier of the probe", setup.probe_tier, ("lower",) if setup.upper is None else ("lower", "upper"))
    _one_of("lid of the outer box fits", setup.lid_fits, ("well", "poorly"))
    _check_egg_boxes("lower", setup.lower, box.length * box.width)
    stack = setup.lower.height
    if setup.upper is not None:
        _check_egg_boxes("upper", setup.upper, box.length * box.width)
        stack += setup.upper.height
    check_range("height of the stacked egg boxes", stack, 0.0, box.height + _SLACK, "m")
    for name in (
        "conductivity_factor", "thickness_factor", "convection_factor", "headspace_factor", "medium_factor",
        "mixing", "edge", "swept", "excess", "vapour_exchange", "vent_factor",
    ):  # fmt: skip
        check_range(name.replace("_", " "), getattr(known, name), 0.3, 3.0, "(factor)")
    check_range("air changes", known.air_changes, 0.0, 50.0, "per hour")
    check_range("vapour exchange", setup.vapour_exchange, 0.0, 1e-2, "m3/s")
    check_range("vapour in the room", setup.room_vapour, 0.0, 0.1, "kg/m3")
    check_range("stirring", known.stirring, 0.0, 200.0, "W/(m2 K)")
    check_range("air speed", known.air_speed, 0.0, 5.0, "m/s")
    check_range("fan power", setup.fan_power, 0.0, 200.0, "W")
    check_range("power of the fan over that of the heater", setup.fan_share, 0.0, 100.0, "(share)")
    check_range("contact", known.contact, 0.1, 500.0, "W/(m2 K)")
    check_range("radiant share", known.radiant_share, 0.0, 1.0, "(share)")
