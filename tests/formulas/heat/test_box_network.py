"""The steady network: values of another calculation, energy balance, limits, and many random boxes.

What it is held against from outside stands in tests/referees.
"""

from typing import Any

import pytest
from msgspec.structs import replace

from advisor.formulas.heat.box_network import BoxState, state_at_power, state_at_set_point
from advisor.formulas.heat.box_setup import (
    BoxSetup,
    EggBoxes,
    Uncertain,
)
from advisor.formulas.heat.heat_balance import NoSteadyState
from advisor.formulas.heat.insulated_box import BoxSize, box_conductance
from tests.formulas.heat.books import books_of
from tests.referees.side_dew import GRAMS_A_DAY, condensation_on_sides

EGGS = EggBoxes(2, 0.20, 0.15, 0.09, 0.04)
LID_HEAT = BoxSetup(
    BoxSize(0.60, 0.40, 0.25), 0.03, 0.037, 20.0, 29.0, "mat", "lid", 0.12, EGGS, EGGS, heater_length=0.40
)
FLOOR_HEAT = replace(LID_HEAT, heat_place="floor")
ON_THE_MAT = replace(FLOOR_HEAT, boxes_stand="on the heater")
SIDE_HEAT = replace(LID_HEAT, heat_place="one side", heater_area=0.08)
BATH = replace(
    LID_HEAT, heat_place="in water", heat_source="water bath", heater_area=0.24, heater_length=None
)
TIGHT = Uncertain(air_changes=0.0)
# An earlier calculation with the same layers and links, its rays and its assembly written apart (no leak, medium of the
# lower tier at 29.00 °C): power W; heater °C; lid minus mean and minus surface of the medium, lower; the same, upper;
# spread K. Side: mat 0.40 m long, 0.20 m high. It kept the plastic of 1 mm out of the heights and had one heater node
# where this one has core and rim (up to 0.25 K on an upper lid): differences to 5 % or 0.08 K, power to 2 %.
WORKED = {
    "lid, one tier": (replace(LID_HEAT, upper=None), 10.96, 38.4, 1.91, 1.53, None, None, None),
    "lid": (LID_HEAT, 12.03, 41.4, 1.09, 0.83, 3.26, 2.62, 2.42),
    "floor, one tier": (replace(FLOOR_HEAT, upper=None), 8.79, 33.3, -1.00, -0.45, None, None, None),
    "floor": (FLOOR_HEAT, 8.73, 33.2, -0.81, -0.31, -0.17, -0.07, -1.17),
    "side": (SIDE_HEAT, 10.81, 40.6, 0.70, 0.42, -0.07, -0.10, 1.00),
    "lid, room 26": (replace(LID_HEAT, room=26.0), 4.01, 33.4, 0.38, 0.29, 1.15, 0.93, 0.83),
}


def spread_of(state: BoxState) -> float:
    assert state.spread is not None
    return state.spread


@pytest.mark.parametrize("row", WORKED.values(), ids=WORKED.keys())
def test_worked_values(row: tuple[Any, ...]) -> None:
    setup, power, heater, lower, lower_top, upper, upper_top, spread = row
    state = state_at_set_point(replace(setup, uncertain=TIGHT))
    assert state.power == pytest.approx(power, rel=0.02)
    assert state.heater == pytest.approx(heater, abs=0.3)
    found: list[tuple[float | None, float]] = [
        (state.lower.lid_minus_medium, lower),
        (state.lower.lid_minus_surface, lower_top),
    ]
    if state.upper is not None:
        found += [
            (state.upper.lid_minus_medium, upper),
            (state.upper.lid_minus_surface, upper_top),
            (state.spread, spread),
        ]
    for ours, theirs in found:
        assert ours == pytest.approx(theirs, rel=0.05, abs=0.08)


def test_worked_value_of_a_stuck_heater() -> None:
    # The same calculation at 24.05 W: lower medium 38.27 °C, lid +1.99 K; upper 42.76 °C, +5.96 K; heater 60.5 °C.
    state = state_at_power(replace(LID_HEAT, uncertain=TIGHT), 24.05)
    assert state.lower.medium == pytest.approx(38.27, abs=0.3)
    assert state.upper.medium == pytest.approx(42.76, abs=0.3)
    assert state.lower.lid_minus_medium == pytest.approx(1.99, rel=0.05)
    assert state.upper.lid_minus_medium == pytest.approx(5.96, rel=0.05)
    assert state.heater == pytest.approx(60.5, abs=0.7)


