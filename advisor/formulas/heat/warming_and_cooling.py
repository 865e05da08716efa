"""How fast a box warms and cools: stored heat, power cut, warm-up, stuck controller."""

import math
from functools import lru_cache

from msgspec import Struct

from advisor.formulas.air.moist_air import check_range
from advisor.formulas.heat.convection import AIR_HEAT_PER_VOLUME

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


def stuck_on_temperature(room: float, power: float, conductance: float) -> float:
    """Temperature a box settles at when its heater never switches off.

    room [°C]; power [W], 0 or more; conductance [W/K], above 0. Result [°C], within 15 % of the rise. Above
    100 °C the box fails first. Raises ValueError out of range. Reference: room + P/UA.
    """
    check_range("power", power, 0.0, 1e5, "W")
    check_range("conductance", conductance, 1e-3, 100.0, "W/K")
    return room + power / conductance


class ThreeNodeBox(Struct, frozen=True):
    """A box as three lumps: air with half of the walls, medium with its egg boxes and eggs, water in bottles.

    conductance from air to room, to_medium and to_bottles from the air [W/K]; capacities [J/K]. Without bottles
    to_bottles and bottle_capacity are 0. heated_bottles: the heater works in that water, as in a bath, not in the air.
    """

    conductance: float
    to_medium: float
    to_bottles: float
    air_capacity: float
    medium_capacity: float
    bottle_capacity: float
    heated_bottles: bool = False


# One point of a course: hours [h], share left of the medium.
Course = tuple[tuple[float, float], ...]

LONGEST = 240.0  # h, ten days: no course is followed longer
# A course goes in blocks of equal steps, each block with steps twice as long: a step is a seventh of the time so far at most, and
# between the points of an exponential that fades 0.2 % of the way is lost at most (x²/49 e^-x/8, x² e^-x < 0.55).
_BLOCK = 14
_FIRST = 0.07  # [-], the first step as a share of the time in which the medium follows the air, and in hours at most
_SETTLED = 1e-3  # [-], share left at which a course ends
_SMALL = 0.5  # [-], norm up to which the series of the matrix exponential is summed; ten terms leave 1e-11
_TERMS = 10

_Matrix = tuple[tuple[float, float, float], ...]
_IDENTITY: _Matrix = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


@lru_cache(maxsize=64)  # what the eggs bear and how fast it goes are asked of one and the same course
def medium_course(box: ThreeNodeBox) -> Course:
    """The share left of the medium from the change of heat until it has settled, or for ten days.

    box: its lumps, which start alike; heated water starts, or settles, as much warmer than the air as it takes to heat it.
    Result: points of hours [h] and share [-] of (settled - start) that is left, from (0, 1)
    on. Settled is the room without power, and where the box ends with the heater on for good (heat given to the air). Within
    15 %: the water keeps a box warm a little too long, by 9 to 15 % of the hours in a box computed by a 2-D finite-volume
    model (see tests/formulas/heat/test_warming_and_cooling.py). Raises ValueError out of range. Reference: three linear balances, solved by
    the matrix exponential, exact at each point; the lumps from that model (judgement).
    """
    _check_lumps(box)
    longest_first = _FIRST * min(box.medium_capacity / box.to_medium / 3600.0, 1.0)
    blocks = math.ceil(math.log2(LONGEST / (_BLOCK * longest_first) + 1.0))
    step = LONGEST / (_BLOCK * (2**blocks - 1))
    change = _propagator(box, step)
    hours, air, medium, bottles = 0.0, 1.0, 1.0, 1.0
    if box.heated_bottles:
        bottles += box.conductance / box.to_bottles
    course = [(hours, medium)]
    for _ in range(blocks):
        (aa, am, ab), (ma, mm, mb), (ba, bm, bb) = change
        for _ in range(_BLOCK):
            air, medium, bottles = (
                aa * air + am * medium + ab * bottles,
                ma * air + mm * medium + mb * bottles,
                ba * air + bm * medium + bb * bottles,
            )
            hours += step
            course.append((hours, medium))
            if medium < _SETTLED:
                return tuple(course)
        step, change = 2.0 * step, _product(change, change)
    return tuple(course)


