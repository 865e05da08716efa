"""Fan, vents, doors, cooling and ready-built boxes in whole plans: what they move, which way, and what a measurement makes of it."""

from typing import Any

import pytest
from msgspec.structs import replace

from advisor.assess import situation_for
from advisor.constants import DAY
from advisor.forecast.heat.loss import forecast_conductance
from advisor.forecast.heat.setup import HeatSetup, heat_setup
from advisor.forecast.heat.steady import forecast_heat
from advisor.forecast.heat.structure import STRUCTURES, structure_of
from advisor.forecast.heat.tiers import solve
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import HeatForecast
from advisor.model.measured import Energy, HeaterOn, Measured
from advisor.model.plan import Plan
from advisor.reading.species import load_species
from tests.forecast.boxes import plan_with

CORN_SNAKE = load_species("pantherophis-guttatus")
DOOR = {"what": "door", "material": "glass", "thickness": "4 mm", "share": "90 %", "side": "front"}
FANS: dict[str, Any] = {
    "none": None,
    "always": {"runs": "always", "power": "2 W"},
    "with heater": {"runs": "with heater", "power": "2 W"},
}
READY_BUILT: dict[str, Any] = {
    "outer_box": {"kind": "ready-built", "inside": "60 x 40 x 25 cm"},
    "heat": {"power": "20 W"},
    "control": {"set_to": "29 °C"},
}


def plan_of(changes: dict[str, Any]) -> Plan:
    return plan_with(changes)


def heat_of(plan: Plan) -> HeatForecast:
    return forecast_heat(plan, {CORN_SNAKE.id: CORN_SNAKE}).heat


def figure(result: Result) -> Figure:
    assert isinstance(result, Figure), result
    return result


def with_fan(kind: str) -> Plan:
    return plan_of({} if FANS[kind] is None else {"fan": FANS[kind]})


def test_moving_air_brings_the_layers_together_and_most_if_it_always_moves() -> None:
    spreads = [figure(heat_of(with_fan(kind)).spread).value for kind in ("none", "with heater", "always")]
    assert spreads == sorted(spreads, reverse=True)
    assert spreads[2] < 0.5 * spreads[0]


def test_a_fan_that_runs_with_the_heater_may_leave_the_air_as_still_as_without() -> None:
    still, at_times = (figure(heat_of(with_fan(kind)).spread) for kind in ("none", "with heater"))
    assert at_times.high > 0.8 * still.value


def test_the_heat_of_a_fan_counts_where_the_heater_sticks() -> None:
    none, always, at_times = (figure(heat_of(with_fan(kind)).stuck_on_temperature).value for kind in FANS)
    # 2 W of 17 on a box that loses about 1 W/K.
    assert always - none == pytest.approx(2.0, abs=0.7)
    assert at_times == pytest.approx(always, abs=0.3)


@pytest.mark.parametrize("kind", FANS)
@pytest.mark.parametrize("by", ["heater on", "energy"])
def test_a_measurement_that_agrees_leaves_the_forecast_where_it_is(kind: str, by: str) -> None:
    """Whatever the fan gives besides: a heater as long on as forecast changes no watts, no share, no stuck heater."""
    plan = plan_of({"control.probe.tier": "lower"} | ({} if FANS[kind] is None else {"fan": FANS[kind]}))
    before = heat_of(plan)
    watts, share = figure(before.watts_needed).value, figure(before.power_share).value
    setup = heat_setup(plan)
    assert isinstance(setup, HeatSetup)
    state = solve(setup, {})
    assert state.upper is not None
    medium = (state.lower.medium + state.upper.medium) / 2.0
    seen = (
        Measured(heater_on=(HeaterOn(share, 6 * 3600.0, 20.0, medium),))
        if by == "heater on"
        else Measured(energy=Energy(watts * DAY, DAY, 20.0, medium, 0.0))
    )
    after = heat_of(replace(plan, measured=seen))
    assert figure(after.watts_needed).value == pytest.approx(watts, rel=0.03)
    assert figure(after.power_share).value == pytest.approx(share, rel=0.03)
    rise = figure(before.stuck_on_temperature).value - 20.0
    # The warmest layer is judged, the mean of the layers is measured.
    assert figure(after.stuck_on_temperature).value - 20.0 == pytest.approx(rise, rel=0.2)
    assert figure(after.conductance).value == pytest.approx(figure(before.conductance).value, rel=0.03)


@pytest.mark.parametrize(
    "more",
    [
        {"outer_box.parts": [DOOR]},
        {"outer_box.vents": {"count": "4", "diameter": "2 cm", "where": "high and low"}},
        {"outer_box.vents": {"count": "6", "diameter": "4 cm", "where": "lid"}},
        {"outer_box.vents": {"count": "6", "diameter": "2 cm", "where": "low"}},
    ],
)
def test_what_lets_heat_out_is_told_by_balance_and_loss_alike(more: dict[str, Any]) -> None:
    plain, open_ = heat_of(plan_of({})), heat_of(plan_of(more))
    by_balance = figure(open_.watts_needed).value / figure(plain.watts_needed).value
    by_loss = figure(open_.conductance).value / figure(plain.conductance).value
    assert by_loss > 1.005
    assert by_balance == pytest.approx(by_loss, rel=0.12)


