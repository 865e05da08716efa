"""Flows through holes, gaps, walls and opened lids, against worked tables and packages."""

import math
from collections.abc import Callable

import psychrolib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from advisor.formulas.air.moist_air import saturation_pressure, vapour_density, virtual_temperature
from advisor.formulas.air.vents import (
    LID_FITS,
    PLASTIC_VAPOUR_RESISTANCE,
    Vents,
    air_share_exchanged,
    carbon_dioxide_diffusivity,
    fuller_diffusivity,
    hole_exchange_flow,
    hole_shape_factor,
    level_opening_number,
    lid_fit,
    opening_exchange_flow,
    oxygen_diffusivity,
    reduced_gravity,
    slot_shape_factor,
    vents_conductance,
    vents_shape_factor,
    wall_vapour_permeance,
    water_lost_at_opening,
)

MM = 1e-3
ML = 1e-6
GRAM_PER_DAY = 1e-3 / 86400.0
WATER_AT_30 = 0.2630e-4  # m2/s, Massman 1998
OXYGEN_AT_30 = 0.2056e-4  # m2/s, Fuller et al. 1966


def vapour_in_air(temperature: float, relative_humidity: float) -> float:
    return vapour_density(relative_humidity * saturation_pressure(temperature), temperature)


@pytest.mark.parametrize(("temperature", "expected"), [(25.0, 0.2504e-4), (30.0, 0.2578e-4)])
def test_fuller_gives_the_worked_diffusivity_of_water_vapour(temperature: float, expected: float) -> None:
    # Worked from Fuller et al. 1966 to four digits (molar mass 18.015, volume 13.1): half a digit is 0.02 %.
    assert fuller_diffusivity(temperature, 18.015, 13.1) == pytest.approx(expected, rel=3e-4)


@pytest.mark.parametrize(("temperature", "expected"), [(25.0, 0.1997e-4), (30.0, 0.2056e-4)])
def test_oxygen_diffusivity_is_fullers(temperature: float, expected: float) -> None:
    # Worked from Fuller et al. 1966 to four digits.
    assert oxygen_diffusivity(temperature) == pytest.approx(expected, rel=3e-4)


def test_carbon_dioxide_diffusivity_is_massmans() -> None:
    # Massman 1998, 0.1668 cm2/s at 30 °C, four digits.
    assert carbon_dioxide_diffusivity(30.0) == pytest.approx(0.1668e-4, rel=3e-4)


@pytest.mark.parametrize(
    ("function", "handbook"), [(oxygen_diffusivity, 0.21e-4), (carbon_dioxide_diffusivity, 0.16e-4)]
)
def test_diffusivities_agree_with_the_handbook(function: Callable[..., float], handbook: float) -> None:
    # Incropera, table A.8 at 298 K, two digits; both formulas state about 5 %.
    assert function(24.85) == pytest.approx(handbook, rel=0.06)


def test_carbon_dioxide_agrees_with_the_handbook_at_20_degrees() -> None:
    # Handbook table, 0.160 cm2/s at 20 °C; Massman states about 5 to 7 %.
    assert carbon_dioxide_diffusivity(20.0) == pytest.approx(0.160e-4, rel=0.07)


@pytest.mark.parametrize("function", [oxygen_diffusivity, carbon_dioxide_diffusivity])
def test_thin_air_lets_gases_move_faster_in_proportion(function: Callable[..., float]) -> None:
    assert function(30.0, 101325.0 / 2.0) == pytest.approx(2.0 * function(30.0), rel=1e-12)


# Worked table for 30 °C (end correction after Stefan 1882 and Brown & Escombe 1900): hole mm, lid mm, ml/s of
# water vapour, ml/s of oxygen, g/day to air of 30 °C and 70 %, g/day to air of 20 °C and 50 %, ml/h of oxygen
# for each 1 %.
HOLES = [
    (2, 1, 0.03214, 0.02512, 0.0253, 0.0603, 0.904),
    (2, 2, 0.02314, 0.01809, 0.0182, 0.0434, 0.651),
    (3, 1, 0.05539, 0.04330, 0.0436, 0.1039, 1.559),
    (5, 1, 0.10481, 0.08193, 0.0824, 0.1966, 2.950),
]


