"""Dates of one clutch: laying window, hatch window, days of the checks, the day everything must be ready."""

import datetime
import math

from advisor.constants import DAY
from advisor.model.care import Checks
from advisor.model.figures import Figure, Result
from advisor.model.forecast import Window
from advisor.model.plan import Clutch, Laying, Range
from advisor.model.species import Species

THIRDS = (7, 5, 3)  # days between checks in the first, second and last third; common practice, no source


def laying_window(clutch: Clutch, species: Species) -> Window | None:
    """First and last likely laying day; None when nothing tells. Of the clutches that follow, as many intervals later."""
    first = _first_laying(clutch.laying, species)
    if first is None or not clutch.nth:
        return first
    every = interval(clutch, species)
    if every is None:
        return None
    return (
        first[0] + datetime.timedelta(days=int(clutch.nth * every.low)),
        first[1] + datetime.timedelta(days=math.ceil(clutch.nth * every.high)),
    )


def interval(clutch: Clutch, species: Species) -> Range | None:
    """Days from one laying to the next of a clutch that repeats: as the plan tells, else as the profile does."""
    if clutch.repeats is None:
        return None
    if clutch.repeats.every is not None:
        return clutch.repeats.every
    usual = species.laying.next_clutch if species.laying else None
    return Range(usual.low, usual.high) if usual else None


def laying_entry(clutch: Clutch, species: Species) -> str:
    """The entry of a clutch that would tell its laying window where nothing does."""
    return "repeats.every" if clutch.nth and interval(clutch, species) is None else "laying.expected"


def _first_laying(laying: Laying, species: Species) -> Window | None:
    """As laid, as expected, or from the shed and the profile."""
    if laying.laid_on is not None:
        return laying.laid_on, laying.laid_on
    if laying.expected is not None:
        return laying.expected
    known = species.laying
    if laying.shed_on is not None and known is not None and known.shed_to_laying is not None:
        after = known.shed_to_laying
        return (
            laying.shed_on + datetime.timedelta(days=round(after.low)),
            laying.shed_on + datetime.timedelta(days=round(after.high)),
        )
    return None


def ready_by(laying: Window | None) -> datetime.date | None:
    """The last day on which everything must stand ready and be stable: the day before the first likely laying day."""
    return laying[0] - datetime.timedelta(days=1) if laying else None


def hatch_window(laying: Window | None, incubation_days: Result) -> Window | None:
    """First laying day plus the shortest incubation to last laying day plus the longest; None when either is unknown."""
    if laying is None or not isinstance(incubation_days, Figure):
        return None
    return (
        laying[0] + datetime.timedelta(days=int(incubation_days.low)),
        laying[1] + datetime.timedelta(days=round(incubation_days.high)),
    )


def check_days(checks: Checks, incubation_days: Result) -> tuple[int, ...]:
    """Days of incubation on which a check is due, by the plan's rhythm or by thirds; empty when the length is unknown.

    The day of one check decides how long it is to the next; checks more often than daily count once a day.
    """
    if checks.rhythm is None or not isinstance(incubation_days, Figure):
        return ()
    end = round(incubation_days.value)
    steps = [(step.to_day if step.to_day is not None else end, step.every / DAY) for step in checks.rhythm]
    if not steps:
        steps = [(round(end * (part + 1) / 3), float(every)) for part, every in enumerate(THIRDS)]
    days: list[int] = []
    day = 0.0
    while (every := next((every for last, every in steps if day < last), None)) is not None:
        day += max(every, 1.0)
        if day > end:
            break
        days.append(round(day))
    return tuple(dict.fromkeys(days))


def late_check_days(
    checked: tuple[int, ...], incubation_days: Result, laying: Window | None
) -> tuple[int, ...]:
    """Days on which to check what has not hatched yet: at the last interval, to the last day of the hatch window.

    They count from laying, and before it is known from the middle of the laying window, as calendars do.
    """
    if not checked or not isinstance(incubation_days, Figure):
        return ()
    last = round(incubation_days.high)
    if laying is not None:
        last += ((laying[1] - laying[0]).days + 1) // 2
    every = checked[-1] - checked[-2] if len(checked) > 1 else THIRDS[-1]
    return (
        tuple(dict.fromkeys((*range(checked[-1] + every, last, every), last))) if last > checked[-1] else ()
    )