def test_air_lies_in_layers_under_a_warm_lid() -> None:
    # The same calculation, from the floor up: 28.2, 28.5, 29.2, 30.1, 31.5, 33.4 °C; floor heat 27.9 to 28.8 °C.
    lid = state_at_set_point(replace(LID_HEAT, uncertain=TIGHT))
    assert lid.air == pytest.approx((28.2, 28.5, 29.2, 30.1, 31.5, 33.4), abs=0.25)
    floor = state_at_set_point(replace(FLOOR_HEAT, uncertain=TIGHT))
    assert floor.air == pytest.approx((27.9, 28.0, 28.1, 28.3, 28.5, 28.8), abs=0.15)


def test_dew() -> None:
    # The same calculation, on lid and sides of a lower and an upper box [g/day]: floor heat 2.7 and 0.3, lid heat 0 and
    # 0.3 on the sides alone. Within a factor of 1.5.
    for setup, lower, upper in ((FLOOR_HEAT, 2.7, 0.3), (LID_HEAT, 0.0, 0.3)):
        state = state_at_set_point(replace(setup, uncertain=TIGHT))
        sides = condensation_on_sides(setup, state)
        for tier, on_sides, expected in zip((state.lower, state.upper), sides, (lower, upper), strict=True):
            found = (tier.condensation_per_box + on_sides) * GRAMS_A_DAY
            assert expected / 1.5 - 1e-9 <= found <= expected * 1.5 + 1e-9
    assert state.lower.condensation_per_box == state.upper.condensation_per_box == 0.0


def test_heater_area_moves_the_heater_not_the_power() -> None:
    for setup in (LID_HEAT, FLOOR_HEAT):
        small = replace(setup, heater_area=0.03, heater_length=0.20)
        whole, less = state_at_set_point(setup), state_at_set_point(small)
        assert less.heater > whole.heater + 10.0
        assert less.power == pytest.approx(whole.power, rel=0.05)


def test_a_leaky_box_needs_little_more() -> None:
    # 60 L at 2 instead of 0.2 changes an hour: 0.326 W h/(m3 K) x 0.06 m3 x 1.8/h = 0.035 W/K, x 8 to 12 K.
    for setup in (LID_HEAT, FLOOR_HEAT):
        leaky = replace(setup, uncertain=Uncertain(air_changes=2.0))
        more = state_at_set_point(leaky).power - state_at_set_point(setup).power
        assert 0.25 < more < 0.5


def test_a_water_bath_saturates_the_air() -> None:
    state = state_at_set_point(BATH)
    assert state.lower.lid_minus_medium < 0.0
    books = books_of(BATH, state)
    assert books.dew_point is not None
    assert 28.0 < books.dew_point < state.heater
    # What evaporates settles on the colder walls and ceiling: some 100 g a day.
    assert 50.0 < books.settled * GRAMS_A_DAY < 200.0
    dry = books_of(LID_HEAT, state_at_set_point(LID_HEAT))
    assert dry.settled == 0.0 and dry.dew_point is None


@pytest.mark.parametrize("place", ["lid", "floor", "one side", "all sides"])
def test_a_bulb_does_not_heat_the_foam_behind_it(place: str) -> None:
    bulb = replace(LID_HEAT, heat_source="bulb", heat_place=place, heater_area=0.015, heater_length=None)
    state = state_at_set_point(bulb)
    # No more than UA x 9 K and what the warm top takes.
    assert 6.5 < state.power < 11.5
    assert books_of(bulb, state).behind_heater == 0.0


def test_emitter_surface() -> None:
    # Practice: 60 to 150 W emitters have a surface of 200 to 350 °C. 60 W over 0.02 m2, 150 W over 0.035 m2
    # (judgement); radiation alone, so 30 °C either way.
    for power, area in ((60.0, 0.02), (150.0, 0.035)):
        setup = replace(LID_HEAT, heat_source="ceramic emitter", heater_area=area, heater_length=None)
        assert 170.0 < state_at_power(setup, power).heater < 380.0


def residual_is_nought(setup: BoxSetup, state: BoxState) -> None:
    books = books_of(setup, state)
    assert abs(books.residual) <= 1e-10 * max(state.power, 0.1)
    assert books.lost == pytest.approx(state.power, rel=1e-9)


