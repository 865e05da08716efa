"""Moist air against psychrolib, CoolProp and printed tables."""

import math
from collections.abc import Callable

import psychrolib
import pytest
from CoolProp.CoolProp import HAPropsSI, PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.formulas.air import moist_air

psychrolib.SetUnitSystem(psychrolib.SI)

TEMPERATURES = [0.01, 5.0, 10.0, 15.0, 20.0, 25.0, 28.0, 30.0, 32.0, 35.0, 40.0, 45.0, 50.0]


@pytest.mark.parametrize("temperature", TEMPERATURES)
def test_saturation_pressure_is_psychrolibs(temperature: float) -> None:
    # psychrolib 2.5.0 holds the same Hyland-Wexler equation: only rounding may differ.
    assert moist_air.saturation_pressure(temperature) == pytest.approx(
        psychrolib.GetSatVapPres(temperature), abs=0.01
    )


@pytest.mark.parametrize("temperature", TEMPERATURES)
def test_saturation_pressure_is_near_coolprops(temperature: float) -> None:
    # IAPWS-95 is another formulation; the two differ by up to 0.07 % at 0 °C and 0.03 % from 10 to 50 °C.
    expected = PropsSI("P", "T", temperature + 273.15, "Q", 0, "Water")
    assert moist_air.saturation_pressure(temperature) == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize(
    ("temperature", "pressure"),
    [
        # Hyland & Wexler 1983 as printed by psychrolib, two decimals.
        (0.0, 611.21), (10.0, 1228.00), (20.0, 2338.80), (25.0, 3169.22), (28.0, 3782.21),
        (30.0, 4246.03), (32.0, 4758.53), (35.0, 5627.82), (40.0, 7383.46),
    ],
)  # fmt: skip
def test_saturation_pressure_matches_the_printed_table(temperature: float, pressure: float) -> None:
    assert moist_air.saturation_pressure(temperature) == pytest.approx(pressure, abs=0.006)


def test_saturation_pressure_matches_the_if97_verification_value() -> None:
    # IAPWS R7-97, table 35: ps(300 K) = 3536.58941 Pa. Another formulation: 0.03 % apart.
    assert moist_air.saturation_pressure(26.85) == pytest.approx(3536.58941, rel=3e-4)


@pytest.mark.parametrize(
    ("temperature", "buck_1981", "buck_1996", "magnus"),
    [
        (10.0, 1227.60, 1227.86, 1226.03), (25.0, 3167.03, 3168.53, 3160.06),
        (30.0, 4243.51, 4245.13, 4233.72),
        (35.0, 5625.91, 5626.75, 5612.84), (40.0, 7384.18, 7382.36, 7367.46),
    ],
)  # fmt: skip
def test_other_formulas_agree(temperature: float, buck_1981: float, buck_1996: float, magnus: float) -> None:
    # Buck 1981, Buck 1996, Magnus (WMO No. 8): fits of the same quantity, spread 0.3 %.
    pressure = moist_air.saturation_pressure(temperature)
    assert [buck_1981, buck_1996, magnus] == pytest.approx([pressure] * 3, rel=3.5e-3)


def test_slope_of_the_saturation_pressure_at_30_degrees() -> None:
    # 243.8 Pa/K, derived by hand from IAPWS values; the last digit is rounded and the formulations differ by
    # 0.02 %.
    assert moist_air.saturation_pressure_slope(30.0) == pytest.approx(243.8, abs=0.1)


@pytest.mark.parametrize("temperature", TEMPERATURES)
def test_slopes_are_coolprops(temperature: float) -> None:
    kelvin = temperature + 273.15
    slope = PropsSI("d(P)/d(T)|sigma", "T", kelvin, "Q", 0, "Water")
    # Two formulations: 0.1 % in the slope.
    assert moist_air.saturation_pressure_slope(temperature) == pytest.approx(slope, rel=2e-3)


