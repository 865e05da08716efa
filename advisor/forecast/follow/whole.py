"""A log with eggs inside beside its plan: what it says of each clutch, and what happened."""

import datetime
import statistics
from collections.abc import Iterable, Mapping, Sequence

from msgspec.structs import replace

from advisor.forecast.clutch.dates import hatch_window
from advisor.forecast.clutch.rate import Development, development_of
from advisor.forecast.edge import in_range
from advisor.forecast.follow.clutch import Progress, gaps_of, halvings_of, hours_at_share, progress_of
from advisor.forecast.follow.egg_course import FELL, EggCourse, egg_course, medium_of
from advisor.forecast.follow.events import events_of
from advisor.forecast.follow.exposures import HARM, outside, spells_of
from advisor.forecast.follow.outcome import hatched_of, mean_day, outcome_of
from advisor.forecast.follow.plan_now import eggs_now, oxygen_now
from advisor.forecast.follow.sexes import THERMOMETER, sensitive_part, sexes_of
from advisor.forecast.follow.water import weighed_boxes
from advisor.forecast.ranges import around
from advisor.forecast.trial.courses import Courses, courses_of
from advisor.forecast.trial.told import NO_MEDIUM
from advisor.formulas.logs.loss import SENSOR
from advisor.formulas.logs.means import Course, thinner, weighted_mean
from advisor.formulas.logs.steady import DAY, HOUR
from advisor.formulas.numerics.no_data import NoData
from advisor.model.figures import Unknown
from advisor.model.follow import CUT, ClutchFollowed, Event, Followed, Happening
from advisor.model.forecast import ClutchForecast, Forecast
from advisor.model.logs import PROBE_MEDIUM, Log
from advisor.model.plan import Clutch, Plan
from advisor.model.species import Species
from advisor.show import Show

NOON = 12.0 * HOUR  # of the laying day, whose hour nobody tells
TEN_MINUTES = 600.0
AFTER = 6.0 * HOUR  # s after an event in which the medium still comes back; judgement


def followed_of(
    plan: Plan, species: Mapping[str, Species], forecast: Forecast, log: Log, happened: Sequence[Happening]
) -> Followed:
    """What a log tells of the eggs of a plan that were laid as told; what it can't tell is an `Unknown` with its reason."""
    courses, show = courses_of(log), Show(plan.units)
    found: list[tuple[ClutchFollowed, Development | None]] = [
        _clutch(courses, clutch, species[clutch.species], beside, [one for one in happened if one.clutch == index], show)
        for index, (clutch, beside) in enumerate(zip(plan.clutches, forecast.clutches, strict=True))
    ]  # fmt: skip
    clutches = tuple(clutch for clutch, _ in found)
    laid = [clutch.laid for clutch in clutches]
    first = min((noon(day) for day in laid if day is not None), default=courses.start)
    events, not_seen = events_of(log, courses, plan.control.set_to)
    growths = [growth for _, growth in found if growth is not None]
    course = _ten_minutes(courses, first, courses.end)
    told = (
        _done_to_eggs(event, course, growths, clutches)
        for event in events
        if not _of_programme(plan, event) and event.end >= first
    )
    boxes = weighed_boxes(plan, species, happened, laid)
    return Followed(clutches, tuple(told), not_seen, boxes, oxygen_now(plan, species, clutches))


def _of_programme(plan: Plan, event: Event) -> bool:
    """Whether a spell without heat is what a programme asks for: no colder than its coldest set point."""
    coldest = plan.control.coldest
    return (
        bool(plan.control.programme)
        and event.kind == CUT
        and coldest is not None
        and (event.extreme is not None and event.extreme >= coldest - FELL)
    )


def noon(day: datetime.date) -> float:
    """Noon of a day [s since 1970]."""
    return datetime.datetime(day.year, day.month, day.day, tzinfo=datetime.UTC).timestamp() + NOON


def _clutch(
    courses: Courses, clutch: Clutch, species: Species, beside: ClutchForecast, happened: Sequence[Happening],
    show: Show,
) -> tuple[ClutchFollowed, Development | None]:  # fmt: skip
    laid, hatched = clutch.laid_on, hatched_of(happened)
    left, growing = eggs_now(clutch.eggs, happened)
    end = courses.end
    if laid is not None and hatched:
        end = min(end, noon(laid) + mean_day(hatched, laid) * DAY)
    not_laid = Unknown("the day it was laid is not told", (f"clutches[{clutch.entry}].laying.laid_on",))
    why = not_laid if laid is None else NO_MEDIUM if not medium_of(courses) else None
    shift, error = _warmer(courses, beside)
    course = None if laid is None or why is not None else egg_course(courses, noon(laid), end, shift)
    begin = end if laid is None else noon(laid)
    if why is None and course is None:
        why = Unknown("no reading of the medium is later than the laying day")
    nothing = why or not_laid
    start = ClutchFollowed(
        species=clutch.species,
        laid=laid,
        day=(end - begin) / DAY,
        eggs_left=left,
        growing=growing,
        mean=nothing,
        developed=nothing,
        days_to_go=nothing,
        days=nothing,
        planned_days=beside.incubation_days,
        hatch_window=None,
        planned_window=None if laid is None else beside.hatch_window,
        male_share=nothing,
        undecided=None,
        sensitive=None,
        settled=False,
        aim=nothing,
        tolerated=nothing,
        spells=nothing,
        gaps=nothing,
    )
    followed, growth, span = start, None, None
    if course is not None and laid is not None:
        fine = [(time, value + shift) for time, value in _ten_minutes(courses, course.begin, end)]
        followed, growth, span = _with_course(start, fine, course, error, species, laid, show)
    if laid is not None and hatched:
        came = outcome_of(followed, hatched, clutch.eggs, beside.male_share, species, course, span)
        followed = replace(followed, outcome=came)
    return followed, growth


