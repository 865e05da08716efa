"""Formulas on logs against arithmetic shown here, and against a box of two lumps solved in closed form."""

import math
import random

import pytest

from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.logs import cooling, cycles, loss, means, steady

HOUR = 3600.0


def two_lumps(hours: float) -> tuple[float, float]:
    """Air and medium [°C] of a box with its heater off: UA 0.96, G 2.0 W/K, Ca 1200, Cm 10400 J/K, from 29 °C in 20 °C.

    Rates are the roots of r² - s r + q with s = (UA + G)/Ca + G/Cm and q = UA G/(Ca Cm); by hand 1/385 s and 1/16900 s.
    """
    s, q = 2.96 / 1200 + 2.0 / 10400, 0.96 * 2.0 / (1200 * 10400)
    fast, slow = (s / 2 + sign * math.sqrt(s * s / 4 - q) for sign in (1, -1))
    # Both start 9 K over the room; the medium with slope zero.
    a = 9.0 * fast / (fast - slow)
    medium = a * math.exp(-slow * hours * HOUR) + (9.0 - a) * math.exp(-fast * hours * HOUR)
    slope = -a * slow * math.exp(-slow * hours * HOUR) - (9.0 - a) * fast * math.exp(-fast * hours * HOUR)
    return 20.0 + medium + slope * 10400 / 2.0, 20.0 + medium


def test_two_lumps_are_solved_right() -> None:
    # Air and medium after 15 min and an hour from an own solution to three digits.
    assert two_lumps(0.25) == pytest.approx((26.298, 28.712), abs=1e-3)
    assert two_lumps(1.0) == pytest.approx((25.153, 27.443), abs=1e-3)


def test_time_constant_of_the_last_half_hour() -> None:
    # (28.277 - 20)/(27.443 - 20) = 1.11205; 0.5 h/ln 1.11205 = 4.71 h.
    found = cooling.time_constant(28.277, 27.443, 0.5 * HOUR, 20.0) / HOUR
    assert found == pytest.approx(4.71, abs=0.005)
    with pytest.raises(NoSolution):
        cooling.time_constant(27.0, 27.0, HOUR, 20.0)
    with pytest.raises(NoSolution):
        cooling.time_constant(19.0, 18.0, HOUR, 20.0)


def test_hours_to_lose_three_kelvins() -> None:
    # 1 h + 4.71 h ln(7.443/6) = 1 + 4.71 x 0.2155 = 2.015 h, in the room of the spell.
    fall = cooling.Fall(0.0, HOUR, 29.0, 27.443)
    assert cooling.hours_to_lose(fall, 4.71 * HOUR, 20.0, 3.0, 20.0) == pytest.approx(2.015, abs=0.005)
    # In a room of 11 °C the fall doubles, 3.114 K in the hour: 3 K are lost after 3/3.114 = 0.963 h of it.
    assert cooling.hours_to_lose(fall, 4.71 * HOUR, 20.0, 3.0, 11.0) == pytest.approx(0.963, abs=0.001)
    with pytest.raises(NoSolution):
        cooling.hours_to_lose(fall, 4.71 * HOUR, 20.0, 3.0, 26.5)


def test_the_spell_of_two_lumps_is_found_and_close_to_their_slow_time() -> None:
    course = [(minute * 60.0, 29.0) for minute in range(0, 600, 5)]
    course += [(36_000.0 + minute * 60.0, two_lumps(minute / 60)[1]) for minute in range(0, 61, 5)]
    course += [(39_600.0 + minute * 60.0, 27.443 + 0.3 * minute / 30) for minute in range(5, 120, 5)]
    (fall,) = cooling.falls(course, 0.6)
    assert fall.begin == pytest.approx(36_000.0, abs=600.0)
    assert fall.end == pytest.approx(39_600.0, abs=1.0)
    assert fall.low == pytest.approx(27.443, abs=1e-3)
    # A flat course, and a night that cools it by 0.3 K an hour, have none.
    assert not list(cooling.falls([(minute * 60.0, 29.0) for minute in range(0, 900, 5)], 0.6))
    assert not list(
        cooling.falls([(minute * 60.0, 29.0 - 0.005 * minute) for minute in range(0, 600, 5)], 0.6)
    )
    # Nor has a box that goes down by a kelvin an hour at night, as slowly begun as nights are.
    night = [
        (minute * 60.0, 26.0 + 3.0 * math.cos(2 * math.pi * minute / 1440)) for minute in range(0, 2880, 5)
    ]
    assert not list(cooling.falls([(time, value * 1.4) for time, value in night], 0.6))


def test_settling_of_an_exponential() -> None:
    # T = 29 - 9 exp(-t/2 h) is within 0.5 K from 2 h ln 18 = 5.78 h; the mean of an hour is early or late by minutes.
    course = [(minute * 60.0, 29.0 - 9.0 * math.exp(-minute / 120)) for minute in range(0, 3 * 1440, 5)]
    found = steady.settled_at(course)
    assert found is not None and found / HOUR == pytest.approx(5.78, abs=0.15)
    ramp = [(minute * 60.0, 20.0 + minute / 60) for minute in range(0, 1440, 10)]
    assert steady.settled_at(ramp) is None


def test_drift_is_a_slope() -> None:
    # Medium 28.90, 29.00, 29.05 at room 17, 20, 23: (28.90 x -3 + 29.05 x 3)/18 = 0.45/18 = 0.025.
    found, error = steady.slope([(17.0, 28.90), (20.0, 29.00), (23.0, 29.05)])
    assert found == pytest.approx(0.025)
    # Rests -0.008, +0.017, -0.008: sqrt(0.000417/1/18) = 0.0048.
    assert error == pytest.approx(0.0048, abs=1e-4)


