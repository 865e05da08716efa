"""A day with cooler nights, against boxes of one time constant worked by hand."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.formulas.heat.night_drop import HeldBox, day_course


def fading(constant: float) -> tuple[tuple[float, float], ...]:
    """The share left of a box with one time constant [h]."""
    return tuple((0.05 * step, math.exp(-0.05 * step / constant)) for step in range(4801))


def test_a_night_of_12_h_in_a_slow_box_ends_where_the_exponential_says() -> None:
    # Time constant 20 h, room 20 °C: from 29 °C in 12 h to 20 + 9 exp(-12/20) = 24.94 °C. At full power the box would end at
    # 60 °C, so by the evening it is back at 29 °C: 60 - 35.06 exp(-t/20) = 29 after 2.5 h.
    found = day_course(HeldBox(fading(20.0), 20.0, 60.0, 0.0), 29.0, 22.0, 12.0)
    assert found.morning == pytest.approx(20 + 9 * math.exp(-0.6), abs=0.005)
    assert found.evening == pytest.approx(29.0)
    assert found.hours[2] == pytest.approx(29.0, abs=0.01)
    assert found.hours[1] == pytest.approx(60 - 35.06 * math.exp(-1.5 / 20), abs=0.02)
    assert found.hours[12 + 5] == pytest.approx(20 + 9 * math.exp(-5.5 / 20), abs=0.01)


def test_a_quick_box_goes_down_to_the_night_and_no_further() -> None:
    found = day_course(HeldBox(fading(0.5), 15.0, 60.0, 0.0), 29.0, 26.0, 10.0)
    assert found.morning == 26.0
    # 15 + 14 exp(-t/0.5) = 26 after 0.12 h; 60 - 34 exp(-t/0.5) = 29 after 0.05 h: no hour's middle lies between.
    assert found.hours == (29.0,) * 14 + (26.0,) * 10


def test_a_room_warmer_than_the_night_keeps_the_eggs_at_its_own_temperature() -> None:
    found = day_course(HeldBox(fading(2.0), 27.0, 60.0, 0.0), 29.0, 24.0, 12.0)
    assert found.morning == pytest.approx(27.0 + 2.0 * math.exp(-6.0), abs=0.005)


def test_a_weak_heater_does_not_bring_the_day_back() -> None:
    # Falling from e to m = 20 + (e - 20) q, rising to e = 30 - (30 - m) q with q = exp(-12/20): e = 30 - (30 - 20)(q - q²)/(1 - q²)
    # - ... worked out: e (1 - q²) = 30 (1 - q) + 20 q (1 - q), so e = (30 + 20 q)/(1 + q).
    q = math.exp(-0.6)
    found = day_course(HeldBox(fading(20.0), 20.0, 30.0, 0.0), 29.0, 20.0, 12.0)
    assert found.evening == pytest.approx((30 + 20 * q) / (1 + q), abs=0.01)
    assert found.morning == pytest.approx(20 + (found.evening - 20) * q, abs=0.01)


def test_the_medium_lags_behind_a_probe_in_the_air() -> None:
    # Air at the night's set point at once; the medium follows with its own 4 h: 26 + 3 exp(-12/4).
    found = day_course(HeldBox(fading(0.01), 15.0, 60.0, 4.0), 29.0, 26.0, 12.0)
    evening = 29.0 - (29.0 - found.morning) * math.exp(-3)
    assert found.evening == pytest.approx(evening, abs=1e-3)
    assert found.morning == pytest.approx(26 + (evening - 26) * math.exp(-3), abs=1e-3)


@settings(max_examples=60, deadline=None)
@given(
    constant=st.floats(0.5, 60), room=st.floats(10, 32), power=st.floats(1, 40), day=st.floats(24, 34),
    drop=st.floats(0.5, 8), night_hours=st.floats(1, 23), lag=st.floats(0, 10),
)  # fmt: skip
def test_the_day_stays_between_its_set_points_and_comes_again(
    constant: float, room: float, power: float, day: float, drop: float, night_hours: float, lag: float
) -> None:
    box = HeldBox(fading(constant), room, room + power, lag)
    found = day_course(box, day, day - drop, night_hours)
    values = (*found.hours, found.morning, found.evening)
    assert min(room, day - drop) - 1e-6 <= min(values)
    assert max(values) <= day + 1e-9
    # A longer night is no warmer at its end.
    longer = day_course(box, day, day - drop, min(night_hours + 2, 23.0))
    assert longer.morning <= found.morning + 0.02


@pytest.mark.parametrize("hours", [0.5, 23.5])
def test_a_night_of_no_hours_is_refused(hours: float) -> None:
    with pytest.raises(ValueError, match="hours of the night"):
        day_course(HeldBox(fading(5.0), 20.0, 60.0, 0.0), 29.0, 26.0, hours)
