"""What a watch, a meter and an hour without heat tell, against values worked by hand."""

import math

import pytest

from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.logs.loss import LABEL, power_for_each_kelvin, stuck_on_rise
from advisor.formulas.measured.box_heat import counting_error, heater_power, share_left, weighed_mean


def test_an_on_share_of_042_at_9_kelvin() -> None:
    # 15 W on for 8.4 of each 20.0 min, medium 29.0, room 20.0: 6.30 W, 6.30/9 = 0.700 W/K, stuck on 9/0.42 = 21.4 K.
    each, error = power_for_each_kelvin(0.42 * 15.0, 9.0, math.hypot(LABEL, 0.018))
    assert each == pytest.approx(0.700, abs=5e-4)
    # Label 0.058, counting 0.15 min of 8.4 = 0.018, two thermometers 0.408 K on 9 K = 0.045: 0.076 together.
    assert error == pytest.approx(0.076, abs=5e-4)
    assert stuck_on_rise(0.42, 9.0)[0] == pytest.approx(21.4, abs=0.05)


def test_a_meter_counts_the_thermostat_too() -> None:
    # 1.92 kWh in 168 h are 11.43 W; less 1.5 W of the thermostat 9.93 W; on 9.4 K 1.056 W/K.
    power = heater_power(1.92 * 3.6e6, 168 * 3600.0, 1.5)
    assert power == pytest.approx(9.93, abs=5e-3)
    assert power_for_each_kelvin(power, 9.4, 0.0)[0] == pytest.approx(1.056, abs=5e-4)
    with pytest.raises(NoSolution):
        heater_power(3600.0, 3600.0, 1.0)


def test_counting_error_is_that_of_a_clock_read_to_the_minute() -> None:
    # 38 % of 30 min are 684 s; a minute has a standard deviation of 17.3 s: 0.0253.
    assert counting_error(0.38, 1800.0) == pytest.approx(0.0253, abs=5e-5)
    lit = [300.0 + 1.7 * step for step in range(600)]  # s, of each 3000 s; told in whole minutes
    off = [math.log(round(time / 60.0) * 60.0 / time) / counting_error(time / 3000.0, 3000.0) for time in lit]
    assert max(map(abs, off)) < 1.96
    assert max(map(abs, off)) > 1.5


def test_mean_counts_the_better_value_more() -> None:
    # Weights 1/0.1^2 = 100 and 1/0.05^2 = 400: ln mean = 0.8 ln 2, and 1/sqrt(500) = 0.0447.
    value, error = weighed_mean(((1.0, 0.1), (2.0, 0.05)))
    assert value == pytest.approx(2.0**0.8)
    assert error == pytest.approx(0.0447, abs=5e-5)


def test_share_left_of_a_fall() -> None:
    assert share_left(29.0, 26.0, 20.0) == pytest.approx(6.0 / 9.0)
    for start, end, room in ((29.0, 29.0, 20.0), (29.0, 19.0, 20.0)):
        with pytest.raises(NoSolution):
            share_left(start, end, room)
