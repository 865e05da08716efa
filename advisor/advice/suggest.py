"""Finds the fewest and cheapest changes that leave nothing at stop or fix, and where possible nothing to watch.

Depth first with backtracking: the worst finding is put right by each change of its levers that clears it, the one first
that leaves the least; what that brings is the next finding to put right. From a dead end the search goes back to the next
best change. Then what is only to be watched is put right as far as that brings nothing, and each change is dropped in turn
to show that all are needed. It may miss a set-up that needs a change which clears no finding by itself.
"""

import datetime
from collections.abc import Callable
from pathlib import Path
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from advisor.advice.entries import told_at, touches, value_at, within
from advisor.advice.fill import Proposal, filled, not_past, settled
from advisor.advice.remedies import settings_of
from advisor.advice.seek import Attempt, attempts, trying
from advisor.advice.trials import OPEN, SERIOUS, Trials, beyond_data, open_in, subject_of
from advisor.assess import Assessment
from advisor.model.changes import COSTS, ROOM, SETTING, Change, Setting
from advisor.model.findings import STOP, WATCH, Finding, Report
from advisor.reading.marks import path_key

MOST_TRIES = 400  # plans judged; judgement
MOST_CHANGES = 12  # in one suggestion; a plan that needs more is better begun anew; judgement
MOST_WAYS = 3  # changes followed from one finding; judgement

Progress = Callable[[int], None]


class Bounds(Struct, frozen=True):
    """What must stay as it is: entries with all below them, and the room unless it may change; and the day, behind which
    nothing can be done.
    """

    keep: tuple[str, ...] = ()
    room: bool = False
    today: datetime.date = datetime.date.min

    def allow(self, change: Change) -> bool:
        """Whether a change leaves alone what must stay, and asks for nothing on a day that has passed."""
        if any(not_past(setting.value, self.today) != setting.value for setting in change.settings):
            return False
        if not self.room and (change.cost == ROOM or any(path.startswith("room") for path in change.paths)):
            return False
        return not any(touches(path, self.keep) for path in change.paths)


class Step(Struct, frozen=True):
    """One change of a suggestion: what it is for, in the words of its finding, and the rules that it clears."""

    change: Change
    why: str
    clears: tuple[str, ...]


class Row(Struct, frozen=True):
    """One entry of a suggestion: its value before (None: not told) and after (None: taken away), why, what it clears."""

    path: str
    before: Any
    after: Any
    why: str
    cost: str
    clears: tuple[str, ...] = ()
    proposed: bool = False


class Suggestion(Struct, frozen=True):
    """The plan before and after, the entries that differ, how many plans were tried, and what stands in the way if anything."""

    before: Assessment
    after: Assessment
    rows: tuple[Row, ...]
    tries: int
    obstacle: str = ""

    @property
    def settings(self) -> tuple[Setting, ...]:
        """The entries to set in the plan's file."""
        return tuple(Setting(row.path, row.after) for row in self.rows)


def suggestion_for(
    base: Assessment,
    limits: Bounds,
    fill: bool = False,
    own_species: Path | None = None,
    progress: Progress = lambda tries: None,
) -> Suggestion:
    """Changes of a plan that leave nothing at stop or fix, or as little as was found; the same plan gives the same ones.

    fill: propose every entry that the plan leaves out as well.
    """
    trials = Trials(own_species, MOST_TRIES)
    start, proposals = filled(base, trials, limits.today, limits.keep) if fill else (base, ())
    proposed = frozenset(proposal.setting.path for proposal in proposals)
    search = _Search(start, limits, trials, progress, proposed)
    needed = search.needed(search.softened(search.cleared()))
    after = settled(search.after(needed), trials, proposed)
    rows = _rows(base, after, proposals, search.steps(needed))
    return Suggestion(base, after, rows, trials.count, search.obstacle(after))


def _rows(
    base: Assessment, after: Assessment, proposals: tuple[Proposal, ...], steps: tuple[Step, ...]
) -> tuple[Row, ...]:
    """What differs between two plans, entry by entry: what was told first, then what was proposed."""
    rows: dict[str, Row] = {}
    for proposal in proposals:
        path = proposal.setting.path
        rows[path] = Row(path, None, None, proposal.because, SETTING, proposed=True)
    for step in steps:
        for path in (setting.path for setting in step.change.settings):
            if not any(within(path, other) for other in rows):
                rows[path] = Row(path, None, None, step.why, step.change.cost, step.clears)
    found = []
    for path, row in rows.items():
        key = path_key(path)
        whole = replace(
            row, before=told_at(base.document.data, key), after=value_at(after.document.data, key)
        )
        if whole.before != whole.after:
            found.append(whole)
    return tuple(sorted(found, key=lambda row: row.proposed))


