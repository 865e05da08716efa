"""Each function takes both ends of the range that it states, refuses the next number outside, and tells the range.

The ranges are those of the docstrings: where a correlation was measured, or what a box for eggs can be (judgement).
"""

import math
from collections.abc import Callable
from typing import Any

import pytest
from msgspec.structs import replace

from advisor.formulas.air import moist_air, outer_vapour, oxygen, vents
from advisor.formulas.air.vents import Vents
from advisor.formulas.days.points import DurationPoint, checked
from advisor.formulas.heat import box_network, convection, glazing
from advisor.formulas.heat import insulated_box as foam_box
from advisor.formulas.heat import thermostat as control
from advisor.formulas.heat import warming_and_cooling as transient
from advisor.formulas.heat.box_setup import Uncertain, check_setup
from advisor.formulas.heat.heat_balance import NoSteadyState
from advisor.formulas.heat.insulated_box import BoxSize
from advisor.formulas.heat.thermostat import SwitchedBox
from advisor.formulas.heat.warming_and_cooling import ThreeNodeBox
from advisor.formulas.water import egg_box_water, medium
from advisor.formulas.water.egg_box_water import WaterBox
from tests.formulas.heat.test_box_network import EGGS, LID_HEAT

VENTS = Vents(5, 2e-3, 1e-3, 0.05e-3, 0.6, 5e-3)
BOX = BoxSize(0.6, 0.4, 0.25)
AIR = {"temperature": (0.0, 20.0, 100.0), "pressure": (5e4, 101325.0, 1.1e5)}
POWER, CONDUCTANCE, HEAT_CAPACITY = (1e-3, 30.0, 1e4), (1e-3, 1.0, 100.0), (1.0, 11e3, 1e7)
SHARE, PRANDTL, EMISSIVITY = (0.0, 0.5, 1.0), (0.01, 0.7, 1000.0), (0.01, 0.9, 1.0)
CONDUCTIVITY, FACTOR = (0.01, 0.035, 5.0), (0.3, 1.0, 3.0)


WATER_BOX = WaterBox(medium.MEDIA[0], 0.2, 0.2, 15, 0.012, 0.4, 60.0, 30.0, 22.0, 0.5, 1e-7)
LAID = egg_box_water.start_state(WATER_BOX)
PRESSURE, WARMTH, FEW_DAYS = (5e4, 101325.0, 1.1e5), (0.0, 30.0, 60.0), (1, 60, 600)
PARTS, WATER_PARTS, BULK, CONTENT = (1e-6, 4.0, 1e6), (0.0, 1.0, 1e6), (5.0, 90.0, 2500.0), (1e-3, 1.0, 50.0)
EGG, OXYGEN, FLOW = (1e-4, 0.012, 0.3), (0.0, 0.2, 0.25), (0.0, 1e-6, 1.0)


def box_of_length(length: float) -> float:
    return foam_box.shape_factor(BoxSize(length, 0.4, 0.25), 0.03)


def thick_box_of_length(length: float) -> float:
    return foam_box.shape_factor(BoxSize(length, 0.4, 0.25), 0.5)


def three_nodes(
    conductance: float,
    to_medium: float,
    to_bottles: float,
    air_capacity: float,
    medium_capacity: float,
    bottle_capacity: float,
) -> object:
    box = ThreeNodeBox(conductance, to_medium, to_bottles, air_capacity, medium_capacity, bottle_capacity)
    return transient.medium_course(box)


def with_boxes(**changes: float) -> None:
    check_setup(replace(LID_HEAT, lower=replace(EGGS, **changes), upper=None))


def with_setup(**changes: float) -> None:
    check_setup(replace(LID_HEAT, **changes))


def with_uncertain(**changes: float) -> None:
    check_setup(replace(LID_HEAT, uncertain=Uncertain(**changes)))


def with_fan(**changes: float) -> None:
    check_setup(replace(LID_HEAT, **changes))


def with_water_box(**changes: float) -> None:
    egg_box_water.start_state(replace(WATER_BOX, **changes))


def water_later(days: float) -> None:
    egg_box_water.steps_of(WATER_BOX)(LAID, days)


def topped_up(water: float) -> None:
    egg_box_water.add_water(LAID, water)


def point_of(days: float) -> None:
    checked([DurationPoint(28.0, days)])


