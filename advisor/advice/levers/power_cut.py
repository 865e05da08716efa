"""Levers against a power cut: water that stores heat, or other power."""

import math
from collections.abc import Iterator

from advisor.advice.levers.lever import Ladder, Lever, change, one_of
from advisor.advice.written import Written
from advisor.forecast.heat.setup import outer_inside
from advisor.model.changes import PURCHASE, SETTING
from advisor.model.figures import Unknown
from advisor.rules.engine import Case
from advisor.units import UNITS

MOST_BOTTLES = 0.15  # share of the box that bottles may fill, beside the egg boxes; judgement


def _water(case: Case) -> Iterator[Ladder]:
    """Bottles, half a litre or a quart more at each step, as far as they find room."""
    inside, cut, write = outer_inside(case.plan), case.plan.power_cut, Written(case.plan.units)
    if isinstance(inside, Unknown) or cut.prepared in ("battery supply", "generator"):
        return
    step = UNITS["volume"]["quart"].factor if write.us else 5e-4
    had = cut.water or 0.0
    most = MOST_BOTTLES * inside.length * inside.width * inside.height
    told = [write.volume(step * n) for n in range(math.floor(had / step) + 1, math.floor(most / step) + 1)]
    if told:
        yield Ladder(
            tuple(
                change(
                    case,
                    f"Stand {water} of water in bottles in the box, from the first day.",
                    SETTING,
                    power_cut__prepared="water bottles",
                    power_cut__water=water,
                )
                for water in told
            ),
            steady=True,
        )


def _prepared(case: Case) -> Iterator[Ladder]:
    """A battery supply, unless other power is ready."""
    if case.plan.power_cut.prepared not in ("battery supply", "generator"):
        words = "Keep a battery supply ready that runs the heater for a day."
        yield from one_of(change(case, words, PURCHASE, power_cut__prepared="battery supply"))


LEVERS = (
    Lever("power_cut.water", _water, "warm water keeps the box warm for hours"),
    Lever("power_cut.prepared", _prepared, "it heats the box while the mains fail"),
)