def test_vents_dry_the_air_where_the_room_is_dry() -> None:
    bath = {"heat": {"source": "water bath", "place": "in water", "power": "60 W", "bath_water": "8 L"}}
    vents = {"outer_box.vents": {"count": "4", "diameter": "2 cm", "where": "high and low"}}
    tight, aired = (figure(heat_of(plan_of(bath | more)).outer_humidity) for more in ({}, vents))
    assert aired.value < tight.value


def test_a_dish_makes_damp_what_vents_dry() -> None:
    """Dish, vents and both together lie in order, and with a fan too: the air of a vented box with a dish is between the two."""
    dish = {"outer_box.water_dish": "30 x 20 cm"}
    vents = {"outer_box.vents": {"count": "2", "diameter": "1 cm", "where": "high and low"}}
    for fan in ({}, {"fan": FANS["always"]}):
        aired, both, damp = (
            figure(heat_of(plan_of(fan | more)).outer_humidity).value for more in (vents, vents | dish, dish)
        )
        assert aired + 0.02 < both < damp - 0.02


def test_water_settles_on_a_pane_the_less_the_more_vents_let_out() -> None:
    """A dish makes the air so damp that it settles on a single pane; what vents let out cannot settle."""
    dish: dict[str, Any] = {"outer_box.water_dish": "30 x 20 cm", "room.temperature": "8 to 12 °C"}
    pane = {"outer_box.parts": [DOOR]}
    vents = {"outer_box.vents": {"count": "2", "diameter": "1 cm", "where": "high and low"}}
    dry, wet, aired = (
        figure(heat_of(plan_of(more)).outer_condensation).high
        for more in (dish, dish | pane, dish | pane | vents)
    )
    assert wet > dry
    assert aired < wet


def test_a_fan_dries_open_trays_and_what_is_told_of_them_is_wider() -> None:
    """A tray in a vented box: with a fan its water loss is larger, and both the loss and the heat are known less well."""
    trays = {
        "egg_boxes[0].lid": "none",
        "egg_boxes[0].tier": "one",
        "control.set_to": "28.8 °C",
        "clutches[0].eggs": "9",
        "clutches[0].egg_mass": "10 g",
        "outer_box.vents": {"count": "2", "diameter": "1 cm", "where": "high and low"},
    }
    plans = [plan_of(trays), plan_of(trays | {"fan": FANS["always"]})]
    still, blown = (figure(situation_for(plan).forecast.egg_boxes[0].water.water_loss) for plan in plans)
    assert blown.value > 1.1 * still.value
    assert blown.high - blown.low > still.high - still.low
    setups = [heat_setup(plan) for plan in plans]
    for setup in setups:
        assert isinstance(setup, HeatSetup)
        structure = structure_of(setup.base)
        for kind in ("lid", "rough"):
            assert (
                structure.up >= STRUCTURES[kind].up and structure.watts_error >= STRUCTURES[kind].watts_error
            )


def test_vents_need_set_point_and_room_for_the_loss() -> None:
    vents = {"outer_box.vents": {"count": "4", "diameter": "2 cm", "where": "lid"}}
    for entry in ("control.set_to", "room.temperature"):
        found = forecast_conductance(plan_of({**vents, entry: None}))
        assert isinstance(found, Unknown)
        assert entry in found.needs


@pytest.mark.parametrize(
    ("material", "thickness"),
    [
        ("expanded polystyrene", "25 mm"),
        ("plastic cool box", "35 mm"),
        ("plywood", "40 mm"),
        ("extruded polystyrene", "20 mm"),
    ],
)
def test_what_a_ready_built_box_may_lose_holds_the_boxes_that_are_built(
    material: str, thickness: str
) -> None:
    wide = figure(heat_of(plan_of(READY_BUILT)).conductance)
    walls = {"outer_box.wall": {"material": material, "thickness": thickness}}
    assert wide.low <= figure(heat_of(plan_of(walls)).conductance).value <= wide.high


def test_a_measurement_narrows_a_ready_built_box_to_what_it_says() -> None:
    plan = plan_of(READY_BUILT)
    before = heat_of(plan)
    # 30 % of 20 W over 8 K: 0.75 W/K, and 6.75 W at 9 K.
    after = heat_of(replace(plan, measured=Measured(heater_on=(HeaterOn(0.3, 6 * 3600.0, 20.0, 28.0),))))
    for name in ("conductance", "watts_needed", "power_share", "stuck_on_temperature"):
        wide, narrow = figure(getattr(before, name)), figure(getattr(after, name))
        assert narrow.high - narrow.low < 0.5 * (wide.high - wide.low), name
    assert figure(after.watts_needed).low < 6.75 < figure(after.watts_needed).high
    assert figure(after.conductance).value == pytest.approx(figure(after.watts_needed).value / 9.0)


def test_nothing_is_made_up_of_a_ready_built_box_whose_heater_nobody_sees() -> None:
    heat = heat_of(plan_of(READY_BUILT))
    for name in ("heater_surface", "heater_surface_full", "spread", "outer_humidity", "warm_up_hours"):
        assert isinstance(getattr(heat, name), Unknown), name
