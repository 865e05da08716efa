"""How fast the air of the outer box trades its vapour with the room: by the leaks of its lid and through its walls."""

from advisor.formulas.air.outer_vapour import wall_passage
from advisor.formulas.heat.insulated_box import BoxSize, shape_factor

# 1/h, lid of the outer box that fits well or poorly; judgement
AIR_CHANGES = {"well": (0.05, 0.2, 2.0), "poorly": (0.5, 2.0, 5.0)}


def vapour_to_room(
    inside: BoxSize, wall_thickness: float, air_changes: float, resistance: float, air: float
) -> float:
    """Exchange of vapour with the room [m3/s]: inside size, wall [m], changes of air [1/h], resistance factor of the wall, air [°C]."""
    volume = inside.length * inside.width * inside.height
    return volume * air_changes / 3600.0 + wall_passage(shape_factor(inside, wall_thickness), resistance, air)
