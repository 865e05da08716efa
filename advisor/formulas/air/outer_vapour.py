"""Water vapour in the air of the outer box, outside the egg boxes: what evaporates, leaks, passes walls and settles."""

from collections.abc import Sequence

from msgspec import Struct

from advisor.formulas.air.moist_air import (
    VAPOUR_GAS_CONSTANT,
    ZERO_CELSIUS,
    check_range,
    saturation_vapour_density,
    saturation_vapour_density_slope,
)
from advisor.formulas.heat.convection import vapour_transfer_coefficient

AIR_PERMEABILITY = 1.95e-10  # kg/(m s Pa), water vapour in still air; ISO 10456, from memory

# W/(m2 K), between surfaces of emissivity 0.95 near 28 °C: 4 x 0.95 x 5.67e-8 x 301^3 = 5.9; derived
RADIATION = 5.9
LATENT_HEAT = 2.43e6  # J/kg, at 30 °C; ASHRAE Fundamentals, from memory


class Surface(Struct, frozen=True):
    """A surface that the air touches: area [m2], temperature [°C], whether it is open water."""

    area: float
    temperature: float
    wet: bool = False


def wall_passage(shape_factor: float, resistance_factor: float, temperature: float) -> float:
    """How fast vapour passes the walls of a box, as a flow of air.

    shape_factor [m] of the walls, area over thickness with edges; resistance_factor [-], 1 or more, of their
    material over still air; temperature [°C] between box and room. Result [m3/s] per vapour density
    difference. Raises ValueError out of range.
    Reference: ISO 12572, permeability of air over the factor; ideal gas.
    """
    check_range("vapour resistance factor", resistance_factor, 1.0, 1e9, "(factor)")
    per_pressure = AIR_PERMEABILITY / resistance_factor * shape_factor
    return per_pressure * VAPOUR_GAS_CONSTANT * (temperature + ZERO_CELSIUS)


def box_vapour_density(
    surfaces: Sequence[Surface], film: float, source: float, exchange: float, room_density: float
) -> float:
    """Vapour density of the well-mixed air in the outer box.

    surfaces: those that the air touches; film [W/(m2 K)], 0 to 100, natural convection at them; source
    [kg/s], 0 or more, from the egg boxes; exchange [m3/s], above 0, of air and walls with the room;
    room_density [kg/m3]. Result [kg/m3]. Raises ValueError out of range.
    Reference: balance of vapour: what evaporates and comes in = what leaves and settles on every surface
    below the dew point. Rising and straight between the saturations, so the root is exact.
    """
    check_range("source of vapour", source, 0.0, 1.0, "kg/s")
    check_range("exchange with the room", exchange, 1e-12, 10.0, "m3/s")
    speed = vapour_transfer_coefficient(film)
    # At rising density more and more surfaces are below the dew point.
    slope, intake = exchange, source + exchange * room_density
    dry = []
    for surface in surfaces:
        saturated = saturation_vapour_density(min(max(surface.temperature, 0.0), 100.0))
        if surface.wet:
            slope += speed * surface.area
            intake += speed * surface.area * saturated
        else:
            dry.append((saturated, speed * surface.area))
    for saturated, conductance in sorted(dry):
        if intake / slope <= saturated:
            break
        slope += conductance
        intake += conductance * saturated
    return intake / slope


def settling(surfaces: Sequence[Surface], film: float, density: float) -> float:
    """Water that settles on the dry surfaces of the outer box.

    surfaces: those that the air touches; film [W/(m2 K)], 0 to 100, natural convection at them; density [kg/m3] of
    vapour in the air, from `box_vapour_density`. Result [kg/s]. Raises ValueError out of range. Reference: speed x vapour
    density difference, on every surface below the dew point.
    """
    speed = vapour_transfer_coefficient(film)
    return sum(
        speed
        * one.area
        * max(density - saturation_vapour_density(min(max(one.temperature, 0.0), 100.0)), 0.0)
        for one in surfaces
        if not one.wet
    )


def unwarmed(film: float, temperature: float) -> float:
    """The share of a heated surface's vapour that open water gives off when it has its heat from the air alone.

    film [W/(m2 K)], 0 to 100, natural convection at it; temperature [°C] of the air, 0 to 100. Result [-], 0 to 1.
    What evaporates cools the water until film and radiation bring as much heat: straight line at the temperature of the
    air. Raises ValueError out of range. Reference: balance of a wet bulb (derived).
    """
    cools = vapour_transfer_coefficient(film) * LATENT_HEAT * saturation_vapour_density_slope(temperature)
    return 1.0 / (1.0 + cools / (film + RADIATION))
