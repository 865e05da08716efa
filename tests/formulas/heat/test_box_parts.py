"""The parts of the steady network by themselves: layers, places, areas, shares of power, films, units."""

import itertools
import math

import pytest
from msgspec.structs import replace

from advisor.formulas.heat import convection
from advisor.formulas.heat.box_faces import _block_at, _face_at, box_faces
from advisor.formulas.heat.box_geometry import _heater_rectangle, geometry_of, outer_faces
from advisor.formulas.heat.box_links import build_network
from advisor.formulas.heat.box_network import _emitter_temperature, state_at_set_point
from advisor.formulas.heat.box_setup import BoxSetup, Uncertain
from advisor.formulas.heat.heat_balance import Film
from advisor.formulas.heat.insulated_box import BoxSize, box_conductance
from tests.formulas.heat.test_box_network import BATH, EGGS, FLOOR_HEAT, LID_HEAT, ON_THE_MAT, SIDE_HEAT


@pytest.mark.parametrize(
    ("setup", "layers"),
    # Floor to base, to the top of the medium, to the lid or half-way to the base above; the free height in one layer
    # below 6 cm, two below 16 cm, else three.
    [
        (replace(LID_HEAT, upper=None), 5),
        (LID_HEAT, 6),
        (replace(LID_HEAT, inside=BoxSize(0.60, 0.40, 0.50)), 8),
        (replace(LID_HEAT, upper=None, boxes_stand="on the floor"), 4),
    ],
)
def test_layers_of_air(setup: BoxSetup, layers: int) -> None:
    geometry = geometry_of(setup)
    assert len(geometry.depths) == layers == len(geometry.strips)
    assert geometry.bounds[0] == 0.0 and geometry.bounds[-1] == setup.inside.height
    assert min(geometry.depths) > 0.0
    assert sum(geometry.strips) == pytest.approx(2.0 * (0.60 + 0.40) * setup.inside.height)


def test_a_stack_without_room_to_spare_still_has_its_layers() -> None:
    geometry = geometry_of(replace(LID_HEAT, inside=BoxSize(0.60, 0.40, 0.18)))
    assert min(geometry.depths) >= 0.0005  # half of the least gap of 1 mm


def test_egg_boxes_stand_apart_and_within_the_box() -> None:
    for count in range(1, 9):
        boxes = replace(EGGS, count=count, length=0.14, width=0.10)
        prints = geometry_of(replace(LID_HEAT, lower=boxes, upper=None)).tiers[0].footprints
        assert len(prints) == count
        for number, (a, b, c, d) in enumerate(prints):
            assert 0.0 < a < b < 0.60 and 0.0 < c < d < 0.40
            for e, f, g, h in prints[number + 1 :]:
                assert b <= e or f <= a or d <= g or h <= c


@pytest.mark.parametrize(
    ("setup", "heater", "under", "floor_under"),
    # The mat of 40 x 30 cm lies 10 cm from the end walls; two boxes of 20.2 x 15.2 cm stand 6.53 cm from the end walls
    # and apart: 20.2 - 3.47 cm of each, 15.2 cm wide, stand over it.
    [
        (LID_HEAT, 0.12, 0.0, 2 * 0.202 * 0.152),
        (FLOOR_HEAT, 0.12, 2 * (0.202 - 0.0346667) * 0.152, 2 * 0.0346667 * 0.152),
        (ON_THE_MAT, 0.12, 2 * (0.202 - 0.0346667) * 0.152, 2 * 0.0346667 * 0.152),
        (SIDE_HEAT, 0.08, 0.0, 2 * 0.202 * 0.152),
        (replace(FLOOR_HEAT, heater_area=0.24, heater_length=None), 0.2376, 2 * 0.202 * 0.152, 0.0),
    ],
)
def test_areas(setup: BoxSetup, heater: float, under: float, floor_under: float) -> None:
    geometry = geometry_of(setup)
    assert geometry.heater == pytest.approx(heater)
    assert geometry.heater_under_base == pytest.approx(under, abs=1e-5)
    assert geometry.under_base == pytest.approx(floor_under, abs=1e-5)
    assert geometry.between_tiers == pytest.approx(2 * 0.202 * 0.152)
    walls = 0.50 - (geometry.heater if setup is SIDE_HEAT else 0.0)
    assert sum(geometry.strips) == pytest.approx(walls)


ENDLESS = replace(LID_HEAT, heater_area=0.1, heater_length=None, endless=True)
ALL_SIDES = replace(SIDE_HEAT, heat_place="all sides", heater_area=0.2, heater_length=None)
BULB = replace(LID_HEAT, heat_source="bulb", heater_area=0.01, heater_length=None)


