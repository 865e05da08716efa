"""What takes time: swing under the thermostat, warm-up, hours until a power cut harms the eggs."""

import math
from collections.abc import Mapping

from advisor.eggs.medium import WATER_DENSITY
from advisor.forecast.contents import contents_of
from advisor.forecast.edge import reason_of
from advisor.forecast.egg_limits import cold_limit, without_cold_limit
from advisor.forecast.heat_loss import together
from advisor.forecast.heat_setup import MISLED, HeatSetup, outer_inside
from advisor.forecast.ranges import Spread, Uncertainty, figure, propagate
from advisor.frozen import dataclass
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.plan import Plan
from advisor.model.species import Species
from advisor.physics.control import SwitchedBox, proportional_ripple, switching
from advisor.physics.foam_box import inner_area, outer_area, wall_named
from advisor.physics.transient import (
    EGG_HEAT,
    WATER_HEAT,
    TwoNodeBox,
    box_heat_capacity,
    medium_heat_capacity,
    seconds_to_reach,
    time_constant,
    two_node_hours,
)
from advisor.show import Show

LIGHT_WALL = "expanded polystyrene"  # where no material is told: it stores the least heat
BATH = Unknown("the water of the bath stores heat, and a plan does not tell how much water that is")
LONGEST = 240.0  # h; a power cut or warm-up that takes longer is told as this
# On heat capacities: mass and heat of the medium are known to 25 % (heat facts: fair).
TIME_FACTOR = (0.75, 1.0, 1.25)
# W/K from air to the medium of an egg box of 20 x 15 cm; from 2.0 W/K for four boxes (guess)
LINK_PER_BOX = 0.5
LINK_BASE = 0.03  # m2, base of that box
LINK_FACTOR = (0.5, 1.0, 2.0)  # judgement
MEDIUM_LAG = (1.0, 1.5, 2.0)  # h that the medium lags behind the air in warming; judgement
NEAR = 0.5  # K from the set point at which the box counts as warm; judgement
SENSOR_TIMES = (30.0, 60.0, 300.0)  # s, lag of the probe; judgement
LEAST_BAND = 0.05  # K, the narrowest switching band of the step-by-step model
PULSE_CYCLE = 10.0  # s, of a pulse thermostat; common practice, no source
# K, most that pulses leave: the ripple of a mat, which the medium does not feel (facts on control)
PULSED = 0.2


@dataclass(frozen=True, slots=True)
class Capacity:
    """Heat capacities [J/K] of medium with eggs, of bottles and of the box; link [W/K] from air to medium."""

    medium: float
    bottles: float
    box: float
    link: float


def has_bath(plan: Plan) -> bool:
    """Whether the heater works in water, whose heat no entry of the plan tells."""
    return plan.heat.source == "water bath" or plan.heat.place == "in water"


def heat_capacity(plan: Plan) -> Capacity | Unknown:
    """What stores heat in the box, or what the plan leaves out about it."""
    lacking: list[Unknown] = []
    if not plan.egg_boxes:
        lacking.append(Unknown("the plan has no egg boxes", ("egg_boxes",)))
    if plan.power_cut.prepared is None:
        lacking.append(
            Unknown("it is not told what stands in the box for a power cut", ("power_cut.prepared",))
        )
    if plan.power_cut.prepared == "water bottles" and plan.power_cut.water is None:
        lacking.append(Unknown("the water in the bottles is not told", ("power_cut.water",)))
    thickness = plan.outer_box.wall.thickness
    if thickness is None:
        lacking.append(Unknown("the wall thickness is not told", ("outer_box.wall.thickness",)))
    size = outer_inside(plan)
    medium = _medium_capacity(plan)
    missing = together(*lacking, *(result for result in (size, medium) if isinstance(result, Unknown)))
    if missing is not None:
        return missing
    assert not isinstance(size, Unknown) and not isinstance(medium, Unknown) and thickness is not None
    capacity, link = medium
    eggs = sum((clutch.eggs or 0) * (clutch.egg_mass or 0.0) for clutch in plan.clutches)
    bottles = (plan.power_cut.water or 0.0) * WATER_DENSITY * WATER_HEAT
    wall = wall_named(plan.outer_box.wall.material or LIGHT_WALL)
    wall_volume = (inner_area(size) + outer_area(size, thickness)) / 2 * thickness
    try:
        shell = box_heat_capacity(
            size.length * size.width * size.height, wall_volume, wall.density, wall.heat
        )
    except ValueError as error:
        return Unknown(reason_of(error))
    return Capacity(capacity + eggs * EGG_HEAT, bottles, shell, max(link, 1e-2))