def hours_until_share(course: Course, share: float) -> float:
    """Hours until no more than a share of the way is left.

    course: of `medium_course`; share [-], above 0. Result [h], 0 from a share of 1 on, infinite when the course does not
    get there. Reference: straight in the logarithm of the share between the points.
    """
    if share >= 1.0:
        return 0.0
    start, before = course[0]
    for end, after in course[1:]:
        if after <= share:
            part = math.log(before / share) / math.log(before / after) if after > 0.0 else 1.0
            return start + (end - start) * part
        start, before = end, after
    return math.inf


def share_after(course: Course, hours: float) -> float:
    """Share of the way that is left after some hours.

    course: of `medium_course`; hours [h], 0 or more. Result [-]; past its end that of the last point. Reference: straight
    between the points.
    """
    start, before = course[0]
    for end, after in course[1:]:
        if hours <= end:
            return before + (after - before) * (hours - start) / (end - start)
        start, before = end, after
    return before


def _check_lumps(box: ThreeNodeBox) -> None:
    check_range("conductance", box.conductance, 1e-3, 100.0, "W/K")
    check_range("heat capacity", box.air_capacity, 1.0, 1e7, "J/K")
    check_range("heat capacity of the medium", box.medium_capacity, 1.0, 1e7, "J/K")
    check_range("heat capacity of the bottles", box.bottle_capacity, 0.0, 1e7, "J/K")
    check_range("link to the medium", box.to_medium, 1e-3, 1e4, "W/K")
    check_range("link to the bottles", box.to_bottles, 0.0, 1e4, "W/K")


def _propagator(box: ThreeNodeBox, hours: float) -> _Matrix:
    """The matrix that carries the shares of air, medium and bottles over a time: exp(A t), by scaling and squaring."""
    seconds = 3600.0 * hours
    wet = box.to_bottles if box.bottle_capacity > 0.0 else 0.0
    out = (box.conductance + box.to_medium + wet) / box.air_capacity * seconds
    to_medium = box.to_medium / box.medium_capacity * seconds
    to_bottles = wet / box.bottle_capacity * seconds if wet else 0.0
    halvings = max(0, math.ceil(math.log2(2.0 * max(out, to_medium, to_bottles, 1e-12) / _SMALL)))
    scale = 0.5**halvings
    change: _Matrix = (
        (
            -out * scale,
            box.to_medium / box.air_capacity * seconds * scale,
            wet / box.air_capacity * seconds * scale,
        ),
        (to_medium * scale, -to_medium * scale, 0.0),
        (to_bottles * scale, 0.0, -to_bottles * scale),
    )
    total = _IDENTITY
    for term in range(_TERMS, 0, -1):
        total = _sum(_IDENTITY, _product(change, total), 1.0 / term)
    for _ in range(halvings):
        total = _product(total, total)
    return total


def _product(one: _Matrix, other: _Matrix) -> _Matrix:
    (a, b, c), (d, e, f), (g, h, i) = other
    (k, m, n), (o, p, q), (r, s, t) = one
    return (
        (k * a + m * d + n * g, k * b + m * e + n * h, k * c + m * f + n * i),
        (o * a + p * d + q * g, o * b + p * e + q * h, o * c + p * f + q * i),
        (r * a + s * d + t * g, r * b + s * e + t * h, r * c + s * f + t * i),
    )


def _sum(one: _Matrix, other: _Matrix, factor: float) -> _Matrix:
    return tuple(
        (a + factor * d, b + factor * e, c + factor * f)
        for (a, b, c), (d, e, f) in zip(one, other, strict=True)
    )
