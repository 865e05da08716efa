"""Lids that were weighed and a medium that was drained, joined with what is known of others."""

import math
from collections.abc import Sequence

from advisor.forecast.measured.joining import Estimate, Narrowed, by_factor
from advisor.formulas.air.vents import LikelyRange
from advisor.model.figures import Figure
from advisor.model.measured import WeighedLid
from advisor.model.plan import EggBox, Plan

# kg, of the difference of two weighings in steps of 1 g: 1 g/sqrt(12), twice; JCGM 100, 4.3.7
SCALE = 0.00041
ANOTHER_WEEK = 0.1  # of a week's loss, in logarithms: the air round the box in another week; judgement
DRAINED = 0.05  # of what a medium holds, in logarithms: how long it drained; judgement
OTHER_GAS = 0.15  # of the same lid for other gases, and without the air round it, in logarithms; judgement


def weighed_lids(lids: Sequence[WeighedLid], forecast: Figure) -> Narrowed:
    """What a closed box loses [kg/s], by what such boxes lost in the trial run."""
    mean = sum(lid.lost / lid.over for lid in lids) / len(lids)
    scale = max(SCALE / lid.lost for lid in lids)
    return by_factor(forecast, Estimate(mean, math.hypot(scale, ANOTHER_WEEK)), "measured.lids", "leak")


def drained_medium(plan: Plan, box: EggBox, known: LikelyRange) -> Narrowed | None:
    """What the medium of a kind of box holds when drained [kg/kg]; None where no such medium was drained.

    What was drained for one kind of box holds for every kind with the same medium and grade.
    """
    holds = plan.measured.medium_holds
    if holds is None:
        return None
    tried = next((one.medium for one in plan.egg_boxes if one.name == holds.box), None)
    if tried is None or any(
        getattr(tried, entry) != getattr(box.medium, entry) for entry in ("material", "grade", "mixed_with")
    ):
        return None
    forecast = Figure(known.typical, known.low, known.high, "water content", "what such a medium holds")
    return by_factor(forecast, Estimate(holds.water, DRAINED), "measured.medium_holds", "drained")
