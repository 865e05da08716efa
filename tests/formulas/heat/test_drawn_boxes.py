"""The network of boxes that are drawn at random, and how its states move with the uncertain inputs."""

import random
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from advisor.formulas.heat.box_network import moved_states, state_at_set_point
from advisor.formulas.heat.box_setup import (
    UNCERTAIN_RANGES,
    BoxesStand,
    BoxSetup,
    EggBoxes,
    HeatPlace,
    Uncertain,
)
from advisor.formulas.heat.heat_balance import NoSteadyState
from advisor.formulas.heat.insulated_box import BoxSize
from tests.formulas.heat.test_box_network import (
    BATH,
    FLOOR_HEAT,
    LID_HEAT,
    SIDE_HEAT,
    residual_is_nought,
)

STANDS: tuple[BoxesStand, ...] = ("on a rack", "on the floor")
STANDS_OVER_HEATER: tuple[BoxesStand, ...] = (*STANDS, "on the heater")


def foam_box_plan(chance: random.Random, place: HeatPlace) -> BoxSetup:
    """A plausible foam box: 20 to 60 mm of foam, well-fitting lid, room 3 to 14 K under the set point."""
    length, width, height = chance.uniform(0.3, 0.8), chance.uniform(0.25, 0.5), chance.uniform(0.2, 0.35)
    two = height > 0.24 and chance.random() < 0.5
    box_length, box_width = chance.uniform(0.12, 0.25), chance.uniform(0.1, 0.2)
    box_height = chance.uniform(0.07, min(0.12, (height - 0.02) / (2 if two else 1)))

    def tier() -> EggBoxes:
        most = int(0.8 * length * width / (box_length * box_width))
        depth = chance.uniform(0.03, min(0.06, box_height - 0.02))
        return EggBoxes(chance.randint(1, max(1, min(4, most))), box_length, box_width, box_height, depth)

    set_point = chance.uniform(25.0, 33.0)
    drawn = {known.name: chance.uniform(known.low, known.high) for known in UNCERTAIN_RANGES}
    return BoxSetup(
        inside=BoxSize(length, width, height),
        wall_thickness=chance.uniform(0.02, 0.06),
        wall_conductivity=chance.uniform(0.026, 0.041),
        room=set_point - chance.uniform(3.0, 14.0),
        set_point=set_point,
        heat_source=chance.choice(["mat", "cable"]),
        heat_place=place,
        heater_area=length * width * chance.uniform(0.15, 0.95),
        lower=tier(),
        upper=tier() if two else None,
        boxes_stand=chance.choice(STANDS_OVER_HEATER if place == "floor" else STANDS),
        probe=chance.choice(["medium", "air"]),
        probe_tier=chance.choice(["lower", "upper"]) if two else "lower",
        uncertain=Uncertain(**drawn),
    )


@pytest.mark.parametrize("place", ["lid", "floor"])
def test_lid_is_warmer_under_lid_heat_and_colder_over_floor_heat(place: HeatPlace) -> None:
    # Over a floor heater that holds for the lower tier; the warm air that gathers under the ceiling may turn it round for
    # an upper one, as in two of the computed boxes.
    chance = random.Random(20270502)
    for _ in range(150):
        setup = foam_box_plan(chance, place)
        state = state_at_set_point(setup)
        residual_is_nought(setup, state)
        if place == "floor":
            assert state.lower.lid_minus_surface < 0.0 < state.lower.condensation_per_box, setup
            continue
        for tier in (state.lower, state.upper):
            if tier is not None:
                assert tier.lid_minus_surface > 0.0 == tier.condensation_per_box, setup


def test_every_kind_of_set_up_settles_or_says_why() -> None:
    chance = random.Random(7)
    for _ in range(300):
        place = chance.choice(["one side", "all sides", "in water", "lid", "floor"])
        setup = foam_box_plan(chance, "floor" if place == "in water" else "lid")
        source = "water bath" if place == "in water" else chance.choice(["mat", "bulb", "ceramic emitter"])
        area = setup.heater_area if source in ("mat", "water bath") else chance.uniform(0.005, 0.03)
        area = min(area, 0.9 * setup.inside.height * setup.inside.length)
        stand = (
            "on a rack" if setup.boxes_stand == "on the heater" and place != "in water" else setup.boxes_stand
        )
        setup = replace(setup, heat_place=place, heat_source=source, heater_area=area, boxes_stand=stand)
        try:
            residual_is_nought(setup, state_at_set_point(setup))
        except NoSteadyState as reason:
            assert "200 °C" in str(reason)


