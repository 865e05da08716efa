"""Levers of what people do and watch: checks, trial run, thermometers, safety."""

import datetime
import math
from collections.abc import Iterator

from advisor.advice.levers.lever import Ladder, Lever, always, change, ladder, one_of
from advisor.model.changes import PURCHASE
from advisor.rules.engine import Case

TRIAL_DAYS = (7, 5, 3)
READY_BEFORE = 7  # days between the end of the trial run and the first likely laying day; judgement
SHORT_LOOKS = ("10 s", "5 s")


def _rhythm(case: Case) -> Iterator[Ladder]:
    """By thirds, which is one rhythm among several (common practice, no source), or every three days."""
    thirds = "Look once a week in the first third, every 5 days in the second, every 3 days in the last."
    yield from one_of(
        change(case, thirds, checks__rhythm="thirds"),
        change(case, "Look every 3 days.", checks__rhythm=[{"every": "3 days"}]),
    )


def _lasting(case: Case) -> Iterator[Ladder]:
    return ladder(change(case, f"Open for {time} at most.", checks__lasting=time) for time in SHORT_LOOKS)


def _trial_days(case: Case) -> Iterator[Ladder]:
    words = "Run the loaded box for {} days before the eggs."
    return ladder(change(case, words.format(days), trial_run__days=days) for days in TRIAL_DAYS)


def _trial_from(case: Case) -> Iterator[Ladder]:
    """So that it ends a week before the first eggs; one that comes too late just before them, since days may have passed.

    Nothing where eggs are laid already: no trial run can come before them.
    """
    windows = [forecast.laying_window for forecast in case.forecast.clutches if forecast.laying_window]
    if not windows or any(clutch.laid_on is not None for clutch in case.plan.clutches):
        return
    trial = case.plan.trial_run
    days = TRIAL_DAYS[0] if trial.days is None else math.ceil(trial.days)
    before = READY_BEFORE if trial.from_ is None else 0
    start = (min(window[0] for window in windows) - datetime.timedelta(days=days + before)).isoformat()
    yield from one_of(change(case, f"Start the trial run by {start}.", trial_run__from=start))


def _thermometers(case: Case) -> Iterator[Ladder]:
    more = (case.plan.watching.thermometers or 0) + 1
    words = (
        "Put one more thermometer into the medium of an egg box, and compare it with the display every day."
    )
    yield from one_of(change(case, words, PURCHASE, watching__thermometers=more))


_opens = always("Look through the egg-box lids, and open only the outer box.", checks__opens="outer lid")
_logger = always("Let a logger write down the temperature.", PURCHASE, watching__logger="yes")
_alarm = always(
    "Add a thermometer with a high and a low alarm that you hear or that reaches your phone.",
    PURCHASE,
    watching__alarm="yes",
)
_residual = always(
    "Have an electrician fit a residual-current device (RCD, GFCI) of at most 30 mA, or plug in through a bought adapter that has one.",
    PURCHASE,
    people__residual_current_device="yes",
)
_drip_loop = always(
    "Hang every lead in a loop below its socket, and keep sockets and plugs above and away from the water.",
    people__drip_loop="yes",
)


def _children(case: Case) -> Iterator[Ladder]:
    """What nobody told; who lives in the home is no choice of the advice."""
    if case.plan.people.children_under_five is None:
        words = "Write down whether children under five live in the home."
        yield from one_of(change(case, words, people__children_under_five="no"))


LEVERS = (
    Lever("checks.opens", _opens, "an egg box that stays shut stays damp"),
    Lever("checks.lasting", _lasting, "short looks keep the warmth in"),
    Lever("checks.rhythm", _rhythm, "one rhythm of several, yours to choose; common practice, no source"),
    Lever("trial_run.days", _trial_days, "a week shows what the days and nights do"),
    Lever("trial_run.from", _trial_from, "done a week before the first eggs"),
    Lever("watching.thermometers", _thermometers, "a second reading shows when the thermostat is wrong"),
    Lever("watching.logger", _logger, "it sees the nights"),
    Lever("watching.alarm", _alarm, "it calls you while there is time"),
    Lever(
        "people.residual_current_device", _residual, "have it fitted: it cuts the power before a shock kills"
    ),
    Lever("people.drip_loop", _drip_loop, "hang them so: water drips off before it reaches a socket"),
    Lever("people.children_under_five", _children, "correct it if it is otherwise"),
)
