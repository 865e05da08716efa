"""Convection, radiation and dew against textbook examples and CoolProp."""

import math
from collections.abc import Callable

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.formulas.air import moist_air
from advisor.formulas.heat import convection
from tests.referees.latent_heat import latent_heat


def test_air_properties_are_coolprops() -> None:
    # Dry air at 30 °C and 101325 Pa; the constants are printed to four or five digits.
    def air(name: str) -> float:
        return float(PropsSI(name, "T", 303.15, "P", 101325, "Air"))

    density, heat, conductivity = air("D"), air("C"), air("L")
    assert pytest.approx(conductivity, rel=5e-4) == convection.AIR_CONDUCTIVITY
    assert pytest.approx(air("V") / density, rel=5e-4) == convection.AIR_VISCOSITY
    assert pytest.approx(conductivity / (density * heat), rel=5e-4) == convection.AIR_HEAT_DIFFUSIVITY
    assert pytest.approx(air("V") * heat / conductivity, rel=1e-3) == convection.AIR_PRANDTL
    assert pytest.approx(density * heat, rel=5e-4) == convection.AIR_HEAT_PER_VOLUME


@pytest.mark.parametrize(
    ("rayleigh", "nusselt", "newer"),
    # Hollands et al. 1976, three decimals; the 1984 version as implemented in the package ht 1.2.0 (Pr
    # 0.707).
    [(2000, 1.210, None), (5000, 1.948, None), (1e4, 2.391, 2.360), (1e5, 3.994, 3.961), (1e6, 6.994, 7.011)],
)
def test_layer_heated_from_below(rayleigh: float, nusselt: float, newer: float | None) -> None:
    own = convection.layer_nusselt(rayleigh)
    assert own == pytest.approx(nusselt, abs=6e-4)
    if newer is not None:
        assert own == pytest.approx(newer, rel=0.02)  # another fit to the same measurements


def test_layer_stands_still_below_the_critical_number() -> None:
    # Rayleigh-Benard instability between rigid plates: 1708 (textbooks).
    assert [convection.layer_nusselt(r) for r in (0.0, 1000.0, 1708.0)] == [1.0, 1.0, 1.0]
    assert convection.layer_nusselt(1709.0) > 1.0


def test_laminar_plate() -> None:
    # Churchill & Chu 1975: the factor for air, Pr 0.707, is 0.670/(1 + (0.492/Pr)^(9/16))^(4/9) = 0.514 (three digits).
    assert convection.laminar_plate_factor(convection.AIR_PRANDTL) == pytest.approx(0.514, abs=6e-4)


def test_level_plate() -> None:
    # McAdams, air, Ra = 1e6: up 17.08 (0.54 Ra^0.25). Cold face up: 0.27 Ra^0.25 = 8.54 by McAdams, 0.52
    # Ra^0.2 = 8.24 by Incropera; the two differ by 4 %.
    assert convection.horizontal_plate_nusselt(1e6, favourable=True) == pytest.approx(17.08, abs=6e-3)
    assert convection.horizontal_plate_nusselt(1e6, favourable=False) == pytest.approx(8.54, rel=0.05)
    # Water, Pr 5.54, Gr 3.21e8 (package ht, McAdams): 181.731, hot face up.
    assert convection.horizontal_plate_nusselt(5.54 * 3.21e8, favourable=True) == pytest.approx(
        181.731, abs=6e-3
    )


def test_heat_and_mass_transfer_are_analogous() -> None:
    # h = 1 W/(m2 K) carries vapour at 9.4e-4 m/s (derived, two digits); over a water bath 2.5 gives 2.3e-3.
    assert convection.vapour_transfer_coefficient(1.0) == pytest.approx(9.4e-4, rel=0.01)
    assert convection.vapour_transfer_coefficient(2.5) == pytest.approx(2.3e-3, rel=0.03)
    # Lewis number from CoolProp and Massman; a printed example has 2.2e-5/2.5e-5 = 0.88, another page 0.86.
    own = convection.AIR_HEAT_DIFFUSIVITY / moist_air.vapour_diffusivity(30.0)
    assert own == pytest.approx(convection.LEWIS, abs=6e-4)
    assert 0.85 < own < 0.89
    assert convection.layer_sherwood(1.0) == 1.0


def test_rayleigh_number() -> None:
    # By hand: 9.80665/303.15 x 1 K x (5 cm)^3/(1.6046e-5 x 2.2706e-5) = 1.110e4.
    assert convection.rayleigh_number(1.0, 0.05) == pytest.approx(1.110e4, rel=1e-3)
    assert convection.rayleigh_number(-1.0, 0.05) == convection.rayleigh_number(1.0, 0.05)


@pytest.mark.parametrize(
    ("headspace", "difference", "grams"),
    # Derived table, g per day and m2, medium 30 °C saturated; it used the 1984 version of the layer equation
    # (2 %).
    [
        (0.03, 0.5, 61), (0.03, 1, 194), (0.03, 2, 471), (0.03, 4, 1090),
        (0.05, 0.5, 77), (0.05, 1, 183), (0.05, 2, 415), (0.05, 4, 913),
        (0.08, 0.5, 68), (0.08, 1, 155), (0.08, 2, 351), (0.08, 4, 784),
    ],
)  # fmt: skip
def test_condensation_on_a_lid(headspace: float, difference: float, grams: float) -> None:
    rate = convection.layer_condensation(30.0, 30.0 - difference, headspace)
    assert rate * 86400e3 == pytest.approx(grams, rel=0.025)