def _medium_capacity(plan: Plan) -> tuple[float, float] | Unknown:
    """Heat capacity [J/K] of the wet medium in all egg boxes, and its link to the air [W/K]."""
    capacity = link = 0.0
    lacking: list[Unknown] = []
    for index, box in enumerate(plan.egg_boxes):
        if box.count is None:
            lacking.append(Unknown("the number of boxes is not told", (f"egg_boxes[{index}].count",)))
        contents = contents_of(box, f"egg_boxes[{index}]")
        if isinstance(contents, Unknown):
            lacking.append(contents)
            continue
        content = contents.water_content.typical
        wet = contents.dry_mass.typical * (1 + content)
        assert box.inside is not None
        try:
            one = medium_heat_capacity(wet, content, contents.medium.heat_capacity.typical)
        except ValueError as error:
            lacking.append(Unknown(reason_of(error)))
            continue
        capacity += (box.count or 0) * one
        link += (box.count or 0) * LINK_PER_BOX * box.inside.length * box.inside.width / LINK_BASE
    return together(*lacking) or (capacity, link)


def forecast_swing(plan: Plan, conductance: Result) -> Result:
    """Swing of the medium [K], from lowest to highest, that the thermostat's switching makes in the coldest room."""
    control = plan.control
    if control.thermostat is None:
        return Unknown("the kind of thermostat is not told", ("control.thermostat",))
    if control.thermostat == "none":
        return Unknown("there is no thermostat")
    capacity = heat_capacity(plan)
    proportional = control.thermostat in ("pulse", "dimming")
    wanted: dict[str, object] = {"heat.power": plan.heat.power}
    if not proportional:
        wanted |= {
            "control.set_to": control.set_to,
            "control.switching_band": control.switching_band,
            "control.probe.sits_in": control.probe.sits_in,
            "room.temperature": plan.room.temperature,
        }
    missing = tuple(entry for entry, value in wanted.items() if value is None)
    results: list[Result] = [Unknown("the control is not told in full", missing)] if missing else []
    results += [capacity] if isinstance(capacity, Unknown) else []
    lacking = together(*results, *([] if proportional else [conductance]))
    if lacking is not None:
        return lacking
    assert isinstance(capacity, Capacity) and plan.heat.power is not None
    if proportional:
        ripple = proportional_ripple(plan.heat.power, 0.5, PULSE_CYCLE, capacity.medium)
        basis = "a pulse or dimming thermostat: the medium hardly feels it"
        return Figure(ripple, 0.0, max(ripple, PULSED), "step", basis)
    if control.probe.sits_in in MISLED:
        return Unknown(
            f"the probe sits {MISLED[control.probe.sits_in]}: nobody can say how far the eggs swing"
        )
    if has_bath(plan):
        return BATH
    assert isinstance(conductance, Figure)
    return _on_off_swing(plan, conductance.value, capacity)


def _on_off_swing(plan: Plan, conductance: float, capacity: Capacity) -> Result:
    control, room, power = plan.control, plan.room.temperature, plan.heat.power
    assert control.set_to is not None and control.switching_band is not None
    assert room is not None and power is not None
    swings = []
    for sensor_time, factor in zip(SENSOR_TIMES, reversed(TIME_FACTOR), strict=True):
        box = SwitchedBox(
            conductance=conductance,
            medium_capacity=capacity.medium * factor,
            air_to_medium=capacity.link,
        )
        try:
            found = switching(
                box,
                "air" if control.probe.sits_in == "air" else "medium",
                power,
                room.low,
                control.set_to,
                max(control.switching_band, LEAST_BAND),
                sensor_time,
            )
        except ValueError as error:
            return Unknown(reason_of(error))
        swings.append(found.medium_high - found.medium_low)
    low, value, high = sorted(swings)
    return Figure(
        value,
        low,
        high,
        "step",
        f"step-by-step model, probe in the {'air' if control.probe.sits_in == 'air' else 'medium'}",
        "the lag of the probe: log a day in the trial run",
    )


