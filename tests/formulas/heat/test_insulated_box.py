"""Heat loss of a box against textbook examples and printed values."""

from collections.abc import Callable
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.formulas.heat import insulated_box as foam_box
from advisor.formulas.heat.insulated_box import BoxSize

BOX = BoxSize(0.60, 0.40, 0.25)  # the 60-litre box that the figures below were worked for


def with_equal_films(
    size: BoxSize, thickness: float, conductivity: float, inside: float, outside: float
) -> float:
    """Conductance [W/K] with the same film [m2 K/W] on every face: 1/(lambda S) + R_si/A_in + R_se/A_out, as in Incropera."""
    wall = 1.0 / (conductivity * foam_box.shape_factor(size, thickness))
    films = inside / foam_box.inner_area(size) + outside / foam_box.outer_area(size, thickness)
    return 1.0 / (wall + films)


def test_cubic_furnace() -> None:
    # Incropera, problem 4.20: outer side 5 m, wall 0.35 m, k = 1.4, inside 1100 °C, air 25 °C, h = 5 outside:
    # 316 kW.
    size = foam_box.inside_size(BoxSize(5.0, 5.0, 5.0), 0.35)
    assert foam_box.shape_factor(size, 0.35) == pytest.approx(345.26, abs=0.01)  # two decimals printed
    conductance = with_equal_films(size, 0.35, 1.4, 0.0, 1.0 / 5.0)
    assert conductance * (1100.0 - 25.0) == pytest.approx(316e3, rel=1e-3)  # three digits printed
    wall, film = 1.0 / (1.4 * 345.26), 1.0 / (5.0 * 150.0)
    assert 1.0 / conductance == pytest.approx(wall + film, rel=1e-4)
    assert (wall, film) == pytest.approx((0.002069, 0.001333), abs=6e-7)


def test_worked_box() -> None:
    # Derived by hand: areas 0.980 and 1.3016 m2, S = 35.403 m, UA = 0.9619 W/K (0.13 on both faces).
    assert foam_box.inner_area(BOX) == pytest.approx(0.980)
    assert foam_box.outer_area(BOX, 0.03) == pytest.approx(1.3016)
    shape = foam_box.shape_factor(BOX, 0.03)
    assert shape == pytest.approx(35.403, abs=6e-4)
    assert 1.0 - foam_box.inner_area(BOX) / 0.03 / shape == pytest.approx(
        0.077, abs=6e-4
    )  # edges and corners
    conductance = with_equal_films(BOX, 0.03, 0.035, 0.13, 0.13)
    assert conductance == pytest.approx(0.9619, abs=6e-5)


@pytest.mark.parametrize(
    ("thickness", "conductivity", "expected"),
    # As worked by hand above, 0.13 on both faces, three decimals.
    [
        (0.020, 0.035, 1.259), (0.040, 0.035, 0.786), (0.050, 0.035, 0.669),
        (0.030, 0.025, 0.734), (0.030, 0.030, 0.852), (0.030, 0.033, 0.919), (0.030, 0.040, 1.065),
    ],
)  # fmt: skip
def test_thickness_and_conductivity(thickness: float, conductivity: float, expected: float) -> None:
    own = with_equal_films(BOX, thickness, conductivity, 0.13, 0.13)
    assert own == pytest.approx(expected, abs=6e-4)


def test_outer_size_read_as_inner_is_a_27_percent_error() -> None:
    inner = foam_box.inside_size(BOX, 0.03)
    assert (inner.length, inner.width, inner.height) == pytest.approx((0.54, 0.34, 0.19))
    conductance = with_equal_films(inner, 0.03, 0.035, 0.13, 0.13)
    # By hand: 0.7016 m2 give S = 25.73 m; 1/(0.035 S) + 0.13/0.7016 + 0.13/0.980 = 1.428 K/W.
    assert conductance == pytest.approx(0.7002, abs=6e-5)


