"""What the outer box has besides walls: doors and windows, vents, a fan, as the heat physics takes them."""

from typing import Any, cast

from advisor.forecast.heat.shell import shell
from advisor.formulas.heat.box_setup import UNCERTAIN_RANGES, OpenHoles
from advisor.formulas.heat.fresh_air import vents_flow
from advisor.formulas.heat.glazing import part_resistance
from advisor.formulas.heat.insulated_box import BoxSize, Pane
from advisor.model.figures import Figure
from advisor.model.plan import Part, Plan

# m/s that a fan moves the air of a box, while it runs: low, typical, high; judgement
STIRRED = (0.1, 0.3, 1.0)
# The same over time, of a fan that runs with the heater: half of the time, or from hardly ever to nearly always.
AT_TIMES = (0.0, STIRRED[1] / 2, STIRRED[2])
DRAUGHTY = 3.0  # times that a fan drives more air through vents, at most; judgement
_VENT_RANGE = next(entry for entry in UNCERTAIN_RANGES if entry.name == "vent_factor")


def side_of(part: Part, size: BoxSize) -> float:
    """Inner area [m2] of the side that a door or window is in; front and back are the longer sides."""
    long, short = max(size.length, size.width), min(size.length, size.width)
    if part.side == "lid":
        return long * short
    return (long if part.side in ("front", "back") else short) * size.height


def panes_of(plan: Plan, size: BoxSize) -> tuple[Pane, ...]:
    """Doors and windows of a box of that inside; raises NoSolution for double glass without room for air."""
    return tuple(
        Pane(
            part.side == "lid",
            part.share * side_of(part, size),
            part_resistance(part.material, part.thickness),
        )
        for part in plan.outer_box.parts
    )


def vents_of(plan: Plan) -> OpenHoles | None:
    """The vents as the heat physics takes them; None without any."""
    told = plan.outer_box.vents
    return None if told is None else OpenHoles(told.count, told.diameter, cast(Any, told.where))


def air_speed(plan: Plan) -> tuple[float, float, float]:
    """Speed of the air in the box [m/s]: low, typical, high; all 0 without a fan."""
    if plan.fan is None:
        return 0.0, 0.0, 0.0
    return STIRRED if plan.fan.runs == "always" else AT_TIMES


def fan_always(plan: Plan) -> float:
    """Heat of a fan that always runs [W]."""
    return plan.fan.power if plan.fan is not None and plan.fan.runs == "always" else 0.0


def fan_with_heater(plan: Plan) -> float:
    """Power of a fan that runs with the heater, over that of the heater [-]; 0 where the heater's is not told."""
    if plan.fan is None or plan.fan.runs == "always" or not plan.heat.power:
        return 0.0
    return plan.fan.power / plan.heat.power


def full_power(plan: Plan) -> float | None:
    """Heat of the box while the heater is on, with that of its fan [W]; None where the heater's is not told."""
    power = plan.heat.power
    return power if power is None or plan.fan is None else power + plan.fan.power


def at_full_power(plan: Plan) -> dict[str, float]:
    """Uncertain inputs that differ while the heater never stops: a fan that runs with it then never stops either."""
    return {} if plan.fan is None else {"air_speed": STIRRED[1]}


def with_fan(plan: Plan, watts: float) -> float:
    """All heat of the box [W] while the heater gives some watts in the mean: with that of the fan."""
    return watts * (1.0 + fan_with_heater(plan)) + fan_always(plan)


def of_full_power(plan: Plan, share: float) -> float:
    """All heat of the box over its heat at full power, where the heater is on for a share of the time [-]."""
    power, full = plan.heat.power, full_power(plan)
    return with_fan(plan, share * power) / full if power and full else share


def heater_alone(plan: Plan, watts: float) -> float:
    """What the heater gives [W] of all heat of the box."""
    return (watts - fan_always(plan)) / (1.0 + fan_with_heater(plan))


def warmed_by_fan(plan: Plan, loss: Figure) -> float:
    """How much a fan that always runs warms the box over its room [K]."""
    return fan_always(plan) / loss.value


def cooling_needed(plan: Plan, loss: Figure) -> Figure | None:
    """Heat [W] to take out of the box at its set point in the warmest room; None where the plan tells too little of them."""
    room, set_to = plan.room.temperature, plan.control.coldest
    if room is None or set_to is None:
        return None
    gap, fan = max(room.high - set_to, 0.0), fan_always(plan)
    value, low, high = (gap * one + fan for one in (loss.value, loss.low, loss.high))
    return Figure(value, low, high, "power", "heat that comes in from the warmest room, and that of the fan")


def vent_factor(stirred: bool) -> tuple[float, float, float]:
    """Factor on the flow through vents: low, typical, high; a fan may drive more through them."""
    return _VENT_RANGE.low, 1.0, DRAUGHTY if stirred else _VENT_RANGE.high


def air_through_vents(plan: Plan, size: BoxSize) -> float:
    """Room air that passes a box of that inside through its vents, at the set point in the coldest room [m3/s].

    0 without vents, and where the plan tells too little of the two.
    """
    vents, set_to, room = vents_of(plan), plan.control.set_to, plan.room.temperature
    if vents is None or set_to is None or room is None:
        return 0.0
    return vents_flow(vents, size.height, shell(plan).wall.thickness or 0.0, set_to, room.low)
