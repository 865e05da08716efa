"""What tests of the advice share: the change that is told for a finding, put into the plan by code of the tests alone."""

from pathlib import Path
from typing import Any

import yaml

from advisor.advice.remedies import advised
from advisor.assess import Assessment, assess
from advisor.model.changes import Change
from advisor.model.findings import FIX, SEVERITIES, STOP, WATCH, Finding, Report
from tests.changes import with_entries
from tests.support import _Plain

OPEN = (STOP, FIX, WATCH)


def plan_in(text: str) -> Any:
    """The data of a plan's text, each value as it is written."""
    return yaml.load(text, Loader=yaml.BaseLoader)


def written(folder: Path, data: Any) -> Path:
    """A file that holds a plan's data."""
    path = folder / "plan.yaml"
    path.write_text(yaml.dump(data, Dumper=_Plain, allow_unicode=True, sort_keys=False), encoding="utf-8")
    return path


def advice(folder: Path, data: Any, own_species: Path | None = None) -> Assessment:
    """The plan judged, with its remedies tried."""
    return advised(assess(written(folder, data), own_species))


def findings_of(report: Report, rule: str) -> list[Finding]:
    """What one rule finds that is open."""
    return [found for found in report.findings if found.rule == rule and found.severity in OPEN]


def assert_works(
    folder: Path, data: Any, finding: Finding, before: Report, own_species: Path | None = None
) -> None:
    """The told change, written into a file that is read again, clears the finding and brings nothing at stop or fix."""
    change = finding.changes[0]
    assert change.works, finding.obstacle
    assert finding.remedy.startswith(change.words)
    after = assess(written(folder, with_entries(data, entries(change))), own_species).report
    assert finding.subject not in {left.subject for left in findings_of(after, finding.rule)}
    worst = {(left.rule, left.subject): SEVERITIES.index(left.severity) for left in before.findings}
    for left in after.findings:
        if left.severity in (STOP, FIX):
            assert worst.get((left.rule, left.subject), len(SEVERITIES)) <= SEVERITIES.index(left.severity)


def entries(change: Change) -> dict[str, Any]:
    """What a change sets, by path."""
    return {setting.path: text_of(setting.value) for setting in change.settings}


def text_of(value: Any) -> Any:
    """A value with its numbers as text, as they stand in a file."""
    if isinstance(value, dict):
        return {name: text_of(entry) for name, entry in value.items()}
    if isinstance(value, list):
        return [text_of(entry) for entry in value]
    return None if value is None else f"{value}"
