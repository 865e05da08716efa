"""How fast the eggs of a species develop at any temperature, also where no incubation was tried."""

import math
from collections.abc import Callable
from functools import lru_cache

from msgspec import Struct

from advisor.forecast.clutch.evidence import duration_points
from advisor.formulas.days.fit import DevelopmentCurve, fit_development, log_days_of
from advisor.formulas.days.incubation_days import MARGIN, evidence_for
from advisor.formulas.days.swings import Rate
from advisor.formulas.numerics.no_data import NoData
from advisor.model.species import Species

# °C where growth stops: from the coldest point of a species its rate is taken to fall in a line to here. Lines fitted to
# data of incubation length end at 14 to 17 °C (17.3 in Reeves' turtle: Du et al. 2007, Aquaculture 272:747). Judgement.
STANDSTILL = 15.0
ROUNDING = 1e-9  # K; for points at the standstill itself, below which nothing grows


class Development(Struct, frozen=True):
    """A species' curve, its rate [1/day] at a temperature [°C], and the temperatures it has evidence for [°C]."""

    curve: DevelopmentCurve
    rate: Rate
    coldest: float
    warmest: float


def slowed(at: float, coldest: float) -> float:
    """Share of the rate at the coldest point [°C] that is left at a colder temperature [°C]: a line to the standstill."""
    return 1.0 if at >= coldest else max(at - STANDSTILL, 0.0) / max(coldest - STANDSTILL, ROUNDING)


def development_of(species: Species, usual: float) -> Development | NoData:
    """The development of a species whose eggs lie at some usual temperature [°C], by the points that hold there.

    The days at that temperature are those of the forecast. Past the hottest point the rate stays, past the coldest it falls to nothing
    at the standstill; neither is evidence.
    """
    points = evidence_for(duration_points(species), usual)
    if isinstance(points, NoData):
        return points
    curve = fit_development(points)
    coldest = min(usual, curve.temperatures[0] - MARGIN)
    warmest = max(usual, curve.temperatures[-1] + MARGIN)
    return Development(curve, _rate(curve, coldest, warmest), coldest, warmest)


def _rate(curve: DevelopmentCurve, coldest: float, warmest: float) -> Callable[[float], float]:
    @lru_cache(maxsize=4096)
    def rate(temperature: float) -> float:
        within = min(max(temperature, coldest), warmest)
        return math.exp(-log_days_of(curve, within)) * slowed(temperature, coldest)

    return rate