def test_25_litre_box() -> None:
    size = BoxSize(0.38, 0.28, 0.235)
    conductance = with_equal_films(size, 0.03, 0.035, 0.13, 0.13)
    # By hand: 0.523 m2 give S = 19.40 m; 1/(0.035 S) + 0.13/0.523 + 0.13/0.7594 = 1.892 K/W.
    assert conductance == pytest.approx(0.5285, abs=6e-5)


def test_edges_are_checked_by_an_independent_geometry() -> None:
    # For a thin wall the mean of inner and outer area over the thickness is the exact first-order answer:
    # edges count 0.5 of their length each side. Langmuir has 0.54, so a wall of 2 mm on 1 m agrees to 0.2 %.
    size = BoxSize(1.0, 1.0, 1.0)
    mean = (foam_box.inner_area(size) + foam_box.outer_area(size, 0.002)) / 2.0
    assert foam_box.shape_factor(size, 0.002) == pytest.approx(mean / 0.002, rel=2e-3)


def test_shares_of_the_faces_add_up_to_the_whole() -> None:
    # Without their films faces and strips are the whole shape factor: the same edges and corners, shared out.
    wall, size = foam_box.BoxWall(0.03, 1e-2, surface_resistance_factor=1e-12), (0.60, 0.40, 0.25)
    bounds = (0.0, 0.02, 0.07, 0.15, 0.25)
    total = sum(foam_box.strip_conductances(size, bounds, wall))
    total += sum(foam_box.level_conductance(size, wall, face) for face in ("ceiling", "floor"))
    assert total / 1e-2 == pytest.approx(foam_box.shape_factor(BOX, 0.03), rel=1e-9)


def test_faces_of_the_worked_box() -> None:
    # Hand calculation of the network's links: ceiling .272, sides .572, floor .256 W/K.
    wall, size = foam_box.BoxWall(0.03, 0.035), (0.60, 0.40, 0.25)
    own = (foam_box.level_conductance(size, wall, "ceiling"), foam_box.level_conductance(size, wall, "floor"))
    assert own == pytest.approx((0.272, 0.256), abs=6e-4)
    assert foam_box.strip_conductances(size, (0.0, 0.25), wall) == pytest.approx((0.572,), abs=1.2e-3)


def test_an_endless_box_has_no_end_walls() -> None:
    # By hand, 1 m of 0.40 x 0.25 m, 30 mm at 0.035, films 0.10 and 0.13: ceiling 0.40/0.03 + 0.54 m over 0.46 m2; walls
    # two of 0.25 m with half of two edges of 1 m, over 2 x 0.31 m2.
    wall, size = foam_box.BoxWall(0.03, 0.035), (1.0, 0.40, 0.25)
    ceiling = 1.0 / (1.0 / (0.035 * (0.40 / 0.03 + 0.54)) + 0.10 / 0.46)
    sides = 1.0 / (1.0 / (0.035 * (0.50 / 0.03 + 0.54 * 2.0)) + 0.13 / 0.62)
    assert foam_box.level_conductance(size, wall, "ceiling", True) == pytest.approx(ceiling, rel=1e-12)
    assert foam_box.strip_conductances(size, (0.0, 0.25), wall, True) == pytest.approx((sides,), rel=1e-12)


def test_face_by_face_agrees_with_equal_films() -> None:
    # 0.13 on every face stands for 0.10, 0.13 and 0.17 together; on this box they differ by under 1 %.
    equal = with_equal_films(BOX, 0.03, 0.035, 0.13, 0.13)
    assert foam_box.box_conductance(BOX, 0.03, 0.035) == pytest.approx(equal, rel=0.01)


def test_surface_resistances_follow_from_convection_and_radiation() -> None:
    # ISO 6946, annex: h_r = 0.9 x 5.7 = 5.13, h_c = 5.0 up, 2.5 sideways, 0.7 down; the standard rounds to
    # two digits.
    for resistance, convection in (
        (foam_box.SURFACE_RESISTANCE_UP, 5.0),
        (foam_box.SURFACE_RESISTANCE_SIDEWAYS, 2.5),
        (foam_box.SURFACE_RESISTANCE_DOWN, 0.7),
    ):
        assert resistance == pytest.approx(1.0 / (convection + 5.13), abs=0.005)