@pytest.mark.parametrize(
    ("temperature", "ideal", "real"),
    [
        # Ideal gas with Hyland-Wexler; CoolProp saturated vapour; g/m3.
        (0.01, 4.852, 4.855), (10.0, 9.397, 9.407), (20.0, 17.287, 17.314), (25.0, 23.032, 23.075),
        (28.0, 27.213, 27.269), (30.0, 30.348, 30.415), (32.0, 33.789, 33.868), (35.0, 39.572, 39.674),
        (40.0, 51.088, 51.242),
    ],
)  # fmt: skip
def test_saturation_vapour_density_matches_the_table(temperature: float, ideal: float, real: float) -> None:
    grams = 1e3 * moist_air.saturation_vapour_density(temperature)
    assert grams == pytest.approx(ideal, abs=6e-4)
    # Real vapour is up to 0.3 % denser than an ideal gas here.
    assert grams == pytest.approx(real, rel=3.2e-3)


@pytest.mark.parametrize("temperature", TEMPERATURES)
def test_saturation_vapour_density_is_near_coolprops(temperature: float) -> None:
    real = PropsSI("D", "T", temperature + 273.15, "Q", 1, "Water")
    # Real vapour is 0.4 % denser than an ideal gas at 50 °C, less below.
    assert moist_air.saturation_vapour_density(temperature) == pytest.approx(real, rel=5e-3)


def test_slope_of_the_vapour_density_at_30_degrees() -> None:
    # 1.642 g/(m3 K), derived; three decimals.
    assert 1e3 * moist_air.saturation_vapour_density_slope(30.0) == pytest.approx(1.642, abs=6e-4)


@pytest.mark.parametrize("temperature", [1.0, 12.5, 30.0, 45.0, 90.0])
def test_slopes_are_derivatives(temperature: float) -> None:
    # Central differences of 1 mK: rounding of about 1e-9.
    for value, slope in (
        (moist_air.saturation_pressure, moist_air.saturation_pressure_slope),
        (moist_air.saturation_vapour_density, moist_air.saturation_vapour_density_slope),
    ):
        numerical = (value(temperature + 1e-3) - value(temperature - 1e-3)) / 2e-3
        assert slope(temperature) == pytest.approx(numerical, rel=1e-7)


def test_warming_saturated_air_dries_it() -> None:
    # Derived: 1 K at 29.5 °C drops saturation to 94.4 %, 2 K to 89.1 %; 1 % is 0.18 K of dew point at 30 °C.
    pressure = moist_air.saturation_pressure
    assert pressure(29.0) / pressure(30.0) == pytest.approx(0.944, abs=1e-3)
    assert pressure(28.0) / pressure(30.0) == pytest.approx(0.891, abs=1e-3)
    assert pressure(30.0 - 0.18) / pressure(30.0) == pytest.approx(0.99, abs=6e-4)


@given(st.floats(0.0, 99.0), st.floats(0.01, 1.0))
@settings(max_examples=100, deadline=None)
def test_saturation_rises_with_temperature(temperature: float, step: float) -> None:
    for value in (moist_air.saturation_pressure, moist_air.saturation_vapour_density):
        assert value(temperature) < value(temperature + step)


@pytest.mark.parametrize(
    ("kilopascals", "humidity", "depression"),
    # Kelvin equation at 30 °C, derived with V = 1.807e-5 m3/mol; five and three decimals.
    [(-150, 0.99893, 0.019), (-500, 0.99642, 0.063), (-1000, 0.99286, 0.125), (-2000, 0.98576, 0.250)],
)
def test_humidity_over_a_medium(kilopascals: float, humidity: float, depression: float) -> None:
    own = moist_air.relative_humidity_over_medium(kilopascals * 1e3, 30.0)
    assert own == pytest.approx(humidity, abs=6e-6)
    at_dew_point = moist_air.saturation_pressure(30.0 - depression) / moist_air.saturation_pressure(30.0)
    assert at_dew_point == pytest.approx(own, abs=1.2e-4)  # the table's depressions are rounded: 0.002 K


@pytest.mark.parametrize(
    ("temperature", "square_centimetres"),
    [
        (0.0, 0.2178),
        (20.0, 0.2475),
        (25.0, 0.2552),
        (30.0, 0.2630),
        (35.0, 0.2709),
    ],  # Massman 1998, four decimals
)
def test_vapour_diffusivity(temperature: float, square_centimetres: float) -> None:
    assert 1e4 * moist_air.vapour_diffusivity(temperature) == pytest.approx(square_centimetres, abs=6e-5)