def test_mean_is_weighted_by_time() -> None:
    # Ten minutes at 28 and then one reading a half hour later at 30: (5 x 28 + 20 x 28 + 15 x 30)/40 = 28.75.
    assert means.weighted_mean([(0.0, 28.0), (600.0, 28.0), (2400.0, 30.0)]) == pytest.approx(28.75)
    # A gap of a day counts as an hour: neither end can outweigh the rest.
    assert means.weighted_mean([(0.0, 28.0), (86_400.0, 30.0)]) == pytest.approx(29.0)


def test_a_switch_holds_its_state() -> None:
    # On from 60 to 90 s of 120: 0.25. The trapezoid between the changes would say otherwise.
    assert means.held_mean([0.0, 60.0, 90.0], [0.0, 1.0, 0.0], 0.0, 120.0) == pytest.approx(0.25)
    assert means.held_mean([0.0, 60.0, 90.0], [0.0, 1.0, 0.0], 75.0, 105.0) == pytest.approx(0.5)


def test_running_means_are_means() -> None:
    dice = random.Random(3)
    course = [(60.0 * place + dice.uniform(0, 20), dice.gauss(28, 1)) for place in range(300)]
    found = dict(means.running_means(course, HOUR))
    # Where half an hour lies before and after, to a second.
    first, last = course[0][0] + HOUR / 2 - 1.0, course[-1][0] - HOUR / 2 + 1.0
    assert list(found) == [time for time, _ in course if first <= time <= last]
    for time, mean in [*found.items()][::17]:
        inside = [value for at, value in course if abs(at - time) <= HOUR / 2]
        assert mean == pytest.approx(sum(inside) / len(inside))


@pytest.mark.parametrize(("lag", "share", "rising"), [
    (90, 0.20, 0.288), (90, 0.30, 0.354), (90, 0.50, 0.500), (90, 0.70, 0.646),
    (240, 0.20, 0.371), (240, 0.30, 0.417), (240, 0.60, 0.545), (240, 0.70, 0.584),
])  # fmt: skip
def test_rising_share_of_a_saw_tooth_through_a_slow_sensor(lag: float, share: float, rising: float) -> None:
    # Air of 25 min of its own lag, heater on for `share` of 20 min, sensor of `lag` [s]: both first order, by small steps.
    air = sensor = 0.0
    course = []
    for second in range(0, 60_000, 2):
        on = second % 1200 < share * 1200
        air += ((10.0 if on else 0.0) - air) / 1500.0 * 2
        sensor += (air - sensor) / lag * 2
        if second >= 20_000 and second % 30 == 0:
            course.append((float(second), sensor))
    swing = steady.short_swing(course)
    assert swing is not None
    found = cycles.rising_share(course, 30.0, swing)
    assert found is not None
    assert found[0] == pytest.approx(1200.0, rel=0.015)
    assert found[1] == pytest.approx(rising, abs=0.03)  # a turn is seen to half a minute


def test_watts_for_each_kelvin() -> None:
    # 15 W on for 8.4 of 20 min: 0.42, 6.30 W over 9.0 K: 0.700 W/K. Errors: label 0.058, two thermometers 0.408/9 = 0.045.
    difference = loss.warmer_by(29.0, 20.0)
    value, error = loss.power_for_each_kelvin(0.42 * 15.0, difference, math.hypot(loss.LABEL, 0.018))
    assert value == pytest.approx(0.700)
    assert error == pytest.approx(0.076, abs=0.001)
    # Stuck on: 9.0/0.42 = 21.4 K.
    rise, rise_error = loss.stuck_on_rise(0.42, difference, 0.018)
    assert rise == pytest.approx(21.4, abs=0.03)
    assert rise_error == pytest.approx(0.053, abs=0.001)
    assert pytest.approx(0.5 / math.sqrt(3), abs=5e-4) == loss.SENSOR


def test_what_is_not_usable_is_refused() -> None:
    assert loss.warmer_by(29.0, 27.0) == 2.0 and loss.stuck_on_rise(0.05, 9.0)[0] == pytest.approx(180.0)
    with pytest.raises(NoSolution):
        loss.warmer_by(29.0, 27.5)
    with pytest.raises(NoSolution):
        loss.stuck_on_rise(0.03, 9.0)
    with pytest.raises(NoSolution):
        loss.conductance(0.7, 1.0, "nowhere", 0.1)


@pytest.mark.parametrize(("place", "scale", "behind"), [
    ("lid", 0.6, 1.20 / 1.32), ("lid", 1.6, 1.48 / 1.32), ("floor", 0.6, 1.01 / 1.02), ("floor", 1.6, 1.04 / 1.02),
    ("one side", 0.6, 1.13 / 1.17), ("one side", 1.6, 1.22 / 1.17),
])  # fmt: skip
def test_loss_moves_less_than_the_watts(place: str, scale: float, behind: float) -> None:
    # A box of 60 x 40 x 25 cm with walls of 0.6 and 1.6 times the conductivity: its watts go with `scale` times `behind`,
    # by a heat balance with two layers of air. The true loss is found within 4 %.
    found, _ = loss.conductance(1.0, scale * behind, place, 0.1)
    assert found == pytest.approx(scale, rel=0.04)


def test_range_of_a_logarithm() -> None:
    # 0.096 in logarithms: times and over 1.21.
    low, high = loss.ends(0.7, 0.096)
    assert (low, high) == pytest.approx((0.7 / 1.207, 0.7 * 1.207), rel=1e-3)
    assert loss.error_of_difference(9.0) == pytest.approx(0.0454, abs=1e-4)
