"""Water vapour in the air of the outer box, outside the egg boxes: what evaporates, leaks, passes walls and settles."""

from collections.abc import Sequence

from msgspec import Struct

from advisor.formulas.air.moist_air import (
    VAPOUR_GAS_CONSTANT,
    ZERO_CELSIUS,
    check_range,
    saturation_vapour_density,
)
from advisor.formulas.heat.convection import vapour_transfer_coefficient

AIR_PERMEABILITY = 1.95e-10  # kg/(m s Pa), water vapour in still air; ISO 10456, from memory


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
