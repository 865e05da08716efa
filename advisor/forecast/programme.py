"""A clutch whose set point changes on purpose: what its eggs go through, days by summed rates, sexes by the sensitive time, harm."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import lru_cache, partial
from itertools import islice

from msgspec.structs import replace

from advisor.forecast.clutch.dates import laying_entry, laying_window
from advisor.forecast.clutch.days_and_sexes import LARGEST_ERROR, EggsForecast, error_of, over_ways, ways_of
from advisor.forecast.clutch.rate import Development, development_of
from advisor.forecast.edge import in_range
from advisor.forecast.follow.clutch import (
    HOURS_A_DAY,
    LONGEST,
    halvings_of,
    hours_at_share,
    progress_of,
    temperatures,
)
from advisor.forecast.follow.egg_course import EggCourse
from advisor.forecast.follow.exposures import HARM, spells_of
from advisor.forecast.follow.sexes import sensitive_part, sexes_of
from advisor.forecast.heat.egg_warmth import CHECK, eggs_off
from advisor.forecast.heat.night_drop import NightDrop, night_drop
from advisor.formulas.logs.steady import HOUR
from advisor.formulas.numerics.no_data import NoData
from advisor.formulas.sexes.equivalent_temperature import equivalent_of_readings
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import EggHarm, EggProgramme, EggStep, EggWarmth
from advisor.model.plan import Control, Plan, SetPointStep
from advisor.model.species import Species
from advisor.show import Show

KEPT = 64  # forecasts of eggs that are kept: a season repeats its clutches, and advice tries plans that differ elsewhere
USUAL_DAYS = 60  # followed where the species' days are not known; judgement
STEADY_SEXES = ("chromosomes", None)  # sexes that no temperature moves, or of which nothing is known
BASIS = "rates of development summed over the programme"
# likely, lowest and highest temperature [°C] of each hour from morning on
Day = tuple[tuple[float, float, float], ...]
Begins = tuple[float, ...]  # hours from laying at which each step begins


def programme_forecast(
    plan: Plan, index: int, species: Mapping[str, Species], warmth: EggWarmth, conductance: Result
) -> EggsForecast:
    """Days and sexes of the clutch at a place in the plan under its programme, and what the eggs go through."""
    profile = species[plan.clutches[index].species]
    begins = _begins(plan, index, species)
    if isinstance(begins, Unknown):
        return EggsForecast(begins, begins)
    planned = tuple(_day(plan, step, conductance) for step in plan.control.programme)
    return _eggs_forecast(profile, planned, begins, warmth, plan.control, plan.units)


@lru_cache(maxsize=KEPT)
def _eggs_forecast(
    profile: Species,
    planned: tuple[Day, ...],
    begins: tuple[Begins, ...],
    warmth: EggWarmth,
    control: Control,
    units: str,
) -> EggsForecast:
    """What becomes of eggs whose days and steps are known: the same for all clutches of a species that begin alike."""
    show = Show(units)
    off = eggs_off(control, warmth) or 0.0
    held = tuple(tuple((value + off, low + off, high + off) for value, low, high in day) for day in planned)
    growth = in_range(lambda: _growth(profile, held, begins[0]))
    if isinstance(growth, Unknown):
        return EggsForecast(growth, growth, _gone_through(held, begins[0], profile, growth, None, growth))
    course = _course(held, begins[0], growth, 0.0)
    eggs = [_by_way(control, planned, begins, profile, growth, way, show) for way in ways_of(warmth)]
    return EggsForecast(
        over_ways([one[0] for one in eggs], warmth, lambda told: show.days(told.value)),
        over_ways([one[1] for one in eggs], warmth, lambda told: f"{show.percent(told.value)} males"),
        _gone_through(held, begins[0], profile, growth, course, _sexes_as_at(held, begins, profile, growth)),
    )


def _begins(plan: Plan, index: int, species: Mapping[str, Species]) -> tuple[Begins, ...] | Unknown:
    """When the steps begin, from the middle, the first and the last day that the clutch may be laid on."""
    steps, clutch = plan.control.programme, plan.clutches[index]
    dated = any(step.from_ is not None for step in steps)
    own, first = (laying_window(one, species[one.species]) for one in (clutch, plan.clutches[0]))
    if (dated and own is None) or (index and len(steps) > 1 and (own is None or first is None)):
        lacking = plan.clutches[index if own is None else 0]
        return Unknown(
            "the steps of the programme need the day of laying",
            (f"clutches[{lacking.entry}].{laying_entry(lacking, species[lacking.species])}",),
        )
    shifts = [0.0]
    if len(steps) > 1 and own is not None and (dated or index):
        middle = own[0] + (own[1] - own[0]) / 2
        start = None if first is None else first[0] + (first[1] - first[0]) / 2
        ends = dict.fromkeys((middle, *own))
        if dated:
            return tuple(
                tuple(0.0 if step.from_ is None else 24.0 * (step.from_ - end).days for step in steps)
                for end in ends
            )
        assert start is not None
        shifts = [24.0 * (end - start).days for end in ends]
    return tuple(tuple(24.0 * (step.from_day or 0) - shift for step in steps) for shift in shifts)


def _day(plan: Plan, step: SetPointStep, conductance: Result) -> Day:
    """A day of a step: as the box follows its cooler night, or the same all day. From one step to the next a box takes a day at
    most, which does not count among weeks. Where nothing tells how the box cools, the night is as planned or not cooler at all.
    """
    day = step.set_to
    if step.night is None:
        return ((day, day, day),) * HOURS_A_DAY
    found: NightDrop | Unknown = in_range(lambda: night_drop(plan, step, conductance))
    if not isinstance(found, Unknown):
        return found.hours
    cool = round(step.night_lasts / HOUR)
    return ((day, day, day),) * (HOURS_A_DAY - cool) + ((step.night, step.night, day),) * cool


def _mean(day: Day) -> float:
    return sum(likely for likely, _, _ in day) / len(day)


def _hourly(days: Sequence[Day], begins: Begins) -> Iterator[tuple[float, float, float]]:
    """What the eggs go through from laying on, hour by hour, without end."""
    hour = 0
    while True:
        step = max((place for place, begin in enumerate(begins) if begin <= hour), default=0)
        yield days[step][hour % HOURS_A_DAY]
        hour += 1


def _growth(species: Species, days: Sequence[Day], begins: Begins) -> Development | Unknown:
    """The development of the species at the mean of what the eggs go through, else at the first of its steps with data."""
    started = (development_of(species, _mean(day)) for day in days)
    first = next((growth for growth in started if not isinstance(growth, NoData)), None)
    if first is None:
        return Unknown(
            f"no data at the temperatures of the programme for {species.name}",
            (f"species/{species.id}.yaml: duration",),
        )
    course = _course(days, begins, first, 0.0)
    growth = development_of(species, sum(course.likely) / len(course.likely))
    return first if isinstance(growth, NoData) else growth


def _course(days: Sequence[Day], begins: Begins, growth: Development, warmer: float) -> EggCourse:
    """The eggs' temperatures from laying to hatching, `warmer` [K] than the box is held; whole days."""
    likely: list[float] = []
    low: list[float] = []
    high: list[float] = []
    done = 0.0
    for value, least, most in _hourly(days, begins):
        likely.append(value + warmer)
        low.append(least + warmer)
        high.append(most + warmer)
        done += growth.rate(value + warmer) / HOURS_A_DAY
        if len(likely) % HOURS_A_DAY == 0 and (done >= 1.0 or len(likely) > LONGEST * HOURS_A_DAY):
            break
    usual = tuple(value + warmer for value, _, _ in days[-1])
    return EggCourse(0.0, tuple(likely), tuple(low), tuple(high), (), usual)