@pytest.mark.parametrize(
    "setup",
    [LID_HEAT, FLOOR_HEAT, ON_THE_MAT, SIDE_HEAT, BATH, ALL_SIDES, BULB, ENDLESS]
    + [replace(ENDLESS, heat_place=place, heater_area=0.06) for place in ("floor", "one side", "all sides")],
)
def test_a_ray_that_ends_on_a_patch_finds_its_face(setup: BoxSetup) -> None:
    # Patches and rays cut the box apart, each by itself; together the patches are its whole surface.
    geometry = geometry_of(setup)
    size = length, width, height = geometry.size
    heater = _heater_rectangle(setup, length, width, height)
    faces = box_faces(setup, geometry.tiers, geometry.bounds, size, heater)
    place = {name: number for number, name in enumerate(faces)}
    wall_at = _face_at(setup, geometry.bounds, heater, place)
    block_at = _block_at(geometry.tiers, place)
    around = 0.0
    for name, patches in faces.items():
        for patch in patches:
            tier = next(
                (number for number, each in enumerate(geometry.tiers) if name.startswith(each.name)), -1
            )
            around += patch.area if tier < 0 else 0.0
            for first, second in itertools.product((0.001, 0.5, 0.999), repeat=2):
                at = list(patch.corner)
                at[patch.first[0]] += first * patch.first[1]
                at[patch.second[0]] += second * patch.second[1]
                if tier < 0:
                    assert at[patch.axis] == (0.0 if patch.towards > 0 else size[patch.axis])
                    found = wall_at(patch.axis, int(patch.towards < 0), *at)
                else:
                    found = block_at(tier, patch.axis, int(patch.towards > 0), at[2])
                assert found == place[name], (name, patch)
    ends = 0.0 if setup.endless else 2.0 * width * height
    assert around == pytest.approx(2.0 * length * (width + height) + ends)


@pytest.mark.parametrize("setup", [LID_HEAT, FLOOR_HEAT, ON_THE_MAT, SIDE_HEAT, BATH])
def test_radiation_between_equal_faces_is_nought(setup: BoxSetup) -> None:
    geometry = geometry_of(setup)
    for number, row in enumerate(geometry.exchange):
        assert sum(row) == pytest.approx(0.0, abs=1e-12)
        for other, value in enumerate(row):
            assert value == pytest.approx(
                geometry.exchange[other][number] if geometry.exchange[other] else 0.0, abs=1e-12
            )
            assert value <= 1e-12 or other == number


def test_the_rays_are_traced_once_for_each_geometry() -> None:
    other = replace(LID_HEAT, room=15.0, wall_conductivity=0.03, uncertain=Uncertain(convection_factor=0.8))
    assert geometry_of(other) is geometry_of(LID_HEAT)
    assert geometry_of(replace(LID_HEAT, heater_area=0.11)) is not geometry_of(LID_HEAT)


@pytest.mark.parametrize("place", ["lid", "floor", "one side", "all sides"])
def test_a_bulb_gives_all_its_power_away(place: str) -> None:
    setup = replace(LID_HEAT, heat_source="bulb", heat_place=place, heater_area=0.01, heater_length=None)
    network = build_network(setup)
    assert sum(network.sources) == pytest.approx(1.0, abs=1e-12)
    # 30 % of it warms the air (the other 70 % are radiation, judgement).
    air = [
        share for name, share in zip(network.names, network.sources, strict=True) if name.startswith("air")
    ]
    assert sum(air) == pytest.approx(0.3)


def test_factors_on_the_wall_are_another_wall() -> None:
    # 1e-9 is what the solver leaves.
    factors = replace(LID_HEAT, uncertain=Uncertain(thickness_factor=1.07, conductivity_factor=0.9))
    wall = replace(LID_HEAT, wall_thickness=1.07 * 0.03, wall_conductivity=0.9 * 0.037)
    assert state_at_set_point(factors).power == pytest.approx(state_at_set_point(wall).power, rel=1e-9)


def test_a_poor_lid_leaks_a_quarter_of_the_boxs_conductance_from_the_highest_air() -> None:
    well, poorly = (build_network(replace(LID_HEAT, lid_fits=fit)) for fit in ("well", "poorly"))
    more = [there - here for here, there in zip(well.to_room, poorly.to_room, strict=True)]
    expected = [0.0] * len(more)
    expected[well.names.index("air 5")] = 0.25 * box_conductance(LID_HEAT.inside, 0.03, 0.037)
    assert more == pytest.approx(expected, abs=1e-12)  # rounding


