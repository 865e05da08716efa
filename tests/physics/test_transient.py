"""Warming and cooling against a textbook example, worked tables and scipy."""

import math

import numpy
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from advisor.physics import transient
from advisor.physics.transient import TwoNodeBox

FOAM_60, FOAM_25 = 0.0341, 0.0191  # m3 of 30 mm foam round 60 x 40 x 25 cm and 38 x 28 x 23.5 cm


def test_thermocouple_junction() -> None:
    # Incropera example 5.1: D 0.706 mm, c 400, rho 8500, h 400: time constant 1 s; 25 to 199 °C in gas of 200
    # °C: 5.2 s.
    diameter = 0.706e-3
    capacity = 8500.0 * math.pi / 6.0 * diameter**3 * 400.0
    conductance = 400.0 * math.pi * diameter**2
    constant = capacity / conductance
    assert constant == pytest.approx(1.0, rel=2e-3)
    assert transient.seconds_to_reach(25.0, 199.0, 200.0, constant) == pytest.approx(5.2, abs=0.06)


def test_heat_stored() -> None:
    # Worked: 2590 J/(kg K) at 1:1 by mass, 3120 at 2:1 (3 digits); 60-litre box with 4 kg: 10.9 kJ/K.
    assert transient.medium_heat_capacity(1.0, 1.0) == pytest.approx(2590.0)
    assert transient.medium_heat_capacity(1.0, 2.0) == pytest.approx(3120.0)
    box = transient.box_heat_capacity(0.060, FOAM_60)
    assert box == pytest.approx(0.070e3 + 0.99e3 / 2.0, rel=0.01)
    medium = transient.medium_heat_capacity(4.0, 1.0)
    assert medium == pytest.approx(10.4e3, rel=0.01)
    assert box + medium == pytest.approx(10.9e3, rel=5e-3)
    # Two litres of water in bottles and 200 g of eggs (75 % water): 8.36 kJ/K and 0.66 kJ/K.
    assert transient.contents_heat_capacity(0.0, 2.0, 0.2) == pytest.approx(8360.0 + 660.0)


def test_water_is_coolprops() -> None:
    assert pytest.approx(PropsSI("C", "T", 303.15, "P", 101325, "Water"), rel=1e-3) == transient.WATER_HEAT


@pytest.mark.parametrize(
    ("litres", "medium", "bottles", "capacity", "constant", "after_4", "after_8", "lose_at_20", "lose_at_12"),
    # Worked table, single lump from 29 °C: kJ/K, h, °C at 20 °C, hours to lose 3 K; one decimal each.
    [
        (60, 2, 0, 5.7, 1.7, 20.8, 20.1, 0.7, 0.3), (60, 4, 0, 10.9, 3.2, 22.5, 20.7, 1.3, 0.6),
        (60, 4, 2, 19.3, 5.6, 24.4, 22.1, 2.3, 1.1), (60, 4, 5, 31.8, 9.2, 25.8, 23.8, 3.7, 1.8),
        (60, 6, 0, 16.1, 4.7, 23.8, 21.6, 1.9, 0.9), (25, 2, 0, 5.5, 2.9, 22.2, 20.6, 1.2, 0.6),
        (25, 4, 0, 10.7, 5.6, 24.4, 22.2, 2.3, 1.1), (25, 4, 2, 19.0, 10.0, 26.0, 24.0, 4.1, 1.9),
    ],
)  # fmt: skip
def test_power_cut_table(
    litres, medium, bottles, capacity, constant, after_4, after_8, lose_at_20, lose_at_12
) -> None:
    conductance, foam = (0.962, FOAM_60) if litres == 60 else (0.5285, FOAM_25)
    contents = transient.contents_heat_capacity(transient.medium_heat_capacity(medium, 1.0), bottles)
    stored = transient.box_heat_capacity(litres / 1000.0, foam) + contents
    assert stored / 1e3 == pytest.approx(
        capacity, abs=0.1
    )  # the table rounds the medium's 2590 J/(kg K) first
    seconds = transient.time_constant(stored, conductance)
    assert seconds / 3600.0 == pytest.approx(constant, abs=0.06)
    assert transient.temperature_after(4.0, 20.0, 29.0, seconds) == pytest.approx(after_4, abs=0.06)
    assert transient.temperature_after(8.0, 20.0, 29.0, seconds) == pytest.approx(after_8, abs=0.06)
    assert transient.cool_down_hours(conductance, stored, 20.0, 29.0, 26.0) == pytest.approx(
        lose_at_20, abs=0.06
    )
    assert transient.cool_down_hours(conductance, stored, 12.0, 29.0, 26.0) == pytest.approx(
        lose_at_12, abs=0.06
    )


