"""Heat forecast of one plan: heat loss, power, temperatures of boxes and lids, swing, stuck heater, power cut."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from advisor.eggs.medium import WATER_DENSITY
from advisor.forecast.contents import contents_of
from advisor.forecast.heat_setup import (
    HeatSetup,
    heat_setup,
    missing_for_box,
    outer_inside,
)
from advisor.forecast.ranges import Spread, Uncertainty, figure, propagate
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import HeatForecast, unknown_fields
from advisor.model.plan import Plan
from advisor.model.species import Species
from advisor.physics.box_network import BoxState, NoSteadyState, state_at_power, state_at_set_point
from advisor.physics.box_setup import UNCERTAIN_RANGES
from advisor.physics.control import NeverSwitches, SwitchedBox, proportional_ripple, switching
from advisor.physics.foam_box import (
    box_conductance,
    inner_area,
    leakage_conductance,
    outer_area,
    wall_named,
)
from advisor.physics.transient import (
    EGG_HEAT,
    TwoNodeBox,
    box_heat_capacity,
    medium_heat_capacity,
    seconds_to_reach,
    stuck_on_temperature,
    time_constant,
    two_node_hours,
)

LONGEST = 240.0  # h; a power cut or warm-up that takes longer is told as this
TIME_FACTOR = (
    0.75,
    1.0,
    1.25,
)  # on heat capacities: mass and heat of the medium are known to 25 % (facts: fair)
LINK_PER_BOX = (
    0.5  # W/K from air to the medium of an egg box of 20 x 15 cm; from 2.0 W/K for four boxes (guess)
)
LINK_BASE = 0.03  # m2, base of that box
LINK_FACTOR = (0.5, 1.0, 2.0)  # judgement
MEDIUM_LAG = (1.0, 1.5, 2.0)  # h that the medium lags behind the air in warming; judgement
NEAR = 0.5  # K from the set point at which the box counts as warm
SENSOR_TIMES = (30.0, 60.0, 300.0)  # s, lag of the probe; judgement
PULSE_CYCLE = 10.0  # s; heater mat of 300 J/K smooths the pulses, the medium does not feel them; guess
SIDE_TO_SIDE = (0.0, 0.4, 1.0)  # K between boxes of one layer, corners coldest; common practice, no source
HOTTEST = 200.0  # °C; above this a heater is told as this


@dataclass(frozen=True, slots=True)
class TierForecast:
    """One layer of egg boxes: lid minus medium [K], condensation [kg/s a box], medium temperature [°C]."""

    lid_minus_medium: Result
    condensation: Result
    condensation_if_lid_heated: Result
    medium_temperature: Result


@dataclass(frozen=True, slots=True)
class HeatResults:
    """The heat forecast with its layers; `upper` is None when the boxes stand in one layer."""

    heat: HeatForecast
    lower: TierForecast
    upper: TierForecast | None


def forecast_heat(plan: Plan, species: Mapping[str, Species]) -> HeatResults:
    """The heat forecast for a plan; what cannot be computed is an `Unknown` with its reason."""
    conductance = forecast_conductance(plan)
    setup = heat_setup(plan)
    if isinstance(setup, Unknown):
        return _without_network(plan, conductance, setup)
    try:
        typical = state_at_set_point(setup.at({}, setup.room_low))
        spreads = propagate(lambda values: _network_results(setup, values, typical), setup.inputs)
    except (NoSteadyState, ValueError) as error:
        return _without_network(plan, conductance, Unknown(_sentence(str(error))))
    heat = HeatForecast(
        conductance=conductance,
        watts_needed=figure(spreads["power"], "power", "steady network, coldest room", least=0.0),
        power_share=_power_share(plan, spreads["power"]),
        stuck_on_temperature=_stuck_on(plan, conductance),
        heater_surface=figure(spreads["heater"], "temperature", "steady network, coldest room"),
        heater_surface_full=_full_power_surface(plan, setup),
        spread=_spread(spreads, typical),
        swing=_swing(plan, setup, conductance),
        hours_to_harm=_hours_to_harm(plan, species, conductance),
        warm_up_hours=_warm_up(plan, spreads["power"], setup),
    )
    twin = _lid_heated_twin(setup)
    lower = _tier(spreads, "lower", setup, twin)
    return HeatResults(heat, lower, _tier(spreads, "upper", setup, twin) if typical.upper else None)


def _sentence(text: str) -> str:
    return text[:1].lower() + text[1:].rstrip(".")


def _without_network(plan: Plan, conductance: Result, why: Unknown) -> HeatResults:
    fields = unknown_fields(HeatForecast, why)
    fields["conductance"] = conductance
    fields["stuck_on_temperature"] = _stuck_on(plan, conductance)
    tier = TierForecast(why, why, why, why)
    return HeatResults(HeatForecast(**fields), tier, None)


def forecast_conductance(plan: Plan) -> Result:
    """Heat loss of the outer box for each degree [W/K]: Langmuir edges and corners, ISO 6946 surfaces, leaks."""
    missing = missing_for_box(plan)
    size = outer_inside(plan)
    if isinstance(size, Unknown):
        return Unknown(size.reason, missing or size.needs)
    if missing:
        return Unknown("the plan leaves out what the heat loss needs", missing)
    box = plan.outer_box
    thickness, wall = box.wall.thickness, wall_named(str(box.wall.material))
    assert thickness is not None
    ranges = {entry.name: entry for entry in UNCERTAIN_RANGES}

    def model(values: Mapping[str, float]) -> dict[str, float]:
        loss = box_conductance(
            size,
            thickness * values["thickness_factor"],
            values["wall_conductivity"],
            str(box.stands_on),
            str(box.lid_fits),
            values["surface_resistance_factor"],
        )
        volume = size.length * size.width * size.height
        return {"conductance": loss + leakage_conductance(volume, values["air_changes"])}

    from advisor.forecast.heat_setup import FIND_OUT

    inputs = [
        Uncertainty(
            "wall_conductivity",
            wall.conductivity,
            wall.conductivity_low,
            wall.conductivity_high,
            FIND_OUT["wall_conductivity"],
        ),
        *(
            Uncertainty(
                name,
                0.2 if name == "air_changes" else 1.0,
                ranges[name].low,
                ranges[name].high,
                FIND_OUT[name],
            )
            for name in ("thickness_factor", "surface_resistance_factor", "air_changes")
        ),
    ]
    try:
        spread = propagate(model, inputs)["conductance"]
    except ValueError as error:
        return Unknown(_sentence(str(error)))
    return figure(spread, "conductance", "conduction with edges and corners, still air on both sides")


def _network_results(setup: HeatSetup, values: Mapping[str, float], start: BoxState) -> dict[str, float]:
    try:
        state = state_at_set_point(setup.at(values, setup.room_low), start)
    except NoSteadyState as error:
        raise ValueError(str(error)) from error
    results = {"power": state.power, "heater": state.heater}
    for name, tier in (("lower", state.lower), ("upper", state.upper)):
        if tier is not None:
            results[f"{name} medium"] = tier.medium
            results[f"{name} lid"] = tier.lid_minus_medium
            results[f"{name} water"] = tier.condensation_per_box
    if state.spread is not None:
        results["spread"] = state.spread
    return results


def _power_share(plan: Plan, power: Spread) -> Result:
    if plan.heat.power is None:
        return Unknown("the heater's power is not told", ("heat.power",))
    has = plan.heat.power
    return Figure(
        power.value / has,
        max(power.low, 0.0) / has,
        power.high / has,
        "share",
        "power needed in the coldest room over the heater's power",
        power.matters_most,
    )


def _stuck_on(plan: Plan, conductance: Result) -> Result:
    """Where the box ends with the heater on for good, in the warmest room: room + P/UA."""
    missing = [
        entry
        for entry, value in (("heat.power", plan.heat.power), ("room.temperature", plan.room.temperature))
        if value is None
    ]
    if isinstance(conductance, Unknown):
        return Unknown(conductance.reason, (*conductance.needs, *missing))
    if missing:
        return Unknown("power or room is not told", tuple(missing))
    power, room = plan.heat.power, plan.room.temperature
    assert power is not None and room is not None
    low, value, high = (
        stuck_on_temperature(room.high, power, loss)
        for loss in (conductance.high, conductance.value, conductance.low)
    )
    return Figure(
        value, low, high, "temperature", "warmest room plus power over heat loss", conductance.matters_most
    )


def _full_power_surface(plan: Plan, setup: HeatSetup) -> Result:
    if plan.heat.power is None:
        return Unknown("the heater's power is not told", ("heat.power",))
    basis = "steady network, heater on for good in the warmest room"
    try:
        state = state_at_power(setup.at({}, setup.room_high), plan.heat.power)
    except NoSteadyState:
        return Figure(HOTTEST, HOTTEST, HOTTEST, "temperature", f"{basis}: hotter than the formulas reach")
    except ValueError as error:
        return Unknown(_sentence(str(error)))
    rise = state.heater - setup.room_high
    # ±15 % of the rise: stuck-on temperatures are known no better (facts: fair).
    return Figure(state.heater, state.heater - 0.15 * rise, state.heater + 0.15 * rise, "temperature", basis)


def _spread(spreads: Mapping[str, Spread], typical: BoxState) -> Result:
    """Between the layers when there are two; side to side within one layer, which the network does not resolve."""
    low, middle, high = SIDE_TO_SIDE
    if typical.spread is None:
        return Figure(
            middle, low, high, "step", "boxes in one layer: corners run colder (common practice, no source)"
        )
    sign = 1.0 if spreads["spread"].value >= 0 else -1.0
    found = spreads["spread"]
    ends = sorted((sign * found.low, sign * found.high))
    return Figure(
        sign * found.value,
        max(ends[0], 0.0),
        ends[1],
        "step",
        "steady network, upper against lower layer, coldest room",
        found.matters_most,
    )


def _tier(
    spreads: Mapping[str, Spread], name: str, setup: HeatSetup, twin: Mapping[str, float] | None
) -> TierForecast:
    basis = "steady network, coldest room"
    water = spreads[f"{name} water"]
    # A computed condensation is good to a factor of two (facts: fair), whatever the inputs say.
    wide = replace(water, low=min(water.low, water.value / 2), high=max(water.high, water.value * 2))
    medium = spreads[f"{name} medium"]
    if twin is None:
        lid_heated: Result = Unknown("the heat comes from the lid already")
    elif f"{name} water" in twin:
        value = twin[f"{name} water"]
        lid_heated = Figure(value, value / 2, value * 2, "mass per day", "the same box heated from the lid")
    else:
        lid_heated = Unknown("the same box heated from the lid has no steady state")
    return TierForecast(
        lid_minus_medium=figure(spreads[f"{name} lid"], "step", basis),
        condensation=figure(wide, "mass per day", basis, least=0.0),
        condensation_if_lid_heated=lid_heated,
        medium_temperature=figure(medium, "temperature", basis),
    )


def _lid_heated_twin(setup: HeatSetup) -> dict[str, float] | None:
    """The same box with a mat of the same area on its lid and the boxes on a rack; None when it is that already."""
    if setup.base.heat_place == "lid":
        return None
    size = setup.base.inside
    area = min(setup.base.heater_area, size.length * size.width)
    base = replace(
        setup.base, heat_place="lid", heat_source="mat", boxes_stand="on a rack", heater_area=max(area, 0.02)
    )
    try:
        state = state_at_set_point(replace(base, room=setup.room_low))
    except (NoSteadyState, ValueError):
        return {}
    results = {"lower water": state.lower.condensation_per_box}
    if state.upper is not None:
        results["upper water"] = state.upper.condensation_per_box
    return results


def _swing(plan: Plan, setup: HeatSetup, conductance: Result) -> Result:
    """Swing of the medium, from lowest to highest, that the thermostat's switching makes."""
    control = plan.control
    if control.thermostat is None:
        return Unknown("the kind of thermostat is not told", ("control.thermostat",))
    if control.thermostat == "none":
        return Unknown("there is no thermostat")
    if plan.heat.power is None:
        return Unknown("the heater's power is not told", ("heat.power",))
    capacity = _heat_capacity(plan)
    if isinstance(capacity, Unknown):
        return capacity
    if control.thermostat in ("pulse", "dimming"):
        ripple = proportional_ripple(plan.heat.power, 0.5, PULSE_CYCLE, capacity.medium)
        return Figure(
            ripple, 0.0, max(ripple, 0.2), "step", "proportional control: the medium hardly feels it"
        )
    if control.switching_band is None:
        return Unknown("the switching band is not told", ("control.switching_band",))
    if isinstance(conductance, Unknown):
        return conductance
    room = setup.room_low
    assert control.set_to is not None
    probe = "air" if control.probe.sits_in == "air" else "medium"
    band = max(control.switching_band, 0.05)
    swings = []
    for sensor_time, factor in zip(SENSOR_TIMES, reversed(TIME_FACTOR), strict=True):
        box = SwitchedBox(
            conductance=conductance.value,
            medium_capacity=capacity.medium * factor,
            air_to_medium=capacity.link,
        )
        try:
            found = switching(
                box,
                "air" if probe == "air" else "medium",
                plan.heat.power,
                room,
                control.set_to,
                band,
                sensor_time,
            )
        except NeverSwitches as error:
            return Unknown(_sentence(str(error)))
        except ValueError as error:
            return Unknown(_sentence(str(error)))
        swings.append(found.medium_high - found.medium_low)
    low, value, high = sorted(swings)
    return Figure(
        value,
        low,
        high,
        "step",
        f"step-by-step model, probe in the {probe}",
        "the lag of the probe: log a day in the trial run",
    )


