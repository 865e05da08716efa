"""Observed incubation lengths: points as sources give them, and how far each may be off."""

import math
from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from advisor.formulas.air.moist_air import NoSolution, check_range
from advisor.formulas.days.rate_curves import check_temperature

Kind = Literal["published", "from memory", "common practice"]

# Standard deviation between eggs of one group, as a share of the days: 2.5 to 11 % in the turtle papers that print
# it (Noble et al. 2018; derived).
EGG_SPREAD = 0.05
EGGS_ASSUMED = 5  # Number of eggs taken where a source names none (judgement).

# Further standard deviation of a point by how it is known, as a share of the days (judgement: a keeper's
# thermometer may be 0.5 to 1 K off, which is 4 to 8 % of the days; seven keepers' figures lay 2 to 20 % off the
# published curve of their species).
EXTRA_SPREAD: dict[str, float] = {"published": 0.0, "from memory": 0.03, "common practice": 0.08}

# In its place for a clutch that a keeper counted and logged: clutches of one place differ by as much; judgement.
CLUTCH_SPREAD = 0.05


class DurationPoint(Struct, frozen=True):
    """Incubation length at one temperature, as one source gives it.

    temperature, the mean of the day [°C]; days [days], the mean or the middle of the range; eggs, the count or
    None; study, a text key (points that share it share its offset); low and high [days], the range a source
    gives, or None; kind, how the figure is known; swing, coldest to warmest of the day [K]; spread, a further
    standard deviation [share of the days], such as that of a swing turned into a constant temperature; logged,
    whether it is a clutch that a keeper counted and logged. Days count from laying, without the pause of embryos that
    rest first.
    """

    temperature: float
    days: float
    eggs: float | None = None
    study: str = ""
    low: float | None = None
    high: float | None = None
    kind: Kind = "published"
    swing: float = 0.0
    spread: float = 0.0
    logged: bool = False


def checked(points: Sequence[DurationPoint]) -> None:
    """Raise ValueError unless all points are possible: days 1 to 1500, temperatures -20 to 70 °C, ordered ranges."""
    for point in points:
        check_temperature(point.temperature)
        check_range("incubation length", point.days, 1, 1500, "days")
        if point.eggs is not None and point.eggs <= 0:
            raise NoSolution(f"the number of eggs must be above 0, not {point.eggs:g}")
        if not (point.swing >= 0 and point.spread >= 0):
            raise NoSolution("the swing and the spread of a point must be at least 0")
        if (point.low is None) != (point.high is None):
            raise NoSolution("a range of days needs both its low and its high end")
        if point.low is not None and point.high is not None and not 0 < point.low <= point.days <= point.high:
            raise NoSolution(
                f"days must lie in their range {point.low:g} to {point.high:g}, not {point.days:g}"
            )


def own_variance(point: DurationPoint) -> float:
    """Return the variance of ln(days) of one point from its eggs, its stated range and how it is known."""
    sampling = EGG_SPREAD**2 / (point.eggs or EGGS_ASSUMED)
    if point.low is not None and point.high is not None:
        # A likely range spans about four standard deviations; the count of eggs narrows it, when known.
        stated = (math.log(point.high / point.low) / 4) ** 2 / (point.eggs or 1.0)
        sampling = max(sampling, stated)
    known = CLUTCH_SPREAD if point.logged else EXTRA_SPREAD[point.kind]
    return sampling + known**2 + point.spread**2