def test_vapour_of_a_water_bath_settles_on_all_that_the_air_touches() -> None:
    # By hand: walls 0.50 m2, ceiling 0.24, floor beside the bath 1 %; two boxes of 20 x 15 cm: lids and bases 0.06 m2,
    # sides 1.4 m times the outer height of 9.2 cm.
    network = build_network(BATH)
    areas = {network.names[path.other]: path.area for path in network.vapour_paths if not path.both_ways}
    assert areas == {name: area for name, area in outer_faces(BATH, geometry_of(BATH)) if name != "heater"}
    total = 0.50 + 0.24 + 0.0024 + 2 * (0.06 + 0.06 + 1.4 * 0.092)
    assert sum(areas.values()) == pytest.approx(total)


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
    return max(film.still + factor * abs(difference) ** exponent, film.least)


@pytest.mark.parametrize("difference", [-2.0, -0.5, 0.5, 2.0])
def test_films_are_the_plate_correlations(difference: float) -> None:
    # Walls 25 cm high; ceiling and floor with area over perimeter, 0.24 m2 over 2 m, but not below conduction over half
    # of their layer of air. A ceiling colder than its air and a floor warmer than its air stir it. 1e-12 is rounding.
    network = build_network(SIDE_HEAT)
    films = {network.names[film.node]: film for film in network.films}
    depths = network.geometry.depths
    # Churchill & Chu 1975, laminar: 0.68 + factor Ra^(1/4).
    laminar = (
        0.68
        + convection.laminar_plate_factor(convection.AIR_PRANDTL)
        * abs(convection.rayleigh_number(difference, 0.25)) ** 0.25
    )
    upright = laminar / 0.25
    level = convection.rayleigh_number(difference, 0.12)
    stirred, calm = (convection.horizontal_plate_nusselt(level, well) / 0.12 for well in (True, False))
    expected = {f"wall {number}": upright for number in range(6)}
    expected["ceiling"] = max(stirred if difference < 0.0 else calm, 2.0 / depths[-1])
    expected["floor"] = max(stirred if difference > 0.0 else calm, 2.0 / depths[0])
    for name, nusselt_per_metre in expected.items():
        own = coefficient(films[name], difference)
        assert own == pytest.approx(nusselt_per_metre * convection.AIR_CONDUCTIVITY, rel=1e-12)


def test_lids_under_lid_heat_lie_in_still_air_whichever_is_warmer() -> None:
    network = build_network(LID_HEAT)
    (lid,) = (film for film in network.films if network.names[film.node] == "upper lid")
    assert (lid.warm_factor, lid.warm_exponent) == (lid.cold_factor, lid.cold_exponent)
    network = build_network(FLOOR_HEAT)
    (lid,) = (film for film in network.films if network.names[film.node] == "upper lid")
    assert lid.warm_exponent == 0.25 and lid.cold_exponent == 0.2


def test_narrow_gaps_under_lid_heat_conduct_in_place_of_films() -> None:
    # Lid to base above 1 cm, base to floor 2 cm; the highest lid is 3.6 cm under the ceiling, no narrow gap.
    network = build_network(LID_HEAT)
    found = {(network.names[gap.lower], network.names[gap.upper]): gap for gap in network.gaps}
    assert set(found) == {("floor", "lower base"), ("lower lid", "upper base")}
    area = 2 * 0.202 * 0.152
    assert found["lower lid", "upper base"].conductance == pytest.approx(0.95 * area * 0.02662 / 0.01)
    assert found["floor", "lower base"].conductance == pytest.approx(0.95 * area * 0.02662 / 0.02)
    touched = {network.names[film.node] for film in network.films}
    assert not touched & {"lower base", "upper base", "lower lid"}
    low = replace(LID_HEAT, inside=BoxSize(0.60, 0.40, 0.23))
    names = build_network(low)
    assert ("upper lid", "heater core") in {(names.names[g.lower], names.names[g.upper]) for g in names.gaps}


def test_an_endless_box_has_boxes_without_ends() -> None:
    strip = replace(
        LID_HEAT, inside=BoxSize(1.0, 0.40, 0.25), heater_area=0.3, heater_length=None, endless=True
    )
    geometry = geometry_of(replace(strip, lower=replace(EGGS, length=1.0, count=1), upper=None))
    ((a, b, c, d),) = geometry.tiers[0].footprints
    assert math.isinf(a) and math.isinf(b) and (c, d) == pytest.approx((0.124, 0.276))
    assert sum(geometry.strips) == pytest.approx(0.5)
    assert geometry.heater == pytest.approx(0.3) and geometry.ceiling == pytest.approx(0.1)
