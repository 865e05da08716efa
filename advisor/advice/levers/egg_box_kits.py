"""Egg boxes as people build them, by the size of the eggs; and how an egg box is called."""

import math

from msgspec import Struct

from advisor.model.plan import Clutch, EggBox, Size
from advisor.rules.engine import Case
from advisor.units import INCH


class Kit(Struct, frozen=True):
    """An egg box for eggs up to a mass [kg]: inside size and depth of medium [m], by the units of the plan."""

    most_mass: float
    inside: dict[str, Size]
    depth: dict[str, float]


def _kit(most_mass: float, cm: tuple[float, ...], inches: tuple[float, ...]) -> Kit:
    """cm, inches: length, width, height and depth."""
    metric, us = (tuple(side * unit for side in sides) for sides, unit in ((cm, 0.01), (inches, INCH)))
    return Kit(most_mass, {"metric": _size(metric), "us": _size(us)}, {"metric": metric[3], "us": us[3]})


def _size(sides: tuple[float, ...]) -> Size:
    length, width, height, _depth = sides
    return Size(length, width, height)


# For small, large and very large eggs; judgement, tried out with the rules.
KITS = (
    _kit(0.03, (20, 14, 9, 5), (8, 6, 4, 2)),
    _kit(0.12, (24, 16, 14, 6), (10, 7, 6, 2.5)),
    _kit(math.inf, (30, 20, 16, 8), (12, 8, 7, 3)),
)


def kit_for(case: Case, clutches: tuple[Clutch, ...]) -> Kit:
    """The smallest that suits the heaviest eggs, by the plan or else by their profile."""
    heaviest = 0.0
    for clutch in clutches:
        usual = case.situation.species[clutch.species].eggs.mass
        heaviest = max(heaviest, clutch.egg_mass or (usual.high if usual is not None else 0.0))
    return next(kit for kit in KITS if heaviest <= kit.most_mass)


def clutches_of(case: Case) -> tuple[Clutch, ...]:
    """The clutches in the egg box of the case; of a box that holds none, as the probe box, all of the plan."""
    return tuple(clutch for clutch, _ in case.clutches_in_box) or case.plan.clutches


def like(case: Case) -> EggBox | None:
    """The egg box that a probe box is to be like; None for a box with eggs."""
    boxes = case.plan.egg_boxes if case.box.holds == "probe" else ()
    return next((box for box in boxes if box.holds == "eggs"), None)


def named(case: Case) -> str:
    """The egg box of the case in words: "each egg box 'eggs'" where there are several."""
    each = "each" if (case.box.count or 1) > 1 else "the"
    return f"{each} egg box '{case.box.name}'"
