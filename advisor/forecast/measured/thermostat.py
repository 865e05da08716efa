"""How far the thermostat is off, by its ice point and by what thermometers in the medium show."""

import math
from collections.abc import Callable

from advisor.forecast.measured.joining import Estimate, by_step
from advisor.forecast.measured.tiers import corrected
from advisor.formulas.measured.joining import NORMAL
from advisor.model.figures import Figure
from advisor.model.forecast import MeasuredAgainst
from advisor.model.measured import THERMOSTAT, MeasuredMedium
from advisor.model.plan import Plan

CHECKED_PROBE = 0.2  # K, of a thermostat whose ice point was read: its dial and its steps are left; judgement


def thermostat_off(
    plan: Plan, error: float, warmer: Callable[[MeasuredMedium], Figure]
) -> tuple[Estimate | None, tuple[MeasuredAgainst, ...]]:
    """How much warmer than the set point the probe is held [K] and how well that is known; None where nothing tells.

    error: standard deviation of a thermostat of this kind [K]; `warmer` is the forecast of a measured box over the probe [K].
    """
    told: list[MeasuredAgainst] = []
    now = Figure(0.0, -NORMAL * error, NORMAL * error, "step", "the thermostat as it is set")
    shown = plan.measured.at_ice_point(THERMOSTAT)
    if shown is not None:
        found = by_step(now, Estimate(-shown, CHECKED_PROBE), "measured.offsets", "thermostat")
        now, told = found.figure, [found.against]
    boxes, set_to = plan.measured.boxes, plan.control.set_to
    if boxes and set_to is not None:
        found = by_step(now, _by_boxes(plan, set_to, warmer), "measured.boxes", "medium")
        now, told = found.figure, [*told, found.against]
    if not told:
        return None, ()
    return Estimate(now.value, (now.high - now.low) / (2.0 * NORMAL)), tuple(told)


def _by_boxes(plan: Plan, set_to: float, warmer: Callable[[MeasuredMedium], Figure]) -> Estimate:
    boxes = plan.measured.boxes
    off, variance = 0.0, 0.0
    for one in boxes:
        expected, found = warmer(one), corrected(plan, one)
        off += found.value - set_to - expected.value
        variance += math.hypot(found.error, (expected.high - expected.low) / (2.0 * NORMAL)) ** 2
    return Estimate(off / len(boxes), math.sqrt(variance) / len(boxes))
