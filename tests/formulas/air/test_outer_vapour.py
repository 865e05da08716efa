"""Vapour in the outer box, against the same balance done with psychrolib's moist air."""

import psychrolib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from advisor.formulas.air.outer_vapour import (
    LATENT_HEAT,
    RADIATION,
    Surface,
    box_vapour_density,
    settling,
    unwarmed,
)
from advisor.formulas.heat.convection import vapour_transfer_coefficient

psychrolib.SetUnitSystem(psychrolib.SI)
SEA = 101325.0  # Pa
few = settings(max_examples=60, deadline=None)


def density_at(temperature: float, humidity: float) -> float:
    """Vapour in moist air [kg/m3] by psychrolib: humidity ratio over the volume for each mass of dry air."""
    ratio = psychrolib.GetHumRatioFromRelHum(temperature, humidity, SEA)
    return float(ratio / psychrolib.GetMoistAirVolume(temperature, ratio, SEA))


# A bath of 0.2 m2 at 29 °C under 0.9 m2 of walls at 26 °C, lids at 28.5 °C; 20 °C and 50 % in the room; 3 ml/s leak.
FACES = (Surface(0.2, 29.0, wet=True), Surface(0.9, 26.0), Surface(0.1, 28.5))
FILM, LEAK = 2.5, 3e-6


def test_balance_over_a_bath_is_psychrolibs() -> None:
    speed = 2.5 * 9.4e-4  # m/s, Chilton-Colburn: 9.4e-4 m/s at 1 W/(m2 K)
    room = density_at(20.0, 0.5)

    def surplus(density: float) -> float:
        gained = speed * 0.2 * (density_at(29.0, 1.0) - density)
        settles = sum(
            speed * area * max(density - density_at(at, 1.0), 0.0) for area, at in ((0.9, 26.0), (0.1, 28.5))
        )
        return gained - settles - LEAK * (density - room)

    expected = brentq(surplus, room, density_at(29.0, 1.0))
    found = box_vapour_density(FACES, FILM, 0.0, LEAK, room)
    # The speed above is rounded to two digits and cancels but for the leak; psychrolib's air knows the same gas law.
    assert found == pytest.approx(expected, rel=1e-3)
    settles = settling(FACES, FILM, found)
    assert settles == pytest.approx(speed * 0.9 * (expected - density_at(26.0, 1.0)), rel=0.03)
    # What the bath gives off settles or leaks: nothing is lost.
    gives = vapour_transfer_coefficient(FILM) * 0.2 * (density_at(29.0, 1.0) - found)
    assert gives == pytest.approx(settles + LEAK * (found - room), rel=0.01)


def test_nothing_settles_where_all_is_warmer_than_the_dew_point() -> None:
    # Dew point of 28 °C and 60 %: 19.5 °C by psychrolib.
    air = density_at(28.0, 0.6)
    dew_point = psychrolib.GetTDewPointFromRelHum(28.0, 0.6)
    assert settling((Surface(1.0, dew_point + 0.5),), 1.5, air) == 0.0
    assert settling((Surface(1.0, dew_point - 0.5),), 1.5, air) > 0.0
    assert settling((Surface(1.0, dew_point - 0.5, wet=True),), 1.5, air) == 0.0


@few
@given(st.floats(15.0, 35.0), st.floats(0.3, 0.95), st.floats(0.5, 4.0))
def test_a_dish_without_a_heater_is_cooled_by_what_it_gives_off(
    air: float, humidity: float, film: float
) -> None:
    """Against the wet surface solved whole: its heat by film and radiation pays for its vapour. Straight line: to 15 %."""
    speed, density = vapour_transfer_coefficient(film), density_at(air, humidity)

    def short(water: float) -> float:
        pays = (film + RADIATION) * (air - water)
        return pays - LATENT_HEAT * speed * (density_at(water, 1.0) - density)

    water = brentq(short, psychrolib.GetTDewPointFromRelHum(air, humidity), air)
    share = (density_at(water, 1.0) - density) / (density_at(air, 1.0) - density)
    assert unwarmed(film, air) == pytest.approx(share, rel=0.15)
    assert 0.0 < unwarmed(film, air) < 1.0
