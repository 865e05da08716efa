"""How fast a box warms and cools: stored heat, warm-up, power cut, stuck controller, heater face."""

import math

from advisor.frozen import dataclass
from advisor.physics.convection import AIR_HEAT_PER_VOLUME
from advisor.physics.moist_air import check_range

WATER_HEAT = 4180.0  # J/(kg K), at 30 °C; CoolProp (read)
EGG_HEAT = 3300.0  # J/(kg K), egg contents about 75 % water; from memory
FOAM_HEAT = 1450.0  # J/(kg K), expanded polystyrene; ISO 10456, from memory (ASHRAE 1470, read)
FOAM_DENSITY = 20.0  # kg/m3, usual expanded polystyrene box; judgement
DRY_MEDIUM_HEAT = 1000.0  # J/(kg K), dry vermiculite 840 to 1340 in three sources (read, memory): 1000 ± 250
_FOAM_SHARE = 0.5  # [-], of the wall's heat that follows the inside: half for a straight gradient; derived


def medium_heat_capacity(wet_mass: float, water_content: float, dry_heat: float = DRY_MEDIUM_HEAT) -> float:
    """Heat capacity of wet medium.

    wet_mass [kg], 0 to 100; water_content [kg water per kg dry medium], 0 to 20; dry_heat [J/(kg K)], 500 to
    2000, of the dry medium. Result [J/K], within 25 %. Raises ValueError out of range. Reference: mixture by
    mass.
    """
    check_range("mass of wet medium", wet_mass, 0.0, 100.0, "kg")
    check_range("water content", water_content, 0.0, 20.0, "kg/kg")
    check_range("heat of dry medium", dry_heat, 500.0, 2000.0, "J/(kg K)")
    water_share = water_content / (1.0 + water_content)
    return wet_mass * (water_share * WATER_HEAT + (1.0 - water_share) * dry_heat)


def box_heat_capacity(
    air_volume: float, foam_volume: float, foam_density: float = FOAM_DENSITY, foam_heat: float = FOAM_HEAT
) -> float:
    """Heat capacity of an empty box: its air and half of its walls.

    air_volume, foam_volume [m3], 0 to 2; foam_density [kg/m3], 5 to 3000; foam_heat [J/(kg K)], 400 to 2500.
    Result [J/K]. Raises ValueError out of range. Reference: heat stored below a straight temperature
    gradient; derived.
    """
    check_range("volume of air", air_volume, 0.0, 2.0, "m3")
    check_range("volume of foam", foam_volume, 0.0, 2.0, "m3")
    check_range("density of the wall", foam_density, 5.0, 3000.0, "kg/m3")
    check_range("heat of the wall", foam_heat, 400.0, 2500.0, "J/(kg K)")
    return air_volume * AIR_HEAT_PER_VOLUME + _FOAM_SHARE * foam_volume * foam_density * foam_heat


def contents_heat_capacity(medium: float, water_mass: float = 0.0, egg_mass: float = 0.0) -> float:
    """Heat capacity of what stands in the box.

    medium [J/K] from `medium_heat_capacity`; water_mass [kg] in bottles; egg_mass [kg]; all 0 or more. Result
    [J/K].
    Raises ValueError out of range. Reference: sum of mass times heat.
    """
    check_range("heat capacity of the medium", medium, 0.0, 1e7, "J/K")
    check_range("water in bottles", water_mass, 0.0, 500.0, "kg")
    check_range("mass of eggs", egg_mass, 0.0, 50.0, "kg")
    return medium + water_mass * WATER_HEAT + egg_mass * EGG_HEAT


def _check_box(conductance: float, heat_capacity: float) -> None:
    check_range("conductance", conductance, 1e-3, 100.0, "W/K")
    check_range("heat capacity", heat_capacity, 1.0, 1e7, "J/K")


