"""Levers against a power cut: water that stores heat, or other power."""

import math
from collections.abc import Iterator

from advisor.advice.levers.lever import Ladder, Lever, change, ladder, one_of
from advisor.advice.written import Written
from advisor.forecast.heat.setup import outer_inside
from advisor.model.changes import PURCHASE, Change
from advisor.model.figures import Unknown
from advisor.rules.engine import Case
from advisor.rules.shared import LITTLE_WATER
from advisor.units import UNITS

OTHER_POWER = ("battery supply", "generator")
USUAL_WATER = 4e-3  # m3 in bottles to propose, as far as they find room; judgement
MOST_BOTTLES = 0.15  # share of the box that bottles may fill, beside the egg boxes; judgement


def _bottles(case: Case) -> list[Change]:
    """Bottles, half a litre or a quart more at each step, as far as they find room; a usual lot where nothing is prepared."""
    inside, cut, write = outer_inside(case.plan), case.plan.power_cut, Written(case.plan.units)
    if isinstance(inside, Unknown):
        return []
    step = UNITS["volume"]["quart"].factor if write.us else 5e-4
    most = math.floor(MOST_BOTTLES * inside.length * inside.width * inside.height / step)
    first = math.floor((cut.water or 0.0) / step) + 1
    if cut.prepared is None:
        volume = inside.length * inside.width * inside.height
        first = min(math.ceil(max(USUAL_WATER, LITTLE_WATER * volume) / step - 1e-9), most)
    told = [write.volume(step * number) for number in range(max(first, 1), most + 1)]
    words = "of water in bottles in the box, from the first day."
    bottles = {"power_cut__prepared": "water bottles"}
    return [change(case, f"Stand {water} {words}", **bottles, power_cut__water=water) for water in told]


def _water(case: Case) -> Iterator[Ladder]:
    if case.plan.power_cut.prepared in (None, "water bottles"):
        yield from ladder(_bottles(case), steady=True)


def _prepared(case: Case) -> Iterator[Ladder]:
    """A battery supply, unless other power is ready; bottles first where nothing is told or prepared."""
    prepared = case.plan.power_cut.prepared
    if prepared in OTHER_POWER:
        return
    words = "Keep a battery supply ready that runs the heater for a day."
    battery = change(case, words, PURCHASE, power_cut__prepared="battery supply")
    if prepared == "nothing":
        yield from ladder(_bottles(case), steady=True)
    yield from one_of(*(_bottles(case)[:1] if prepared is None else ()), battery)


LEVERS = (
    Lever("power_cut.water", _water, "warm water keeps the box warm for hours"),
    Lever("power_cut.prepared", _prepared, "it heats the box while the mains fail"),
)