def _with_course(
    start: ClutchFollowed, fine: Course, course: EggCourse, error: float, species: Species,
    laid: datetime.date, show: Show,
) -> tuple[ClutchFollowed, Development | None, tuple[int, int] | None]:  # fmt: skip
    mean = sum(course.likely) / len(course.likely)
    spread = 2 * error
    growth = development_of(species, mean)
    if isinstance(growth, NoData):  # days of a cold box pull the mean out of the data
        growth = development_of(species, statistics.median(course.likely))
    followed = replace(
        start,
        mean=around(weighted_mean(fine), spread, "temperature", "mean of the medium since laying", THERMOMETER),
        aim=outside(fine, species.aim, species, "aim"),
        tolerated=outside(fine, species.tolerated, species, "tolerated"),
    )  # fmt: skip
    if isinstance(growth, NoData):
        none = Unknown(f"no data at this temperature for {species.name}", (f"species/{species.id}.yaml: duration",))  # fmt: skip
        return replace(followed, developed=none, days_to_go=none, days=none, male_share=none,
                       spells=spells_of(fine, species, course.begin, lambda _: 1), gaps=()), None, None  # fmt: skip
    progress = in_range(lambda: progress_of(course, growth, mean, error))
    span = in_range(lambda: hours_at_share(course, growth.rate, sensitive_part(species)))
    sexes = (
        span
        if isinstance(span, Unknown)
        else in_range(lambda: sexes_of(species, course, growth.rate, span, error, show))
    )
    males, undecided = (sexes, None) if isinstance(sexes, Unknown) else sexes
    return (
        replace(
            followed,
            **_hatching(progress, laid),
            male_share=males,
            undecided=undecided,
            sensitive=None
            if isinstance(span, Unknown) or species.sex.set_by == "chromosomes"
            else _days(laid, span),
            settled=not isinstance(span, Unknown) and span[1] <= len(course.likely),
            spells=spells_of(fine, species, course.begin, halvings_of(course, growth.rate)),
            gaps=gaps_of(course, growth.rate, None if isinstance(span, Unknown) else span),
        ),
        growth,
        None if isinstance(span, Unknown) else span,
    )


def _hatching(progress: Progress | Unknown, laid: datetime.date) -> dict[str, object]:
    if isinstance(progress, Unknown):
        return {"developed": progress, "days_to_go": progress, "days": progress}
    return {
        "developed": progress.developed,
        "days_to_go": progress.to_go,
        "days": progress.days,
        "hatch_window": hatch_window((laid, laid), progress.days),
    }


def _days(laid: datetime.date, span: tuple[int, int]) -> tuple[datetime.date, datetime.date]:
    """The first and the last day that hold two hours from noon of the laying day."""
    first, last = (datetime.timedelta(days=(hours * HOUR + NOON) // DAY) for hours in span)
    return laid + first, laid + last


def _warmer(courses: Courses, beside: ClutchForecast) -> tuple[float, float]:
    """How much warmer the eggs are than the sensors tell [K], and the standard deviation of their temperature [K]."""
    eggs = medium_of(courses)
    means = [weighted_mean(place.course) for place in eggs]
    apart = (max(means) - min(means)) / 2 if means else 0.0
    error = (SENSOR**2 + apart**2) ** 0.5
    ways = beside.warmth.ways if eggs and eggs[0].sensor.place == PROBE_MEDIUM else ()
    if not ways:
        return 0.0, error
    shift = ways[0].value
    reach = max(abs(end - shift) for way in ways for end in (way.low, way.high)) / 2
    return shift, (error**2 + reach**2) ** 0.5


def _ten_minutes(courses: Courses, begin: float, end: float) -> Course:
    """The medium by 10 minutes from one time [s] to another: the mean of its sensors."""
    pairs = sorted(
        entry for place in medium_of(courses) for entry in place.course if begin <= entry[0] <= end
    )
    return thinner(pairs, TEN_MINUTES)


def _done_to_eggs(
    event: Event, course: Course, growths: Iterable[Development], clutches: Iterable[ClutchFollowed]
) -> Event:
    """The event with the days that it costs the eggs, and the harm of the spells past their limits that it holds."""
    end = event.end + AFTER
    part = [entry for entry in course if event.begin <= entry[0] <= end]
    earlier = [value for time, value in course if event.begin - DAY <= time < event.begin]
    harm = [
        spell.harm
        for clutch in clutches
        for spell in (() if isinstance(clutch.spells, Unknown) else clutch.spells)
        if spell.begin <= event.end and spell.end >= event.begin
    ]
    delays = []
    for growth in growths if part and earlier and event.extreme is not None else ():
        usual = growth.rate(sum(earlier) / len(earlier))
        if usual > 0.0:
            done = sum(growth.rate(value) / usual for _, value in part) / len(part)
            delays.append((part[-1][0] - part[0][0]) / DAY * (1.0 - done))
    return replace(
        event, delay=max(delays, key=abs, default=None), harm=max(harm, key=HARM.index, default="")
    )