@pytest.mark.parametrize("setup", [LID_HEAT, FLOOR_HEAT, ON_THE_MAT, SIDE_HEAT, BATH])
def test_what_goes_in_comes_out(setup: BoxSetup) -> None:
    residual_is_nought(setup, state_at_set_point(setup))
    residual_is_nought(setup, state_at_power(setup, 12.0))


@pytest.mark.parametrize("setup", [LID_HEAT, FLOOR_HEAT, ON_THE_MAT, SIDE_HEAT, BATH])
def test_room_at_the_set_point_needs_nothing(setup: BoxSetup) -> None:
    state = state_at_set_point(replace(setup, room=29.0))
    assert state.power == 0.0
    assert set(state.temperatures) == {29.0}
    assert state.lower.condensation_per_box == state.upper.condensation_per_box == 0.0
    assert books_of(replace(setup, room=29.0), state).settled == 0.0
    assert state.spread == state.lower.lid_minus_medium == 0.0


@pytest.mark.parametrize("below", [1e-9, 1e-6, 1e-3, 0.1])
def test_room_just_under_the_set_point(below: float) -> None:
    for setup in (LID_HEAT, FLOOR_HEAT, BATH):
        state = state_at_set_point(replace(setup, room=29.0 - below))
        # About 1.0 to 1.3 W/K in all; weaker currents at small differences.
        assert 0.5 * below < state.power < 1.5 * below


def test_a_warm_room_cannot_be_cooled() -> None:
    with pytest.raises(NoSteadyState, match=r"room is at 30\.0 °C .* 29\.0 °C.*not cool"):
        state_at_set_point(replace(LID_HEAT, room=30.0))


def test_twice_the_difference_needs_about_twice_the_power() -> None:
    for setup in (LID_HEAT, FLOOR_HEAT):
        single = state_at_set_point(replace(setup, room=24.5)).power
        double = state_at_set_point(replace(setup, room=20.0)).power
        # Currents grow with the 1.25th power of the difference, but foam and radiation hold most of the
        # resistance.
        assert 1.95 < double / single < 2.1


def test_better_foam_improves_everything() -> None:
    for setup in (LID_HEAT, FLOOR_HEAT):
        states = [state_at_set_point(replace(setup, wall_conductivity=c)) for c in (0.05, 0.035, 0.025, 0.01)]
        powers = [state.power for state in states]
        assert powers == sorted(powers, reverse=True)
        spreads = [abs(spread_of(state)) for state in states]
        assert spreads == sorted(spreads, reverse=True)
        assert [s.lower.condensation_per_box for s in states] == sorted(
            (s.lower.condensation_per_box for s in states), reverse=True
        )


def test_hardly_any_loss_needs_hardly_any_power() -> None:
    tight = replace(
        LID_HEAT, wall_conductivity=0.01, wall_thickness=0.4, uncertain=Uncertain(air_changes=0.0)
    )
    assert state_at_set_point(tight).power < 2.5  # wall of 0.4 m: UA about 0.1 W/K


def test_power_is_that_of_the_boxs_conductance() -> None:
    # Floor heat has hardly any loss behind the mat that a warm floor would not have: UA x 9 K within 10 %.
    expected = box_conductance(LID_HEAT.inside, 0.03, 0.037) * 9.0
    assert state_at_set_point(FLOOR_HEAT).power == pytest.approx(expected, rel=0.10)


def test_stuck_heater_is_the_set_point_backwards() -> None:
    for setup in (LID_HEAT, FLOOR_HEAT, ON_THE_MAT, SIDE_HEAT, BATH, replace(LID_HEAT, upper=None)):
        held = state_at_set_point(setup)
        stuck = state_at_power(replace(setup, set_point=25.0), held.power)
        assert stuck.temperatures == pytest.approx(
            held.temperatures, abs=1e-6
        )  # both solved to 1e-9 of the power


def test_stuck_heater_is_near_the_lump() -> None:
    # One lump: 20 °C + P/UA, 15 W 35.6 °C, 30 W 51.2 °C. The network loses more behind a lid mat (24 %) and
    # at the hot top: the mean of the tiers is up to 25 % of the rise lower.
    for power, lump in ((15.0, 35.6), (30.0, 51.2)):
        floor = state_at_power(FLOOR_HEAT, power)
        mean = (floor.upper.medium + floor.lower.medium) / 2.0
        assert mean - 20.0 == pytest.approx(lump - 20.0, rel=0.10)
        lid = state_at_power(LID_HEAT, power)
        mean = (lid.upper.medium + lid.lower.medium) / 2.0
        assert 0.75 * (lump - 20.0) < mean - 20.0 < lump - 20.0


