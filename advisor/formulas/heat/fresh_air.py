"""Room air that passes an outer box through its vents."""

import math

from advisor.formulas.air.moist_air import ZERO_CELSIUS, check_range
from advisor.formulas.air.vents import hole_exchange_flow, reduced_gravity, stack_flow
from advisor.formulas.heat.box_setup import BoxSetup, OpenHoles

_APART = 0.8  # of the inner height, between vents near the lid and near the floor; judgement
_DEEPEST = 0.05  # m, deepest hole that the formulas take; a deeper one lets through less


def vents_flow(vents: OpenHoles, height: float, wall_thickness: float, inside: float, room: float) -> float:
    """Room air that comes in through open holes, and as much warm air that leaves.

    vents: number, at each height where they are at two, diameter [m], where; height [m]: inner, of the box; wall_thickness
    [m]; inside, room [°C], 0 to 60. Result [m3/s], to a factor of 2, without wind. Raises ValueError out of range.
    Reference: at two heights `stack_flow`; at one height every hole for itself, `hole_exchange_flow`.
    """
    for name, value in (("temperature inside", inside), ("room temperature", room)):
        check_range(name, value, -20.0, 200.0, "°C")
    warm, cool = max(inside, room) + ZERO_CELSIUS, min(inside, room) + ZERO_CELSIUS
    buoyancy = reduced_gravity(warm, cool)
    if vents.where == "high and low":
        area = vents.count * math.pi * vents.diameter**2 / 4.0
        return stack_flow(area, area, _APART * height, buoyancy)
    depth = min(wall_thickness, _DEEPEST)
    return vents.count * hole_exchange_flow(vents.diameter, depth, buoyancy, in_wall=vents.where == "low")


def fresh_air(setup: BoxSetup) -> float:
    """Room air that passes a box through its vents, with heat and vapour alike.

    setup: the box. Result [m3/s], 0 without vents. Raises ValueError out of range. Reference: `vents_flow` at the set point.
    """
    if setup.vents is None:
        return 0.0
    thickness = setup.wall_thickness * setup.uncertain.thickness_factor
    flow = vents_flow(setup.vents, setup.inside.height, thickness, setup.set_point, setup.room)
    return setup.uncertain.vent_factor * flow
