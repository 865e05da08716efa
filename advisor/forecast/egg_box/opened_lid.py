"""Water that one opening of an egg box costs: the moist air that rises out, and what the bare medium gives off."""

from advisor.forecast.edge import reason_of, untold
from advisor.formulas.air.moist_air import (
    NoSolution,
    saturation_pressure,
    saturation_vapour_density,
    vapour_density,
    virtual_temperature,
)
from advisor.formulas.air.vents import (
    air_share_exchanged,
    opening_exchange_flow,
    reduced_gravity,
    water_lost_at_opening,
)
from advisor.formulas.heat.convection import (
    AIR_CONDUCTIVITY,
    horizontal_plate_nusselt,
    rayleigh_number,
    vapour_transfer_coefficient,
)
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.plan import Plan

LEAST_AIR = 1e-5  # m3, over medium that fills the box; judgement
KNOWN_TO = 2.0  # factor; moving the lid stirs the air, and the opening is no small hole (nothing measured); judgement


def opening_loss(plan: Plan, index: int) -> Result:
    """Water that one check costs the egg box at a place in the plan [kg]; nothing when checks leave it shut."""
    checks, box, path = plan.checks, plan.egg_boxes[index], f"egg_boxes[{index}]"
    if checks.opens == "outer lid":
        return Figure(0.0, 0.0, 0.0, "mass", "the egg boxes stay shut")
    if not box.lid.fitted:
        return Figure(0.0, 0.0, 0.0, "mass", "an open tray has no lid to open")
    depth = 0.0 if box.medium.material == "none" else box.medium.depth
    wanted: dict[str, object] = {
        "checks.opens": checks.opens,
        "checks.lasting": checks.lasting,
        "control.set_to": plan.control.set_to,
        "room.temperature": plan.room.temperature,
        "room.humidity": plan.room.humidity,
        f"{path}.inside": box.inside,
        f"{path}.medium.depth": depth,
    }
    if lacking := untold("the checks, the room or the box are not told", wanted):
        return lacking
    size, room, humidity = box.inside, plan.room.temperature, plan.room.humidity
    temperature, seconds = plan.control.set_to, checks.lasting
    assert size is not None and room is not None and humidity is not None
    assert temperature is not None and seconds is not None and depth is not None
    outside = humidity.middle * saturation_pressure(max(room.middle, 0.0))  # in frost hardly any either way
    inside = virtual_temperature(temperature, saturation_pressure(temperature))
    around = virtual_temperature(room.middle, outside)
    area = size.floor
    volume = max(area * (size.height - depth), LEAST_AIR)
    try:
        share = air_share_exchanged(
            opening_exchange_flow(size.length, size.width, reduced_gravity(inside, around)), volume, seconds
        )
        moist, dry = saturation_vapour_density(temperature), vapour_density(outside, room.middle)
        lost = water_lost_at_opening(volume, share, moist, dry)
        width = area / size.around
        nusselt = max(horizontal_plate_nusselt(rayleigh_number(inside - around, width), True), 1.0)
        speed = vapour_transfer_coefficient(nusselt * AIR_CONDUCTIVITY / width)
    except NoSolution as error:
        return Unknown(reason_of(error))
    lost = max(lost + speed * area * (moist - dry) * seconds, 0.0)
    return Figure(
        lost,
        lost / KNOWN_TO,
        lost * KNOWN_TO,
        "mass",
        "moist air that rises out, and what the open medium gives off",
        "how long the box is open: count the seconds",
        (water_lost_at_opening,),
    )