def test_leakage() -> None:
    # 60 litres at 0.2 and 2 changes an hour: 0.004 and 0.039 W/K (three decimals).
    assert foam_box.leakage_conductance(0.060, 0.2) == pytest.approx(0.004, abs=5e-4)
    assert foam_box.leakage_conductance(0.060, 2.0) == pytest.approx(0.039, abs=5e-4)


def test_lid_and_floor_matter() -> None:
    shelf = foam_box.box_conductance(BOX, 0.03, 0.035)
    assert foam_box.box_conductance(BOX, 0.03, 0.035, lid_fits="poorly") == pytest.approx(1.25 * shelf)
    assert foam_box.box_conductance(BOX, 0.03, 0.035, "insulated floor") < shelf
    assert foam_box.box_conductance(BOX, 0.03, 0.035, "bare floor") > shelf


@given(
    st.floats(0.2, 1.0),
    st.floats(0.2, 1.0),
    st.floats(0.15, 1.0),
    st.floats(0.005, 0.08),
    st.floats(0.02, 0.2),
)
@settings(max_examples=100, deadline=None)
def test_more_insulation_loses_less(
    length: float, width: float, height: float, thickness: float, conductivity: float
) -> None:
    size = BoxSize(length, width, height)
    base = foam_box.box_conductance(size, thickness, conductivity)
    assert foam_box.box_conductance(size, 1.2 * thickness, conductivity) < base
    assert foam_box.box_conductance(size, thickness, 1.2 * conductivity) > base
    assert foam_box.box_conductance(BoxSize(length * 1.1, width, height), thickness, conductivity) > base


def test_every_wall_is_complete() -> None:
    names = [wall.name for wall in foam_box.WALLS]
    assert len(names) == len(set(names))
    for wall in foam_box.WALLS:
        assert wall.conductivity_low < wall.conductivity < wall.conductivity_high
        assert wall.source and wall.limit_source
        assert foam_box.wall_named(wall.name) is wall


@pytest.mark.parametrize(
    ("name", "seen"),
    # Values printed in data sheets, ISO 10456, ISO 10077-2, CIBSE Guide A, ASHRAE: all must lie in the range.
    [
        ("expanded polystyrene", (0.034, 0.0355, 0.037)), ("extruded polystyrene", (0.026, 0.029, 0.036)),
        ("polyurethane foam", (0.026, 0.028)), ("plywood", (0.09, 0.13, 0.17)), ("glass", (1.0,)),
        ("acrylic", (0.18, 0.20)), ("polypropylene", (0.22,)), ("solid plastic", (0.16, 0.22, 0.33, 0.50)),
        ("plastic cool box", (0.028,)),
    ],
)  # fmt: skip
def test_printed_conductivities_lie_in_the_range(name: str, seen: tuple[float, ...]) -> None:
    wall = foam_box.wall_named(name)
    assert all(wall.conductivity_low <= value <= wall.conductivity_high for value in seen)


@pytest.mark.parametrize(
    ("name", "typical", "low", "high", "limit"),
    # Plywood of 500, 300 and 700 kg/m3, glass, acrylic and plastics as printed in ISO 10456 and ISO 10077-2, polyurethane in
    # CIBSE Guide A; where one value is printed, the range is that value and 10 % (foam in a skin 15 %) either way. Polystyrene
    # foam 0.035 (middle of data sheets) and 5 % for warmth, 10 % either way; extruded 0.026 (ASHRAE) to 0.036 (EN 13164).
    # Three decimals. What they bear for long: polystyrene 70, extruded 75, polyurethane and polypropylene 100 °C (from memory).
    [
        ("expanded polystyrene", 0.035 * 1.05, 0.9 * 0.037, 1.1 * 0.037, 70.0),
        ("extruded polystyrene", 0.033, 0.026, 0.036, 75.0),
        ("polyurethane foam", 0.028, 0.85 * 0.028, 1.15 * 0.028, 100.0),
        ("plywood", 0.13, 0.09, 0.17, None),
        ("glass", 1.0, 0.9, 1.1, None),
        ("acrylic", 0.19, 0.18, 0.20, None),
        ("polypropylene", 0.22, 0.198, 0.242, 100.0),
        ("solid plastic", 0.22, 0.16, 0.50, 70.0),
        ("plastic cool box", 0.028, 0.85 * 0.028, 1.15 * 0.028, 70.0),
    ],
)
def test_conductivities_are_the_printed_ones(
    name: str, typical: float, low: float, high: float, limit: float | None
) -> None:
    wall = foam_box.wall_named(name)
    rounded = 6e-4 if typical < 0.1 else 2.5e-3
    assert wall.conductivity == pytest.approx(typical, abs=rounded)
    assert wall.conductivity_low == pytest.approx(low, abs=rounded)
    assert wall.conductivity_high == pytest.approx(high, abs=rounded)
    assert wall.service_limit == limit


