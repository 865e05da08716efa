"""Entries that advice names: foam on egg-box lids, the layer of the probe, several heaters, the water of a bath, a rack's height."""

from itertools import pairwise
from typing import Any

import pytest
from msgspec.structs import replace

from advisor.forecast.heat.steady import HeatResults, forecast_heat
from advisor.forecast.heat.times import WARM_UP_FACTOR
from advisor.formulas.heat.box_network import state_at_set_point
from advisor.model.figures import Figure, Result, Unknown
from advisor.reading.species import load_species
from tests.forecast.boxes import plan_with
from tests.formulas.heat.books import books_of
from tests.formulas.heat.test_box_network import BATH, FLOOR_HEAT, LID_HEAT, ON_THE_MAT, SIDE_HEAT

CORN_SNAKE = load_species("pantherophis-guttatus")
SETUPS = {"lid": LID_HEAT, "floor": FLOOR_HEAT, "on the mat": ON_THE_MAT, "side": SIDE_HEAT, "bath": BATH}
IN_ONE = {"egg_boxes[0].count": "2", "egg_boxes[0].tier": "one"}


def forecast(changes: dict[str, Any]) -> HeatResults:
    return forecast_heat(plan_with(changes), {CORN_SNAKE.id: CORN_SNAKE})


def figure(result: Result) -> Figure:
    assert isinstance(result, Figure), result
    return result


def with_foam(setup: Any, thickness: float) -> Any:
    lower, upper = (boxes and replace(boxes, lid_foam=thickness) for boxes in (setup.lower, setup.upper))
    return replace(setup, lower=lower, upper=upper)


@pytest.mark.parametrize("place", SETUPS)
@pytest.mark.parametrize("tiers", [1, 2])
def test_the_thicker_the_foam_the_less_a_lid_feels_of_what_is_above(place: str, tiers: int) -> None:
    setup = SETUPS[place] if tiers == 2 else replace(SETUPS[place], upper=None)
    setups = [with_foam(setup, foam) for foam in (0.0, 1e-5, 0.002, 0.005, 0.01, 0.02, 0.04)]
    states = [state_at_set_point(one) for one in setups]
    layers = [state.lower for state in states], [state.upper for state in states if state.upper]
    for lids in filter(None, layers):
        # One way all along: down from under a warm ceiling, else up to where the sides of the box leave it.
        steps = [thick.lid_minus_surface - thin.lid_minus_surface for thin, thick in pairwise(lids)]
        down = lids[0].lid_minus_surface > 0
        assert all((step < 0) == down for step in steps)
        for thin, thick in pairwise(lids):
            assert thick.condensation_per_box <= thin.condensation_per_box + 1e-15
    # A hundredth of a millimetre is no foam: the network with one node more is the same network.
    bare, film = states[:2]
    assert film.power == pytest.approx(bare.power, rel=2e-3)
    assert film.lower.lid == pytest.approx(bare.lower.lid, abs=0.02)
    # Nothing is made or lost: as exact as the solver.
    for one, state in zip(setups, states, strict=True):
        assert abs(books_of(one, state).residual) < 1e-3 * state.power


def test_foam_on_lids_dries_them_in_a_plan_in_either_unit() -> None:
    water = [
        figure(
            forecast({**IN_ONE, "heat.place": "floor", "egg_boxes[0].foam_on_lid": foam}).lower.condensation
        ).value
        for foam in (None, "10 mm", "20 mm", "2 in")
    ]
    assert all(more > less for more, less in pairwise(water)) and water[2] < 0.6 * water[0]


@pytest.mark.parametrize("sits_in", ["egg box medium", "air"])
def test_the_layer_of_the_probe_is_the_forecast_of_that_layer(sits_in: str) -> None:
    told = {
        tier: forecast({"control.probe.sits_in": sits_in, "control.probe.tier": tier})
        for tier in (None, "lower", "upper", "one")
    }
    watts = {tier: figure(found.heat.watts_needed) for tier, found in told.items()}
    assert watts["one"] == watts["lower"]
    # Under heat from the lid the upper layer is the warm one: with the probe there the box needs less.
    assert watts["upper"].value < watts["lower"].value
    # Not told, the range spans both.
    assert watts[None].low < watts["upper"].value < watts["lower"].value < watts[None].high
    offsets = [figure(found.lower.medium_temperature).value for found in (told["lower"], told["upper"])]
    assert offsets[1] < offsets[0]


