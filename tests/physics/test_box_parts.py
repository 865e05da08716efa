"""The parts of the steady network by themselves: geometry, shares of view, shares of power, units."""

from dataclasses import replace

import pytest

from advisor.physics.box_network import NoSteadyState, grams_per_day, state_at_set_point
from advisor.physics.box_setup import BoxSetup, Uncertain
from advisor.physics.box_surfaces import areas_of, lid_share_in_upper_air, sources_of, surfaces_of
from tests.physics.test_box_network import EGGS, FLOOR_HEAT, LID_HEAT, SIDE_HEAT


def test_a_kilogram_in_a_day_is_a_thousand_grams_a_day() -> None:
    assert grams_per_day(1.0 / 86400.0) == pytest.approx(1000.0, rel=1e-12)  # rounding


@pytest.mark.parametrize(
    ("stand", "height", "share"),
    # 25 cm high: the layers lie at a quarter, 6.25 cm, and at three quarters, 18.75 cm. A rack lifts by 2 cm (judgement).
    [
        ("on the floor", 0.05, 0.0),
        ("on the floor", 0.0625, 0.0),
        ("on the floor", 0.125, 0.5),
        ("on the floor", 0.1875, 1.0),
        ("on the floor", 0.2, 1.0),
        ("on a rack", 0.105, 0.5),
    ],
)
def test_how_far_the_lids_of_one_layer_reach_up(stand: str, height: float, share: float) -> None:
    setup = replace(LID_HEAT, upper=None, boxes_stand=stand, lower=replace(EGGS, height=height))
    assert lid_share_in_upper_air(setup) == pytest.approx(share, abs=1e-12)  # rounding


LITTLE_VIEW = replace(LID_HEAT, uncertain=Uncertain(view_of_boxes=0.4))


@pytest.mark.parametrize("setup", [LID_HEAT, FLOOR_HEAT, SIDE_HEAT, LITTLE_VIEW])
def test_what_a_surface_sees_adds_up_to_one(setup: BoxSetup) -> None:
    # Both layers alike and on a rack, so that ceiling and floor see the same; 1e-12 is rounding.
    surfaces = surfaces_of(setup, areas_of(setup))
    for view in (surfaces.from_ceiling, surfaces.from_floor):
        assert sum(view.values()) + surfaces.opposite == pytest.approx(1.0, abs=1e-12)
    for patches in (surfaces.upper_sides, surfaces.lower_sides):
        assert sum(patches.values()) == pytest.approx(1.0, abs=1e-12)
    for patches in (surfaces.ceiling, surfaces.floor):
        assert sum(patches.values()) == pytest.approx(0.24, abs=1e-12)  # 60 x 40 cm


@pytest.mark.parametrize("place", ["lid", "floor", "one side", "all sides"])
def test_a_bulb_gives_all_its_power_away(place: str) -> None:
    setup = replace(LID_HEAT, heat_source="bulb", heat_place=place, heater_area=0.01)
    sources = sources_of(setup, surfaces_of(setup, areas_of(setup)))
    assert sum(sources.values()) == pytest.approx(1.0, abs=1e-12)
    # 30 % of it warms the air (the other 70 % are radiation, judgement).
    assert sum(share for name, share in sources.items() if name.endswith("air")) == pytest.approx(0.3)


def test_a_bulb_at_the_side_lights_walls_boxes_ceiling_and_floor() -> None:
    # 0.50, 0.20, 0.15 and 0.15 of its 70 % of radiation, the rest shared by both layers of air (judgement).
    setup = replace(LID_HEAT, heat_source="bulb", heat_place="one side", heater_area=0.01)
    sources = sources_of(setup, surfaces_of(setup, areas_of(setup)))
    expected = {"ceiling": 0.105, "floor": 0.105, "upper sides": 0.175, "lower sides": 0.175}
    expected |= {"lower medium": 0.07, "upper medium": 0.07, "upper air": 0.15, "lower air": 0.15}
    assert sources == pytest.approx(expected)


@pytest.mark.parametrize(
    ("changes", "heater", "contact_heater", "contact_floor"),
    # The floor is 0.24 m2, the mat 0.12 m2, two boxes of 20 x 15 cm cover 0.06 m2, of which 99 % count (judgement).
    [
        ({}, 0.12, 0.0, 0.0),
        ({"boxes_stand": "on the heater"}, 0.12, 0.0594, 0.0),
        ({"boxes_stand": "on the floor"}, 0.12, 0.0297, 0.0297),
        ({"boxes_stand": "on the floor", "heat_place": "lid"}, 0.12, 0.0, 0.0594),
        ({"heater_area": 0.24}, 0.2376, 0.0, 0.0),
    ],
)
def test_areas(
    changes: dict[str, object], heater: float, contact_heater: float, contact_floor: float
) -> None:
    areas = areas_of(replace(FLOOR_HEAT, **changes))
    own = (areas.flat, areas.half_walls, areas.heater, areas.contact_heater, areas.contact_floor)
    assert own == pytest.approx((0.24, 0.25, heater, contact_heater, contact_floor))


def test_eggs_warm_a_box_in_a_room_at_its_set_point() -> None:
    with pytest.raises(NoSteadyState, match="warmth of the eggs"):
        state_at_set_point(replace(LID_HEAT, room=29.0, lower=replace(EGGS, egg_heat=0.5)))
