"""The parts of a forecast: taken flat, as for tables and JSON, no figure hides another."""

from collections.abc import Iterator
from typing import Any, get_type_hints

import pytest
from msgspec import Struct

from advisor.model.figures import Result, Unknown
from advisor.model.forecast import (
    AirForecast,
    ClutchForecast,
    EggBoxForecast,
    EggBoxHeat,
    HeatForecast,
    Shopping,
    WaterForecast,
    nothing_known,
    results_in,
)
from tests.support import situation_of

WHY = Unknown("told to nobody")


def names_in(kind: type) -> Iterator[str]:
    """The figures of a part and of the parts in it, read from its annotations."""
    for name, annotation in get_type_hints(kind).items():
        if annotation == Result:
            yield name
        elif isinstance(annotation, type) and issubclass(annotation, Struct):
            yield from names_in(annotation)


@pytest.mark.parametrize("kind", [HeatForecast, EggBoxForecast, ClutchForecast, Shopping])
def test_no_two_figures_of_a_part_are_named_alike(kind: type) -> None:
    names = list(names_in(kind))
    assert len(names) > 1 and len(names) == len(set(names))


@pytest.mark.parametrize("kind", [HeatForecast, EggBoxHeat, WaterForecast, AirForecast, Shopping])
def test_a_part_of_which_nothing_is_known_says_why_of_each_figure(kind: Any) -> None:
    assert results_in(nothing_known(kind, WHY)) == dict.fromkeys(names_in(kind), WHY)


def test_all_figures_of_an_egg_box_are_found_whatever_is_known_of_it() -> None:
    (box,) = situation_of({"egg_boxes": [{"name": "eggs"}]}).forecast.egg_boxes
    assert list(results_in(box)) == list(names_in(EggBoxForecast))