@pytest.mark.parametrize(("hole", "lid", "water", "oxygen", "to_damp", "to_room", "per_percent"), HOLES)
def test_one_hole_passes_what_the_worked_table_says(
    hole: float, lid: float, water: float, oxygen: float, to_damp: float, to_room: float, per_percent: float
) -> None:
    shape = hole_shape_factor(hole * MM, lid * MM)
    inside = vapour_in_air(30.0, 1.0)
    damp, room = vapour_in_air(30.0, 0.7), vapour_in_air(20.0, 0.5)
    # Tolerances are half a unit of the last printed digit.
    assert WATER_AT_30 * shape / ML == pytest.approx(water, abs=6e-6)
    assert OXYGEN_AT_30 * shape / ML == pytest.approx(oxygen, abs=6e-6)
    assert WATER_AT_30 * shape * (inside - damp) / GRAM_PER_DAY == pytest.approx(to_damp, abs=6e-5)
    assert WATER_AT_30 * shape * (inside - room) / GRAM_PER_DAY == pytest.approx(to_room, abs=6e-5)
    assert OXYGEN_AT_30 * shape * 0.01 * 3600.0 / ML == pytest.approx(per_percent, abs=6e-4)


@pytest.mark.parametrize(("count", "water"), [(2, 0.051), (4, 0.101), (8, 0.202), (12, 0.303)])
def test_holes_side_by_side_add_up(count: int, water: float) -> None:
    # Worked, 2 mm holes in a 1 mm lid, to 30 °C and 70 %; half a unit of the last digit.
    vents = Vents(count, 2 * MM, 1 * MM, 0.0, 0.7, 5 * MM)
    step = vapour_in_air(30.0, 1.0) - vapour_in_air(30.0, 0.7)
    assert vents_conductance(vents, WATER_AT_30) * step / GRAM_PER_DAY == pytest.approx(water, abs=6e-4)


# Second worked table, with the handbook's D(O2, 30 °C) = 2.1e-5 m2/s: ml/h for a whole share, by lid and
# hole.
HANDBOOK_HOLES = {
    0.5: (46.2, 114.7, 187, 261, 335, 410),
    1.0: (33.3, 92.4, 159, 229, 301, 374),
    2.0: (21.3, 66.5, 123, 185, 250, 318),
}


@pytest.mark.parametrize("lid", sorted(HANDBOOK_HOLES))
@pytest.mark.parametrize("hole", [1, 2, 3, 4, 5, 6])
def test_hole_table_with_the_handbook_diffusivity(lid: float, hole: int) -> None:
    # Half a unit of the last printed digit is at most 0.3 %.
    expected = HANDBOOK_HOLES[lid][hole - 1]
    assert 2.1e-5 * hole_shape_factor(hole * MM, lid * MM) * 3600.0 / ML == pytest.approx(expected, rel=3e-3)


def test_one_hole_and_one_slot_worked_by_hand() -> None:
    # By hand, D = 2.1e-5 m2/s: pi 1 mm2/(1 mm + pi/4 x 2 mm) = 1.222 mm; 0.05 mm x 1 m/5 mm = 10 mm.
    assert 2.1e-5 * hole_shape_factor(2 * MM, 1 * MM) * 3600.0 / ML == pytest.approx(92.4, rel=0.01)
    assert 2.1e-5 * slot_shape_factor(0.05 * MM, 1.0, 5 * MM) * 3600.0 / ML == pytest.approx(756.0, rel=0.01)