def forecast_hours_to_harm(plan: Plan, species: Mapping[str, Species], conductance: Result) -> Result:
    """Hours without power, in the coldest room, until the medium falls to the first limit of the eggs in the plan."""
    limit = cold_limit(species.values())
    if limit is None:
        return Unknown(
            "no profile in the plan tells how cold is too cold", without_cold_limit(species.values())
        )
    if has_bath(plan):
        return BATH
    capacity = heat_capacity(plan)
    set_to, room = plan.control.set_to, plan.room.temperature
    missing = tuple(
        entry for entry, value in (("control.set_to", set_to), ("room.temperature", room)) if value is None
    )
    results: list[Result] = [capacity] if isinstance(capacity, Unknown) else []
    results += [Unknown("set point or room is not told", missing)] if missing else []
    lacking = together(*results, conductance)
    if lacking is not None:
        return lacking
    assert isinstance(capacity, Capacity) and isinstance(conductance, Figure)
    assert set_to is not None and room is not None
    basis = f"box and medium cooling to {Show(plan.units).temperature(limit.temperature)}, {limit.words}, in the coldest room"
    if set_to <= limit.temperature:
        return Figure(0.0, 0.0, 0.0, "hours", basis)

    def model(values: Mapping[str, float]) -> dict[str, float]:
        box = TwoNodeBox(
            values["conductance"],
            capacity.link * values["link"],
            capacity.box,
            (capacity.medium + capacity.bottles) * values["capacity"],
        )
        return {"hours": min(two_node_hours(box, room.low, set_to, limit.temperature), LONGEST)}

    low, typical, high = LINK_FACTOR
    inputs = (
        Uncertainty(
            "conductance", conductance.value, conductance.low, conductance.high, conductance.matters_most
        ),
        Uncertainty(
            "capacity", TIME_FACTOR[1], TIME_FACTOR[0], TIME_FACTOR[2], "the mass of the wet medium: weigh it"
        ),
        Uncertainty("link", typical, low, high, "the boxes: pull the plug once in the trial run"),
    )
    try:
        found = propagate(model, inputs)["hours"]
    except ValueError as error:
        return Unknown(reason_of(error))
    seconds = Spread(found.value * 3600, found.low * 3600, found.high * 3600, found.matters_most)
    return figure(seconds, "hours", basis, least=0.0, most=LONGEST * 3600)


def forecast_warm_up(plan: Plan, need: Spread, setup: HeatSetup) -> Result:
    """Hours at full power from the coldest room to within half a degree of the set point, medium included."""
    if has_bath(plan):
        return BATH
    capacity = heat_capacity(plan)
    missing = [] if plan.heat.power else [Unknown("the heater's power is not told", ("heat.power",))]
    lacking = together(*missing, *([capacity] if isinstance(capacity, Unknown) else []))
    if lacking is not None:
        return lacking
    assert isinstance(capacity, Capacity) and plan.heat.power is not None
    aim, room = setup.base.set_point - NEAR, setup.room_low
    if aim <= room:
        return Figure(0.0, 0.0, 0.0, "hours", "the room is as warm already")
    hours = []
    for power, factor, lag in zip((need.low, need.value, need.high), TIME_FACTOR, MEDIUM_LAG, strict=True):
        loss = max(power, 1e-3) / (setup.base.set_point - room)
        constant = time_constant((capacity.medium + capacity.bottles + capacity.box) * factor, loss)
        seconds = seconds_to_reach(room, aim, room + plan.heat.power / loss, constant)
        hours.append(min(seconds / 3600 + lag if math.isfinite(seconds) else LONGEST, LONGEST))
    low, value, high = (3600 * hour for hour in hours)
    return Figure(
        value,
        low,
        high,
        "hours",
        "box and contents warmed at full power, and the lag of the medium",
        "the mass of the wet medium: weigh it",
    )