def test_two_nodes_table() -> None:
    # Worked: 4 kg, link 2.0 W/K, room 20 °C: medium 27.4, 26.0, 23.9, 21.7 after 1, 2, 4, 8 h; the air 25.2
    # after 1 h.
    box = TwoNodeBox(0.962, 2.0, 1.2e3, 10.4e3)
    media = [transient.two_node_cooling(box, hours, 20.0, 29.0).medium for hours in (1, 2, 4, 8)]
    assert media == pytest.approx([27.4, 26.0, 23.9, 21.7], abs=0.06)
    assert transient.two_node_cooling(box, 1.0, 20.0, 29.0).air == pytest.approx(25.2, abs=0.06)


@given(
    st.floats(0.2, 3.0),
    st.floats(0.3, 8.0),
    st.floats(100.0, 5e3),
    st.floats(2e3, 4e4),
    st.floats(0.01, 20.0),
)
@settings(max_examples=30, deadline=None)
def test_two_nodes_are_scipys(conductance, link, air, medium, hours) -> None:
    box = TwoNodeBox(conductance, link, air, medium)

    def slopes(_, t):
        exchange = link * (t[0] - t[1])
        return [(-conductance * (t[0] - 18.0) - exchange) / air, exchange / medium]

    found = solve_ivp(slopes, (0.0, 3600.0 * hours), [29.0, 29.0], method="LSODA", rtol=1e-9, atol=1e-9)
    own = transient.two_node_cooling(box, hours, 18.0, 29.0)
    # The integrator holds 1e-9 a step; over some hundred steps 1e-5 K remain.
    assert (own.air, own.medium) == pytest.approx(tuple(found.y[:, -1]), abs=1e-5)


def test_two_node_hours_are_the_time_of_the_limit() -> None:
    box = TwoNodeBox(0.962, 2.0, 1.2e3, 10.4e3)
    hours = transient.two_node_hours(box, 20.0, 29.0, 26.0)
    # Bisection to a second: the medium falls 1.5 K an hour.
    assert transient.two_node_cooling(box, hours, 20.0, 29.0).medium == pytest.approx(26.0, abs=1e-3)
    assert transient.two_node_hours(box, 27.0, 29.0, 26.0) == math.inf
    assert transient.two_node_hours(box, 20.0, 29.0, 29.0) == 0.0
    # The other way: the same box warming to 50 °C.
    warm = transient.two_node_hours(box, 50.0, 29.0, 34.0)
    assert transient.two_node_cooling(box, warm, 50.0, 29.0).medium == pytest.approx(34.0, abs=4e-3)


def test_series_form_is_the_slow_part_of_two_nodes() -> None:
    # C (1/UA + 1/G) holds when the air stores little: with 1 % of the heat in the air within 2 %.
    box = TwoNodeBox(0.962, 2.0, 104.0, 10.4e3)
    constant = transient.time_constant(10.4e3, 0.962, 2.0)
    later = (
        transient.two_node_cooling(box, 4.0, 0.0, 1.0).medium
        / transient.two_node_cooling(box, 2.0, 0.0, 1.0).medium
    )
    assert -7200.0 / math.log(later) == pytest.approx(constant, rel=0.02)


def test_stuck_on_table() -> None:
    # Worked, 60 litres in a room of 20 °C; one decimal.
    table = {10: 30.4, 15: 35.6, 20: 40.8, 25: 46.0, 30: 51.2, 40: 61.6, 50: 72.0, 60: 82.4, 100: 124.0}
    own = [transient.stuck_on_temperature(20.0, power, 0.962) for power in table]
    assert own == pytest.approx(list(table.values()), abs=0.06)


def test_time_to_a_limit_with_a_stuck_heater() -> None:
    # Worked: 30 W, 10.9 kJ/K, 29 to 34 °C: 0.8 h.
    settled = transient.stuck_on_temperature(20.0, 30.0, 0.962)
    constant = transient.time_constant(10.9e3, 0.962)
    assert transient.seconds_to_reach(29.0, 34.0, settled, constant) / 3600.0 == pytest.approx(0.8, abs=0.06)


def test_steady_power_table() -> None:
    # Worked, 60 litres, 0.962 W/K: rooms of 10 to 27 °C, set points of 29 and 31 °C.
    rooms = (10.0, 15.0, 18.0, 20.0, 22.0, 25.0, 27.0)
    for set_point, table in (
        (29.0, [18.3, 13.5, 10.6, 8.7, 6.7, 3.8, 1.9]),
        (31.0, [20.2, 15.4, 12.5, 10.6, 8.7, 5.8, 3.8]),
    ):
        own = [transient.steady_power(0.962, room, set_point) for room in rooms]
        assert own == pytest.approx(table, abs=0.06)
    assert transient.steady_power(0.962, 30.0, 29.0) == 0.0


def test_warm_up_table() -> None:
    # Worked: 60 litres, 4 kg, 20 to 28.5 °C: 10 W 5.4 h, 15 W 2.5 h, 20 W 1.7 h, 30 W 1.0 h; 8 W never.
    own = [
        transient.warm_up_hours(power, 0.962, 10.9e3, 20.0, 20.0, 28.5) for power in (10.0, 15.0, 20.0, 30.0)
    ]
    assert own == pytest.approx([5.4, 2.5, 1.7, 1.0], abs=0.06)
    assert transient.warm_up_hours(8.0, 0.962, 10.9e3, 20.0, 20.0, 28.5) == math.inf


