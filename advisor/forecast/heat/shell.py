"""The walls of the outer box as the forecast takes them: as told, or of a ready-built one within wide limits."""

from typing import cast

from msgspec.structs import replace

from advisor.formulas.heat.insulated_box import InsulatingWall, wall_named
from advisor.model.plan import OuterBox, Plan, Wall

# W/m2 K with both films: 1.5 (0.6 to 2.8), from 40 mm of foam to two shells of plastic; judgement.
_THICKNESS = 0.02  # m
_READY_BUILT = replace(
    wall_named("plastic cool box"),
    conductivity=0.05,
    conductivity_low=0.015,
    conductivity_high=0.20,
    source="judgement: from thick foam to two shells of plastic",
)


def shell(plan: Plan) -> OuterBox:
    """The outer box; of a ready-built one with a usual wall, lid and stand where nothing is told."""
    box = plan.outer_box
    if not box.ready_built:
        return box
    return replace(
        box,
        wall=Wall(box.wall.material, box.wall.thickness or _THICKNESS),
        lid_fits=box.lid_fits or "well",
        stands_on=box.stands_on or "shelf",
    )


def wall_of(plan: Plan) -> InsulatingWall:
    """What its walls are made of; of a ready-built box with a range so wide that most are in it."""
    box = plan.outer_box
    if box.ready_built and (box.wall.material is None or box.wall.thickness is None):
        return _READY_BUILT
    return wall_named(cast(str, box.wall.material))
