"""Rounds of a season: days on which all egg boxes are looked at, so that no clutch waits longer than its rhythm asks."""

import datetime
from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

from msgspec import Struct

from advisor.model.forecast import ClutchForecast
from advisor.model.plan import Plan
from advisor.wording import middle_day


class Round(Struct, frozen=True):
    """One round: its day; of each clutch that lies in its place in the plan and its day of incubation; those after which
    nothing but what has not hatched is left.
    """

    day: datetime.date
    looks: tuple[tuple[int, int], ...]
    late: bool


class RoundsAlike(Struct, frozen=True):
    """Rounds that follow one another at one interval [days]: the first, and how many."""

    first: datetime.date
    every: int
    times: int


class _In(Struct, frozen=True):
    """A clutch that lies in: its place; the middle of its laying window, its last check, as numbers of days; its checks."""

    place: int
    laid: int
    end: int
    checks: tuple[int, ...]

    def gap(self, day: int) -> int:
        """How many days may pass from a look on a day to the next; the last interval holds on to the end."""
        steps = list(pairwise((0, *self.checks)))
        return next(
            (after - before for before, after in steps if day - self.laid < after),
            steps[-1][1] - steps[-1][0],
        )


def makes_rounds(plan: Plan) -> bool:
    """Whether clutches repeat, so that looks at each on its own days would fill the season."""
    return any(clutch.repeats for clutch in plan.clutches)


def rounds_of(clutches: Sequence[ClutchForecast]) -> tuple[Round, ...]:
    """The rounds for all clutches whose laying window and checks are known, in the order of their days."""
    waiting = []
    for place, clutch in enumerate(clutches):
        if clutch.laying_window and clutch.check_days:
            laid = middle_day(clutch.laying_window).toordinal()
            last = max(*clutch.check_days, *clutch.late_check_days)
            waiting.append(_In(place, laid, laid + last, clutch.check_days))
    return tuple(_rounds(waiting))


def _rounds(clutches: list[_In]) -> Iterator[Round]:
    before = min((one.laid for one in clutches), default=0)
    day = min((one.laid + one.checks[0] for one in clutches), default=0)
    while True:
        inside = [one for one in clutches if one.laid < day and before < one.end]
        if not inside:
            return
        yield Round(
            datetime.date.fromordinal(day),
            tuple((one.place, day - one.laid) for one in inside),
            all(day - one.laid > one.checks[-1] for one in inside),
        )
        due = [day + one.gap(day) for one in inside if day < one.end]
        due += [max(one.laid + one.checks[0], day + 1) for one in clutches if one.laid >= day]
        before, day = day, min(due, default=day)
        if not due:
            return


def spells_of(rounds: Sequence[Round]) -> Iterator[RoundsAlike]:
    """The rounds drawn together where they follow at one interval."""
    steps = groupby(pairwise(rounds), lambda pair: (pair[1].day - pair[0].day).days)
    spells = [(every, [after.day for _, after in pairs]) for every, pairs in steps] or [(1, [])]
    for place, (every, days) in enumerate(spells):
        whole = [round.day for round in rounds[:1]] + days if place == 0 else days
        if whole:
            yield RoundsAlike(whole[0], every, len(whole))