def steady_power(conductance: float, room: float, set_point: float) -> float:
    """Power that holds the set point, without what a lid heater loses through the lid behind it.

    conductance [W/K], above 0; room, set_point [°C]. Result [W], 0 when the room is as warm. The network in
    `box_network` gives the need of a heater in its place; on a 30 mm lid it is 25 to 30 % more. Raises
    ValueError out of range.
    Reference: UA (set point - room).
    """
    check_range("conductance", conductance, 1e-3, 100.0, "W/K")
    return max(conductance * (set_point - room), 0.0)


def stuck_on_temperature(room: float, power: float, conductance: float) -> float:
    """Temperature a box settles at when its heater never switches off.

    room [°C]; power [W], 0 or more; conductance [W/K], above 0. Result [°C], within 15 % of the rise. Above
    100 °C the box fails first. Raises ValueError out of range. Reference: room + P/UA.
    """
    check_range("power", power, 0.0, 1e5, "W")
    check_range("conductance", conductance, 1e-3, 100.0, "W/K")
    return room + power / conductance


def seconds_to_reach(start: float, limit: float, settled: float, constant: float) -> float:
    """Time until a lump on its way to a settled temperature passes a limit.

    start, limit, settled [°C]; constant [s], the time constant, above 0. Result [s]; 0 when the limit is the
    start, infinite when it is never reached. Raises ValueError out of range. Reference: exponential approach,
    one lump; Incropera 5.6.
    """
    check_range("time constant", constant, 1e-3, 1e9, "s")
    if limit == start:
        return 0.0
    done = (limit - start) / (settled - start) if settled != start else -1.0
    if not 0.0 < done < 1.0:
        return math.inf
    return -constant * math.log1p(-done)


def time_constant(heat_capacity: float, conductance: float, link: float = math.inf) -> float:
    """Time in which a box loses 63 % of its warmth.

    heat_capacity [J/K] of the contents; conductance of the box [W/K]; link [W/K] between contents and air,
    infinite when both are one lump. Result [s], within 25 %. Raises ValueError out of range.
    Reference: C (1/UA + 1/G), resistances in series; derived.
    """
    _check_box(conductance, heat_capacity)
    check_range("link from contents to air", link, 1e-3, math.inf, "W/K")
    return heat_capacity * (1.0 / conductance + 1.0 / link)


def warm_up_hours(
    power: float, conductance: float, heat_capacity: float, room: float, start: float, aim: float
) -> float:
    """Hours of full power until a loaded box is warm, as one lump.

    power [W]; conductance [W/K]; heat_capacity [J/K]; room, start, aim [°C]. Result [h], infinite when the
    heater is too weak; add 1 to 2 h for the medium, which lags (judgement). Within 25 %. Raises ValueError
    out of range.
    Reference: exponential rise to room + P/UA.
    """
    _check_box(conductance, heat_capacity)
    settled = stuck_on_temperature(room, power, conductance)
    return seconds_to_reach(start, aim, settled, time_constant(heat_capacity, conductance)) / 3600.0


def cool_down_hours(
    conductance: float, heat_capacity: float, room: float, start: float, limit: float, link: float = math.inf
) -> float:
    """Hours without power until a box has cooled to a limit.

    conductance [W/K]; heat_capacity [J/K]; room, start, limit [°C]; link [W/K] between contents and air,
    infinite for one lump.
    Result [h], infinite when the room is warmer than the limit. Within 25 %. Raises ValueError out of range.
    Reference: exponential fall to the room.
    """
    constant = time_constant(heat_capacity, conductance, link)
    return seconds_to_reach(start, limit, room, constant) / 3600.0


def temperature_after(hours: float, settled: float, start: float, constant: float) -> float:
    """Temperature of a lump after some hours.

    hours [h], 0 or more; settled, start [°C]; constant [s], its time constant, above 0. Result [°C].
    Raises ValueError out of range. Reference: exponential approach.
    """
    check_range("time", hours, 0.0, 1e5, "h")
    check_range("time constant", constant, 1e-3, 1e9, "s")
    return settled + (start - settled) * math.exp(-3600.0 * hours / constant)


@dataclass(frozen=True, slots=True)
class AirAndMedium:
    """Temperatures of the air and of the medium [°C]."""

    air: float
    medium: float