# Function, and its arguments: the lowest, a usual and the highest value, or what is passed as it stands.
CALLS: list[tuple[Callable[..., object], dict[str, Any]]] = [
    (moist_air.saturation_pressure, {"temperature": (0.0, 20.0, 200.0)}),
    (moist_air.vapour_density, {"vapour_pressure": (0.0, 2e3, 2e6), "temperature": (-50.0, 20.0, 200.0)}),
    (moist_air.relative_humidity_over_medium, {"water_potential": (-100e6, -1e5, 0.0), "temperature": AIR["temperature"]}),
    (moist_air.vapour_diffusivity, AIR),
    (moist_air.virtual_temperature, {"temperature": (-50.0, 20.0, 200.0), "vapour_pressure": (0.0, 2e3, 101325.0)}),
    (control.switching, {"box": SwitchedBox(0.962), "probe": "air", "power": POWER, "room": 20.0, "set_point": 29.0,
        "band": (0.05, 0.3, 20.0), "sensor_time": (10.0, 60.0, 1800.0)}),
    (control.proportional_ripple, {"power": (0.0, 30.0, 1e4), "duty_share": SHARE, "cycle": (0.0, 10.0, 3600.0),
        "heat_capacity": HEAT_CAPACITY}),
    (convection.rayleigh_number, {"temperature_difference": 1.0, "size": (1e-3, 0.1, 5.0)}),
    (convection.layer_nusselt, {"rayleigh": (0.0, 1e4, 1e8)}),
    (convection.laminar_plate_factor, {"prandtl": PRANDTL}),
    (convection.horizontal_plate_nusselt, {"rayleigh": (0.0, 1e6, 1e11), "favourable": True}),
    (convection.horizontal_plate_nusselt, {"rayleigh": (0.0, 1e6, 1e9), "favourable": False}),
    (convection.layer_sherwood, {"nusselt": (1.0, 2.0, 1000.0)}),
    (convection.vapour_transfer_coefficient, {"heat_coefficient": (0.0, 3.0, 100.0)}),
    (convection.layer_condensation, {"medium_temperature": (0.0, 29.0, 100.0), "lid_temperature": (0.0, 28.0, 100.0),
        "headspace": (1e-3, 0.05, 0.5), "layer_factor": FACTOR}),
    (foam_box.shape_factor, {"size": BOX, "wall_thickness": (5e-4, 0.03, 0.5)}),
    (box_of_length, {"length": (0.02, 0.6, 5.0)}),
    (thick_box_of_length, {"length": (0.1, 0.6, 5.0)}),  # a fifth of the wall
    (foam_box.box_conductance, {"size": BOX, "wall_thickness": (5e-4, 0.03, 0.5), "conductivity": CONDUCTIVITY,
        "surface_resistance_factor": FACTOR}),
    (foam_box.leakage_conductance, {"volume": (0.0, 0.06, 2.0), "air_changes_per_hour": (0.0, 0.5, 50.0)}),
    (transient.medium_heat_capacity, {"wet_mass": (0.0, 4.0, 100.0), "water_content": (0.0, 1.0, 20.0),
        "dry_heat": (500.0, 1000.0, 2000.0)}),
    (transient.box_heat_capacity, {"air_volume": (0.0, 0.06, 2.0), "foam_volume": (0.0, 0.03, 2.0),
        "foam_density": (5.0, 20.0, 3000.0), "foam_heat": (400.0, 1450.0, 2500.0)}),
    (transient.stuck_on_temperature, {"room": 20.0, "power": (0.0, 30.0, 1e5), "conductance": CONDUCTANCE}),
    (three_nodes, {"conductance": CONDUCTANCE, "to_medium": (1e-3, 2.5, 1e4), "to_bottles": (0.0, 2.4, 1e4),
        "air_capacity": HEAT_CAPACITY, "medium_capacity": HEAT_CAPACITY, "bottle_capacity": (0.0, 26600.0, 1e7)}),
    (vents.oxygen_diffusivity, AIR),
    (vents.carbon_dioxide_diffusivity, AIR),
    (vents.hole_shape_factor, {"diameter": (1e-6, 2e-3, 0.06), "lid_thickness": (0.0, 1e-3, 0.05)}),
    (vents.level_opening_number, {"depth_ratio": (0.0, 0.1, 10.0)}),
    (vents.hole_exchange_flow, {"diameter": (1e-6, 0.02, 0.06), "lid_thickness": (0.0, 1e-3, 0.05),
        "buoyancy": (0.0, 0.1, 5.0)}),
    (moist_air.air_pressure, {"altitude": (-500.0, 0.0, 5500.0)}),
    (vents.slot_shape_factor, {"gap": (0.0, 5e-5, 5e-4), "perimeter": (0.0, 0.6, 10.0), "depth": (5e-4, 5e-3, 0.05)}),
    (vents.vents_conductance, {"vents": VENTS, "diffusivity": (1e-6, 2e-5, 1e-4), "draught_factor": (1.0, 1.0, 3.0)}),
    (vents.wall_vapour_permeance, {"area_over_thickness": (0.0, 100.0, 1e4), "resistance_factor": (1.0, 50.0, 1e7)}),
    (vents.reduced_gravity, {"virtual_temperature_inside": (200.0, 305.0, 500.0),
        "virtual_temperature_outside": (200.0, 295.0, 500.0)}),
    (vents.opening_exchange_flow, {"length": (1e-3, 0.6, 5.0), "width": (1e-3, 0.4, 5.0), "buoyancy": (0.0, 0.3, 5.0)}),
    (vents.air_share_exchanged, {"exchange_flow": (0.0, 1e-3, 10.0), "volume": (1e-6, 0.06, 10.0),
        "seconds": (0.0, 10.0, 86400.0)}),
    (vents.water_lost_at_opening, {"volume": (1e-6, 0.06, 10.0), "share_exchanged": SHARE, "vapour_density_inside": 0.03,
        "vapour_density_outside": 0.01}),
    (with_boxes, {"length": (0.02, 0.2, 2.0), "width": (0.02, 0.15, 2.0), "medium_depth": (0.002, 0.04, 0.087),
        "lid_thickness": (0.0, 1e-3, 0.02), "wall_conductivity": (0.05, 0.22, 500.0), "medium_conductivity": (0.02, 0.2, 5.0),
        "water_potential": (-100e6, 0.0, 0.0)}),
    (with_setup, {"room": (-20.0, 20.0, 50.0), "set_point": (5.0, 29.0, 45.0)}),
    (with_uncertain, {"conductivity_factor": FACTOR, "thickness_factor": FACTOR, "convection_factor": FACTOR,
        "headspace_factor": FACTOR, "medium_factor": FACTOR, "air_changes": (0.0, 0.2, 50.0), "mixing": FACTOR,
        "stirring": (0.0, 0.0, 200.0), "contact": (0.1, 20.0, 500.0), "radiant_share": SHARE, "edge": FACTOR,
        "swept": FACTOR, "excess": FACTOR, "air_speed": (0.0, 0.0, 5.0), "vent_factor": FACTOR}),
    (with_fan, {"fan_power": (0.0, 2.0, 200.0), "fan_share": (0.0, 0.1, 100.0)}),
    (convection.forced_plate_nusselt, {"reynolds": (0.0, 5e3, 5e5), "prandtl": (0.6, 0.7, 50.0)}),
    (convection.forced_film, {"speed": (0.0, 0.3, 5.0), "length": (1e-3, 0.3, 5.0)}),
    (vents.stack_flow, {"low": (1e-9, 1e-4, 1.0), "high": (1e-9, 1e-4, 1.0), "height": (0.0, 0.2, 5.0),
        "buoyancy": (0.0, 0.3, 5.0)}),
    (with_water_box, {"dry_medium": (1e-4, 0.2, 100.0), "start_water": (0.0, 0.2, 1000.0), "egg_count": (0, 15, 1000),
        "egg_mass": EGG, "gain_at_hatching": (-0.9, 0.4, 4.0), "incubation_days": (10.0, 60.0, 500.0),
        "temperature": WARMTH, "outside_temperature": WARMTH, "outside_relative_humidity": SHARE,
        "vapour_conductance": (0.0, 1e-7, 1e-3), "wall_permeance": (0.0, 1e-9, 1e-6), "opening_loss": (0.0, 1e-3, 1.0)}),
    (water_later, {"days": (1e-6, 1.0, 7.0)}),
    (topped_up, {"water": (0.0, 0.1, 10.0)}),
    (egg_box_water.run, {"box": WATER_BOX, "days": FEW_DAYS}),
    (egg_box_water.plan_top_ups, {"box": WATER_BOX, "days": FEW_DAYS, "check_days": [], "allowed_change": (0.01, 0.15, 0.9),
        "growth": (0.0, 0.01, 100.0)}),
    (egg_box_water.egg_kind, {"shell": "rigid", "animal": "turtle", "egg_mass": EGG}),
    (medium.mixture, {"first": medium.MEDIA[0], "second": medium.MEDIA[1], "share": SHARE}),
    (medium.with_measured_bulk_density, {"medium": medium.MEDIA[0], "bulk_density": BULK}),
    (medium.free_water, {"water_mass": (0.0, 1.0, 1000.0), "dry_medium_mass": (1e-6, 1.0, 1000.0),
        "drained_water_content": 2.0}),
    (medium.water_content_from_volume_mix, {"medium_parts": PARTS, "water_parts": WATER_PARTS, "bulk_density": BULK}),
    (medium.water_content_from_mass_mix, {"medium_parts": PARTS, "water_parts": WATER_PARTS}),
    (medium.medium_parts_by_volume, {"water_content": CONTENT, "bulk_density": BULK}),
    (medium.medium_parts_by_mass, {"water_content": CONTENT}),
    (medium.vermiculite_potential, {"water_content": (0.05, 1.0, 3.8)}),
    (medium.water_potential, {"medium": medium.MEDIA[0], "water_content": (0.0, 1.0, 1e6)}),
    (oxygen.peak_oxygen_use, {"egg_mass": EGG, "temperature": (15.0, 30.0, 40.0)}),
    (oxygen.peak_factors, {"egg_mass": EGG}),
    (oxygen.flow_at_temperature, {"flow_stpd": (0.0, 1e-9, 1e-3), "temperature": WARMTH, "pressure": PRESSURE}),
    (oxygen.sea_level_share, {"share": OXYGEN, "temperature": 30.0, "pressure": PRESSURE}),
    (oxygen.box_air, {"oxygen_use": 1e-9, "temperature": 30.0, "oxygen_conductance": FLOW, "carbon_dioxide_conductance": FLOW,
        "respiratory_quotient": (0.6, 0.7, 1.0), "outside_oxygen": OXYGEN, "outside_carbon_dioxide": (0.0, 4e-4, 0.2)}),
    (oxygen.oxygen_limits, {"temperature": WARMTH, "stage": SHARE}),
    (oxygen.holes_enough, {"oxygen_use": 1e-9, "temperature": 30.0, "least_oxygen": 0.17, "hole": (1e-12, 1e-7, 1.0),
        "rim": FLOW, "outside_oxygen": OXYGEN}),
    (outer_vapour.wall_passage, {"shape_factor": 10.0, "resistance_factor": (1.0, 50.0, 1e9), "temperature": 25.0}),
    (outer_vapour.box_vapour_density, {"surfaces": [], "film": 3.0, "source": (0.0, 1e-6, 1.0),
        "exchange": (1e-12, 1e-4, 10.0), "room_density": 0.01}),
    (glazing.double_glass_resistance, {"thickness": (0.001, 0.02, 0.2), "temperature": WARMTH}),
    (point_of, {"days": (1, 60, 1500)}),
    (box_network.state_at_power, {"setup": LID_HEAT, "power": (0.0, 10.0, 2000.0)}),
]  # fmt: skip


def refusal(function: Callable[..., object], arguments: dict[str, Any]) -> str:
    try:
        function(**arguments)
    except (ValueError, NoSteadyState) as error:
        return str(error)
    return ""


@pytest.mark.parametrize(
    ("function", "arguments", "name"),
    [
        pytest.param(function, arguments, name, id=f"{function.__name__}: {name}")
        for function, arguments in CALLS
        for name, values in arguments.items()
        if isinstance(values, tuple)
    ],
)
def test_the_ends_are_taken_and_what_lies_outside_is_refused(
    function: Callable[..., object], arguments: dict[str, Any], name: str
) -> None:
    usual = {key: value[1] if isinstance(value, tuple) else value for key, value in arguments.items()}
    lowest, _, highest = arguments[name]
    range_told = f"must be from {lowest:g} to {highest:g}"
    for end, away in ((lowest, -math.inf), (highest, math.inf)):
        # At an end a box may still be one that cannot work, or that another argument does not fit.
        assert range_told not in refusal(function, {**usual, name: end})
        assert range_told in refusal(function, {**usual, name: math.nextafter(end, away)}) or math.isinf(end)
