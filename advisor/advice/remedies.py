"""Gives each finding the change to tell: the first along its levers that clears it and brings nothing."""

from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path

from msgspec.structs import replace

from advisor.advice.levers.lever import MEASURE_AGAIN
from advisor.advice.seek import Attempt, Try, attempts, trying
from advisor.advice.trials import OPEN, PROFILE, Trials, is_clear_of, subject_of
from advisor.assess import Assessment
from advisor.model.changes import COSTS, Change, Setting
from advisor.model.findings import FIX, SEVERITIES, STOP, WATCH, Finding
from advisor.rules import rule_by_id

MOST_IN_ALL = 80  # plans judged for one report
MOST_ALONE = 24  # changes tried for one finding alone
# Of one ladder, of changes that nearly work, and of second changes tried with each of these: fewer for what is only to
# be watched, so that all its levers get their turn.
MOST_OF_ONE = {STOP: 24, FIX: 24, WATCH: 2}
MOST_NEAREST = {STOP: 3, FIX: 3, WATCH: 1}
MOST_SECONDS = {STOP: 8, FIX: 8, WATCH: 4}
NOTHING_TO_TRY = "No change could be tried on this plan."
NOTHING_CLEARS = "No change was found that clears this and brings nothing else."


def advised(assessment: Assessment, own_species: Path | None = None) -> Assessment:
    """The assessment with the levers of each finding tried.

    A change that was found for one finding is told of another too where it works there and is one of its levers, so that
    two findings about one entry ask for one value. What is told of the next works beside what was told before, if any
    does. Where nothing works alone, a second change is sought for what the nearest brings or leaves; where that fails as
    well the finding says what stands in the way.
    """
    trials = Trials(own_species, MOST_IN_ALL)
    found: list[Finding] = []
    told: list[Change] = []
    for finding in assessment.report.findings:
        change, nearest = _sought(finding, assessment, trials, tuple(told))
        if change is not None and change not in told:
            told.append(change)
        found.append(_telling(finding, change, nearest))
    agreed = tuple(_agreed(finding, found, assessment, trials) for finding in found)
    return replace(assessment, report=replace(assessment.report, findings=agreed))


def _sought(
    finding: Finding, base: Assessment, trials: Trials, told: tuple[Change, ...]
) -> tuple[Change | None, Attempt | None]:
    """The change that works, beside what was told before if one does; else the attempt that comes nearest, if there was any."""
    if finding.severity not in OPEN or not finding.levers:
        return None, None
    beside = _searched(finding, base, trying(trials, base, finding, settings_of(told)), told)
    return beside if beside[0] or not told else _searched(finding, base, trying(trials, base, finding), told)


def _searched(
    finding: Finding, base: Assessment, attempt: Try, told: tuple[Change, ...]
) -> tuple[Change | None, Attempt | None]:
    tried: list[Attempt] = []
    for change in told:
        known = attempt(change) if _is_lever(change, finding) else None
        if known is not None and known.change.works:
            return known.change, known
        tried += [known] if known is not None else []
    for candidate in islice(attempts(finding, base, attempt, MOST_OF_ONE[finding.severity]), MOST_ALONE):
        tried.append(candidate)
        if candidate.change.works:
            return candidate.change, candidate
    tried.sort(key=lambda candidate: _distance(candidate, finding))
    for nearest in tried[: MOST_NEAREST[finding.severity]]:
        for joined in islice(_with_a_second(nearest, finding, attempt), MOST_SECONDS[finding.severity]):
            if joined.change.works:
                return joined.change, joined
    return None, tried[0] if tried else None


def _with_a_second(nearest: Attempt, finding: Finding, attempt: Try) -> Iterator[Attempt]:
    """The nearest change together with each that might clear what it brings, or what it leaves of the finding."""
    asked, asked_first = {*nearest.change.brings, finding.rule}, nearest.change.paths
    for left in nearest.after.report.findings:
        if left.severity not in OPEN or left.rule not in asked:
            continue

        def both(second: Change) -> Attempt | None:
            """Another value of an entry that the first sets is no second change: the words would gainsay each other."""
            return attempt(joined(nearest.change, second)) if second.paths.isdisjoint(asked_first) else None

        yield from attempts(left, nearest.after, both)


