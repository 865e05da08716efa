"""Doors, windows, vents and a fan of the outer box: published values, balances worked by hand, and nothing made or lost."""

import math
from typing import Any

import pytest
from msgspec.structs import replace

from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.air.vents import stack_flow
from advisor.formulas.heat.box_network import state_at_power, state_at_set_point
from advisor.formulas.heat.box_setup import BoxSetup, OpenHoles, Uncertain
from advisor.formulas.heat.convection import (
    AIR_CONDUCTIVITY,
    AIR_HEAT_PER_VOLUME,
    AIR_VISCOSITY,
    forced_film,
    forced_plate_nusselt,
)
from advisor.formulas.heat.fresh_air import vents_flow
from advisor.formulas.heat.glazing import double_glass_resistance, part_resistance
from advisor.formulas.heat.insulated_box import (
    BoxWall,
    Pane,
    level_conductance,
    strip_conductances,
    with_panes,
)
from tests.formulas.heat.books import books_of
from tests.formulas.heat.test_box_network import BATH, FLOOR_HEAT, LID_HEAT, SIDE_HEAT

BULB = replace(LID_HEAT, heat_source="bulb", heater_area=0.005, heater_length=None)
KINDS = {"lid": LID_HEAT, "floor": FLOOR_HEAT, "side": SIDE_HEAT, "bath": BATH, "bulb": BULB}
DOOR = Pane(False, 0.9 * 0.60 * 0.25, part_resistance("glass", 0.004))
SKYLIGHT = Pane(True, 0.3 * 0.60 * 0.40, part_resistance("double glass", 0.020))
WITH: dict[str, dict[str, Any]] = {
    "door and skylight": {"panes": (DOOR, SKYLIGHT)},
    "vents at two heights": {"vents": OpenHoles(3, 0.02, "high and low")},
    "vents in the lid": {"vents": OpenHoles(3, 0.04, "lid")},
    "vents low": {"vents": OpenHoles(3, 0.02, "low")},
    "fan": {"fan_power": 2.0, "uncertain": Uncertain(air_speed=0.3)},
    "fan with the heater": {"fan_share": 0.2, "uncertain": Uncertain(air_speed=0.15)},
}


def stirred(setup: BoxSetup, speed: float, watts: float = 0.0) -> BoxSetup:
    return replace(setup, fan_power=watts, uncertain=replace(setup.uncertain, air_speed=speed))


def test_forced_convection_of_a_worked_example() -> None:
    # Incropera 6th edition, example 7.1: air at 10 m/s along 0.5 m, Re 9597, Pr 0.687, k 0.0364: Nu 57.4, 4.18 W/(m2 K).
    nusselt = forced_plate_nusselt(9597.0, 0.687)
    assert nusselt == pytest.approx(57.4, abs=0.05)
    assert nusselt * 0.0364 / 0.5 == pytest.approx(4.18, abs=0.01)
    # By hand at 0.3 m/s along 0.3 m: Re 5609, Nu 0.664 x 74.9 x 0.891 = 44.3.
    assert pytest.approx(5609, abs=1) == 0.3 * 0.3 / AIR_VISCOSITY
    assert forced_film(0.3, 0.3) == pytest.approx(44.3 * AIR_CONDUCTIVITY / 0.3, rel=2e-3)


@pytest.mark.parametrize(("gap", "value"), [(0.006, 3.3), (0.012, 2.8), (0.016, 2.7)])
def test_double_glass_has_its_published_u_value(gap: float, value: float) -> None:
    # ISO 10077-1, table of uncoated double glazing filled with air, 4-6-4, 4-12-4 and 4-16-4 mm, from memory; films 0.17, mean
    # 10 °C, printed to a tenth.
    u_value = 1.0 / (double_glass_resistance(gap + 0.008, 10.0) + 0.17)
    assert u_value == pytest.approx(value, abs=0.1)