def test_default_diffusivity_meets_the_handbook_tables_within_3_percent() -> None:
    # Fuller's 2.056e-5 against the handbook's rounded 2.1e-5 m2/s: 2.1 % apart, both good to 5 %.
    assert oxygen_diffusivity(30.0) * hole_shape_factor(2 * MM, 1 * MM) * 3600.0 / ML == pytest.approx(
        92.4, rel=0.03
    )


def test_a_hole_in_foil_passes_as_a_disc_in_a_plane() -> None:
    # Stefan 1882: 4 D r for one face of a disc; two faces in series pass 2 D r. Exact, so only rounding.
    assert hole_shape_factor(4 * MM, 0.0) == pytest.approx(2.0 * 2 * MM, rel=1e-12)


def test_a_long_channel_passes_as_fick_says() -> None:
    # Ends matter less and less: at 50 diameters they add pi/200, 1.6 %.
    plain = math.pi * (0.5 * MM) ** 2 / 0.05
    assert hole_shape_factor(1 * MM, 0.05) == pytest.approx(plain, rel=0.017)


# Epstein 1988, J. Heat Transfer 110:885: flow over (g' D^5)^0.5 in his four regimes of depth over diameter (from memory).
REGIMES = [
    (0.0, 0.055),
    (0.1, 0.055),
    (0.2, 0.147 * math.sqrt(0.2)),
    (0.35, 0.147 * math.sqrt(0.35)),
    (0.6, 0.093 / math.sqrt(1 + 0.084 * 0.2**3)),
    (1.5, 0.093 / math.sqrt(1 + 0.084 * 1.1**3)),
    (3.0, 0.093 / math.sqrt(1 + 0.084 * 2.6**3)),
    (4.0, 0.32 * 4**-1.5),
    (8.0, 0.32 * 8**-1.5),
]


@pytest.mark.parametrize(("depth_ratio", "expected"), REGIMES)
def test_a_level_opening_exchanges_what_epstein_measured(depth_ratio: float, expected: float) -> None:
    # 20 %: his formula for all regimes is that far from the separate ones, worst near a depth of three diameters.
    assert level_opening_number(depth_ratio) == pytest.approx(expected, rel=0.2)


def test_a_wide_hole_in_a_lid_exchanges_more_than_it_diffuses() -> None:
    # Worked by hand, 20 mm in 1 mm at 0.1 m/s2: (g' D^5)^0.5 = (0.1 x 3.2e-9)^0.5 = 1.789e-5; r^4 = 1e-8, length
    # 1 + 15.7 = 16.7 mm, Ra = 0.1 x 1e-8/(1.6e-5 x 2.4e-5 x 0.0167) = 156; 0.055 x 1.789e-5 x (1 - 67.94/156) = 5.6e-7.
    assert hole_exchange_flow(20 * MM, 1 * MM, 0.1) == pytest.approx(5.6e-7, rel=0.02)
    assert hole_exchange_flow(20 * MM, 1 * MM, 0.1) > OXYGEN_AT_30 * hole_shape_factor(20 * MM, 1 * MM)


def test_a_narrow_hole_in_a_lid_only_diffuses() -> None:
    # Taylor 1954: still below a Rayleigh number of 67.94. At 0.1 m/s2 in a 1 mm lid that is a hole of about 15 mm.
    assert hole_exchange_flow(14 * MM, 1 * MM, 0.1) == 0.0 < hole_exchange_flow(16 * MM, 1 * MM, 0.1)


def test_a_wide_hole_in_a_wall_approaches_the_doorway_formula() -> None:
    # Brown & Solvason 1962: through each strip of the upper half 0.6 (2 g' y)^0.5 dA, here over a disc by scipy's
    # quadrature. Air is sticky, so that a hole passes less, and the less of it the narrower it is.
    def share_of_doorway(diameter: float) -> float:
        radius, buoyancy = diameter / 2, 0.5
        doorway, _ = quad(
            lambda y: 0.6 * 2 * math.sqrt(radius**2 - y**2) * math.sqrt(2 * buoyancy * y), 0.0, radius
        )
        return hole_exchange_flow(diameter, 0.1 * MM, buoyancy, in_wall=True) / doorway

    assert 0.9 < share_of_doorway(50 * MM) < 1.0
    assert share_of_doorway(10 * MM) < share_of_doorway(20 * MM) < 0.9


