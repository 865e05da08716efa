"""How fast the air of the outer box trades its vapour with the room: by the leaks of its lid, its vents and through its walls."""

from advisor.formulas.air.outer_vapour import wall_passage
from advisor.formulas.heat.insulated_box import BoxSize, shape_factor

# 1/h, lid of the outer box that fits well or poorly; judgement
AIR_CHANGES = {"well": (0.05, 0.2, 2.0), "poorly": (0.5, 2.0, 5.0)}


def vapour_to_room(
    inside: BoxSize, wall_thickness: float, air_changes: float, resistance: float, air: float, vents: float
) -> float:
    """Exchange of vapour with the room [m3/s]: inside size, wall [m], changes of air by leaks [1/h], resistance factor of the
    wall, air [°C], air that passes vents [m3/s].
    """
    volume = inside.length * inside.width * inside.height
    walls = wall_passage(shape_factor(inside, wall_thickness), resistance, air)
    return volume * air_changes / 3600.0 + vents + walls