def test_bottles() -> None:
    # Worked: 1.2 h a litre in the 60-litre box, 2.2 h in the 25-litre box.
    assert transient.time_constant_hours_per_litre(0.962) == pytest.approx(1.2, abs=0.06)
    assert transient.time_constant_hours_per_litre(0.5285) == pytest.approx(2.2, abs=0.06)


def test_heater_surface() -> None:
    # Worked: one free face of 100, 150, 250 W/m2: 10, 15, 25 K; both faces free: half; covered 150 W/m2: 30
    # to 50 K.
    own = [transient.heater_surface_rise(flux * 0.1, 0.1) for flux in (100.0, 150.0, 250.0)]
    assert own == pytest.approx([10.0, 15.0, 25.0])
    assert transient.heater_surface_rise(15.0, 0.2) == pytest.approx(7.5)
    assert [transient.heater_surface_rise(15.0, 0.1, film) for film in (5.0, 3.0)] == pytest.approx(
        [30.0, 50.0]
    )


def test_limits_that_are_never_reached() -> None:
    assert transient.seconds_to_reach(29.0, 31.0, 20.0, 100.0) == math.inf
    assert transient.seconds_to_reach(29.0, 20.0, 20.0, 100.0) == math.inf
    assert transient.seconds_to_reach(29.0, 25.0, 29.0, 100.0) == math.inf
    assert transient.cool_down_hours(0.962, 1e4, 27.0, 29.0, 26.0) == math.inf
    assert transient.seconds_to_reach(29.0, 29.0, 20.0, 100.0) == 0.0


@given(st.floats(0.1, 20.0), st.floats(0.2, 3.0), st.floats(1e3, 1e5))
@settings(max_examples=100, deadline=None)
def test_time_and_temperature_are_inverse(hours: float, conductance: float, capacity: float) -> None:
    constant = transient.time_constant(capacity, conductance)
    temperature = transient.temperature_after(hours, 18.0, 29.0, constant)
    if temperature - 18.0 > 1e-6:  # nearer to the end the logarithm has no digits left
        found = transient.cool_down_hours(conductance, capacity, 18.0, 29.0, temperature)
        assert found == pytest.approx(hours, rel=1e-6, abs=1e-9)
    assert transient.cool_down_hours(
        conductance, 1.1 * capacity, 18.0, 29.0, 25.0
    ) > transient.cool_down_hours(conductance, capacity, 18.0, 29.0, 25.0)


def test_medium_lags_behind_the_air() -> None:
    box = TwoNodeBox(0.962, 2.0, 1.2e3, 10.4e3)
    for hours in numpy.linspace(0.1, 12.0, 20):
        state = transient.two_node_cooling(box, float(hours), 20.0, 29.0)
        assert 20.0 < state.air < state.medium < 29.0


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: transient.medium_heat_capacity(-1.0, 1.0), "from 0 to 100 kg"),
        (lambda: transient.medium_heat_capacity(1.0, 21.0), "kg/kg"),
        (lambda: transient.box_heat_capacity(3.0, 0.03), "from 0 to 2 m3"),
        (lambda: transient.contents_heat_capacity(1e4, -1.0), " kg"),
        (lambda: transient.steady_power(0.0, 20.0, 29.0), "W/K"),
        (lambda: transient.stuck_on_temperature(20.0, -1.0, 1.0), " W"),
        (lambda: transient.seconds_to_reach(29.0, 26.0, 20.0, 0.0), " s"),
        (lambda: transient.time_constant(0.0, 1.0), "J/K"),
        (lambda: transient.time_constant(1e4, 1.0, 0.0), "W/K"),
        (lambda: transient.temperature_after(-1.0, 20.0, 29.0, 1e4), " h"),
        (lambda: transient.two_node_cooling(TwoNodeBox(0.0, 2.0, 1e3, 1e4), 1.0, 20.0, 29.0), "W/K"),
        (lambda: transient.time_constant_hours_per_litre(0.0), "W/K"),
        (lambda: transient.heater_surface_rise(10.0, 0.0), "m2"),
    ],
)  # fmt: skip
def test_what_is_out_of_range_is_refused(call, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()


@pytest.mark.parametrize("share", [0.05, 0.5, 0.95, 0.99])
def test_two_lumps_reach_every_part_of_the_way(share: float) -> None:
    # Time and temperature are inverse to the second that the bisection stops at: 1e-4 of 9 K.
    box = transient.TwoNodeBox(1.0, 2.0, 2e3, 1e4)
    limit = 29.0 - 9.0 * share
    hours = transient.two_node_hours(box, 20.0, 29.0, limit)
    assert transient.two_node_cooling(box, hours, 20.0, 29.0).medium == pytest.approx(limit, abs=9e-4)