def _by_way(
    control: Control, days: Sequence[Day], begins: Sequence[Begins], species: Species, growth: Development, way: Figure, show: Show
) -> tuple[Result, Result]:  # fmt: skip
    """Days and share of males with the eggs one way warmer than the set point [K], over all days that they may be laid on."""
    error = min(error_of(control, way), LARGEST_ERROR)
    lengths: list[Result] = []
    shares: list[Result] = []
    for begin in begins:
        course = _course(days, begin, growth, way.value)
        mean = sum(course.likely) / len(course.likely)
        lengths.append(in_range(partial(_days, course, growth, mean, error)))
        shares.append(in_range(partial(_share, species, course, growth, error, show)))
    return _widest(lengths), _widest(shares)


def _days(course: EggCourse, growth: Development, mean: float, error: float) -> Result:
    found = progress_of(course, growth, mean, error).days
    return replace(found, basis=BASIS)


def _share(species: Species, course: EggCourse, growth: Development, error: float, show: Show) -> Result:
    if species.sex.set_by in STEADY_SEXES:
        span = (0, HOURS_A_DAY)
    else:
        span = hours_at_share(course, growth.rate, sensitive_part(species))
    found, _ = sexes_of(species, course, growth.rate, span, error, show)
    asked = isinstance(found, Figure) and found.matters_most
    return replace(found, matters_most=CHECK) if asked else found


