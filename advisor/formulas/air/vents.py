"""Holes, rim gaps, walls and opened lids: how fast gases and water vapour pass through them.

Gases diffuse through still air; through a wide hole light damp air also rises and dry air sinks. Two other
ways out were worked out and left aside because they are small: the pumping of warm and cold air (about 1/100
of the holes) and the draught that 1 K of warmth drives through a rim gap (smaller than diffusion up to a gap
of 0.5 mm) (both derived).
"""

import math

from msgspec import Struct

from advisor.constants import DAY
from advisor.formulas.air.moist_air import STANDARD_PRESSURE, ZERO_CELSIUS, check_range

_GRAVITY = 9.80665  # m/s2, standard gravity (exact by definition)

# Fuller, Schettler & Giddings 1966, diffusion volumes [-] and molar masses [g/mol]; from memory.
_AIR_DIFFUSION_VOLUME = 19.7
_AIR_MOLAR_MASS = 28.96
_OXYGEN_DIFFUSION_VOLUME = 16.3
_OXYGEN_MOLAR_MASS = 31.998

_AIR_PERMEABILITY = 1.95e-10  # kg/(m s Pa), of still air for vapour near 20 °C; ISO 12572, from memory
_AIR_VISCOSITY = 1.6e-5  # m2/s, kinematic, at 30 °C; Incropera table A.4, from memory
_LIGHTNESS_DIFFUSIVITY = 2.4e-5  # m2/s; heat 2.25e-5 and vapour 2.6e-5 both carry the lightness; judgement
# [-], at which light air under heavy air in an upright tube begins to turn over; Taylor 1954, from memory.
_CRITICAL_RAYLEIGH = 67.94
_DISCHARGE = 0.6  # [-], of a sharp-edged opening; Brown & Solvason 1962, from memory
# Flow through the upper half of a round hole in a wall, over D^2.5 (g')^0.5: the integral of width times
# (2 g' y)^0.5 over the height y above its middle (derived).
_ROUND_WALL_OPENING = 0.2396


class LikelyRange(Struct, frozen=True):
    """A typical value between a low and a high one; the unit is that of the field it stands in."""

    low: float
    typical: float
    high: float


class LidFit(Struct, frozen=True):
    """How closely a lid closes: the gap [m] left all round its rim."""

    name: str
    gap: LikelyRange
    source: str


# Gaps of closed lids were not measured anywhere we know; a keeper's own weighings are better.
LID_FITS = (
    LidFit(
        "gasket", LikelyRange(0.0, 0.0, 0.02e-3), "judgement: at worst it leaks like the tightest clip lid"
    ),
    LidFit("clip", LikelyRange(0.02e-3, 0.05e-3, 0.1e-3), "judgement, known to a factor of 3"),
    LidFit("loose", LikelyRange(0.1e-3, 0.2e-3, 0.5e-3), "judgement: starts where a clip lid ends"),
)
RIM_CONTACT_DEPTH = LikelyRange(2e-3, 5e-3, 10e-3)  # m, how far the lid's rim overlaps the box; judgement

# [-], over still air; polyethylene, polystyrene, ISO 10456 (from memory); polypropylene 1e4
PLASTIC_VAPOUR_RESISTANCE = 1e5


class Vents(Struct, frozen=True):
    """The ways out of a closed box: round holes through its lid and the gap along the rim; lengths in m.

    hole_flow [m3/s] is the air that rises through one hole, and as much that sinks (`hole_exchange_flow`).
    """

    hole_count: int
    hole_diameter: float
    lid_thickness: float
    rim_gap: float
    rim_perimeter: float
    rim_depth: float
    hole_flow: float = 0.0


def lid_fit(name: str) -> LidFit:
    """The rim gap of a kind of lid.

    name: "gasket", "clip" or "loose". Result: its gap, low, typical and high [m]. Raises ValueError for other
    words.
        Reference: judgement (LID_FITS); no measurement of closed lids was found.
    """
    for fit in LID_FITS:
        if fit.name == name:
            return fit
    raise ValueError(f"lid fit is {name!r}: must be one of {', '.join(fit.name for fit in LID_FITS)}")


def _check_air(temperature: float, pressure: float) -> None:
    check_range("temperature", temperature, 0.0, 100.0, "°C")
    check_range("pressure", pressure, 5e4, 1.1e5, "Pa")


