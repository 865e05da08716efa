"""Boxes of odd shapes: the watts are those of a loss worked out face by face, and nothing jumps or turns its sign."""

from itertools import pairwise
from statistics import fmean
from typing import Any

import pytest
from msgspec.structs import replace

from advisor.formulas.heat.box_network import BoxState, state_at_set_point
from advisor.formulas.heat.box_setup import BoxSetup
from advisor.formulas.heat.insulated_box import BoxSize
from tests.formulas.heat.books import books_of
from tests.formulas.heat.test_box_network import EGGS, LID_HEAT

SMALL = replace(EGGS, count=1, length=0.16, width=0.12, height=0.07, medium_depth=0.03)
FOUR = replace(EGGS, count=4, length=0.18, width=0.13)
ODD: dict[str, dict[str, Any]] = {
    "tall": {"inside": BoxSize(0.4, 0.4, 0.6)},
    "flat": {"inside": BoxSize(0.8, 0.5, 0.25)},
    "small": {"inside": BoxSize(0.3, 0.2, 0.2), "heater_area": 0.03, "lower": SMALL, "upper": None},
    "mat all over": {"heater_area": 0.23, "heater_length": 0.59},
    "tiny mat": {"heater_area": 0.015, "heater_length": 0.15},
    "four boxes a tier": {"lower": FOUR, "upper": FOUR},
    "thick wall": {"wall_thickness": 0.06},
    "extruded foam": {"wall_conductivity": 0.033},
    "polyurethane": {"wall_conductivity": 0.025},
    "cold room": {"room": 10.0},
}
OUTSIDE = 8.0  # W/(m2 K), films outside: a still room, ISO 6946 (0.13 m2 K/W)
PLACES = ("lid", "floor", "one side")


def box(name: str, place: str) -> BoxSetup:
    changes = dict(ODD[name])
    if place == "one side":  # the wall takes no more
        changes |= {"heater_area": min(changes.get("heater_area", 0.08), 0.08), "heater_length": None}
    return replace(LID_HEAT, heat_place=place, **changes)


def by_hand(setup: BoxSetup, state: BoxState) -> float:
    """Loss [W], face by face at its own temperature: foam and the film outside, edges and corners, leaks.

    Langmuir, Adams & Meikle 1913: an edge of length L carries 0.54 k L, a corner 0.15 k t; the edges at the mean temperature of
    the faces, the heater by its share of its face. Air 1.2 kg/m3 of 1005 J/(kg K), changed 0.2 times an hour.
    """
    length, width, height = setup.inside.length, setup.inside.width, setup.inside.height
    thick, foam = setup.wall_thickness, setup.wall_conductivity
    flat, around = length * width, 2 * (length + width) * height
    hot = setup.heater_area
    on = {"lid": "ceiling", "floor": "floor", "one side": "walls"}[setup.heat_place]
    areas = {"ceiling": flat, "floor": flat, "walls": around}
    walls = fmean(books_of(setup, state).walls)
    bare = {"ceiling": state.ceiling, "floor": state.floor, "walls": walls}
    heat = 0.0
    for face, area in areas.items():
        share = hot / area if face == on else 0.0
        mean = share * state.heater + (1 - share) * bare[face] - setup.room
        heat += area / (thick / foam + 1 / OUTSIDE) * mean
    middle = (state.ceiling + state.floor + 2 * bare["walls"]) / 4 - setup.room
    heat += (0.54 * foam * 4 * (length + width + height) + 8 * 0.15 * foam * thick) * middle
    air = sum(state.air) / len(state.air) - setup.room
    return heat + 1.2 * 1005 * 0.2 / 3600 * flat * height * air


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("name", ODD)
def test_watts_of_an_odd_box_are_those_of_a_loss_by_hand(name: str, place: str) -> None:
    setup = box(name, place)
    state = state_at_set_point(setup)
    assert state.power == pytest.approx(by_hand(setup, state), rel=0.12)


@pytest.mark.parametrize("name", ODD)
def test_signs_of_an_odd_box_are_those_of_its_heat(name: str) -> None:
    """Under a warm lid all is warmer the higher it lies; over a warm floor lower lids are the colder ones."""
    lid, floor = state_at_set_point(box(name, "lid")), state_at_set_point(box(name, "floor"))
    assert all(below < above for below, above in pairwise(lid.air))
    tiers = [tier for tier in (lid.lower, lid.upper) if tier is not None]
    assert all(tier.lid_minus_medium > 0 for tier in tiers)
    assert floor.lower.lid_minus_medium < 0
    assert lid.spread is None or lid.spread > 0
    assert floor.spread is None or floor.spread < 0


@pytest.mark.parametrize("place", PLACES)
def test_what_makes_a_box_lose_more_makes_it_need_more(place: str) -> None:
    def powers(field: str, values: tuple[float, ...]) -> list[float]:
        setup = box("flat", place)
        return [state_at_set_point(replace(setup, **{field: value})).power for value in values]

    for field, values in (
        ("wall_conductivity", (0.020, 0.025, 0.031, 0.037, 0.045)),
        ("room", (26.0, 22.0, 18.0, 14.0, 10.0, 5.0)),
        ("wall_thickness", (0.08, 0.06, 0.045, 0.03, 0.02)),
    ):
        found = powers(field, values)
        assert all(less < more for less, more in pairwise(found)), (field, found)