@dataclass(frozen=True, slots=True)
class _Capacity:
    """Heat capacities [J/K] of medium with bottles and eggs, and of the box; link [W/K] from air to medium."""

    medium: float
    box: float
    link: float


def _heat_capacity(plan: Plan) -> _Capacity | Unknown:
    if not plan.egg_boxes:
        return Unknown("the plan has no egg boxes", ("egg_boxes",))
    if plan.power_cut.prepared is None:
        return Unknown("it is not told what stands in the box for a power cut", ("power_cut.prepared",))
    if plan.power_cut.prepared == "water bottles" and plan.power_cut.water is None:
        return Unknown("the water in the bottles is not told", ("power_cut.water",))
    size = outer_inside(plan)
    if isinstance(size, Unknown):
        return size
    medium = link = 0.0
    for index, box in enumerate(plan.egg_boxes):
        contents = contents_of(box, f"egg_boxes[{index}]")
        if isinstance(contents, Unknown):
            return contents
        if box.count is None or box.inside is None:
            return Unknown("the number of boxes is not told", (f"egg_boxes[{index}].count",))
        content = contents.water_content.typical
        wet = contents.dry_mass.typical * (1 + content)
        try:
            medium += box.count * medium_heat_capacity(wet, content, contents.medium.heat_capacity.typical)
        except ValueError as error:
            return Unknown(_sentence(str(error)))
        link += box.count * LINK_PER_BOX * box.inside.length * box.inside.width / LINK_BASE
    for clutch in plan.clutches:
        medium += (clutch.eggs or 0) * (clutch.egg_mass or 0.0) * EGG_HEAT
    bottles = (plan.power_cut.water or 0.0) * WATER_DENSITY * 4180.0
    thickness = plan.outer_box.wall.thickness or 0.0
    wall_volume = (inner_area(size) + outer_area(size, thickness)) / 2 * thickness if thickness else 0.0
    try:
        shell = box_heat_capacity(size.length * size.width * size.height, wall_volume)
    except ValueError as error:
        return Unknown(_sentence(str(error)))
    return _Capacity(medium + bottles, shell, max(link, 1e-2))