def fuller_diffusivity(
    temperature: float, molar_mass: float, diffusion_volume: float, pressure: float = STANDARD_PRESSURE
) -> float:
    """Diffusivity of a gas in air.

    temperature [°C], 0 to 100; molar_mass [g/mol]; diffusion_volume [-]; pressure [Pa], 5e4 to 1.1e5.
    Result [m2/s], within about 5 %. Assumes a thin gas at ordinary pressure. Raises ValueError out of range.
    Reference: Fuller, Schettler & Giddings 1966, Ind. Eng. Chem. 58(5):18, from memory.
    """
    _check_air(temperature, pressure)
    mean_molar_mass = 2.0 / (1.0 / _AIR_MOLAR_MASS + 1.0 / molar_mass)
    size = math.pow(math.cbrt(_AIR_DIFFUSION_VOLUME) + math.cbrt(diffusion_volume), 2)
    pressure_in_bar = pressure / 1e5
    warmth = math.pow(temperature + ZERO_CELSIUS, 1.75)
    square_centimetres = 0.00143 * warmth / (pressure_in_bar * math.sqrt(mean_molar_mass) * size)
    return square_centimetres * 1e-4


def oxygen_diffusivity(temperature: float, pressure: float = STANDARD_PRESSURE) -> float:
    """Diffusivity of oxygen in air: the default for every oxygen flow. temperature [°C], 0 to 100; pressure
    [Pa], 5e4 to 1.1e5. Result [m2/s], within about 5 %. Raises ValueError.
       Reference: Fuller, Schettler & Giddings 1966, from memory. Handbooks round it to 2.1e-5 m2/s at 25 to
       30 °C.
    """
    return fuller_diffusivity(temperature, _OXYGEN_MOLAR_MASS, _OXYGEN_DIFFUSION_VOLUME, pressure)


def carbon_dioxide_diffusivity(temperature: float, pressure: float = STANDARD_PRESSURE) -> float:
    """Diffusivity of carbon dioxide in air: the default for every carbon dioxide flow. temperature [°C], 0 to
    100; pressure [Pa], 5e4 to 1.1e5. Result [m2/s], within about 7 %. Raises ValueError.
       Reference: Massman 1998, Atmos. Environ. 32:1111, from memory.
    """
    _check_air(temperature, pressure)
    warmth = math.pow((temperature + ZERO_CELSIUS) / ZERO_CELSIUS, 1.81)
    return 0.1381e-4 * warmth * STANDARD_PRESSURE / pressure


def hole_shape_factor(diameter: float, lid_thickness: float) -> float:
    """How easily a gas passes one round hole: conductance divided by diffusivity.

    diameter [m], above 0 to 0.06; lid_thickness [m], 0 to 0.05. Result [m]. Still air on both sides, holes
    more than about ten diameters apart (closer holes pass less). Each end adds pi r/4 to the length of the
    way, so that many small holes pass more than one large hole of the same area. Raises ValueError out of
    range.
        Reference: Stefan 1882; Brown & Escombe 1900, Phil. Trans. B 193:223 (that the rate follows the
        diameter).
    """
    check_range("hole diameter", diameter, 1e-6, 0.06, "m")
    check_range("lid thickness", lid_thickness, 0.0, 0.05, "m")
    radius = diameter / 2.0
    return math.pi * radius**2 / (lid_thickness + math.pi * radius / 2.0)


def slot_shape_factor(gap: float, perimeter: float, depth: float) -> float:
    """How easily a gas passes the gap along a lid's rim: conductance divided by diffusivity.

    gap [m], 0 to 0.0005 (wider gaps let a draught through); perimeter [m], 0 to 10, along the rim; depth [m],
    0.0005 to 0.05, how far rim and lid overlap. Result [m]. Raises ValueError out of range.
        Reference: Fick's law for a flat slot (derived). The gap is known to a factor of 3 at best.
    """
    check_range("rim gap", gap, 0.0, 0.5e-3, "m")
    check_range("rim perimeter", perimeter, 0.0, 10.0, "m")
    check_range("rim depth", depth, 0.5e-3, 0.05, "m")
    return gap * perimeter / depth


def vents_shape_factor(vents: Vents) -> float:
    """How easily a gas leaves a closed box: all its holes and its rim gap together.

    vents: the ways out. Result [m]; times a diffusivity [m2/s] it is a conductance [m3/s]. Raises ValueError
    out of range.
        Reference: flows side by side add up (derived); an upper limit when holes are close together.
    """
    if vents.hole_count < 0:
        raise ValueError(f"hole count is {vents.hole_count}: must be 0 or more")
    rim = slot_shape_factor(vents.rim_gap, vents.rim_perimeter, vents.rim_depth)
    if vents.hole_count == 0:
        return rim
    return rim + vents.hole_count * hole_shape_factor(vents.hole_diameter, vents.lid_thickness)


