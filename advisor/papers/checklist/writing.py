"""Sheets to write on: trial run, checks, hatch record."""

import datetime

from msgspec import Struct

from advisor.model.forecast import ClutchForecast
from advisor.papers.rounds import makes_rounds, rounds_of
from advisor.rules.engine import Situation
from advisor.wording import middle_day, weekday_words

USUAL_DAYS = WEEK = 7  # of a trial run whose days are not told
MOST_CHECKS = 150  # rows of the check sheet; more are left out and counted; judgement
BLANKS = 14  # rows where the days are not known


class CheckRow(Struct, frozen=True):
    """One check: its date, the day of each clutch, whether it is due only while eggs have not hatched."""

    when: str = ""
    days: str = ""
    late: bool = False


class WritingSheets(Struct, frozen=True):
    """Days of the trial run by weeks, the checks, how many of them found no room, whether each is told as "clutch: day"."""

    trial: tuple[tuple[str, ...], ...]
    checks: tuple[CheckRow, ...]
    left_out: int
    by_clutch: bool


def writing_sheets(situation: Situation) -> WritingSheets:
    """The sheets of a plan; days are dates where a laying window is known, else days of incubation."""
    run = situation.plan.trial_run
    start, days = run.from_, max(round(run.days or USUAL_DAYS), 1)
    trial = [
        weekday_words(start + datetime.timedelta(days=day)) if start else f"day {day + 1}"
        for day in range(min(days, 14))
    ]
    weeks = tuple(tuple(trial[first : first + WEEK]) for first in range(0, len(trial), WEEK))
    rows = _check_rows(situation)
    kept = rows[:MOST_CHECKS] or [CheckRow()] * BLANKS
    several = len(situation.plan.clutches) > 1
    return WritingSheets(weeks, tuple(kept), len(rows) - len(rows[:MOST_CHECKS]), several)


def _check_rows(situation: Situation) -> list[CheckRow]:
    """All checks in the order of their days; those of several clutches on one day are one, told as "clutch: day"."""
    clutches = situation.forecast.clutches
    if makes_rounds(situation.plan) and (rounds := rounds_of(clutches)):
        return [
            CheckRow(
                weekday_words(one.day), ", ".join(f"{place + 1}: {day}" for place, day in one.looks), one.late
            )
            for one in rounds
        ]
    found: dict[tuple[int, int], list[tuple[int, int, bool]]] = {}
    for number, clutch in enumerate(clutches, 1):
        for day in (*clutch.check_days, *clutch.late_check_days):
            found.setdefault(_place(clutch, day), []).append((number, day, day in clutch.late_check_days))
    rows = []
    for (dated, when), checks in sorted(found.items()):
        days = [f"{number}: {day}" if len(clutches) > 1 else str(day) for number, day, _ in checks]
        words = weekday_words(datetime.date.fromordinal(when)) if dated else ""
        rows.append(CheckRow(words, ", ".join(days), all(late for *_, late in checks)))
    return rows


def _place(clutch: ClutchForecast, day: int) -> tuple[int, int]:
    """Where a check stands: by its date, counted from the middle of the laying window, or by the day of incubation."""
    window = clutch.laying_window
    return (1, middle_day(window).toordinal() + day) if window else (0, day)
