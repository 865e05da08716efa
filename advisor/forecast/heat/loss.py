"""Heat loss of the outer box, and where the box ends when the heater never switches off."""

from collections.abc import Mapping

from advisor.forecast.edge import reason_of, together, untold
from advisor.forecast.heat.parts import air_through_vents, full_power, panes_of, vent_factor
from advisor.forecast.heat.setup import FIND_OUT, WATCH_IT, missing_for_box, outer_inside
from advisor.forecast.heat.shell import shell, wall_of
from advisor.forecast.ranges import Spread, Uncertainty, asking, figure, propagate, widened
from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.heat.box_setup import UNCERTAIN_RANGES, Uncertain
from advisor.formulas.heat.convection import AIR_HEAT_PER_VOLUME
from advisor.formulas.heat.insulated_box import box_conductance, leakage_conductance
from advisor.formulas.heat.warming_and_cooling import stuck_on_temperature
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.plan import Plan

POWER_ERROR = 0.15  # share, on the rise of a stuck-on box that is known by its heat loss alone; judgement
LOSS_INPUTS = ("thickness_factor", "surface_resistance_factor", "air_changes")


def forecast_conductance(plan: Plan) -> Result:
    """Heat loss of the outer box for each degree [W/K]: Langmuir edges and corners, ISO 6946 surfaces, leaks."""
    missing = (*missing_for_box(plan), *_missing_for_vents(plan))
    if missing:
        return Unknown("the plan leaves out what the heat loss needs", missing)
    size = outer_inside(plan)
    if isinstance(size, Unknown):
        return size
    box = shell(plan)
    try:
        panes = panes_of(plan, size)
        through = AIR_HEAT_PER_VOLUME * air_through_vents(plan, size)
    except NoSolution as error:
        return Unknown(reason_of(error))
    thickness, wall = box.wall.thickness, wall_of(plan)
    assert thickness is not None

    def model(values: Mapping[str, float]) -> dict[str, float]:
        loss = box_conductance(
            size,
            thickness * values["thickness_factor"],
            values["wall_conductivity"],
            str(box.stands_on),
            str(box.lid_fits),
            values["surface_resistance_factor"],
            panes,
        )
        volume = size.length * size.width * size.height
        leaks = leakage_conductance(volume, values["air_changes"])
        return {"conductance": loss + leaks + through * values.get("vent_factor", 1.0)}

    typical = Uncertain()
    inputs = [
        Uncertainty(
            "wall_conductivity",
            wall.conductivity,
            wall.conductivity_low,
            wall.conductivity_high,
            FIND_OUT["wall_conductivity"],
        ),
        *(
            Uncertainty(entry.name, getattr(typical, entry.name), entry.low, entry.high, FIND_OUT[entry.name])
            for entry in UNCERTAIN_RANGES
            if entry.name in LOSS_INPUTS
        ),
    ]
    if through:
        low, usual, high = vent_factor(plan.fan is not None)
        inputs.append(Uncertainty("vent_factor", usual, low, high, FIND_OUT["vent_factor"]))
    try:
        spread = propagate(model, inputs)["conductance"]
    except NoSolution as error:
        return Unknown(reason_of(error))
    basis = "heat that passes the walls, edges and corners in a still room"
    return figure(asking(spread, WATCH_IT), "conductance", basis, box_conductance)


def _missing_for_vents(plan: Plan) -> tuple[str, ...]:
    """What the flow through vents hangs on and the plan leaves out."""
    wanted = {"control.set_to": plan.control.set_to, "room.temperature": plan.room.temperature}
    return tuple(entry for entry, value in wanted.items() if value is None) if plan.outer_box.vents else ()


def stuck_on_by_loss(plan: Plan, conductance: Result) -> Result:
    """Where the box ends with the heater on for good, in the warmest room, by room + P/UA: for want of the network."""
    power, room = full_power(plan), plan.room.temperature
    wanted = {"heat.power": power, "room.temperature": room}
    lacking = together(conductance, untold("power or room is not told", wanted))
    if lacking is not None:
        return lacking
    assert isinstance(conductance, Figure) and power is not None and room is not None
    low, value, high = (
        stuck_on_temperature(room.high, power, loss)
        for loss in (conductance.high, conductance.value, conductance.low)
    )
    error = POWER_ERROR * (value - room.high)
    spread = widened(Spread(value, low, high, conductance.matters_most), error, error)
    return figure(spread, "temperature", "warmest room plus power over heat loss", stuck_on_temperature)
