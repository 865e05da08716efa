"""Limits that the forecast repeats are those of the formulas and of the format, which it may not read."""

from collections.abc import Callable
from typing import Any

import pytest

from advisor.forecast.clutch.days_and_sexes import LARGEST_ERROR
from advisor.forecast.clutch.evidence import incubation_length, share_model
from advisor.forecast.egg_box.air import MOST_HOLES
from advisor.forecast.heat.layers import BONE_DRY
from advisor.forecast.trial.taken import LONGEST_OFF, SHORTEST_OFF
from advisor.formulas.air.moist_air import NoSolution, relative_humidity_over_medium
from advisor.formulas.sexes.male_share import male_share_at
from advisor.reading.quantities import Kind, read_quantity
from advisor.reading.schema import entry_at
from advisor.reading.species import load_species

GECKO = load_species("eublepharis-macularius")


@pytest.mark.parametrize(
    ("ours", "path", "limit"),
    [
        (SHORTEST_OFF, ("measured", "switched_off", "after"), "x-least"),
        (LONGEST_OFF, ("measured", "switched_off", "after"), "x-most"),
        (MOST_HOLES, ("egg_boxes", 0, "lid", "holes", "count"), "maximum"),
    ],
)
def test_of_the_format(ours: float, path: tuple[str | int, ...], limit: str) -> None:
    told: Any = entry_at("plan", path)[limit]
    assert (read_quantity(told, Kind("duration"))[0] if isinstance(told, str) else told) == ours


@pytest.mark.parametrize(
    ("ours", "formula"),
    [
        (LARGEST_ERROR, lambda error: incubation_length(GECKO, 29.0, error)),
        (LARGEST_ERROR, lambda error: male_share_at(share_model(GECKO), 29.0, error)),
        (BONE_DRY, lambda potential: relative_humidity_over_medium(potential, 29.0)),
    ],
)
def test_of_the_formulas(ours: float, formula: Callable[[float], object]) -> None:
    formula(ours)
    with pytest.raises((NoSolution, ValueError)):
        formula(1.001 * ours)