@dataclass(frozen=True, slots=True)
class TwoNodeBox:
    """A box as two lumps: conductance from air to room, link from air to medium [W/K], capacities [J/K].

    air_capacity is that of the air and what follows it at once (half of the foam, empty plastic).
    """

    conductance: float
    link: float
    air_capacity: float
    medium_capacity: float


def two_node_cooling(box: TwoNodeBox, hours: float, settled: float, start: float) -> AirAndMedium:
    """Air and medium some hours after a change of heat, both starting alike.

    box: its lumps; hours [h], 0 or more; settled, start [°C]: settled is the room without power, room + P/UA
    with it (heat given to the air). Result: both temperatures. Within 25 %. Raises ValueError out of range.
    Reference: two linear balances solved by their eigenvalues; derived, agrees with the matrix exponential.
    """
    _check_box(box.conductance, box.air_capacity)
    _check_box(box.link, box.medium_capacity)
    check_range("time", hours, 0.0, 1e5, "h")
    to_room = box.conductance / box.air_capacity
    air_rate, medium_rate = box.link / box.air_capacity, box.link / box.medium_capacity
    trace, product = to_room + air_rate + medium_rate, to_room * medium_rate
    root = math.sqrt(trace * trace / 4.0 - product)
    # Small rate from the product: the plain difference would lose digits.
    fast = trace / 2.0 + root
    slow = product / fast
    seconds = 3600.0 * hours
    # Medium starts level with the air, so its first slope is zero: weights fast/(fast - slow) and -slow/(fast
    # - slow).
    slow_part = fast / (fast - slow) * math.exp(-slow * seconds)
    fast_part = slow / (fast - slow) * math.exp(-fast * seconds)
    medium = slow_part - fast_part
    air = medium + (fast * fast_part - slow * slow_part) / medium_rate
    return AirAndMedium(settled + (start - settled) * air, settled + (start - settled) * medium)


def two_node_hours(box: TwoNodeBox, settled: float, start: float, limit: float) -> float:
    """Hours until the medium of a two-lump box passes a limit.

    box: its lumps; settled, start, limit [°C]. Result [h]: 0 when limit is the start, infinite when it is
    never reached.
    Raises ValueError out of range. Reference: `two_node_cooling`, bisection to a second.
    """
    if limit == start:
        return 0.0
    if settled == start or not 0.0 < (limit - start) / (settled - start) < 1.0:
        return math.inf
    left = (limit - settled) / (start - settled)

    def share_left(hours: float) -> float:
        return two_node_cooling(box, hours, 0.0, 1.0).medium

    low, high = 0.0, 1.0
    while share_left(high) > left:
        low, high = high, 2.0 * high
    while high - low > 1.0 / 3600.0:
        middle = (low + high) / 2.0
        low, high = (middle, high) if share_left(middle) > left else (low, middle)
    return (low + high) / 2.0


def time_constant_hours_per_litre(conductance: float) -> float:
    """What each litre of warm water in bottles adds to the time constant of a box.

    conductance [W/K], above 0. Result [h/L]. Raises ValueError out of range.
    Reference: 4.18 kJ/K (0.996 kg/L is taken as 1) over UA; derived.
    """
    check_range("conductance", conductance, 1e-3, 100.0, "W/K")
    return WATER_HEAT / conductance / 3600.0


def heater_surface_rise(power: float, area: float, film: float = 10.0) -> float:
    """How much warmer than the air a free heater surface gets.

    power [W], 0 or more; area [m2] that gives off heat, above 0 (both faces when both are free); film [W/(m2
    K)], 10 for a free face, 3 to 5 under a cover or a full box. Result [K], within a third. Raises ValueError
    out of range.
    Reference: P/(h A); film coefficients derived from natural convection and radiation.
    """
    check_range("power", power, 0.0, 1e4, "W")
    check_range("heater area", area, 1e-5, 10.0, "m2")
    check_range("film coefficient", film, 0.5, 200.0, "W/(m2 K)")
    return power / (area * film)
