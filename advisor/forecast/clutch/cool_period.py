"""What a planned cool period adds to the days of incubation."""

import math
from functools import lru_cache

from msgspec.structs import replace

from advisor.forecast.clutch.evidence import duration_points
from advisor.forecast.clutch.rate import slowed
from advisor.formulas.days.fit import fit_development
from advisor.formulas.days.incubation_days import evidence_for
from advisor.formulas.days.swings import development_rate
from advisor.formulas.numerics.no_data import NoData
from advisor.model.figures import Figure, Result
from advisor.model.plan import PlannedCoolPeriod
from advisor.model.species import Species


def with_cool_period(
    days: Result, planned: PlannedCoolPeriod | None, species: Species, set_to: float | None
) -> Result:
    """The days [days] at the set point [°C], with the cool period in them: its length less what the eggs develop in it.

    Eggs that rest after laying rest on in the cold: only what the period is longer than the rest comes on top. The
    other eggs develop at the rate of the species' curve, which is no evidence below its points; so the range runs
    from that rate to none at all.
    """
    if planned is None or planned.at is None or planned.days is None or set_to is None:
        return days
    if not isinstance(days, Figure):
        return days
    at, length = planned.at, planned.days
    if species.pause is not None:
        rest = species.pause.days
        low, value, high = (
            max(cool - pause, 0.0)
            for cool, pause in (
                (length.low, rest.high),
                (length.middle, rest.middle),
                (length.high, rest.low),
            )
        )
    else:
        low = length.low * (1.0 - _done_a_day(species, set_to, at.high, days.value))
        value = length.middle * (1.0 - _done_a_day(species, set_to, at.middle, days.value))
        high = length.high
    return replace(
        days,
        value=days.value + value,
        low=days.value + value - math.hypot(days.value - days.low, value - low),
        high=days.value + value + math.hypot(days.high - days.value, high - value),
        basis=f"{days.basis}; the planned cool period comes on top",
    )


@lru_cache(maxsize=256)  # a season repeats its clutches, and advice tries plans that differ elsewhere
def _done_a_day(species: Species, set_to: float, at: float, days: float) -> float:
    """Development in a day in the cool [-], counted in days at the set point: 0 to 1."""
    points = evidence_for(duration_points(species), set_to)
    if isinstance(points, NoData):  # the days are those of eggs a little warmer or cooler than the set point
        return 0.0
    curve = fit_development(points)
    coldest = min(curve.temperatures)
    rate = development_rate(curve, max(at, coldest)) * slowed(at, coldest)
    return min(max(rate * days, 0.0), 1.0)