class _Search:
    """The search over the changes of one plan."""

    def __init__(
        self, base: Assessment, limits: Bounds, trials: Trials, progress: Progress, proposed: frozenset[str]
    ) -> None:
        self._base, self._limits, self._trials, self._progress = base, limits, trials, progress
        self._proposed = proposed  # entries that nobody has told: to change them costs nothing
        self._best: tuple[Change, ...] = ()

    def after(self, changes: tuple[Change, ...]) -> Assessment:
        """The plan with the changes."""
        found = self._trials.of(self._base, settings_of(changes))
        return self._base if found is None else found

    def cleared(self) -> tuple[Change, ...]:
        """Changes that leave nothing at stop or fix; where none were found, those that leave least."""
        found = self._deeper((), frozenset())
        return self._best if found is None else found

    def _deeper(self, changes: tuple[Change, ...], passed: frozenset[str]) -> tuple[Change, ...] | None:
        here = self.after(changes)
        if _weight(here.report) < _weight(self.after(self._best).report):
            self._best = changes
        serious = [entry for entry in here.report.findings if entry.severity in SERIOUS]
        if not serious:
            hides = _unjudged(here.report) - _unjudged(self.after(()).report)
            return None if hides else changes
        if len(changes) >= MOST_CHANGES or self._trials.spent:
            return None
        # What nothing clears yet may be cleared once another finding is put right.
        ways = next(filter(None, (self._ways(finding, here, changes) for finding in serious)), [])
        for way in ways:
            key = repr(way.after.document.data)
            if key in passed:
                continue
            passed |= {key}
            found = self._deeper((*changes, way.change), passed)
            if found is not None:
                return found
        return None

    def _ways(self, finding: Finding, here: Assessment, changes: tuple[Change, ...]) -> list[Attempt]:
        """The changes that clear a finding, the one first that leaves the least."""
        self._progress(self._trials.count)
        set_before = {path for change in changes for path in change.paths}
        attempt = trying(self._trials, here, finding)

        def allowed(change: Change) -> Attempt | None:
            return attempt(change) if self._limits.allow(change) else None

        tried = [way for way in attempts(finding, here, allowed) if way.change.clears]
        tried.sort(
            key=lambda way: (
                *_weight(way.after.report)[:2],
                self._cost(way.change),
                bool(way.change.paths & set_before),
                _weight(way.after.report)[2],
            )
        )
        ways = {
            way.change.paths: way for way in reversed(tried)
        }  # of each kind the best: three heaters are one way
        return [way for way in tried if ways[way.change.paths] is way][:MOST_WAYS]

    def _cost(self, change: Change) -> int:
        if all(any(within(path, entry) for entry in self._proposed) for path in change.paths):
            return -1
        return COSTS.index(change.cost)

    def softened(self, changes: tuple[Change, ...]) -> tuple[Change, ...]:
        """With what is only to be watched put right too, where that leaves less of everything."""
        given_up: set[tuple[str, str]] = set()
        while len(changes) < MOST_CHANGES and not self._trials.spent:
            here = self.after(changes)
            watched = [entry for entry in here.report.findings if entry.severity in OPEN]
            finding = next((entry for entry in watched if subject_of(entry) not in given_up), None)
            if finding is None:
                break
            better = [
                way
                for way in self._ways(finding, here, changes)
                if _weight(way.after.report) < _weight(here.report)
            ]
            if better:
                changes = (*changes, better[0].change)
            else:
                given_up.add(subject_of(finding))
        return changes

    def needed(self, changes: tuple[Change, ...]) -> tuple[Change, ...]:
        """Without those changes that can be left out and nothing is worse."""
        reached = _weight(self.after(changes).report)
        for change in sorted(changes, key=lambda change: -self._cost(change)):
            rest = tuple(other for other in changes if other is not change)
            if _weight(self.after(rest).report) <= reached:
                changes = rest
        return changes

    def steps(self, changes: tuple[Change, ...]) -> tuple[Step, ...]:
        """Each change with what comes back when it alone is left out."""
        open_after = open_in(self.after(changes).report, OPEN)
        found = []
        for change in changes:
            without = self.after(tuple(other for other in changes if other is not change)).report
            back = [
                entry
                for entry in without.findings
                if entry.severity in OPEN and subject_of(entry) not in open_after
            ]
            why = back[0].message if back else ""
            found.append(Step(change, why, tuple(dict.fromkeys(entry.rule for entry in back))))
        return tuple(found)

    def obstacle(self, after: Assessment) -> str:
        """What stands in the way of a plan without stop or fix, if anything does."""
        left = next((entry for entry in after.report.findings if entry.severity in SERIOUS), None)
        if left is None:
            return ""
        ended = f" The search ended after {self._trials.count} plans." if self._trials.spent else ""
        return f"{left.message} No change that may be made was found to clear this.{ended}"


def _weight(report: Report) -> tuple[int, int, int]:
    """What is left to put right: findings at stop, at stop or fix with the rules that cannot judge, to watch.

    A rule that a change keeps from judging has not been put right. What lies beyond the data is to watch as well.
    """
    severities = [finding.severity for finding in report.findings]
    serious = sum(entry in SERIOUS for entry in severities)
    watched = severities.count(WATCH) + len(beyond_data(report))
    return severities.count(STOP), serious + len(_unjudged(report)), watched


def _unjudged(report: Report) -> set[tuple[str, str]]:
    return {(answer.rule, answer.subject) for answer in report.not_judged}