def joined(first: Change, second: Change) -> Change:
    """Two changes as one, the second after the first."""
    before = first.words.removesuffix(f" {MEASURE_AGAIN}") if MEASURE_AGAIN in second.words else first.words
    words = first.words if first.words == second.words else f"{before} {second.words}"
    cost = max(first.cost, second.cost, key=COSTS.index)
    kept = tuple(setting for setting in first.settings if setting.path not in second.paths)
    return Change((*kept, *second.settings), words, cost)


def settings_of(changes: Iterable[Change]) -> tuple[Setting, ...]:
    """All entries that the changes set, in their order; of one set twice the last."""
    whole = Change((), "")
    for change in changes:
        whole = joined(whole, change)
    return whole.settings


def _telling(finding: Finding, change: Change | None, nearest: Attempt | None) -> Finding:
    """The finding with the words of the change in front of its own, or with what stands in the way."""
    if finding.severity not in OPEN or not finding.levers:
        return finding
    if change is not None:
        return replace(
            finding, changes=(change,), remedy=" ".join(filter(None, (change.words, finding.remedy)))
        )
    if nearest is None or finding.severity == WATCH:  # of what is only to be watched, half a remedy is none
        obstacle = finding.obstacle or (NOTHING_TO_TRY if nearest is None else NOTHING_CLEARS)
        return replace(finding, obstacle=obstacle, remedy=finding.remedy or rule_by_id(finding.rule).remedy)
    return replace(finding, changes=(nearest.change,), obstacle=_obstacle(finding, nearest))


def _obstacle(finding: Finding, nearest: Attempt) -> str:
    report = nearest.after.report
    in_the_way = next(
        (
            left.message
            for left in report.findings
            if left.rule in nearest.change.brings or subject_of(left) == subject_of(finding)
        ),
        "",
    )
    untold = [
        need if " " in need and not need.startswith(PROFILE) else f"{need} is not known"
        for answer in report.not_judged
        if answer.rule == finding.rule
        for need in answer.needs
    ]
    if not in_the_way and untold:
        in_the_way = f"it cannot be judged any more: {', '.join(dict.fromkeys(untold))}."
    return f"{NOTHING_CLEARS} The nearest: {nearest.change.words} But then: {in_the_way}"


def _agreed(finding: Finding, found: list[Finding], base: Assessment, trials: Trials) -> Finding:
    """The finding, with the values of another one for the same entries where these clear both, if need be beside its own."""
    later = found[found.index(finding) :]
    for other in found:
        for change in other.changes if other is not finding and finding.changes else ():
            own = finding.changes[0]
            if not (change.works and own.works and _differ(own, change)):
                continue
            if own.paths <= change.paths:
                whole = change
            elif other in later:
                whole = joined(own, change)
            else:
                continue
            known = trying(trials, base, finding)(whole)
            if known and known.change.works and not _clears_too(own, other, base, trials):
                words = finding.remedy.removeprefix(own.words)
                return replace(finding, changes=(known.change,), remedy=f"{whole.words}{words}")
    return finding


def _differ(one: Change, other: Change) -> bool:
    """Whether they set one entry to two values."""
    values = {setting.path: setting.value for setting in one.settings}
    return any(values.get(setting.path, setting.value) != setting.value for setting in other.settings)


def _clears_too(change: Change, finding: Finding, base: Assessment, trials: Trials) -> bool:
    after = trials.of(base, change.settings)
    return after is not None and is_clear_of(finding, base.report, after.report)


def _is_lever(change: Change, finding: Finding) -> bool:
    """Whether it changes an entry that may clear the finding; what else it changes is told there anyway."""
    return any(
        path == lever or path.startswith(f"{lever}.") for lever in finding.levers for path in change.paths
    )


def _distance(attempt: Attempt, finding: Finding) -> tuple[bool, int, int]:
    """How far from working: not clear, how many rules it brings, how bad the worst of what is left."""
    change = attempt.change
    worst = min(
        (
            SEVERITIES.index(left.severity)
            for left in attempt.after.report.findings
            if left.rule in change.brings or subject_of(left) == subject_of(finding)
        ),
        default=len(SEVERITIES),
    )
    return not change.clears, len(change.brings), -worst
