"""The parts of the steady network by themselves: geometry, shares of view, shares of power, units."""

from dataclasses import replace

import pytest

from advisor.physics import convection
from advisor.physics.box_links import build_network
from advisor.physics.box_network import (
    NoSteadyState,
    _emitter_temperature,
    grams_per_day,
    state_at_set_point,
)
from advisor.physics.box_setup import BoxSetup, Uncertain
from advisor.physics.box_surfaces import areas_of, lid_share_in_upper_air, sources_of, surfaces_of
from advisor.physics.foam_box import box_conductance
from advisor.physics.heat_balance import Film
from tests.physics.test_box_network import BATH, EGGS, FLOOR_HEAT, LID_HEAT, SIDE_HEAT


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


def test_factors_on_the_wall_are_another_wall() -> None:
    # 1e-9 is what the solver leaves.
    factors = replace(LID_HEAT, uncertain=Uncertain(thickness_factor=1.07, conductivity_factor=0.9))
    wall = replace(LID_HEAT, wall_thickness=1.07 * 0.03, wall_conductivity=0.9 * 0.035)
    assert state_at_set_point(factors).power == pytest.approx(state_at_set_point(wall).power, rel=1e-9)


def test_a_poor_lid_leaks_a_quarter_of_the_boxs_conductance_from_the_upper_air() -> None:
    well, poorly = (build_network(replace(LID_HEAT, lid_fits=fit)) for fit in ("well", "poorly"))
    more = [there - here for here, there in zip(well.to_room, poorly.to_room, strict=True)]
    expected = [0.0] * len(more)
    expected[well.names.index("upper air")] = 0.25 * box_conductance(LID_HEAT.inside, 0.03, 0.035)
    assert more == pytest.approx(expected, abs=1e-12)  # rounding


def test_the_layers_of_air_lie_half_the_height_apart() -> None:
    layers = build_network(LID_HEAT).air_layers
    assert (layers.depth, layers.area) == pytest.approx((0.125, 0.24))


def test_vapour_of_a_water_bath_settles_on_all_that_the_air_touches() -> None:
    # By hand: ceiling and floor beside the bath (99 % of the floor), half of the walls for each layer; two boxes of
    # 20 x 15 cm: lids with half of the sides above the medium, bases with the sides below it (5 and 4 cm).
    network = build_network(BATH)
    areas = {network.names[path.other]: path.area for path in network.vapour_paths if not path.both_ways}
    expected = {"ceiling": 0.24, "floor": 0.0024, "upper sides": 0.25, "lower sides": 0.25}
    expected |= {f"{tier} lid": 0.06 + 4 * 0.35 * 0.05 / 2 for tier in ("lower", "upper")}
    expected |= {f"{tier} medium": 0.06 + 4 * 0.35 * 0.04 for tier in ("lower", "upper")}
    assert areas == pytest.approx(expected)


@pytest.mark.parametrize("power", [5.0, 60.0])
def test_an_emitter_radiates_its_share(power: float) -> None:
    # Grey body: share x power = emissivity x sigma x area x (T^4 - T_s^4); emissivity 0.9, share 70 % (from memory).
    setup = replace(LID_HEAT, heat_source="ceramic emitter", heater_area=0.015)
    hot = _emitter_temperature(setup, power, 30.0)
    radiated = 0.9 * 5.670374e-8 * 0.015 * ((hot + 273.15) ** 4 - 303.15**4)
    assert radiated == pytest.approx(0.7 * power, rel=1e-9)  # rounding of a difference of fourth powers


def coefficient(film: Film, difference: float) -> float:
    """Heat coefficient [W/(m2 K)] of a surface that is warmer than its air by the difference [K]."""
    factor, exponent = film.warm_factor, film.warm_exponent
    if difference < 0.0:
        factor, exponent = film.cold_factor, film.cold_exponent
    return film.still + factor * abs(difference) ** exponent


@pytest.mark.parametrize("difference", [-2.0, -0.5, 0.5, 2.0])
def test_films_are_the_plate_correlations(difference: float) -> None:
    # Walls 25 cm high; ceiling and floor with area over perimeter, 0.24 m2 over 2 m. A ceiling colder than its air and a
    # floor warmer than its air stir it. 1e-12 is rounding.
    network = build_network(LID_HEAT)
    films = {network.names[film.node]: film for film in network.films}
    upright = convection.vertical_plate_nusselt(convection.rayleigh_number(difference, 0.25)) / 0.25
    level = convection.rayleigh_number(difference, 0.12)
    stirred, calm = (convection.horizontal_plate_nusselt(level, well) / 0.12 for well in (True, False))
    expected = {"upper sides": upright, "lower sides": upright}
    expected["ceiling"] = stirred if difference < 0.0 else calm
    expected["floor"] = stirred if difference > 0.0 else calm
    for name, nusselt_per_metre in expected.items():
        own = coefficient(films[name], difference)
        assert own == pytest.approx(nusselt_per_metre * convection.AIR_CONDUCTIVITY, rel=1e-12)
    assert films["upper sides"].area == pytest.approx(0.25)


def test_lids_that_reach_half_way_up_are_shared_by_both_airs() -> None:
    boxes = replace(EGGS, height=0.125)
    network = build_network(replace(LID_HEAT, upper=None, boxes_stand="on the floor", lower=boxes))
    lids = [film for film in network.films if network.names[film.node] == "lower lid"]
    # Flat lids of 0.06 m2, and half of the sides above the medium: 4 x 0.35 m x 8.5 cm / 2.
    for air in ("upper air", "lower air"):
        areas = sorted(film.area for film in lids if network.names[film.other] == air)
        assert areas == pytest.approx([4 * 0.35 * 0.085 / 4, 0.03])