def test_condensation_carries_as_much_heat_as_radiation() -> None:
    # Derived: 5.1 W/m2 at 1 K over 5 cm; 5.5 g/day on a lid of 20 x 15 cm.
    rate = convection.layer_condensation(30.0, 29.0, 0.05)
    assert rate * latent_heat(30.0) == pytest.approx(5.1, rel=0.03)
    assert rate * 0.03 * 86400e3 == pytest.approx(5.5, rel=0.03)


def test_a_level_plate_turns_turbulent_above_1e7() -> None:
    # McAdams: 0.54 Ra^(1/4) up to 1e7, 0.15 Ra^(1/3) above; by hand 30.37 and 32.85.
    assert convection.horizontal_plate_nusselt(1e7, True) == pytest.approx(30.37, abs=5e-3)
    assert convection.horizontal_plate_nusselt(1.05e7, True) == pytest.approx(32.85, abs=5e-3)


def test_vapour_follows_heat_by_the_two_thirds_power_of_the_lewis_number() -> None:
    # Chilton-Colburn: h/(rho cp) x (D/alpha)^(2/3); the stored Lewis number has three digits.
    ratio = moist_air.vapour_diffusivity(30.0) / convection.AIR_HEAT_DIFFUSIVITY
    expected = 3.0 / convection.AIR_HEAT_PER_VOLUME * ratio ** (2.0 / 3.0)
    assert convection.vapour_transfer_coefficient(3.0) == pytest.approx(expected, rel=1e-3)


def test_a_layer_past_the_correlation_counts_as_its_end() -> None:
    # 50 cm and 40 K: Ra is about 6e8 with the lightness of the vapour, and the correlation ends at 1e8.
    difference = moist_air.saturation_vapour_density(60.0) - moist_air.saturation_vapour_density(20.0)
    sherwood = convection.layer_sherwood(convection.layer_nusselt(1e8))
    expected = sherwood * moist_air.vapour_diffusivity(40.0) / 0.5 * difference
    assert convection.layer_condensation(60.0, 20.0, 0.5) == pytest.approx(expected, rel=1e-12)  # rounding


def test_still_layer_is_pure_diffusion() -> None:
    # 1 cm and 0.3 K: far below the critical number, so D/H x density difference, and no more.
    expected = moist_air.vapour_diffusivity(29.85) / 0.01
    expected *= moist_air.saturation_vapour_density(30.0) - moist_air.saturation_vapour_density(29.7)
    assert convection.layer_condensation(30.0, 29.7, 0.01) == pytest.approx(expected, rel=1e-12)


def test_a_lid_above_the_dew_point_stays_dry() -> None:
    assert convection.layer_condensation(29.0, 29.0, 0.05) == 0.0
    assert convection.layer_condensation(29.0, 30.0, 0.05) == 0.0
    # -1000 kPa lowers the dew point by 0.125 K (derived at 30 °C): 0.12 K colder is dry. Vapour densities are
    # compared, not pressures, which moves the limit to 0.132 K: 0.14 K colder is wet.
    assert convection.layer_condensation(30.0, 29.88, 0.05, -1e6) == 0.0
    assert convection.layer_condensation(30.0, 29.86, 0.05, -1e6) > 0.0


@given(st.floats(20.0, 35.0), st.floats(0.01, 5.0), st.floats(0.01, 0.2), st.floats(-2e6, 0.0))
@settings(max_examples=100, deadline=None)
def test_a_colder_lid_collects_more(medium: float, colder: float, headspace: float, potential: float) -> None:
    rate = convection.layer_condensation(medium, medium - colder, headspace, potential)
    assert 0.0 <= rate <= convection.layer_condensation(medium, medium - 1.1 * colder, headspace, potential)


@given(st.floats(0.0, 6e7), st.floats(1.001, 1.5))
@settings(max_examples=100, deadline=None)
def test_more_drive_moves_more(rayleigh: float, factor: float) -> None:
    more = rayleigh * factor
    assert convection.layer_nusselt(rayleigh) <= convection.layer_nusselt(more)
    assert convection.horizontal_plate_nusselt(rayleigh, False) <= convection.horizontal_plate_nusselt(
        more, False
    )


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: convection.layer_nusselt(2e8), "from 0 to 1e\\+08"),
        (lambda: convection.layer_nusselt(math.nan), "from 0"),
        (lambda: convection.horizontal_plate_nusselt(-1.0, True), "from 0"),
        (lambda: convection.rayleigh_number(1.0, 0.0), " m"),
        (lambda: convection.layer_sherwood(0.5), "from 1"),
        (lambda: convection.vapour_transfer_coefficient(-1.0), "W/\\(m2 K\\)"),
        (lambda: convection.layer_condensation(30.0, 29.0, 0.0), "headspace"),
        (lambda: convection.layer_condensation(130.0, 29.0, 0.05), "°C"),
        (lambda: convection.laminar_plate_factor(0.0), "Prandtl"),
    ],
)  # fmt: skip
def test_what_is_out_of_range_is_refused(call: Callable[[], object], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()
