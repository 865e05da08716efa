"""One clutch at the end of a log: development summed over the logged temperatures, hatching, and what of it is open."""

import math
from collections.abc import Callable, Iterator

from msgspec import Struct

from advisor.forecast.clutch.rate import Development
from advisor.forecast.edge import in_range
from advisor.forecast.follow.egg_course import EggCourse, Hole, readings
from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.days.incubation_days import length_from_curve
from advisor.formulas.days.swings import development_done, hatching_day
from advisor.formulas.logs.steady import HOUR
from advisor.model.figures import Figure, Unknown
from advisor.model.follow import Unlogged

HOURS_A_DAY = 24
# Of the days: rates summed over swings differ by so much from what swings of 4 K and more gave in 13 studies; judgement.
WIDE_SWING, SWING_ERROR = 4.0, 0.05
FIRST_THIRD, LAST_QUARTER = 1 / 3, 3 / 4  # of the development: organs form; oxygen is short
LONGEST = 1500.0  # days; beyond, hardly anything develops
Rate = Callable[[float], float]


class Progress(Struct, frozen=True):
    """Share developed, days from laying to hatching and from now to hatching, each with its range."""

    developed: Figure
    days: Figure
    to_go: Figure


def progress_of(course: EggCourse, growth: Development, mean: float, error: float) -> Progress:
    """How far the eggs are, and when they hatch when the usual day goes on; raises `NoSolution` where nothing develops.

    mean [°C] of the course; error [K], standard deviation of the eggs' temperature.
    """
    rate = growth.rate
    done, least, most = (
        development_done(rate, readings(hours)) for hours in (course.likely, course.low, course.high)
    )
    within = min(max(mean, growth.coldest), growth.warmest)
    _, low, high = length_from_curve(growth.curve, within, error)
    swing = SWING_ERROR if max(course.usual) - min(course.usual) >= WIDE_SWING else 0.0
    spread = math.hypot(math.log(high / low) / 2.0, swing)
    down, up = max(done - least, 0.0), max(most - done, 0.0)
    # Against a whole development what was missed counts by its share of it; it widens the range and never narrows it.
    slow, fast = math.exp(-math.hypot(spread, down)), math.exp(math.hypot(spread, up))
    value, low, high = (_hatches(course, rate, factor) for factor in (1.0, fast, slow))
    now = len(course.likely) / HOURS_A_DAY
    basis = "the rate of development summed over the log, then over days like the last three"
    matters = "how far apart studies of the species lie: nobody can tell before"
    share_low = max(done - math.hypot(done * (1.0 - math.exp(-spread)), down), 0.0)
    share_high = done + math.hypot(done * (math.exp(spread) - 1.0), up)
    return Progress(
        Figure(min(done, 1.0), min(share_low, 1.0), min(share_high, 1.0), "share",
               "the rate of development summed over the logged temperatures", formulas=(development_done,)),
        Figure(value, low, high, "days", basis, matters, (hatching_day,)),
        Figure(max(value - now, 0.0), max(low - now, 0.0), max(high - now, 0.0), "days", basis, matters, (hatching_day,)),
    )  # fmt: skip


def _hatches(course: EggCourse, rate: Rate, factor: float) -> float:
    """Days from laying to a whole development when every rate is so many times what it is."""

    def scaled(temperature: float) -> float:
        return factor * rate(temperature)

    logged = readings(course.likely)
    day = hatching_day(scaled, logged)
    if day is not None:
        return day
    done = development_done(scaled, logged)
    ahead = math.fsum(map(scaled, course.usual)) / HOURS_A_DAY
    if ahead * LONGEST <= 1.0 - done:
        raise NoSolution("at the temperatures of the last days hardly anything develops")
    days = math.ceil((1.0 - done) / ahead) + 1
    more = hatching_day(scaled, readings(course.usual * days), done)
    assert more is not None
    return len(course.likely) / HOURS_A_DAY + more


def hours_at_share(course: EggCourse, rate: Rate, shares: tuple[float, float]) -> tuple[int, int]:
    """Hours from laying, usual days to come included, at which the development reaches two shares."""
    found: list[int] = []
    done = 0.0
    for hour, temperature in enumerate(_ahead(course)):
        while len(found) < 2 and done >= shares[len(found)]:
            found.append(hour)
        if len(found) == 2 or hour > LONGEST * HOURS_A_DAY:
            break
        done += rate(temperature) / HOURS_A_DAY
    if len(found) < 2:
        raise NoSolution("at the temperatures of the last days hardly anything develops")
    return found[0], found[1]


def halvings_of(course: EggCourse, rate: Rate) -> Callable[[float], int]:
    """By the time [s], how often the hours are halved that eggs bear heat: while organs form, and when oxygen is short."""
    tender = in_range(lambda: hours_at_share(course, rate, (FIRST_THIRD, LAST_QUARTER)))

    def halvings(time: float) -> int:
        hour = (time - course.begin) / HOUR
        return 1 if isinstance(tender, Unknown) or not tender[0] <= hour < tender[1] else 0

    return halvings


def _ahead(course: EggCourse) -> Iterator[float]:
    yield from course.likely
    while True:
        yield from course.usual


def temperatures(course: EggCourse, hours: tuple[float, ...], span: tuple[int, int]) -> list[float]:
    """The hourly temperatures from one hour to another: of `hours` as far as it goes, then usual days."""
    begin, end = span
    missing = max(end - len(hours), 0)
    ahead = course.usual * (missing // HOURS_A_DAY + 1)
    return [*hours, *ahead][begin:end]


def gaps_of(course: EggCourse, rate: Rate, sensitive: tuple[int, int] | None) -> tuple[Unlogged, ...]:
    """The times without readings, with the share of development that may lie in each."""

    def share(hours: tuple[float, ...], hole: Hole) -> float:
        return math.fsum(map(rate, hours[hole.first : hole.last])) / HOURS_A_DAY

    return tuple(
        Unlogged(
            course.begin + hole.first * HOUR,
            course.begin + hole.last * HOUR,
            share(course.low, hole),
            share(course.high, hole),
            sensitive is not None and hole.first < sensitive[1] and hole.last > sensitive[0],
        )
        for hole in course.holes
    )
