"""Swing, probe place and sensor errors against worked values, a step-by-step simulation and standards."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.physics import control
from advisor.physics.control import NeverSwitches, SwitchedBox


def simulated(power, conductance, capacity, room, set_point, band, dead_time, sensor_time, step=1.0):
    """One lump, a lagging sensor and a dead time, in steps of 1 s: highest, lowest, mean, period."""
    temperature = sensor = set_point
    queue = [True] * max(1, round(dead_time / step))
    relay, seen, starts = True, [], []
    for number in range(round(30 * 3600 / step)):
        queue.append(relay)
        heating = queue.pop(0)
        temperature += step / capacity * (power * heating - conductance * (temperature - room))
        sensor += step / sensor_time * (temperature - sensor)
        if relay and sensor > set_point + band / 2:
            relay = False
        elif not relay and sensor < set_point - band / 2:
            relay = True
            starts.append(number)
        seen.append(temperature)
    seen = seen[starts[-5] : starts[-1]]
    return max(seen), min(seen), sum(seen) / len(seen), (starts[-1] - starts[-5]) * step / 4


def test_worked_swing() -> None:
    # Worked by hand: 29.479, 28.659, 0.820 K, 24 min, mean 29.06 °C; three decimals.
    own = control.on_off_swing(30.0, 0.962, 11e3, 20.0, 29.0, 0.5, 60.0, 60.0)
    assert (own.highest, own.lowest, own.swing) == pytest.approx((29.479, 28.659, 0.820), abs=6e-4)
    assert own.period / 60.0 == pytest.approx(24.0, abs=0.5)
    assert own.mean == pytest.approx(29.06, abs=0.01)
    assert own.offset == pytest.approx(own.mean - 29.0)
    # Straight-line estimates: swing band + P Le/C = 0.827; mean off by half the delay times the
    # difference of the slopes (first order in the delay: 10 %).
    assert own.swing == pytest.approx(0.5 + 30.0 * 120.0 / 11e3, rel=0.02)
    up, down = (30.0 - 0.962 * 9.0) / 11e3, 0.962 * 9.0 / 11e3
    assert own.offset == pytest.approx(120.0 * (up - down) / 2.0, rel=0.10)
    assert own.duty == pytest.approx(control.duty(30.0, 0.962, 20.0, own.mean))


@pytest.mark.parametrize(
    ("power", "capacity", "band", "delay", "highest", "lowest", "swing"),
    # Worked by hand, two decimals.
    [
        (30.0, 11e3, 1.0, 300.0, 30.61, 28.07, 2.54),
        (60.0, 11e3, 0.5, 300.0, None, None, 3.66),
        (30.0, 2e3, 0.5, 60.0, None, None, 2.22),
    ],
)
def test_more_worked_swings(power, capacity, band, delay, highest, lowest, swing) -> None:
    own = control.on_off_swing(power, 0.962, capacity, 20.0, 29.0, band, delay, delay)
    assert own.swing == pytest.approx(swing, abs=6e-3)
    if highest is not None:
        assert (own.highest, own.lowest) == pytest.approx((highest, lowest), abs=6e-3)


@pytest.mark.parametrize(
    ("power", "capacity", "band", "delay", "tolerance"),
    # The formula adds the sensor's lag to the dead time; a slow sensor sees less than that, so the formula is
    # wide.
    [(30.0, 11e3, 0.5, 60.0, 0.03), (30.0, 11e3, 1.0, 300.0, 0.03), (60.0, 11e3, 0.5, 300.0, 0.15)],
)
def test_swing_is_that_of_a_simulation(power, capacity, band, delay, tolerance) -> None:
    own = control.on_off_swing(power, 0.962, capacity, 20.0, 29.0, band, delay, delay)
    highest, lowest, mean, period = simulated(power, 0.962, capacity, 20.0, 29.0, band, delay, delay)
    assert own.swing == pytest.approx(highest - lowest, rel=tolerance)
    assert own.mean == pytest.approx(mean, abs=0.1 * own.swing)
    assert own.period == pytest.approx(period, rel=2 * tolerance)


@given(st.floats(12.0, 60.0), st.floats(0.1, 2.0), st.floats(10.0, 300.0))
@settings(max_examples=100, deadline=None)
def test_stronger_wider_later_swings_more(power: float, band: float, delay: float) -> None:
    def swing(heater: float, wide: float, late: float) -> float:
        return control.on_off_swing(heater, 0.962, 11e3, 20.0, 29.0, wide, late, 30.0).swing

    base = swing(power, band, delay)
    assert base > band
    assert swing(1.1 * power, band, delay) > base
    assert swing(power, 1.1 * band, delay) > base
    assert swing(power, band, 1.1 * delay) > base


def test_duty() -> None:
    # Worked: 20 W: 0.43 in a room of 20 °C, 0.67 at 15, 0.19 at 25; two decimals.
    own = [control.duty(20.0, 0.962, room, 29.0) for room in (20.0, 15.0, 25.0, 30.0)]
    assert own == pytest.approx([0.43, 0.67, 0.19, 0.0], abs=6e-3)


@pytest.mark.parametrize(
    ("power", "air", "medium", "minutes"),
    # A simulation of heater, air and medium without lids (band 0.3 K, sensor 60 s). The lids here couple air
    # and medium better, which takes up to 12 % off the air's range and 8 % off the period; the middle of the
    # range differs less.
    [
        (15.0, (26.4, 31.1), (28.7, 29.2), 63.0),
        (30.0, (26.2, 34.4), (28.8, 29.5), 55.0),
        (60.0, (26.2, 39.0), (28.8, 29.9), 65.0),
    ],
)  # fmt: skip
def test_probe_in_the_medium(power, air, medium, minutes) -> None:
    own = control.switching(SwitchedBox(0.962), "medium", power, 20.0, 29.0, 0.3)
    assert own.air_high - own.air_low == pytest.approx(air[1] - air[0], rel=0.15)
    assert (own.medium_low, own.medium_high) == pytest.approx(medium, abs=0.06)
    assert own.period / 60.0 == pytest.approx(minutes, rel=0.10)


@pytest.mark.parametrize(
    ("power", "air", "minutes"),
    [(15.0, (28.5, 29.4), 10.0), (30.0, (28.5, 29.9), 9.0), (60.0, (28.6, 30.7), 11.0)],
)
def test_probe_in_the_air(power, air, minutes) -> None:
    # The same simulation; one decimal printed, minutes without decimals.
    own = control.switching(SwitchedBox(0.962), "air", power, 20.0, 29.0, 0.3)
    assert (own.air_low, own.air_high) == pytest.approx(air, abs=0.1)
    assert own.period / 60.0 == pytest.approx(minutes, abs=0.6)
    assert own.medium_high - own.medium_low < 0.1


@pytest.mark.parametrize(
    ("power", "probe", "share_low", "share_high", "lowest_low", "lowest_high"),
    # The same simulation with a lid, its four guesses varied by 0.5 to 5: how long and how far the lid is
    # colder.
    [
        (15.0, "medium", 0.30, 0.35, -1.6, -0.6), (30.0, "medium", 0.44, 0.52, -1.7, -0.6),
        (15.0, "air", 0.0, 0.02, -0.03, 1.0), (30.0, "air", 0.0, 0.16, -0.16, 1.0),
    ],
)  # fmt: skip
def test_lid_while_the_heater_is_off(power, probe, share_low, share_high, lowest_low, lowest_high) -> None:
    own = control.switching(SwitchedBox(0.962), probe, power, 20.0, 29.0, 0.3)
    assert share_low <= own.share_lid_colder <= share_high
    assert lowest_low <= own.lid_minus_medium_lowest <= lowest_high
    known = control.lid_colder_range(probe)
    assert known.share_low <= own.share_lid_colder <= known.share_high
    assert own.lid_minus_medium_lowest >= known.lowest_low


def test_switching_keeps_the_heat_balance() -> None:
    # Over whole periods nothing is stored: the mean of the air is that of a heater at power x duty. So it
    # lies between the room's and the full heater's end, and the air's mean is near the medium's (no other way
    # out of the medium).
    own = control.switching(SwitchedBox(0.962), "air", 30.0, 20.0, 29.0, 0.3)
    # The lid's share of radiation goes through the medium as well, so the medium sits up to 0.5 K above the
    # air.
    assert (own.air_low + own.air_high) / 2.0 - 0.2 < own.medium_low < own.air_high


def test_a_smaller_step_changes_little() -> None:
    # A sensor of 20 s needs steps of 5 s at most; with 10 s they halve. Only the period's whole steps may
    # differ.
    quick = control.switching(SwitchedBox(0.962), "medium", 15.0, 20.0, 29.0, 0.3, sensor_time=10.0)
    normal = control.switching(SwitchedBox(0.962), "medium", 15.0, 20.0, 29.0, 0.3, sensor_time=20.0)
    assert quick.air_high == pytest.approx(normal.air_high, abs=0.15)
    assert quick.share_lid_colder == pytest.approx(normal.share_lid_colder, abs=0.02)


def test_ripple() -> None:
    # Worked: 30 W, duty 0.29, cycle 10 s: 0.21 K at a mat of 300 J/K, 0.05 K in air of 1.2 kJ/K; two
    # decimals.
    assert control.proportional_ripple(30.0, 0.29, 10.0, 300.0) == pytest.approx(0.21, abs=6e-3)
    assert control.proportional_ripple(30.0, 0.29, 10.0, 1.2e3) == pytest.approx(0.05, abs=6e-3)


def test_droop() -> None:
    # Worked: band 1 K, duty 0.3 by day and 0.7 by night: 0.4 K between them.
    day, night = (control.proportional_droop(1.0, share) for share in (0.3, 0.7))
    assert night - day == pytest.approx(0.4)
    assert control.proportional_droop(1.0, 0.5) == 0.0


def test_error_budget() -> None:
    # Worked: 0.5, 0.5 and a swing of 0.3 K: 0.71 K likely, 1.15 K at worst; two decimals.
    own = control.error_budget(0.5, 0.5, 0.3)
    assert (own.likely, own.worst) == pytest.approx((0.71, 1.15), abs=6e-3)


def test_platinum_sensors() -> None:
    # IEC 60751: class A 0.35 K and B 0.80 K at 100 °C; 0.21 and 0.45 K at 30 °C. 111.673 and 138.506 ohm at
    # 30 and 100 °C.
    assert control.platinum_tolerance("A", 100.0) == pytest.approx(0.35)
    assert control.platinum_tolerance("B", 100.0) == pytest.approx(0.80)
    assert control.platinum_tolerance("A", 30.0) == pytest.approx(0.21)
    assert control.platinum_tolerance("B", 30.0) == pytest.approx(0.45)
    assert control.platinum_resistance(30.0) == pytest.approx(111.673, abs=6e-4)
    assert control.platinum_resistance(100.0) == pytest.approx(138.506, abs=6e-4)


@pytest.mark.parametrize(
    ("tolerance_class", "at_0", "at_100"),
    [
        ("AA", 0.10, 0.27),
        ("A", 0.15, 0.35),
        ("B", 0.30, 0.80),
        ("C", 0.60, 1.60),
    ],  # IEC 60751, table of tolerances
)
def test_tolerance_classes_of_platinum(tolerance_class: str, at_0: float, at_100: float) -> None:
    assert control.platinum_tolerance(tolerance_class, 0.0) == pytest.approx(at_0)
    assert control.platinum_tolerance(tolerance_class, 100.0) == pytest.approx(at_100)
    assert control.platinum_tolerance(tolerance_class, -50.0) > at_0


def test_a_box_at_the_edge_of_switching() -> None:
    # 1 W/K and 20 °C: 9.5 W reach 29.5 °C at most, where a band of 1 K round 29 °C switches off; a room of 28.5 °C keeps the
    # box where it would switch on (steady balance).
    for power, room in ((9.5, 20.0), (30.0, 28.5)):
        with pytest.raises(NeverSwitches, match="too weak, or the room too warm"):
            control.switching(SwitchedBox(1.0), "air", power, room, 29.0, 1.0)
        with pytest.raises(NeverSwitches, match=r"29.5 °C never does|above 28.5 °C"):
            control.on_off_swing(power, 1.0, 11e3, room, 29.0, 1.0, 60.0, 60.0)
    assert control.switching(SwitchedBox(1.0), "air", 12.0, 20.0, 29.0, 1.0).air_high > 29.5
    assert control.switching(SwitchedBox(1.0), "air", 30.0, 27.0, 29.0, 1.0).air_low < 28.5


def test_thermistors() -> None:
    # Worked: 10 kilo-ohm, 3950 K: 8037 ohm at 30 °C; 1 % of the resistance is 0.23 K.
    assert control.thermistor_resistance(30.0) == pytest.approx(8037.0, abs=0.6)
    assert control.thermistor_resistance(25.0) == 1e4
    assert control.thermistor_error(30.0, 0.01) == pytest.approx(0.23, abs=6e-3)
    warmer = control.thermistor_resistance(30.0) / control.thermistor_resistance(30.001)
    assert math.log(warmer) / 0.001 == pytest.approx(0.01 / control.thermistor_error(30.0, 0.01), rel=1e-4)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: control.on_off_swing(8.0, 0.962, 11e3, 20, 29, 0.5, 60, 60), "alone reaches 28.3 °C"),
        (lambda: control.on_off_swing(30.0, 0.962, 11e3, 29, 29, 0.5, 60, 60), "room at 29.0 °C"),
        (lambda: control.on_off_swing(30.0, 0.962, 11e3, 20, 29, 0.0, 0, 0), "no swing"),
        (lambda: control.switching(SwitchedBox(0.962), "air", 8.0, 20, 29, 0.3), "too weak"),
        (lambda: control.switching(SwitchedBox(0.962), "air", 30.0, 29.5, 29, 0.3), "too warm"),
        (lambda: control.switching(SwitchedBox(0.962, 1e6), "medium", 15.0, 20, 29, 5.0), "hardly"),
    ],
)  # fmt: skip
def test_a_thermostat_that_never_switches_says_why(call, message: str) -> None:
    with pytest.raises(NeverSwitches, match=message):
        call()


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: control.on_off_swing(30.0, 0.962, 11e3, 20, 29, 0.5, 2000, 600), "from 0 to 2286.9 s"),
        (lambda: control.on_off_swing(0.0, 0.962, 11e3, 20, 29, 0.5, 60, 60), " W"),
        (lambda: control.on_off_swing(30.0, 0.962, 11e3, 20, 29, -0.5, 60, 60), " K"),
        (lambda: control.switching(SwitchedBox(0.962), "lid", 30.0, 20, 29, 0.3), "medium, air"),
        (lambda: control.switching(SwitchedBox(0.962), "air", 30.0, 20, 29, 0.0), "from 0.05 to 20 K"),
        (lambda: control.lid_colder_range("lid"), "medium, air"),
        (lambda: control.proportional_ripple(30.0, 1.2, 10.0, 300.0), "from 0 to 1"),
        (lambda: control.proportional_droop(-1.0, 0.5), " K"),
        (lambda: control.error_budget(-0.1, 0.5, 0.3), "from 0 to 50 K"),
        (lambda: control.platinum_tolerance("D", 30.0), "must be one of AA"),
        (lambda: control.platinum_resistance(-5.0), "from 0 to 250 °C"),
        (lambda: control.thermistor_resistance(200.0), "from -20 to 100 °C"),
        (lambda: control.thermistor_error(30.0, 0.5), "from 0 to 0.2"),
        (lambda: control.duty(0.0, 1.0, 20.0, 29.0), " W"),
    ],
)  # fmt: skip
def test_what_is_out_of_range_is_refused(call, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()