def _widest(found: Sequence[Result]) -> Result:
    """The first figure with the range of all; Unknown where one of them is."""
    unknown = next((one for one in found if isinstance(one, Unknown)), None)
    if unknown is not None:
        return unknown
    figures = [one for one in found if isinstance(one, Figure)]
    return replace(figures[0], low=min(one.low for one in figures), high=max(one.high for one in figures))


def _sexes_as_at(
    days: Sequence[Day], begins: Sequence[Begins], species: Species, growth: Development
) -> Result | None:
    """The constant temperature [°C] that gives the same sexes, with the mean of the sensitive time in its range."""
    if species.sex.set_by in STEADY_SEXES:
        return None

    def found(begin: Begins) -> Result:
        course = _course(days, begin, growth, 0.0)
        span = hours_at_share(course, growth.rate, sensitive_part(species))
        part = temperatures(course, course.likely, span)
        at, mean = equivalent_of_readings(part, growth.rate), sum(part) / len(part)
        return Figure(
            at, min(at, mean), max(at, mean), "temperature", "half of the development of the sensitive time is done above it",
            formulas=(equivalent_of_readings,),
        )  # fmt: skip

    return _widest([in_range(partial(found, begin)) for begin in begins])


def _gone_through(
    days: Sequence[Day],
    begins: Begins,
    species: Species,
    growth: Development | Unknown,
    course: EggCourse | None,
    as_at: Result | None,
) -> EggProgramme:
    """The steps that come before hatching, and what hours past the limits of the species do."""
    if course is None or isinstance(growth, Unknown):
        hours = islice(_hourly(days, begins), USUAL_DAYS * HOURS_A_DAY)
        values = [likely for likely, _, _ in hours]
        halvings: Callable[[float], int] = lambda _: 1  # noqa: E731
    else:
        values, halvings = list(course.likely), halvings_of(course, growth.rate)
    trace = [(hour * HOUR, value) for hour, value in enumerate(values)]
    spells = spells_of(trace, species, 0.0, halvings)
    harms = sorted(spells, key=lambda spell: -HARM.index(spell.harm))
    return EggProgramme(
        tuple(_steps(days, begins, len(values))),
        as_at,
        tuple(EggHarm(spell.side, spell.harm, spell.extreme, spell.hours, spell.daily) for spell in harms),
    )


def _steps(days: Sequence[Day], begins: Begins, hours: int) -> Iterator[EggStep]:
    ends = [*begins[1:], float(hours)]
    for day, begin, end in zip(days, begins, ends, strict=True):
        first, last = max(begin, 0.0), min(end, float(hours))
        if begin is begins[0]:
            first = 0.0
        if first < last:
            values = [likely for likely, _, _ in day]
            until = None if last >= hours else last / HOURS_A_DAY
            yield EggStep(first / HOURS_A_DAY, until, _mean(day), min(values), max(values))