@pytest.mark.parametrize(
    ("name", "density", "heat"),
    # Density [kg/m3] and heat [J/(kg K)] as printed in ISO 10456, table 3 and 4 (boards of foam: EN 13163 and 13164; what is
    # from memory says so in its wall). A cool box by hand: (34.5 mm x 35 + 3 mm x 950)/37.5 mm = 108, told as 100.
    [
        ("expanded polystyrene", 20.0, 1450.0),
        ("extruded polystyrene", 35.0, 1450.0),
        ("polyurethane foam", 35.0, 1400.0),
        ("plywood", 500.0, 1600.0),
        ("glass", 2500.0, 750.0),
        ("acrylic", 1050.0, 1500.0),
        ("polypropylene", 910.0, 1800.0),
        ("plastic cool box", 108.0, 1500.0),
    ],
)
def test_what_walls_store_is_printed(name: str, density: float, heat: float) -> None:
    wall = foam_box.wall_named(name)
    assert wall.density == pytest.approx(density, rel=0.08)
    assert wall.heat == heat


@pytest.mark.parametrize(
    ("name", "printed"),
    # Vapour resistance factors printed in ISO 10456, tables 3 and 4 (from memory): one is the usual one; of several the
    # least and the greatest are the ends: plywood of 300 kg/m3, wet, to 1000 kg/m3, dry; 30 to 70 in two pages (read).
    [
        ("expanded polystyrene", (30.0, 70.0)), ("extruded polystyrene", (150.0,)), ("polyurethane foam", (60.0,)),
        ("plywood", (50.0, 250.0)), ("acrylic", (5e4,)), ("polypropylene", (1e4,)),
        ("solid plastic", (1e4, 1e5)),
    ],
)  # fmt: skip
def test_walls_hold_vapour_back_as_printed(name: str, printed: tuple[float, ...]) -> None:
    low, usual, high = foam_box.VAPOUR_RESISTANCE[name]
    assert low < usual < high
    assert printed in ((usual,), (low, high))


def test_every_place_to_stand_is_known() -> None:
    assert [foam_box.resistance_under_the_box(place) > 0.0 for place in get_args(foam_box.StandsOn)] == [
        True
    ] * 3


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: foam_box.wall_named("felt"), "must be one of expanded polystyrene"),
        (lambda: foam_box.inside_size(BOX, 0.13), "below 0.125 m"),
        (lambda: foam_box.inside_size(BOX, 0.0), "above 0"),
        (lambda: foam_box.shape_factor(BOX, 0.0), "from 0.0005 to 0.5 m"),
        (lambda: foam_box.shape_factor(BoxSize(0.01, 0.4, 0.25), 0.03), "from 0.02 to 5 m"),
        (lambda: foam_box.box_conductance(BOX, 0.03, 0.035, "sand"), "must be one of shelf"),
        (lambda: foam_box.box_conductance(BOX, 0.03, 0.035, lid_fits="fairly"), "well, poorly"),
        (lambda: foam_box.leakage_conductance(-1.0, 1.0), "m3"),
        (lambda: foam_box.leakage_conductance(0.06, 51.0), "per hour"),
    ],
)  # fmt: skip
def test_what_is_out_of_range_is_refused(call: Callable[[], object], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()