@given(st.floats(16.0, 28.0), st.floats(0.1, 1.0))
@settings(max_examples=40, deadline=None)
def test_a_colder_room_needs_more_power(room: float, colder: float) -> None:
    for setup in (LID_HEAT, FLOOR_HEAT):
        assert (
            state_at_set_point(replace(setup, room=room - colder)).power
            > state_at_set_point(replace(setup, room=room)).power
        )


def test_a_start_changes_nothing_but_the_time() -> None:
    near = state_at_set_point(replace(LID_HEAT, wall_conductivity=0.037))
    warm, cold = state_at_set_point(LID_HEAT, near), state_at_set_point(LID_HEAT)
    assert warm.temperatures == pytest.approx(cold.temperatures, abs=1e-7)  # both solved to 1e-9 of the power
    assert (
        state_at_set_point(replace(LID_HEAT, upper=None), near).power > 0.0
    )  # a start of another shape is left aside


def test_uncertain_ranges_cover_every_field_and_enclose_the_default() -> None:
    defaults = Uncertain()
    # A fan is told, not guessed: what it stirs has its range where the plan is read, and only with a fan.
    named = [name for name in Uncertain.__struct_fields__ if name not in ("stirring", "air_speed")]
    assert [known.name for known in UNCERTAIN_RANGES] == named
    for known in UNCERTAIN_RANGES:
        assert known.low <= getattr(defaults, known.name) <= known.high
        if told := re.findall(r"±(\d+) %", known.source):  # the widest that is told
            assert (known.low, known.high) == (1 - int(told[-1]) / 100, 1 + int(told[-1]) / 100)
        for value in (known.low, known.high):
            changed = replace(LID_HEAT, uncertain=replace(defaults, **{known.name: value}))
            residual_is_nought(changed, state_at_set_point(changed))


MOVED = {
    "lid": LID_HEAT,
    "floor": FLOOR_HEAT,
    "side": SIDE_HEAT,
    "bath": BATH,
    "bulb": replace(LID_HEAT, heat_source="bulb", heater_area=0.005, heater_length=None),
    "one tier, air": replace(LID_HEAT, upper=None, probe="air"),
}


@pytest.mark.parametrize("setup", MOVED.values(), ids=MOVED.keys())
def test_states_moved_by_the_slopes_are_those_solved_again(setup: BoxSetup) -> None:
    # A hundredth of each range: the slopes are exact, what is left is of second order.
    state = state_at_set_point(setup)
    changed = []
    for known in UNCERTAIN_RANGES:
        default = getattr(setup.uncertain, known.name)
        value = default + 0.01 * (known.high - default)
        changed.append(replace(setup, uncertain=replace(setup.uncertain, **{known.name: value})))
    changed.append(replace(setup, room=setup.room + 0.05))
    changed.append(replace(setup, set_point=setup.set_point + 0.05))
    for other, moved in zip(changed, moved_states(setup, state, changed), strict=True):
        solved = state_at_set_point(other)
        for ours, theirs, before in zip(
            moved.temperatures, solved.temperatures, state.temperatures, strict=True
        ):
            assert ours - before == pytest.approx(theirs - before, rel=0.02, abs=3e-4)
        assert moved.power - state.power == pytest.approx(solved.power - state.power, rel=0.02, abs=3e-4)


def test_the_probe_may_move_to_the_other_tier() -> None:
    state = state_at_set_point(LID_HEAT)
    (moved,) = moved_states(LID_HEAT, state, [replace(LID_HEAT, probe_tier="upper")])
    solved = state_at_set_point(replace(LID_HEAT, probe_tier="upper"))
    assert moved.upper.medium == pytest.approx(29.0, abs=1e-9)
    assert moved.lower.medium == pytest.approx(solved.lower.medium, abs=0.02)
    assert moved.power == pytest.approx(solved.power, rel=0.005)
