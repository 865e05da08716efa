"""Soft eggs in a box without anything wet: what they lose through the lid by hatching."""

from collections.abc import Mapping

from msgspec.structs import replace

from advisor.constants import DAY
from advisor.forecast.edge import reason_of
from advisor.forecast.egg_box.eggs import BoxLoad
from advisor.forecast.egg_box.vents import BoxVents, vents_of
from advisor.forecast.ranges import Uncertainty, figure, propagate
from advisor.formulas.air.moist_air import NoSolution, saturation_pressure, vapour_density, vapour_diffusivity
from advisor.formulas.air.vents import vents_conductance
from advisor.model.figures import Result, Unknown
from advisor.model.plan import Plan


def room_air_in_the_box(plan: Plan) -> float | None:
    """Relative humidity [-] of the room's usual air once it is as warm as the set point; None where that is not told."""
    room, humidity, set_to = plan.room.temperature, plan.room.humidity, plan.control.set_to
    if room is None or humidity is None or set_to is None:
        return None
    outside = humidity.middle * saturation_pressure(max(room.middle, 0.0))
    return min(outside / saturation_pressure(set_to), 1.0)


def bare_egg_loss(plan: Plan, index: int, load: BoxLoad | Unknown) -> Result:
    """Share of their mass [-] that eggs lose by hatching in the box at a place in the plan, when nothing in it is wet.

    The air in the box is taken as full of vapour: a soft shell hardly holds it back, so the lid alone decides. The
    loss is so the most that can go, and it slows down once the eggs have dried.
    """
    vents, around = vents_of(plan, index), room_air_in_the_box(plan)
    missing = [need for part in (vents, load) if isinstance(part, Unknown) for need in part.needs]
    missing += [f"room.{name}" for name in ("temperature", "humidity") if getattr(plan.room, name) is None]
    if isinstance(load, Unknown) and not load.needs:
        return load
    if missing:
        return Unknown("lid, room or eggs are not told", tuple(dict.fromkeys(missing)))
    assert isinstance(vents, BoxVents) and isinstance(load, BoxLoad) and around is not None
    full = saturation_pressure(load.temperature)

    def model(values: Mapping[str, float]) -> dict[str, float]:
        drier = vapour_density(full * (1.0 - values["humidity"]), load.temperature)
        flow = vents.flow(values, vapour_diffusivity(load.temperature, vents.pressure))
        lost = flow * drier + vents.wall_permeance * full * (1.0 - values["humidity"])
        return {"share": lost * values["days"] * DAY / (load.eggs * load.egg_mass)}

    inputs = (
        *(replace(one, find_out="the fit of the lid: a tight one keeps more in") for one in vents.inputs),
        Uncertainty(
            "humidity",
            around,
            around * 0.8,
            min(around * 1.2, 1.0),
            "the air round the egg boxes: nobody can tell before",
        ),
        Uncertainty(
            "days",
            load.days.typical,
            load.days.low,
            load.days.high,
            "the day of hatching: nobody knows it before",
        ),
    )
    try:
        found = propagate(model, inputs)["share"]
        return figure(found, "share", "vapour that passes holes, rim and walls", vents_conductance, least=0.0)
    except NoSolution as error:
        return Unknown(reason_of(error))