@pytest.mark.parametrize(
    ("altitude", "hectopascals"),
    # ISO 2533:1975, table by geometric altitude, five digits (from memory).
    [
        (0, 1013.25),
        (500, 954.61),
        (1000, 898.76),
        (1500, 845.60),
        (2000, 795.01),
        (3000, 701.21),
        (5000, 540.48),
    ],
)
def test_pressure_of_the_standard_atmosphere(altitude: float, hectopascals: float) -> None:
    assert moist_air.air_pressure(altitude) == pytest.approx(100 * hectopascals, abs=0.6)


def test_vapour_diffusivity_is_near_handbook_values() -> None:
    # Handbook table: 0.219, 0.242, 0.399 cm2/s at 0, 20, 100 °C; Incropera table A.8: 0.26 at 25 °C. Within 7
    # %.
    for temperature, value in ((0.0, 0.219), (20.0, 0.242), (100.0, 0.399), (25.0, 0.26)):
        assert 1e4 * moist_air.vapour_diffusivity(temperature) == pytest.approx(value, rel=0.07)
    assert moist_air.vapour_diffusivity(30.0, 50662.5) == pytest.approx(
        2 * moist_air.vapour_diffusivity(30.0)
    )


def test_vapour_makes_air_lighter() -> None:
    # CoolProp: density of saturated moist air at 30 °C against dry air of the virtual temperature. Ideal
    # gases: 0.1 %.
    kelvin = moist_air.virtual_temperature(30.0, moist_air.saturation_pressure(30.0))
    humid = HAPropsSI("W", "T", 303.15, "R", 1.0, "P", 101325)
    moist = (1.0 + humid) / HAPropsSI("Vda", "T", 303.15, "R", 1.0, "P", 101325)
    dry = PropsSI("D", "T", kelvin, "P", 101325, "Air")
    assert moist == pytest.approx(dry, rel=1e-3)


def test_saturated_surfaces_drive_as_if_further_apart() -> None:
    def virtual(temperature: float) -> float:
        return moist_air.virtual_temperature(temperature, moist_air.saturation_pressure(temperature))

    def density(temperature: float) -> float:
        kelvin = temperature + 273.15
        humid = HAPropsSI("W", "T", kelvin, "R", 1.0, "P", 101325)
        return float((1.0 + humid) / HAPropsSI("Vda", "T", kelvin, "R", 1.0, "P", 101325))

    # CoolProp, real moist air: the density step over 1 K as a share, times the virtual temperature. Ideal
    # gases: 1 %.
    share = 1.0 - density(30.0) / density(29.0)
    own = virtual(30.0) - virtual(29.0)
    assert own == pytest.approx(share * virtual(30.0), rel=0.01)
    assert own == pytest.approx(1.27, rel=0.03)  # derived by hand to first order


def test_vapour_density_is_the_gas_law() -> None:
    # CoolProp, steam at 1 kPa and 30 °C: nearly an ideal gas, 0.1 %.
    assert moist_air.vapour_density(1000.0, 30.0) == pytest.approx(
        PropsSI("D", "T", 303.15, "P", 1000, "Water"), rel=1e-3
    )


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: moist_air.saturation_pressure(-0.1), "must be from 0 to 200 °C"),
        (lambda: moist_air.saturation_pressure(math.nan), "must be from 0 to 200 °C"),
        (lambda: moist_air.relative_humidity_over_medium(1.0, 30.0), "to 0 Pa"),
        (lambda: moist_air.vapour_diffusivity(101.0), "from 0 to 100 °C"),
        (lambda: moist_air.vapour_diffusivity(30.0, 1e4), "Pa"),
        (lambda: moist_air.air_pressure(6000.0), "altitude is 6000 m: must be from -500 to 5500 m"),
        (lambda: moist_air.vapour_density(-1.0, 30.0), "Pa"),
        (lambda: moist_air.virtual_temperature(30.0, 2e5), "Pa"),
    ],
)  # fmt: skip
def test_numbers_out_of_range_are_refused(call: Callable[[], object], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()
