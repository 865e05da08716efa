"""A thermostat with its probe in the medium or in the air, against a step-by-step simulation."""

from collections.abc import Callable

import pytest

from advisor.formulas.heat import thermostat as control
from advisor.formulas.heat.thermostat import NeverSwitches, SwitchedBox


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
def test_probe_in_the_medium(
    power: float, air: tuple[float, float], medium: tuple[float, float], minutes: float
) -> None:
    own = control.switching(SwitchedBox(0.962), "medium", power, 20.0, 29.0, 0.3)
    assert own.air_high - own.air_low == pytest.approx(air[1] - air[0], rel=0.15)
    assert (own.medium_low, own.medium_high) == pytest.approx(medium, abs=0.06)
    assert own.period / 60.0 == pytest.approx(minutes, rel=0.10)


@pytest.mark.parametrize(
    ("power", "air", "minutes"),
    [(15.0, (28.5, 29.4), 10.0), (30.0, (28.5, 29.9), 9.0), (60.0, (28.6, 30.7), 11.0)],
)
def test_probe_in_the_air(power: float, air: tuple[float, float], minutes: float) -> None:
    # The same simulation; one decimal printed, minutes without decimals.
    own = control.switching(SwitchedBox(0.962), "air", power, 20.0, 29.0, 0.3)
    assert (own.air_low, own.air_high) == pytest.approx(air, abs=0.1)
    assert own.period / 60.0 == pytest.approx(minutes, abs=0.6)
    assert own.medium_high - own.medium_low < 0.1


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


def test_ripple() -> None:
    # Worked: 30 W, duty 0.29, cycle 10 s: 0.21 K at a mat of 300 J/K, 0.05 K in air of 1.2 kJ/K; two
    # decimals.
    assert control.proportional_ripple(30.0, 0.29, 10.0, 300.0) == pytest.approx(0.21, abs=6e-3)
    assert control.proportional_ripple(30.0, 0.29, 10.0, 1.2e3) == pytest.approx(0.05, abs=6e-3)


def test_a_box_at_the_edge_of_switching() -> None:
    # 1 W/K and 20 °C: 9.5 W reach 29.5 °C at most, where a band of 1 K round 29 °C switches off; a room of 28.5 °C keeps the
    # box where it would switch on (steady balance).
    for power, room in ((9.5, 20.0), (30.0, 28.5)):
        with pytest.raises(NeverSwitches, match="too weak, or the room too warm"):
            control.switching(SwitchedBox(1.0), "air", power, room, 29.0, 1.0)
    assert control.switching(SwitchedBox(1.0), "air", 12.0, 20.0, 29.0, 1.0).air_high > 29.5
    assert control.switching(SwitchedBox(1.0), "air", 30.0, 27.0, 29.0, 1.0).air_low < 28.5


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: control.switching(SwitchedBox(0.962), "air", 8.0, 20, 29, 0.3), "too weak"),
        (lambda: control.switching(SwitchedBox(0.962), "air", 30.0, 29.5, 29, 0.3), "too warm"),
        (lambda: control.switching(SwitchedBox(0.962, 1e6), "medium", 15.0, 20, 29, 5.0), "hardly"),
    ],
)  # fmt: skip
def test_a_thermostat_that_never_switches_says_why(call: Callable[[], object], message: str) -> None:
    with pytest.raises(NeverSwitches, match=message):
        call()


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: control.switching(SwitchedBox(0.962), "lid", 30.0, 20, 29, 0.3), "medium, air"),  # type: ignore[arg-type]
        (lambda: control.switching(SwitchedBox(0.962), "air", 30.0, 20, 29, 0.0), "from 0.05 to 20 K"),
        (lambda: control.proportional_ripple(30.0, 1.2, 10.0, 300.0), "from 0 to 1"),
    ],
)  # fmt: skip
def test_what_is_out_of_range_is_refused(call: Callable[[], object], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()