@pytest.mark.parametrize("place", ["lid", "floor"])
@pytest.mark.parametrize(
    ("count", "each", "together"),
    [(2, "20 x 30 cm", "40 x 30 cm"), (3, "12 x 30 cm", "36 x 30 cm"), (4, "20 x 15 cm", "40 x 30 cm")],
)
def test_several_heaters_are_one_of_all_their_watts_and_area(
    place: str, count: int, each: str, together: str
) -> None:
    several = forecast(
        {"heat.place": place, "heat.count": str(count), "heat.power": "6 W", "heat.size": each}
    )
    one = forecast({"heat.place": place, "heat.power": f"{6 * count} W", "heat.size": together})
    assert several == one


def test_two_cables_are_one_twice_as_long() -> None:
    cable = {"heat.source": "cable", "heat.size": None, "heat.power": None, "heat.watts_per_metre": "5 W/m"}
    two, one = (
        forecast({**cable, "heat.count": count, "heat.length": length})
        for count, length in (("2", "1.5 m"), ("1", "3 m"))
    )
    assert two == one


def test_heaters_that_only_fit_apart_lie_apart() -> None:
    """Two of 55 x 18 cm go on a lid of 60 x 40 cm beside each other, not end to end; three do not."""
    assert isinstance(forecast({"heat.count": "2", "heat.size": "55 x 18 cm"}).heat.watts_needed, Figure)
    assert isinstance(forecast({"heat.count": "3", "heat.size": "55 x 18 cm"}).heat.watts_needed, Unknown)


IN_WATER = {
    "heat.source": "water bath",
    "heat.place": "in water",
    "heat.size": None,
    "control.thermostat": "pulse",
}


def test_the_more_water_in_a_bath_the_slower_it_warms_and_cools() -> None:
    """Also against the plain balance of all that is warmed: heat stored over the power left, and over the loss."""
    cold = {**IN_WATER, "room.temperature": "10 °C", "heat.power": "60 W"}
    found = {litres: forecast({**cold, "heat.bath_water": f"{litres} L"}).heat for litres in (0.1, 2, 8, 30)}
    for name in ("warm_up_hours", "hours_to_lose_3_K"):
        hours = [figure(getattr(heat, name)).value / 3600 for heat in found.values()]
        assert all(less < more for less, more in pairwise(hours))
        # 28 more litres store 28 x 4180 J for each degree.
        loss = figure(found[30].conductance).value
        stored = 28 * 4180 * (18.5 if name == "warm_up_hours" else 3.0)
        flow = 60 - loss * 9.5 if name == "warm_up_hours" else loss * 17.5
        late = WARM_UP_FACTOR[1] if name == "warm_up_hours" else 1.0
        assert hours[3] - hours[1] == pytest.approx(late * stored / flow / 3600, rel=0.3)
    nights = [figure(heat.medium_after_12_h).value for heat in found.values()]
    assert all(less < more for less, more in pairwise(nights))


def test_without_the_water_of_a_bath_its_times_are_not_told_and_the_entry_is_named() -> None:
    heat = forecast(IN_WATER).heat
    for result in (heat.warm_up_hours, heat.hours_to_lose_3_K, heat.medium_after_12_h):
        assert isinstance(result, Unknown) and result.needs == ("heat.bath_water",)


@pytest.mark.parametrize("place", ["lid", "floor"])
def test_the_higher_the_rack_the_more_the_boxes_feel_of_the_lid(place: str) -> None:
    """Nearer to a warm lid a box needs fewer watts for its medium; further from a warm floor it needs more."""
    tall = {**IN_ONE, "heat.place": place, "outer_box.inside": "60 x 40 x 40 cm"}
    watts = [
        figure(forecast({**tall, "egg_boxes[0].shelf_height": height}).heat.watts_needed).value
        for height in ("2 cm", "6 cm", "12 cm", "18 cm")
    ]
    assert all((more < less) == (place == "lid") for less, more in pairwise(watts))


def test_a_rack_of_no_told_height_is_two_centimetres_high() -> None:
    assert forecast({"egg_boxes[0].shelf_height": "2 cm"}) == forecast({})
    # What stands on the floor has no rack.
    floor = {"egg_boxes[0].stands": "on the floor"}
    assert forecast({**floor, "egg_boxes[0].shelf_height": "8 cm"}) == forecast(floor)