def test_a_single_pane_has_its_published_u_value() -> None:
    # Uncoated 4 mm: 5.8 W/(m2 K) with films of 0.13 and 0.04 (ISO 10077-1, from memory).
    assert 1.0 / (part_resistance("glass", 0.004) + 0.17) == pytest.approx(5.8, abs=0.06)


def test_double_glass_without_room_for_air_is_refused() -> None:
    with pytest.raises(NoSolution, match="leaves no air"):
        double_glass_resistance(0.009)


def test_a_face_with_a_pane_has_the_area_weighted_u_value() -> None:
    # ISO 10077-1 by hand: 1 m2, half wall of 1.08 m2 K/W, half glass of 0.004, films 0.13 on each side:
    # 0.5/1.34 + 0.5/0.264 = 2.267 W/K; less the inner film of the whole, 1/(1/2.267 - 0.13) = 3.215 W/K.
    wall = 1.0 / (1.08 + 0.13)
    glass = Pane(False, 0.5, 0.004)
    assert with_panes(wall, 1.0, [glass]) == pytest.approx(3.215, rel=1e-3)
    # Two small panes are one large one; one as good as the wall changes nothing.
    halves = [replace(glass, area=0.2), replace(glass, area=0.3)]
    assert with_panes(wall, 1.0, halves) == pytest.approx(with_panes(wall, 1.0, [glass]), rel=1e-12)
    assert with_panes(wall, 1.0, [Pane(False, 0.5, 1.08)]) == pytest.approx(wall, rel=1e-12)


def test_the_stack_flow_is_that_of_two_orifices_with_one_neutral_level() -> None:
    # By hand: 9 K at 297.65 K, g' = 9.80665 x 9/297.65 = 0.29652; two openings of 1 cm2, 20 cm apart: 0.6 x 0.70711e-4 x
    # (2 x 0.29652 x 0.2)^0.5 = 1.4612e-5 m3/s.
    assert stack_flow(1e-4, 1e-4, 0.2, 0.29652) == pytest.approx(1.4612e-5, rel=1e-4)
    # Unequal ones: the level at which the pressures are equal, by halving, lets as much in as out (ASHRAE's form).
    low, high = 0.0, 0.2
    while high - low > 1e-12:
        level = (low + high) / 2.0
        comes_in, leaves = 1e-4 * math.sqrt(level), 3e-4 * math.sqrt(0.2 - level)
        low, high = (level, high) if comes_in < leaves else (low, level)
    assert stack_flow(1e-4, 3e-4, 0.2, 0.29652) == pytest.approx(
        0.6e-4 * math.sqrt(2 * 0.29652 * low), rel=1e-6
    )


def test_vents_at_two_heights_pass_more_than_at_one() -> None:
    both, lid, low = (
        vents_flow(OpenHoles(2, 0.02, where), 0.25, 0.03, 29.0, 20.0)
        for where in ("high and low", "lid", "low")
    )
    assert both > 3.0 * max(lid, low)
    assert min(lid, low) > 0.0
    assert vents_flow(OpenHoles(2, 0.02, "high and low"), 0.25, 0.03, 20.0, 20.0) == 0.0


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("more", WITH)
def test_nothing_is_made_or_lost(kind: str, more: str) -> None:
    setup = replace(KINDS[kind], **WITH[more])
    states = [state_at_set_point(setup), state_at_power(setup, 12.0), state_at_power(setup, 0.0)]
    for state in states:
        books = books_of(setup, state)
        heat = state.power * (1.0 + setup.fan_share) + setup.fan_power
        assert books.lost == pytest.approx(heat, rel=1e-9, abs=1e-9)
        assert abs(books.residual) < 1e-9