def cold_limit(species: Mapping[str, Species]) -> tuple[float, str] | Unknown:
    """The highest temperature [°C] below which eggs of any species in the plan come to harm, and in which words."""
    limits: list[tuple[float, str]] = []
    for profile in species.values():
        if profile.harmful is not None and profile.harmful.below is not None:
            limits.append((profile.harmful.below, f"harmful to {profile.name} eggs"))
        elif profile.tolerated is not None:
            limits.append((profile.tolerated.low, f"the end of what {profile.name} eggs tolerate"))
        else:
            return Unknown(
                f"no lower limit is known for {profile.name}",
                (f"species/{profile.id}.yaml: temperature.harmful",),
            )
    return max(limits)


def _hours_to_harm(plan: Plan, species: Mapping[str, Species], conductance: Result) -> Result:
    """Hours without power, in the coldest room, until the medium falls to the harmful limit."""
    limit = cold_limit(species)
    if isinstance(limit, Unknown):
        return limit
    capacity = _heat_capacity(plan)
    if isinstance(capacity, Unknown):
        return capacity
    if isinstance(conductance, Unknown):
        return conductance
    set_to, room = plan.control.set_to, plan.room.temperature
    if set_to is None or room is None:
        missing = [
            entry
            for entry, value in (("control.set_to", set_to), ("room.temperature", room))
            if value is None
        ]
        return Unknown("set point or room is not told", tuple(missing))
    basis = f"two lumps cooling to {limit[0]:g} °C, {limit[1]}, in the coldest room"
    if set_to <= limit[0]:
        return Figure(0.0, 0.0, 0.0, "hours", basis)

    def model(values: Mapping[str, float]) -> dict[str, float]:
        box = TwoNodeBox(
            values["conductance"],
            capacity.link * values["link"],
            capacity.box,
            capacity.medium * values["capacity"],
        )
        hours = two_node_hours(box, room.low, set_to, limit[0])
        return {"hours": min(hours, LONGEST)}

    inputs = (
        Uncertainty(
            "conductance", conductance.value, conductance.low, conductance.high, conductance.matters_most
        ),
        Uncertainty(
            "capacity", TIME_FACTOR[1], TIME_FACTOR[0], TIME_FACTOR[2], "the mass of the wet medium: weigh it"
        ),
        Uncertainty(
            "link",
            LINK_FACTOR[1],
            LINK_FACTOR[0],
            LINK_FACTOR[2],
            "the boxes: pull the plug once in the trial run",
        ),
    )
    try:
        found = propagate(model, inputs)["hours"]
    except ValueError as error:
        return Unknown(_sentence(str(error)))
    seconds = Spread(found.value * 3600, found.low * 3600, found.high * 3600, found.matters_most)
    return figure(seconds, "hours", basis, least=0.0, most=LONGEST * 3600)


def _warm_up(plan: Plan, need: Spread, setup: HeatSetup) -> Result:
    """Hours at full power from the coldest room to within half a degree of the set point, medium included."""
    if plan.heat.power is None:
        return Unknown("the heater's power is not told", ("heat.power",))
    capacity = _heat_capacity(plan)
    if isinstance(capacity, Unknown):
        return capacity
    aim, room = setup.base.set_point - NEAR, setup.room_low
    if aim <= room:
        return Figure(0.0, 0.0, 0.0, "hours", "the room is as warm already")
    hours = []
    for power, factor, lag in zip((need.low, need.value, need.high), TIME_FACTOR, MEDIUM_LAG, strict=True):
        loss = max(power, 1e-3) / (setup.base.set_point - room)
        constant = time_constant((capacity.medium + capacity.box) * factor, loss)
        seconds = seconds_to_reach(room, aim, room + plan.heat.power / loss, constant)
        hours.append(min(seconds / 3600 + lag if math.isfinite(seconds) else LONGEST, LONGEST))
    low, value, high = (3600 * hour for hour in hours)
    return Figure(
        value,
        low,
        high,
        "hours",
        "one lump at full power, and the lag of the medium",
        "the mass of the wet medium: weigh it",
    )