def vents_conductance(vents: Vents, diffusivity: float, draught_factor: float = 1.0) -> float:
    """The flow of a gas through a closed box's vents for each unit of difference in its concentration.

    vents: the ways out; diffusivity [m2/s] of that gas; draught_factor [-], 1 in still air, up to 3 under a
    fan (judgement, no source). Result [m3/s]. Diffusion and exchange flow are added up. Raises ValueError out
    of range.
        Reference: Fick's law (derived).
    """
    check_range("diffusivity", diffusivity, 1e-6, 1e-4, "m2/s")
    check_range("draught factor", draught_factor, 1.0, 3.0, "")
    check_range("flow through a hole", vents.hole_flow, 0.0, 1e-3, "m3/s")
    still = diffusivity * vents_shape_factor(vents) + vents.hole_count * vents.hole_flow
    return still * draught_factor


def wall_vapour_permeance(area_over_thickness: float, resistance_factor: float) -> float:
    """The water vapour that passes through the solid walls of a box for each unit of vapour pressure.

    area_over_thickness [m]: wall area divided by wall thickness; resistance_factor [-], 1 or more.
    Result [kg/(s Pa)]. Assumes no seams or holes. Raises ValueError out of range.
    Reference: ISO 10456 / ISO 12572 (definition of the factor), from memory. Plastics are known to a factor
    of ten only.
    """
    check_range("wall area over thickness", area_over_thickness, 0.0, 1e4, "m")
    check_range("resistance factor", resistance_factor, 1.0, 1e7, "")
    return _AIR_PERMEABILITY * area_over_thickness / resistance_factor


def reduced_gravity(virtual_temperature_inside: float, virtual_temperature_outside: float) -> float:
    """How strongly the lighter air of a warm box wants to rise out of it.

    virtual_temperature_inside, virtual_temperature_outside [K], 200 to 500, from
    `moist_air.virtual_temperature`.
        Result [m/s2]; 0 when the air inside is not lighter. Equal pressure on both sides. Raises ValueError
        out of range.
        Reference: g (rho_out - rho_in)/rho_mean, as in Epstein 1988; density goes with 1/T_v (ideal gas).
    """
    check_range("virtual temperature inside", virtual_temperature_inside, 200.0, 500.0, "K")
    check_range("virtual temperature outside", virtual_temperature_outside, 200.0, 500.0, "K")
    mean = (virtual_temperature_inside + virtual_temperature_outside) / 2.0
    return max(0.0, _GRAVITY * (virtual_temperature_inside - virtual_temperature_outside) / mean)


def level_opening_number(depth_ratio: float) -> float:
    """The flow that a level opening exchanges, over (g' D^5)^(1/2).

    depth_ratio: depth of the opening over its diameter [-], 0 to 10. Result [-], 0.055 for a thin opening.
    Light fluid below heavy, turbulent. Within 20 % of the four regimes of the same paper. Raises ValueError
    out of range.
        Reference: Epstein 1988, J. Heat Transfer 110:885, the formula for all regimes; from memory.
    """
    check_range("depth over diameter", depth_ratio, 0.0, 10.0, "")
    cubed = 1.0 + 400.0 * depth_ratio**3
    slowed = 0.00527 * math.sqrt(cubed) * math.pow(depth_ratio**6 + 117.0 * depth_ratio**2, 0.75)
    return 0.055 * math.pow(cubed, 1.0 / 6.0) / math.cbrt(1.0 + slowed)


def hole_exchange_flow(
    diameter: float, lid_thickness: float, buoyancy: float, in_wall: bool = False
) -> float:
    """The light air that leaves a closed box through one hole, and the same amount that comes in, besides diffusion.

    diameter [m], above 0 to 0.06; lid_thickness [m], 0 to 0.05; buoyancy [m/s2] from `reduced_gravity`;
    in_wall: the hole is in an upright wall, else in a level lid. Result [m3/s], one way.
        A level hole holds still until its Rayleigh number g' r^4 / (viscosity x diffusivity x length) passes
        67.94, the length with the ends of `hole_shape_factor`; past that the turbulent flow is taken times
        1 - 67.94/Ra, as convection sets in (judgement). In a wall air moves at once: slow and sticky in a
        narrow hole, fast in a wide one, the two combined as resistances in series (judgement). Known to a
        factor of 2. Raises ValueError out of range.
        Reference: level: Epstein 1988 and Taylor 1954, Proc. Phys. Soc. B 67:857; wall: Brown & Solvason 1962,
        Int. J. Heat Mass Transfer 5:859, and creeping flow through a short hole, Dagan et al. 1982, J. Fluid
        Mech. 115:505; all from memory.
    """
    check_range("hole diameter", diameter, 1e-6, 0.06, "m")
    check_range("lid thickness", lid_thickness, 0.0, 0.05, "m")
    check_range("buoyancy", buoyancy, 0.0, 5.0, "m/s2")
    radius, free = diameter / 2.0, math.sqrt(buoyancy * diameter**5)
    if free == 0.0:
        return 0.0
    if in_wall:
        fast = _DISCHARGE * _ROUND_WALL_OPENING * free
        # Half the hole each way, driven by the mean height of a half disc above its middle, 4 r/(3 pi).
        drive = buoyancy * 4.0 * radius / (3.0 * math.pi)
        slow = (
            0.5 * drive / (_AIR_VISCOSITY * (8.0 * lid_thickness / (math.pi * radius**4) + 3.0 / radius**3))
        )
        return fast * slow / (fast + slow)
    length = lid_thickness + math.pi * radius / 2.0
    rayleigh = buoyancy * radius**4 / (_AIR_VISCOSITY * _LIGHTNESS_DIFFUSIVITY * length)
    if rayleigh <= _CRITICAL_RAYLEIGH:
        return 0.0
    return level_opening_number(lid_thickness / diameter) * free * (1.0 - _CRITICAL_RAYLEIGH / rayleigh)


