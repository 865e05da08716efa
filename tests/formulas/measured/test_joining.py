"""Weighing a forecast and a measurement, against values worked by hand and drawn boxes."""

import math
import random

import pytest

from advisor.forecast.measured import heat, joining, water
from advisor.formulas.logs import loss
from advisor.formulas.measured.joining import AGREE, NORMAL, apart, factor_error, joined


@pytest.mark.parametrize(
    ("measured", "error", "differs", "value", "left"),
    [
        # ln(1.1187/1.017) = 0.0953 over hypot(0.06, 0.09) = 0.1082: 0.88. Weights 277.8 and 123.5: 1.017 e^(0.0953 x 0.3077)
        # = 1.047, and 1/sqrt(401.2) = 0.0499.
        (1.1187, 0.09, 0.88, 1.047, 0.050),
        # ln(1.45/1.017) = 0.3547 over 0.1166: 3.04, so the measurement alone.
        (1.45, 0.10, 3.04, 1.45, 0.10),
        # ln(0.70/1.017) = -0.3735 over 0.1082: 3.45.
        (0.70, 0.09, 3.45, 0.70, 0.09),
    ],
)
def test_weighs_where_the_two_agree_and_else_believes_the_measurement(
    measured: float, error: float, differs: float, value: float, left: float
) -> None:
    ours, theirs = math.log(1.017), math.log(measured)
    assert apart(ours, 0.06, theirs, error) == pytest.approx(differs, abs=0.006)
    best, own = joined(ours, 0.06, theirs, error)
    assert math.exp(best) == pytest.approx(value, abs=6e-4)
    assert own == pytest.approx(left, abs=6e-4)


def test_error_of_a_range() -> None:
    # ln(1.2/0.8) / 3.92 = 0.4055 / 3.92 = 0.1034; without a low end ln(1.2/1) / 1.96 = 0.0930.
    assert factor_error(0.8, 1.0, 1.2) == pytest.approx(0.1034, abs=1e-4)
    assert factor_error(0.0, 1.0, 1.2) == pytest.approx(0.0930, abs=1e-4)


@pytest.mark.parametrize(
    ("ours", "limits", "readings"),
    [
        (joining.SENSOR, 0.5, 1),  # K, a thermometer
        (loss.SENSOR, 0.5, 1),
        (joining.CHECKED_SENSOR, 0.2, 1),  # K, one whose ice point was read
        (loss.LABEL, 0.1, 1),  # share, a heater's label
        (heat.HYGROMETER, 0.05, 1),  # relative humidity
        (heat.READING, 0.1, 1),  # K, a fall between two readings, each within half a step of 0.1 °C
        (heat.STEP, 0.1, 1),  # K, a swing between two such readings
        (water.SCALE, 0.5e-3, 2),  # kg, a scale in steps of 1 g, read twice
    ],
)
def test_an_error_within_limits_has_the_standard_deviation_of_the_guide(
    ours: float, limits: float, readings: int
) -> None:
    # JCGM 100:2008, 4.3.7: half the width over sqrt(3), and 5.1.2: of a difference in quadrature. Told to two digits.
    assert ours == pytest.approx(limits / math.sqrt(3) * math.sqrt(readings), rel=0.05)


def held(wrong: float, always_weighed: bool) -> float:
    """Share of drawn boxes whose true loss lies in the range: plan known to 6 %, box off by up to a factor, measured to 10 %."""
    dice, hits, draws = random.Random(1), 0, 20_000
    for _ in range(draws):
        truth = dice.gauss(0.0, 0.06) + (dice.uniform(-wrong, wrong) if wrong else 0.0)
        measured = truth + dice.gauss(0.0, 0.10)
        if always_weighed:
            measured_weight, weight = 0.10**-2, 0.06**-2
            value = measured * measured_weight / (measured_weight + weight)
            left = (measured_weight + weight) ** -0.5
        else:
            value, left = joined(0.0, 0.06, measured, 0.10)
        hits += abs(value - truth) <= NORMAL * left
    return hits / draws


def test_range_holds_the_truth_also_where_the_plan_is_wrong_by_up_to_half() -> None:
    assert held(0.0, False) >= 0.90
    assert held(math.log(1.5), False) >= 0.80
    # Weighing always, whatever the misfit, is what this rule is there to avoid.
    assert held(math.log(1.5), True) < 0.6
    assert AGREE == 1.0
