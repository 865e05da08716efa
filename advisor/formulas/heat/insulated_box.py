"""How much heat an insulated box loses: wall materials, edges and corners, air films, what it stands on.

A box in a room has still air on both sides of its walls, so the same surface resistance counts inside and
outside; the usual outdoor value (0.04 m2 K/W, with wind) would give a loss 9 % too high.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import Literal

from msgspec import Struct

from advisor.formulas.air.moist_air import NoSolution, check_range
from advisor.formulas.heat.convection import AIR_HEAT_PER_VOLUME

StandsOn = Literal["shelf", "insulated floor", "bare floor"]

# ISO 6946, internal surface resistances [m2 K/W] by direction of the heat flow; read (building-physics
# documentation).
SURFACE_RESISTANCE_UP = 0.10
SURFACE_RESISTANCE_SIDEWAYS = 0.13
SURFACE_RESISTANCE_DOWN = 0.17

# Under the box [m2 K/W]. Shelf: still air, as above. Insulated floor: carpet or wood adds 0.1 to 0.2
# (judgement). Bare floor: the foam touches stone or tile of room temperature, 0 to 0.10 (judgement, no
# source).
_UNDER_THE_BOX: dict[str, float] = {
    "shelf": SURFACE_RESISTANCE_DOWN,
    "insulated floor": SURFACE_RESISTANCE_DOWN + 0.15,
    "bare floor": 0.04,
}

# Langmuir, Adams & Meikle 1913, Trans. Am. Electrochem. Soc. 24; Incropera table 4.1 (read).
_EDGE_FACTOR = 0.54  # [-], per length of edge between two walls
_CORNER_FACTOR = 0.15  # [-], per wall thickness, of a corner of three walls

POOR_LID_FACTOR = 1.25  # [-], box with a badly fitting lid: 25 % more loss; judgement


class InsulatingWall(Struct, frozen=True):
    """A wall material: conductivity [W/(m K)] with its likely range, temperature [°C] it bears for long.

    density [kg/m3] and heat [J/(kg K)] say what the wall stores; half of it follows the inside.
    """

    name: str
    conductivity: float
    conductivity_low: float
    conductivity_high: float
    source: str
    service_limit: float | None
    limit_source: str
    density: float
    heat: float
    storage_source: str


# Conductivities hold for a wall of about 25 °C, in the middle of a warm box.
WALLS = (
    InsulatingWall(
        "expanded polystyrene", 0.037, 0.033, 0.041,
        "0.034 to 0.038 dry at 10 °C (data sheets, read), 5 % more when warm; ±10 % by grade (judgement)",
        70.0, "70 to 80 °C, practice with EN 13163, from memory",
        20.0, 1450.0, "usual box (judgement); ISO 10456, from memory",
    ),
    InsulatingWall(
        "extruded polystyrene", 0.033, 0.026, 0.036,
        "0.026 fresh (ASHRAE, read) to 0.036 declared (EN 13164, from memory)",
        75.0, "from memory",
        35.0, 1450.0, "EN 13164 boards 30 to 40 kg/m3, heat ISO 10456, from memory",
    ),
    InsulatingWall(
        "polyurethane foam", 0.028, 0.024, 0.032,
        "0.028 (CIBSE Guide A, read), 0.026 (ASHRAE, read); ±15 % for age (judgement)",
        100.0, "100 to 110 °C, from memory",
        35.0, 1400.0, "boards 30 to 40 kg/m3, heat ISO 10456, from memory",
    ),
    InsulatingWall(
        "plywood", 0.13, 0.09, 0.17,
        "0.09, 0.13, 0.17 at 300, 500, 700 kg/m3 (ISO 10456, read)",
        None, "not known here",
        500.0, 1600.0, "ISO 10456, read",
    ),
    InsulatingWall(
        "glass", 1.0, 0.9, 1.1,
        "soda lime 1.0 (ISO 10456, read); ±10 % (judgement)",
        None, "not known here",
        2500.0, 750.0, "soda lime, heat ISO 10456 (read), density from memory",
    ),
    InsulatingWall(
        "acrylic", 0.19, 0.18, 0.20,
        "0.18 (ISO 10077-2, read) and 0.20 (ISO 10456, read)",
        None, "not known here",
        1050.0, 1500.0, "density ISO 10456 (read), heat from memory",
    ),
    InsulatingWall(
        "polypropylene", 0.22, 0.20, 0.24,
        "0.22 (ISO 10077-2, read); ±10 % (judgement)",
        100.0, "softens above 100 °C, from memory",
        910.0, 1800.0, "ISO 10456, from memory",
    ),
    InsulatingWall(
        "solid plastic", 0.22, 0.16, 0.50,
        "polystyrene 0.16, polypropylene 0.22, polyethylene 0.33 to 0.50 (ISO 10456, read)",
        70.0, "polystyrene 70 to 90 °C, the lowest of these plastics, from memory",
        950.0, 1700.0, "between polystyrene and polyethylene in ISO 10456, from memory",
    ),
    InsulatingWall(
        "plastic cool box", 0.028, 0.024, 0.032,
        "the polyurethane foam inside, aged: 0.028 ±15 % (CIBSE Guide A, read; range judgement)",
        70.0, "its plastic lining, taken as polystyrene, 70 to 90 °C (from memory)",
        100.0, 1500.0, "foam of 35 kg/m3 between two skins of 1.5 mm in a wall of 35 to 40 mm; judgement",
    ),
)  # fmt: skip


# Vapour resistance factors over still air: low, usual, high. ISO 10456, from memory, but expanded polystyrene 30 to 70
# (two building-physics pages, read); a cool box by its plastic lining.
VAPOUR_RESISTANCE = {
    "expanded polystyrene": (30.0, 50.0, 70.0),
    "extruded polystyrene": (80.0, 150.0, 250.0),
    "polyurethane foam": (30.0, 60.0, 100.0),
    "plywood": (50.0, 100.0, 250.0),
    "glass": (1e6, 1e7, 1e8),
    "acrylic": (2e4, 5e4, 1e5),
    "polypropylene": (5e3, 1e4, 2e4),
    "solid plastic": (1e4, 5e4, 1e5),
    "plastic cool box": (5e3, 1e4, 1e5),
}


class BoxSize(Struct, frozen=True):
    """Length, width and height of a box [m]."""

    length: float
    width: float
    height: float


def wall_named(name: str) -> InsulatingWall:
    """The properties of a wall material.

    name: a name from WALLS. Result: its entry. Raises ValueError for other words. Reference: in each entry.
    """
    for wall in WALLS:
        if wall.name == name:
            return wall
    raise ValueError(f"wall material is {name!r}: must be one of {', '.join(wall.name for wall in WALLS)}")


def inside_size(outside: BoxSize, wall_thickness: float) -> BoxSize:
    """Inner size of a box from its outer size.

    outside: outer size [m]; wall_thickness [m], the same on all sides. Result: inner size [m].
    Raises ValueError when the walls leave no room. Reference: geometry. Mixing the two up changes the loss by
    27 %.
    """
    smallest = min(outside.length, outside.width, outside.height)
    if not 0.0 < wall_thickness < smallest / 2.0:
        raise NoSolution(
            f"wall thickness is {wall_thickness:g} m: must be above 0 and below {smallest / 2.0:g} m, half "
            "the smallest outer size"
        )
    twice = 2.0 * wall_thickness
    return BoxSize(outside.length - twice, outside.width - twice, outside.height - twice)


def check_walls(size: BoxSize, wall_thickness: float) -> None:
    """Refuse a box out of the range of the edge and corner terms. size: inner lengths; wall_thickness [m]."""
    check_range("wall thickness", wall_thickness, 5e-4, 0.5, "m")
    for name, value in (("length", size.length), ("width", size.width), ("height", size.height)):
        # The edge and corner terms hold while every inner length exceeds a fifth of the wall thickness.
        check_range(f"inner {name}", value, max(0.02, wall_thickness / 5.0), 5.0, "m")


def inner_area(size: BoxSize) -> float:
    """Surface of a box. size: its lengths [m]. Result [m2]. Reference: geometry."""
    return 2.0 * (size.length * size.width + size.length * size.height + size.width * size.height)


def outer_area(size: BoxSize, wall_thickness: float) -> float:
    """Outer surface of a box. size: inner lengths [m]; wall_thickness [m]. Result [m2]. By geometry."""
    twice = 2.0 * wall_thickness
    return inner_area(BoxSize(size.length + twice, size.width + twice, size.height + twice))


def shape_factor(size: BoxSize, wall_thickness: float) -> float:
    """Conduction shape factor of a whole box: heat flow per conductivity and degree across the wall.

    size: inner lengths [m], each above a fifth of the wall thickness; wall_thickness [m], 0.0005 to 0.5.
    Result [m]. Uniform inner and outer surface temperatures. Raises ValueError out of range.
    Reference: Langmuir, Adams & Meikle 1913: A/t + 0.54 x edges + 0.15 t x 8 corners; Incropera table 4.1
    (read).
    """
    check_walls(size, wall_thickness)
    edges = 4.0 * (size.length + size.width + size.height)
    return inner_area(size) / wall_thickness + _EDGE_FACTOR * edges + _CORNER_FACTOR * wall_thickness * 8


def resistance_under_the_box(stands_on: str) -> float:
    """Surface resistance under a box.

    stands_on: "shelf", "insulated floor" or "bare floor". Result [m2 K/W]. Raises ValueError for other words.
    Reference: ISO 6946 for the shelf (read); the floors are judgement.
    """
    if stands_on not in _UNDER_THE_BOX:
        raise ValueError(f"box stands on {stands_on!r}: must be one of {', '.join(_UNDER_THE_BOX)}")
    return _UNDER_THE_BOX[stands_on]


class Pane(Struct, frozen=True):
    """A door or window: whether it lies in the ceiling, else in a side wall; area [m2]; resistance face to face [m2 K/W]."""

    in_ceiling: bool
    area: float
    resistance: float

    @property
    def films(self) -> float:
        """Surface resistance on each side of it [m2 K/W]."""
        return SURFACE_RESISTANCE_UP if self.in_ceiling else SURFACE_RESISTANCE_SIDEWAYS

    @property
    def share_of_fall(self) -> float:
        """Rise of its inner face over the room, as a share of the rise of the air inside [-]. Reference: ISO 6946."""
        return (self.resistance + self.films) / (self.resistance + 2.0 * self.films)


def with_panes(
    outward: float, area: float, panes: Sequence[Pane], surface_resistance_factor: float = 1.0
) -> float:
    """Conductance of a face from its inner surface to the room where doors and windows take the place of wall.

    outward [W/K]: without them; area [m2]: inner, of the whole face; panes: those in it, no larger together than it.
    Result [W/K]. The area-weighted U-value of ISO 10077-1 and ISO 6946 with the films of each part, less the inner
    film of the whole.
    """
    if not panes:
        return outward
    film = surface_resistance_factor * panes[0].films
    total = wall = 1.0 / (1.0 / outward + film / area)
    for pane in panes:
        total += pane.area * (1.0 / (pane.resistance + 2.0 * film) - wall / area)
    return 1.0 / (1.0 / total - film / area)


class BoxWall(Struct, frozen=True):
    """A wall all round: thickness [m], conductivity [W/(m K)], what the box stands on, factor on outer films."""

    thickness: float
    conductivity: float
    stands_on: str = "shelf"
    surface_resistance_factor: float = 1.0


def _through(wall: BoxWall, shape: float, resistance: float, area: float) -> float:
    return 1.0 / (1.0 / (wall.conductivity * shape) + wall.surface_resistance_factor * resistance / area)


def level_conductance(
    size: tuple[float, float, float], wall: BoxWall, face: str, endless: bool = False
) -> float:
    """Conductance of ceiling or floor from its inner surface to the room.

    size: inner length, width, height [m]; wall; face: "ceiling" or "floor"; endless: without end walls, so
    without the edges there. Result [W/K]. An edge between two faces counts half for each, a corner a third.
    Reference: Langmuir, Adams & Meikle 1913 shared out by face (derived); ISO 6946 outer resistances.
    """
    length, width, _ = size
    thickness = wall.thickness
    shape = length * width / thickness + _EDGE_FACTOR * (length if endless else length + width)
    if not endless:
        shape += 4.0 / 3.0 * _CORNER_FACTOR * thickness
    area = (length if endless else length + 2.0 * thickness) * (width + 2.0 * thickness)
    resistance = SURFACE_RESISTANCE_UP if face == "ceiling" else resistance_under_the_box(wall.stands_on)
    return _through(wall, shape, resistance, area)


def strip_conductances(
    size: tuple[float, float, float], bounds: Sequence[float], wall: BoxWall, endless: bool = False
) -> tuple[float, ...]:
    """Conductance of level strips of the side walls from their inner surface to the room.

    size: inner length, width, height [m]; bounds: heights of the strips [m], from 0 up; wall; endless: as in
    `level_conductance`. Result [W/K], from below. The lowest and the highest strip have the edges and corners
    at floor and ceiling. Reference: as `level_conductance`.
    """
    length, width, _ = size
    thickness = wall.thickness
    around = 2.0 * (length if endless else length + width)
    outer = 2.0 * (length if endless else length + width + 4.0 * thickness)
    found = []
    last = len(bounds) - 2
    for number, (low, high) in enumerate(pairwise(bounds)):
        ends = (number == 0) + (number == last)
        depth = high - low
        shape = around * depth / thickness + _EDGE_FACTOR * ends * around / 2.0
        if not endless:
            shape += _EDGE_FACTOR * 4.0 * depth + ends * 8.0 / 3.0 * _CORNER_FACTOR * thickness
        found.append(_through(wall, shape, SURFACE_RESISTANCE_SIDEWAYS, outer * (depth + ends * thickness)))
    return tuple(found)


def box_conductance(
    size: BoxSize,
    wall_thickness: float,
    conductivity: float,
    stands_on: str = "shelf",
    lid_fits: str = "well",
    surface_resistance_factor: float = 1.0,
    panes: Sequence[Pane] = (),
) -> float:
    """Conductance of a whole box from the air inside to the room, face by face.

    size: inner lengths [m]; wall_thickness [m]; conductivity [W/(m K)], 0.01 to 5; stands_on: see
    `resistance_under_the_box`; lid_fits: "well" or "poorly" (25 % more); surface_resistance_factor [-], 0.3
    to 3, on all surface resistances; panes: doors and windows. Result [W/K], within about 12 %. Raises ValueError out of range.
    Reference: faces and strips as above with the ISO 6946 inner resistances in series (derived).
    """
    if lid_fits not in ("well", "poorly"):
        raise ValueError(f"lid fits {lid_fits!r}: must be one of well, poorly")
    check_walls(size, wall_thickness)
    check_range("conductivity", conductivity, 0.01, 5.0, "W/(m K)")
    check_range("surface resistance factor", surface_resistance_factor, 0.3, 3.0, "(factor)")
    wall = BoxWall(wall_thickness, conductivity, stands_on, surface_resistance_factor)
    lengths = (size.length, size.width, size.height)
    flat, around = size.length * size.width, 2.0 * (size.length + size.width) * size.height
    (sides,) = strip_conductances(lengths, (0.0, size.height), wall)
    sides = with_panes(sides, around, [one for one in panes if not one.in_ceiling], surface_resistance_factor)
    ceiling = with_panes(
        level_conductance(lengths, wall, "ceiling"),
        flat,
        [one for one in panes if one.in_ceiling],
        surface_resistance_factor,
    )

    def with_inner_film(outward: float, resistance: float, area: float) -> float:
        return 1.0 / (1.0 / outward + surface_resistance_factor * resistance / area)

    total = (
        with_inner_film(ceiling, SURFACE_RESISTANCE_UP, flat)
        + with_inner_film(sides, SURFACE_RESISTANCE_SIDEWAYS, around)
        + with_inner_film(level_conductance(lengths, wall, "floor"), SURFACE_RESISTANCE_DOWN, flat)
    )
    return total * (POOR_LID_FACTOR if lid_fits == "poorly" else 1.0)


def leakage_conductance(volume: float, air_changes_per_hour: float) -> float:
    """Heat carried out by air that leaks through a box.

    volume [m3], 0 to 2; air_changes_per_hour [1/h], 0 to 50. Result [W/K]. Raises ValueError out of range.
    Reference: rho cp V n/3600 with dry air at 30 °C (CoolProp, read).
    """
    check_range("volume", volume, 0.0, 2.0, "m3")
    check_range("air changes", air_changes_per_hour, 0.0, 50.0, "per hour")
    return AIR_HEAT_PER_VOLUME * volume * air_changes_per_hour / 3600.0
