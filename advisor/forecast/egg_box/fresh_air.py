"""Fresh air that comes into the outer box for the eggs to breathe: by its leaks, its vents and through bead foam."""

from advisor.forecast.heat.parts import air_through_vents, vent_factor
from advisor.forecast.heat.setup import outer_inside
from advisor.forecast.heat.shell import shell
from advisor.forecast.heat.vapour_to_room import AIR_CHANGES
from advisor.forecast.ranges import Uncertainty
from advisor.formulas.air.vents import oxygen_diffusivity
from advisor.formulas.heat.insulated_box import VAPOUR_RESISTANCE, shape_factor
from advisor.model.figures import Unknown
from advisor.model.plan import Plan

FRESH_AIR, THROUGH_FOAM = "fresh air", "through foam"
FIND_OUT = "how fast the outer box changes its air: nobody knows, so lift its lid for a moment each day in the last quarter"
# Foam of beads has pores between them, which let vapour through and so oxygen as well; how much was never found measured:
# none, half or all of what passes by its vapour resistance. Other walls count as tight; judgement.
POROUS = "expanded polystyrene"
PORES = (0.0, 0.5, 1.0)


def fresh_air_of(plan: Plan) -> tuple[Uncertainty, ...]:
    """Flows of room air that the eggs get [m3/s], to be added up; empty where size or lid of the outer box are not told."""
    size, box = outer_inside(plan), shell(plan)
    if isinstance(size, Unknown) or box.lid_fits is None:
        return ()
    volume, through = size.length * size.width * size.height, air_through_vents(plan, size)
    low, usual, high = (
        volume * leak / 3600.0 + through * vents
        for leak, vents in zip(AIR_CHANGES[box.lid_fits], vent_factor(plan.fan is not None), strict=True)
    )
    leaks = Uncertainty(FRESH_AIR, usual, low, high, FIND_OUT)
    if box.wall.material != POROUS or box.wall.thickness is None or plan.control.set_to is None:
        return (leaks,)
    passes = oxygen_diffusivity(plan.control.set_to) * shape_factor(size, box.wall.thickness)
    none, half, all_of_it = (share * passes / VAPOUR_RESISTANCE[POROUS][1] for share in PORES)
    return (leaks, Uncertainty(THROUGH_FOAM, half, none, all_of_it, FIND_OUT))