def test_a_narrow_hole_in_a_wall_is_slowed_as_creeping_flow_is() -> None:
    # Dagan et al. 1982: pressure over flow of a short hole is viscosity (8 L/(pi r^4) + 3/r^3); in creeping flow the
    # exchange goes with the lightness itself and not with its root.
    weak, strong = (hole_exchange_flow(1 * MM, 1 * MM, g, in_wall=True) for g in (0.05, 0.1))
    assert strong / weak == pytest.approx(2.0, rel=0.02)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.5, 5.0), st.floats(0.1, 5.0), st.floats(0.0, 0.2))
def test_up_to_5_mm_diffusion_is_most_of_it(hole: float, lid: float, buoyancy: float) -> None:
    diffused = OXYGEN_AT_30 * hole_shape_factor(hole * MM, lid * MM)
    for in_wall in (False, True):
        assert hole_exchange_flow(hole * MM, lid * MM, buoyancy, in_wall) < 0.3 * diffused


def test_flow_through_holes_adds_to_diffusion_for_every_gas() -> None:
    still, moving = (
        Vents(3, 20 * MM, 1 * MM, 0.0, 1.0, 5 * MM),
        Vents(3, 20 * MM, 1 * MM, 0.0, 1.0, 5 * MM, 5e-7),
    )
    for diffusivity in (WATER_AT_30, OXYGEN_AT_30):
        more = vents_conductance(moving, diffusivity) - vents_conductance(still, diffusivity)
        assert more == pytest.approx(1.5e-6, rel=1e-9)


def test_many_small_holes_pass_more_than_one_of_the_same_area() -> None:
    # Brown & Escombe 1900: the rate follows the diameter.
    assert 4 * hole_shape_factor(2 * MM, 1 * MM) > hole_shape_factor(4 * MM, 1 * MM)


def test_rim_gap_of_the_worked_snap_lid() -> None:
    # Worked: 0.70 m of rim, 10 mm of contact, 0.1 mm gap: 0.184 ml/s of water vapour, as much as 5.7 holes of
    # 2 mm, 0.14 g/day to 30 °C and 70 %; half the gap half of it. Half a unit of the last digit.
    flow = WATER_AT_30 * slot_shape_factor(0.1 * MM, 0.70, 10 * MM)
    step = vapour_in_air(30.0, 1.0) - vapour_in_air(30.0, 0.7)
    assert flow / ML == pytest.approx(0.184, abs=6e-4)
    assert WATER_AT_30 * slot_shape_factor(0.05 * MM, 0.70, 10 * MM) / ML == pytest.approx(0.092, abs=6e-4)
    assert flow / (WATER_AT_30 * hole_shape_factor(2 * MM, 1 * MM)) == pytest.approx(5.7, abs=0.06)
    assert flow * step / GRAM_PER_DAY == pytest.approx(0.14, abs=6e-3)


def test_draught_through_the_rim_stays_below_diffusion_up_to_the_widest_gap_allowed() -> None:
    # Poiseuille's law for a slot, 0.0038 Pa from 1 K over 0.1 m, viscosity 1.87e-5 Pa s (worked).
    draught = (0.5 * MM) ** 3 * (0.70 / 2.0) * 0.0038 / (12.0 * 1.87e-5 * 10 * MM)
    assert draught / ML == pytest.approx(0.07, abs=6e-3)
    assert draught < 0.1 * WATER_AT_30 * slot_shape_factor(0.5 * MM, 0.70, 10 * MM)


