"""Seeks, along the levers of a finding, the least change that clears it and brings nothing."""

from collections.abc import Callable, Iterator
from itertools import islice

from msgspec import Struct
from msgspec.structs import replace

from advisor.advice.levers import case_at, is_built_in, lever_of
from advisor.advice.levers.lever import Ladder
from advisor.advice.trials import Trials, brought, is_clear_of
from advisor.assess import Assessment
from advisor.model.changes import Change, Setting
from advisor.model.findings import Finding

FEW = 3  # steps of a ladder that are tried one by one
BEYOND = 3  # steps past the first that clears, tried where that one brings something


class Attempt(Struct, frozen=True):
    """A change that was tried, and the plan after it."""

    change: Change
    after: Assessment


Try = Callable[[Change], Attempt | None]


def trying(trials: Trials, base: Assessment, finding: Finding, others: tuple[Setting, ...] = ()) -> Try:
    """A function that tries a change of a plan for one of its findings; None where it makes no plan, or no try is left.

    `others` is what was told for other findings: a change that works alone is tried beside it too, since a person does all
    that a report tells.
    """
    together = trials.of(base, others) if others else None

    def attempt(change: Change) -> Attempt | None:
        alone = _tried(trials, base, change, finding)
        if alone is None or together is None or not alone.change.works:
            return alone
        beside = _tried(trials, together, change, finding)
        return alone if beside is None or beside.change.works else beside

    return attempt


def _tried(trials: Trials, base: Assessment, change: Change, finding: Finding) -> Attempt | None:
    after = None if trials.spent else trials.of(base, change.settings)
    if after is None:
        return None
    clears = is_clear_of(finding, base.report, after.report)
    brings = brought(finding, base.report, after.report, change)
    return Attempt(replace(change, clears=clears, brings=brings), after)


def attempts(finding: Finding, base: Assessment, attempt: Try, most: int | None = None) -> Iterator[Attempt]:
    """What was tried along each lever in turn, of each ladder at most so many: the last is the best that it holds."""
    for path in finding.levers:
        lever = lever_of(path)
        if lever is None or is_built_in(base.situation.plan, path):
            continue
        for ladder in lever.values(case_at(base.situation, path)):
            yield from islice(climbed(ladder, attempt), most)


def climbed(ladder: Ladder, attempt: Try) -> Iterator[Attempt]:
    """Tries a ladder until a change works: one step after the other, or by halving where it is steady."""
    steps = ladder.changes
    start = _first_that_clears(ladder, attempt) if ladder.steady and len(steps) > FEW else 0
    if start is None:
        tried = attempt(steps[-1])
        if tried is not None:
            yield tried
        return
    end = start + BEYOND + 1 if ladder.steady else len(steps)
    for change in steps[start:end]:
        tried = attempt(change)
        if tried is not None:
            yield tried
            if tried.change.works:
                return


def _first_that_clears(ladder: Ladder, attempt: Try) -> int | None:
    """Index of the first step that clears; None where not even the last does.

    Where the last one brings nothing either, the first that works is sought: beside another change the finding may be
    gone at every step, and what counts is what that one brings.
    """
    last = attempt(ladder.changes[-1])
    if last is None or not last.change.clears:
        return None

    def good(index: int) -> bool:
        tried = attempt(ladder.changes[index])
        return tried is not None and (tried.change.works if last.change.works else tried.change.clears)

    low, high = -1, len(ladder.changes) - 1
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if good(middle) else (middle, high)
    return high
