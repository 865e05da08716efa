"""A clutch that has hatched: how good the forecasts were, and what a profile can learn from it."""

import datetime
import statistics
from collections.abc import Sequence

from advisor.forecast.follow.clutch import HOURS_A_DAY, temperatures
from advisor.forecast.follow.egg_course import EggCourse
from advisor.formulas.numerics.beta_distribution import exact_interval
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.follow import ClutchFollowed, ForecastAndCount, Happening, Outcome, Record
from advisor.model.species import Species

NEAR = 2.0  # K within which counts of hatched eggs are compared; judgement
STEADY = 1.0  # K a day up to which a box counts as steady: half of what studies call constant; judgement
MOST_UNLOGGED = 0.1  # share of the days; with more missing nobody knows the mean; judgement


def hatched_of(happened: Sequence[Happening]) -> tuple[Happening, ...]:
    """The entries that tell of young."""
    return tuple(one for one in happened if one.what == "hatched" and one.eggs)


def mean_day(hatched: Sequence[Happening], laid: datetime.date) -> float:
    """Days from laying to hatching, the mean of all young."""
    young = sum(one.eggs or 0 for one in hatched)
    return sum((one.on - laid).days * (one.eggs or 0) for one in hatched) / young


def outcome_of(
    followed: ClutchFollowed, hatched: Sequence[Happening], eggs: int | None, planned_males: Result, species: Species,
    course: EggCourse | None, span: tuple[int, int] | None,
) -> Outcome:  # fmt: skip
    """What came of a clutch of so many eggs, beside what plan and log said; span are the hours that set the sexes."""
    assert followed.laid is not None
    young = sum(one.eggs or 0 for one in hatched)
    males, females = (sum(getattr(one, name) or 0 for one in hatched) for name in ("males", "females"))
    days = mean_day(hatched, followed.laid)
    ends = [(one.on - followed.laid).days for one in hatched]
    found = Figure(days, float(min(ends)), float(max(ends)), "days", "counted")
    compared = [
        _compared("days, by the plan", followed.planned_days, found, days),
        _compared("days, by the log", followed.days, found, days),
    ]
    if males + females:
        share = _share(males, males + females)
        compared += [_compared("males, by the plan", planned_males, share),
                     _compared("males, by the log", followed.male_share, share)]  # fmt: skip
    if eggs is not None:
        compared.append(_compared("eggs that hatched, by the profile", _usual(species, followed.mean), _share(young, eggs)))  # fmt: skip
    return Outcome(
        first=min(one.on for one in hatched),
        last=max(one.on for one in hatched),
        hatched=young,
        compared=tuple(compared),
        record=_record(followed, course, span, days, (young, eggs), (males, males + females)),
    )


def _share(part: int, whole: int) -> Figure:
    """A counted share, and what it stands for."""
    return Figure(part / whole, *exact_interval(part, whole), "share", "counted")


def _compared(what: str, forecast: Result, found: Figure, value: float | None = None) -> ForecastAndCount:
    """A forecast beside a count: `value` lies in its range, or without one the two ranges meet."""
    if isinstance(forecast, Unknown):
        return ForecastAndCount(what, forecast, found, None)
    low, high = (found.low, found.high) if value is None else (value, value)
    return ForecastAndCount(what, forecast, found, low <= forecast.high and high >= forecast.low)


def _usual(species: Species, mean: Result) -> Result:
    """The share of eggs that hatched in the profile's counts near a temperature."""
    points = [
        point for point in species.hatched
        if isinstance(mean, Figure) and abs(point.at.middle - mean.value) <= NEAR
    ]  # fmt: skip
    if not points:
        return Unknown("the profile counts no hatched eggs near this temperature")
    low, high = min(point.value.low for point in points), max(point.value.high for point in points)
    return Figure(
        statistics.fmean(point.value.middle for point in points), low, high, "share", "the profile's counts"
    )


def _record(
    followed: ClutchFollowed, course: EggCourse | None, span: tuple[int, int] | None, days: float,
    hatched: tuple[int, int | None], sexed: tuple[int, int],
) -> Record | Unknown:  # fmt: skip
    if course is None or not isinstance(followed.mean, Figure):
        return Unknown("the medium was not logged")
    missing = sum(hole.last - hole.first for hole in course.holes)
    missing += max(round(days * HOURS_A_DAY) - len(course.likely), 0)
    if missing > MOST_UNLOGGED * days * HOURS_A_DAY:
        return Unknown("more than a tenth of the days was not logged, so their mean temperature is not known")
    whole_days = [course.likely[at : at + HOURS_A_DAY] for at in range(0, len(course.likely) - HOURS_A_DAY + 1, HOURS_A_DAY)]  # fmt: skip
    swing = statistics.median(max(day) - min(day) for day in whole_days) if whole_days else 0.0
    at_sexes = None if span is None else statistics.fmean(temperatures(course, course.likely, span))
    return Record(
        at=followed.mean.value,
        swing=swing if swing > STEADY else None,
        days=days,
        hatched=hatched[0],
        counted=hatched[1],
        sexed_at=at_sexes,
        males=sexed[0],
        sexed=sexed[1],
    )