def test_a_draught_multiplies_every_flow() -> None:
    # Judgement, no source: up to three times the still-air flow.
    vents = Vents(5, 2 * MM, 1 * MM, 0.05 * MM, 1.0, 5 * MM)
    assert vents_conductance(vents, 2.1e-5, 3.0) == pytest.approx(3.0 * vents_conductance(vents, 2.1e-5))


def test_holes_and_rim_add_up_and_no_holes_leave_the_rim() -> None:
    rim = slot_shape_factor(0.05 * MM, 1.0, 5 * MM)
    both = vents_shape_factor(Vents(5, 2 * MM, 1 * MM, 0.05 * MM, 1.0, 5 * MM))
    assert both == pytest.approx(rim + 5 * hole_shape_factor(2 * MM, 1 * MM), rel=1e-12)
    assert vents_shape_factor(Vents(0, 0.0, 1 * MM, 0.05 * MM, 1.0, 5 * MM)) == rim


@pytest.mark.parametrize(
    ("factor", "damper", "drier"), [(30.0, 48.0, 25.0), (50.0, 29.0, 15.0), (70.0, 21.0, 11.0)]
)
def test_foam_walls_let_vapour_through_as_worked(factor: float, damper: float, drier: float) -> None:
    # Worked: 35.4 m of foam, 29 °C inside at 90 % and 60 %, room 20 °C and 50 %, g/day to two digits.
    permeance = wall_vapour_permeance(35.4, factor)
    room = 0.5 * saturation_pressure(20.0)
    for humidity, expected in ((0.9, damper), (0.6, drier)):
        flow = permeance * (humidity * saturation_pressure(29.0) - room)
        assert flow / GRAM_PER_DAY == pytest.approx(expected, abs=0.6)


def test_thin_plastic_walls_let_little_through() -> None:
    # Worked: 0.123 m2 of 1 mm wall, saturated 30 °C to 70 %; half a unit of the last digit.
    permeance = wall_vapour_permeance(0.123 / MM, PLASTIC_VAPOUR_RESISTANCE)
    flow = permeance * 0.3 * saturation_pressure(30.0) / GRAM_PER_DAY
    assert flow == pytest.approx(0.026, rel=0.02)


def virtual(temperature: float, relative_humidity: float) -> float:
    return virtual_temperature(temperature, relative_humidity * saturation_pressure(temperature))


def test_reduced_gravity_of_a_warm_damp_box_is_the_worked_one() -> None:
    # Worked: 0.387 m/s2 for 29 °C and 90 % in 20 °C and 50 %, three digits.
    assert reduced_gravity(virtual(29.0, 0.9), virtual(20.0, 0.5)) == pytest.approx(0.387, abs=1e-3)


def test_reduced_gravity_agrees_with_psychrolib() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)

    def density(temperature: float, humidity: float) -> float:
        ratio = psychrolib.GetHumRatioFromRelHum(temperature, humidity, 101325.0)
        return psychrolib.GetMoistAirDensity(temperature, ratio, 101325.0)

    inside, outside = density(29.0, 0.9), density(20.0, 0.5)
    expected = 9.80665 * (outside - inside) / ((outside + inside) / 2.0)
    # Same ideal gas; the molar masses differ in the fourth digit, which the difference of densities
    # magnifies.
    assert reduced_gravity(virtual(29.0, 0.9), virtual(20.0, 0.5)) == pytest.approx(expected, rel=2e-3)


def test_heavier_air_inside_stays_there() -> None:
    assert reduced_gravity(293.0, 302.0) == 0.0


def test_opened_outer_box_exchanges_its_air_as_worked() -> None:
    # Worked after Epstein 1988: 7.77e-3 m3/s, 7.7 s time constant for 60 L, 73 % in 10 s, 98 % in 30 s.
    flow = opening_exchange_flow(0.6, 0.4, 0.387)
    assert flow == pytest.approx(7.77e-3, rel=2e-3)
    assert 0.060 / flow == pytest.approx(7.7, abs=0.06)
    assert air_share_exchanged(flow, 0.060, 10.0) == pytest.approx(0.73, abs=6e-3)
    assert air_share_exchanged(flow, 0.060, 30.0) == pytest.approx(0.98, abs=6e-3)