def stack_flow(low: float, high: float, height: float, buoyancy: float) -> float:
    """The air that a warm box draws in through low openings and lets out through high ones.

    low, high [m2]: open areas, above 0 to 1; height [m] from one to the other, 0 to 5; buoyancy [m/s2] from
    `reduced_gravity`. Result [m3/s]. Sharp-edged openings, no wind; known to a factor of 1.5, for narrow holes through thick
    walls too high. Raises ValueError out of range.
    Reference: BS 5925 (two openings at different heights) and ASHRAE Fundamentals 2017, chapter 16, stack flow; from
    memory. Discharge coefficient 0.6.
    """
    check_range("low opening", low, 1e-9, 1.0, "m2")
    check_range("high opening", high, 1e-9, 1.0, "m2")
    check_range("height between openings", height, 0.0, 5.0, "m")
    check_range("buoyancy", buoyancy, 0.0, 5.0, "m/s2")
    in_series = 1.0 / math.sqrt(1.0 / low**2 + 1.0 / high**2)
    return _DISCHARGE * in_series * math.sqrt(2.0 * buoyancy * height)


def opening_exchange_flow(length: float, width: float, buoyancy: float) -> float:
    """The air that rises out of a box with its lid off, and the same amount that sinks in.

    length, width [m] of the opening, above 0 to 5; buoyancy [m/s2] from `reduced_gravity`. Result [m3/s], one
    way.
        Assumes a thin level opening that takes up the whole top; known to a factor of 2, and moving the lid
        stirs more.
        Raises ValueError out of range. Reference: `level_opening_number` of a thin opening, with the diameter
        of a circle of equal area.
    """
    check_range("opening length", length, 1e-3, 5.0, "m")
    check_range("opening width", width, 1e-3, 5.0, "m")
    check_range("buoyancy", buoyancy, 0.0, 5.0, "m/s2")
    diameter = math.sqrt(4.0 * length * width / math.pi)
    return level_opening_number(0.0) * math.sqrt(buoyancy * diameter**5)


def air_share_exchanged(exchange_flow: float, volume: float, seconds: float) -> float:
    """The share of a box's air that is new after its lid was off for a while.

    exchange_flow [m3/s]; volume [m3] of air in the box, above 0; seconds [s], 0 or more. Result [-], 0 to 1.
    Assumes well-mixed air. Raises ValueError out of range. Reference: derived.
    """
    check_range("exchange flow", exchange_flow, 0.0, 10.0, "m3/s")
    check_range("air volume", volume, 1e-6, 10.0, "m3")
    check_range("time", seconds, 0.0, DAY, "s")
    return -math.expm1(-exchange_flow * seconds / volume)


def water_lost_at_opening(
    volume: float, share_exchanged: float, vapour_density_inside: float, vapour_density_outside: float
) -> float:
    """The water that leaves a box as vapour each time its lid is lifted.

    volume [m3] of air in the box; share_exchanged [-], 0 to 1; vapour_density_inside, vapour_density_outside
    [kg/m3].
        Result [kg]; below 0 when the outside air is the damper. The medium makes good what left. Raises
        ValueError.
        Reference: derived (mass balance).
    """
    check_range("air volume", volume, 1e-6, 10.0, "m3")
    check_range("share of air exchanged", share_exchanged, 0.0, 1.0, "")
    return volume * share_exchanged * (vapour_density_inside - vapour_density_outside)
