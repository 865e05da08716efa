"""Which heaters hold the coldest room and, stuck on in the warmest, still harm no egg."""

import math

from msgspec import Struct

from advisor.model.figures import Figure
from advisor.model.forecast import HeatForecast
from advisor.model.plan import Plan

# Share of its power that the heater gives in the coldest room. Above 0.85 nothing is left to warm the box up, below
# 0.15 it heats in rare hard bursts; 1.5 to 2 times the need suits best. Judgement.
STRETCHED, IDLE = 0.85, 0.15
BEST = (1.5, 2.0)
SPARE = 0.98  # of the power that would just reach the limit: the rise is a little less than in step with it; judgement


class HeaterWindow(Struct, frozen=True):
    """Heaters to choose from: least and most power [W] of all together, of each rounded inward to two digits.

    `harmless` tells whether they also stay below the limit of the eggs when they are stuck on in the warmest room. If
    not, no heater does both: these are 1.5 to 2 times the need, and the eggs rest on a cut-out.
    """

    low: float
    high: float
    harmless: bool


def heater_window(plan: Plan, heat: HeatForecast, limit: float | None) -> HeaterWindow | None:
    """The window for a plan; None where need, room or stuck-on temperature is not known.

    limit [°C]: the first limit of the eggs that a stuck heater may not reach; None when none is known, which counts
    as no limit. Within the window the whole likely range of the need stays below the power, and that of the stuck-on
    temperature below the limit.
    """
    need, stuck, power, room = (
        heat.watts_needed,
        heat.stuck_on_temperature,
        plan.heat.power,
        plan.room.temperature,
    )
    if not isinstance(need, Figure) or room is None:
        return None
    count = plan.heat.count
    best = _whole(BEST[0] * need.value, BEST[1] * need.value, count) or (
        BEST[0] * need.value,
        BEST[1] * need.value,
    )
    if limit is None:
        return HeaterWindow(*best, True)
    if not isinstance(stuck, Figure) or not power or stuck.high <= room.high:
        return None
    # The rise above the room goes with the power (Newton's law of cooling).
    most = SPARE * power * (limit - room.high) / (stuck.high - room.high)
    least = max(need.value / STRETCHED, need.high / SPARE)
    both = _whole(max(least, min(best[0], most)), min(most, max(best[1], least)), count)
    if both is None and most > least:
        both = _whole(least, most, count)
    return HeaterWindow(*both, True) if both else HeaterWindow(*best, False)


def _whole(low: float, high: float, count: int) -> tuple[float, float] | None:
    """A range of powers [W] of heaters together, each rounded inward to the two digits shown; None when nothing is left."""
    low, high = low / count, high / count
    if low <= 0 or high <= 0:
        return None
    (small, least), (large, most) = ((10.0 ** (math.floor(math.log10(end)) - 1), end) for end in (low, high))
    inner = (math.ceil(least / small - 1e-9) * small, math.floor(most / large + 1e-9) * large)
    return (count * inner[0], count * inner[1]) if inner[0] <= inner[1] else None