def test_opened_egg_box_exchanges_its_air_as_worked() -> None:
    # Worked: 5.8e-4 m3/s and 2.6 s for 1.5 L under a lid of 20 x 15 cm.
    flow = opening_exchange_flow(0.20, 0.15, 0.387)
    assert flow == pytest.approx(5.8e-4, abs=6e-6)
    assert 1.5e-3 / flow == pytest.approx(2.6, abs=0.06)


@pytest.mark.parametrize(("volume", "expected"), [(0.060, 1.03e-3), (1.5e-3, 0.026e-3)])
def test_water_lost_with_one_change_of_air(volume: float, expected: float) -> None:
    # Worked: 29 °C and 90 % to 20 °C and 50 %, 1.03 g from 60 L and 0.026 g from 1.5 L; last digit.
    lost = water_lost_at_opening(volume, 1.0, vapour_in_air(29.0, 0.9), vapour_in_air(20.0, 0.5))
    assert lost == pytest.approx(expected, rel=0.02)


@settings(max_examples=100, deadline=None)
@given(st.floats(0.0, 1e-2), st.floats(1e-4, 0.2), st.floats(0.0, 600.0))
def test_share_of_new_air_lies_between_nothing_and_all(flow: float, volume: float, seconds: float) -> None:
    assert 0.0 <= air_share_exchanged(flow, volume, seconds) <= 1.0


@settings(max_examples=100, deadline=None)
@given(st.floats(1e-4, 0.04), st.floats(1e-4, 0.04), st.floats(1.01, 1.2))
def test_wider_holes_pass_more_and_thicker_lids_less(diameter: float, thickness: float, more: float) -> None:
    usual = hole_shape_factor(diameter, thickness)
    assert (
        hole_shape_factor(diameter * more, thickness) > usual > hole_shape_factor(diameter, thickness * more)
    )


def test_lids_follow_one_another_without_a_gap() -> None:
    gasket, clip, loose = (fit.gap for fit in LID_FITS)
    assert gasket.low == gasket.typical < gasket.high == clip.low < clip.typical < clip.high == loose.low
    assert loose.low < loose.typical < loose.high


def test_a_gasketed_lid_leaks_nothing_unless_at_worst() -> None:
    assert lid_fit("gasket").gap.typical == 0.0 < lid_fit("clip").gap.typical < lid_fit("loose").gap.typical


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: hole_shape_factor(0.0, 1 * MM), "hole diameter is 0 m: must be from 1e-06 to 0.06 m"),
        (lambda: slot_shape_factor(1 * MM, 1.0, 5 * MM), "rim gap is 0.001 m: must be from 0 to 0.0005 m"),
        (
            lambda: vents_shape_factor(Vents(-1, 2 * MM, MM, 0.0, 1.0, 5 * MM)),
            "hole count is -1: must be 0 or more",
        ),
        (lambda: vents_conductance(Vents(0, 0, 0, 0, 1.0, 5 * MM), 2e-5, 4.0), "draught factor is 4"),
        (lambda: lid_fit("screw"), "must be one of gasket, clip, loose"),
        (lambda: oxygen_diffusivity(120.0), "temperature is 120 °C: must be from 0 to 100 °C"),
        (lambda: reduced_gravity(29.0, 293.0), "must be from 200 to 500 K"),
        (lambda: water_lost_at_opening(0.06, 1.2, 0.0, 0.0), "must be from 0 to 1"),
        (lambda: air_share_exchanged(math.nan, 0.06, 5.0), "exchange flow is nan"),
    ],
)
def test_out_of_range_input_names_the_range(call: Callable[[], object], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        call()
