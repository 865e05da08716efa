"""A fit of days knows no unit of time and no order: what it says of half the days, or of points in another order."""

import random

import pytest
from msgspec.structs import replace

from advisor.formulas.days.incubation_days import IncubationLength, predicted_days
from advisor.formulas.days.points import DurationPoint
from tests.formulas.days.data_days import DAYS

SPECIES = sorted(DAYS)[::5]


def told(points: list[DurationPoint], temperature: float) -> tuple[float, float, float]:
    found = predicted_days(points, temperature)
    assert isinstance(found, IncubationLength)
    return found.days, found.low, found.high


def scaled(point: DurationPoint, factor: float) -> DurationPoint:
    low, high = (None if end is None else end * factor for end in (point.low, point.high))
    return replace(point, days=point.days * factor, low=low, high=high)


@pytest.mark.parametrize("species", SPECIES)
def test_half_the_days_are_half_the_days_in_any_order(species: str) -> None:
    points = [DurationPoint(*row) for row in DAYS[species]]
    other = [scaled(point, 0.5) for point in points]
    random.Random(species).shuffle(other)
    temperatures = sorted(point.temperature for point in points)
    for at in (temperatures[0], temperatures[len(points) // 2] + 0.2, temperatures[-1]):
        # 1e-4: where the steps of two fits stop.
        assert told(other, at) == pytest.approx([value / 2 for value in told(points, at)], rel=1e-4)
