"""Changed copies of a plan, forecast and judged; each once."""

from pathlib import Path

from msgspec.structs import replace

from advisor.advice.entries import with_entry
from advisor.assess import Assessment, assess_document
from advisor.model.changes import Change, Setting
from advisor.model.findings import FIX, SEVERITIES, STOP, WATCH, Finding, Report
from advisor.reading.marks import path_key
from advisor.reading.problems import InputError
from advisor.reading.yaml_text import Document

SERIOUS = (STOP, FIX)
OPEN = (STOP, FIX, WATCH)
PROFILE = "species/"  # begins what a rule needs of a profile
THIN = "profile-thin-evidence"  # how well something is known, which no plan makes better or worse
AT_SOME = (": duration", ": sex.observed")  # ends what a profile tells at some temperatures and not at others
Subject = tuple[str, str]  # rule and what it is about


class Trials:
    """Judges copies of plans with some entries changed, and remembers what it has judged."""

    def __init__(self, own_species: Path | None = None, most: int = 1000) -> None:
        """own_species: folder of the keeper's own profiles; most: plans that may be judged."""
        self._own_species = own_species
        self._judged: dict[str, Assessment | None] = {}
        self._most = most

    @property
    def count(self) -> int:
        """How many plans were judged."""
        return len(self._judged)

    @property
    def spent(self) -> bool:
        """Whether no more plans may be judged."""
        return len(self._judged) >= self._most

    def of(self, base: Assessment, settings: tuple[Setting, ...]) -> Assessment | None:
        """The plan with these entries changed, judged; None where that makes no plan that can be read."""
        data = base.document.data
        for setting in settings:
            data = with_entry(data, path_key(setting.path), setting.value)
        key = repr(data)
        if key not in self._judged:
            self._judged[key] = self._assessed(replace(base.document, data=data))
        return self._judged[key]

    def _assessed(self, document: Document) -> Assessment | None:
        try:
            return assess_document(document, self._own_species)
        except InputError:
            return None


def subject_of(finding: Finding) -> Subject:
    """What a finding is about: the same for a plan and its changed copy."""
    return finding.rule, finding.subject


def open_in(report: Report, severities: tuple[str, ...] = SERIOUS) -> frozenset[Subject]:
    """What a report finds at these severities."""
    return frozenset(subject_of(finding) for finding in report.findings if finding.severity in severities)


def beyond_data(report: Report) -> frozenset[Subject]:
    """What could not be judged because the profile of a species has no data at the planned temperature."""
    return frozenset(
        (answer.rule, answer.subject)
        for answer in report.not_judged
        if all(need.startswith(PROFILE) and need.endswith(AT_SOME) for need in answer.needs)
    )


def is_clear_of(finding: Finding, before: Report, after: Report) -> bool:
    """Whether nothing but a note is left of a finding, its rule is still judged, and no other finding stands for it.

    What the profile of a species leaves open no change of a plan can tell; a change that leads out of its data clears
    nothing.
    """
    about = subject_of(finding)
    if about in open_in(after, OPEN) or any(follower == finding.rule for follower, _ in after.followers):
        return False
    left_open = {need for answer in before.not_judged for need in answer.needs}
    return all(
        need.startswith(PROFILE) and (need in left_open or not need.endswith(AT_SOME))
        for answer in after.not_judged
        if answer.rule == finding.rule and (answer.subject == about[1] or answer not in before.not_judged)
        for need in answer.needs
    )


def brought(finding: Finding, before: Report, after: Report, change: Change) -> tuple[str, ...]:
    """Rules that find more than before: something at stop or fix, or a watch that asks to change the same entries.

    For what is only to be watched every new watch counts, unless it could not be judged before: to trade one for another
    is no remedy, but where the new one only tells how little is known. Nor is it one to leave what the profile of the species tells, so that less is judged than before.
    """
    unjudged = {(answer.rule, answer.subject) for answer in before.not_judged}
    worst = {subject_of(finding): SEVERITIES.index(finding.severity) for finding in before.findings}
    found: dict[str, None] = {}
    for left in after.findings:
        was = worst.get(subject_of(left), len(SEVERITIES))
        if SEVERITIES.index(left.severity) >= was:
            continue
        traded = finding.severity == WATCH and subject_of(left) not in unjudged and left.rule != THIN
        if left.severity in SERIOUS or (left.severity == WATCH and (traded or _sends_back(left, change))):
            found.setdefault(left.rule)
    found |= dict.fromkeys(rule for rule, _ in sorted(beyond_data(after) - beyond_data(before)))
    return tuple(found)


def _sends_back(finding: Finding, change: Change) -> bool:
    return any(
        path == lever or path.startswith((f"{lever}.", f"{lever}["))
        for lever in finding.levers
        for path in change.paths
    )