def test_a_stirred_box_is_the_well_mixed_box_worked_by_hand() -> None:
    # All heat goes into the air, which a fan moves. By hand: each face loses to the room through its inner film and wall in a
    # row, from air of one temperature. What the egg boxes radiate to the walls makes the inner film somewhat better than
    # forced convection alone: between that and 5.5 W/(m2 K) more (radiation of black faces at 25 °C is 6.0, theirs 0.9 of it).
    plain = replace(
        BULB, uncertain=Uncertain(air_speed=0.5, air_changes=0.0, radiant_share=0.0), fan_power=2.0
    )
    state = state_at_set_point(plain)
    air = sum(state.air) / len(state.air)
    assert max(state.air) - min(state.air) < 0.3  # of 10 K over the room: all heat enters at the top
    size, wall = (0.60, 0.40, 0.25), BoxWall(0.03, 0.037)
    (sides,) = strip_conductances(size, (0.0, 0.25), wall)
    faces = (
        (sides, 0.5, 0.25),
        (level_conductance(size, wall, "ceiling"), 0.24, 0.48),
        (level_conductance(size, wall, "floor"), 0.24, 0.48),
    )

    def worked(radiation: float) -> float:
        each = (
            1.0 / (1.0 / out + 1.0 / ((forced_film(0.5, length) + radiation) * area))
            for out, area, length in faces
        )
        return sum(each) * (air - 20.0)

    assert worked(0.0) < state.power + 2.0 < worked(5.5)
    assert worked(5.5) / worked(0.0) < 1.15  # so that the two bounds say something


@pytest.mark.parametrize("kind", KINDS)
def test_the_faster_the_air_the_nearer_are_the_layers(kind: str) -> None:
    steps = [0.0, 0.05, 0.1, 0.3, 1.0, 3.0]
    states = [state_at_set_point(stirred(KINDS[kind], speed)) for speed in steps]
    apart = [max(state.air) - min(state.air) for state in states]
    assert apart == sorted(apart, reverse=True)
    assert apart[-1] < 0.1
    # With moving air the two layers of eggs end near each other, though they still see heater and walls.
    assert abs(states[-1].spread or 0.0) < 0.5 * abs(states[0].spread or 0.0)


@pytest.mark.parametrize("kind", KINDS)
def test_the_watts_of_a_fan_spare_the_heater(kind: str) -> None:
    without, with_it = (state_at_set_point(stirred(KINDS[kind], 0.3, watts)) for watts in (0.0, 2.0))
    # Heat in the air instead of at the heater: what goes straight through the wall behind the heater is spared as well.
    assert without.power - with_it.power == pytest.approx(2.0, rel=0.25)


# All heat enters the air of the whole box: nothing passes straight through the wall behind a heater.
AIR_HEATED = replace(BULB, uncertain=Uncertain(air_speed=1.0, radiant_share=0.0))


def loss_of(setup: BoxSetup) -> float:
    """Loss for each kelvin of the air over the room [W/K]."""
    state = state_at_set_point(setup)
    return state.power / (sum(state.air) / len(state.air) - setup.room)


def test_a_door_costs_what_its_u_value_says() -> None:
    # ISO 6946 by hand: 0.135 m2, glass 1/0.264 against foam 1/(0.03/0.037 + 0.26) = 3.788 - 0.934: 0.385 W/K. The films
    # inside are a fan's and the boxes' radiation, 10 W/(m2 K) in place of 7.7: a tenth is left.
    more = loss_of(replace(AIR_HEATED, panes=(DOOR,))) - loss_of(AIR_HEATED)
    assert more == pytest.approx(0.385, rel=0.12)


def test_fresh_air_costs_what_it_carries() -> None:
    vents = OpenHoles(4, 0.02, "high and low")
    flow = vents_flow(vents, 0.25, 0.03, 29.0, 20.0)
    more = loss_of(replace(AIR_HEATED, vents=vents)) - loss_of(AIR_HEATED)
    assert more == pytest.approx(AIR_HEAT_PER_VOLUME * flow, rel=0.05)


def test_room_air_that_comes_in_low_cools_what_stands_low() -> None:
    vents = OpenHoles(4, 0.02, "high and low")
    bare, aired = state_at_set_point(LID_HEAT), state_at_set_point(replace(LID_HEAT, vents=vents))
    assert aired.air[0] < bare.air[0]
    assert (aired.spread or 0.0) > (bare.spread or 0.0)