def test_no_heat_leaves_the_room() -> None:
    assert set(state_at_power(LID_HEAT, 0.0).temperatures) == {20.0}


def test_a_heater_that_burns_the_box_has_no_steady_state() -> None:
    with pytest.raises(NoSteadyState, match="would pass 200 °C"):
        state_at_power(replace(LID_HEAT, heater_area=0.005), 60.0)


def test_lid_against_surface_keeps_its_sign() -> None:
    # What passes the medium drops across it: 7 W/m2 through 2 cm at 0.2 W/(m K) is 0.7 K, so lid minus surface is
    # smaller than lid minus mean.
    tier = state_at_set_point(LID_HEAT).upper
    assert 0.0 < tier.lid_minus_surface < tier.lid_minus_medium
    assert tier.medium == pytest.approx((tier.surface + tier.base) / 2.0, abs=1e-12)


def test_a_fan_evens_the_tiers() -> None:
    # The earlier calculation: stirring of 3, 12.5 and 50 W/(m2 K) brings 2.42 K to 2.20, 1.88 and 1.62 K: radiation
    # keeps the rest. Compared as ratios.
    still = spread_of(state_at_set_point(LID_HEAT))
    for stirring, spread in ((3.0, 2.20), (12.5, 1.88), (50.0, 1.62)):
        fan = replace(LID_HEAT, uncertain=Uncertain(stirring=stirring))
        assert spread_of(state_at_set_point(fan)) / still == pytest.approx(spread / 2.42, rel=0.05)


def test_a_poor_lid_costs_about_a_quarter() -> None:
    for setup in (LID_HEAT, FLOOR_HEAT):
        ratio = state_at_set_point(replace(setup, lid_fits="poorly")).power / state_at_set_point(setup).power
        assert 1.15 < ratio < 1.35


def test_dry_medium_condenses_less() -> None:
    dry = replace(EGGS, water_potential=-1e6)
    state = state_at_set_point(replace(FLOOR_HEAT, lower=dry, upper=dry))
    assert state.lower.condensation_per_box < state_at_set_point(FLOOR_HEAT).lower.condensation_per_box


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"heat_place": "in water"}, "come together"),
        ({"heat_source": "water bath"}, "come together"),
        ({"boxes_stand": "on the heater"}, "on the floor"),
        ({"heater_area": 0.25}, "from 0.0001 to 0.24 m2"),
        ({"heater_area": 0.0}, "heater area"),
        ({"heat_place": "ceiling"}, "must be one of lid"),
        ({"heat_source": "candle"}, "must be one of mat"),
        ({"probe": "pocket"}, "medium, air"),
        ({"upper": None, "probe_tier": "upper"}, "must be one of lower"),
        ({"stands_on": "sand"}, "shelf"),
        ({"lid_fits": "fairly"}, "well, poorly"),
        ({"boxes_stand": "on edge"}, "on a rack"),
        ({"room": 60.0}, "from -20 to 50 °C"),
        ({"set_point": 84.0}, "from 5 to 45 °C"),
        ({"inside": BoxSize(0.60, 0.40, 0.17)}, "height of the stacked"),
        ({"lower": replace(EGGS, count=9)}, "floor area"),
        ({"lower": replace(EGGS, count=0)}, "1 or more"),
        ({"lower": replace(EGGS, medium_depth=0.09)}, "medium depth"),
        ({"lower": replace(EGGS, water_potential=5.0)}, "Pa"),
        ({"uncertain": Uncertain(contact=0.0)}, "contact"),
        ({"uncertain": Uncertain(convection_factor=0.0)}, "convection factor"),
        ({"wall_thickness": 0.0}, "wall thickness"),
    ],
)
def test_what_cannot_be_built_is_refused(changes: dict[str, object], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        state_at_set_point(replace(LID_HEAT, **changes))


def test_power_out_of_range_is_refused() -> None:
    with pytest.raises(ValueError, match="from 0 to 2000 W"):
        state_at_power(LID_HEAT, -1.0)
