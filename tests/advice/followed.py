"""Follows what a report tells, by a code path of its own: the change is written into YAML, and the file read and checked anew."""

import re
from itertools import pairwise
from pathlib import Path
from typing import Any

import yaml
from msgspec import Struct

from advisor.advice.remedies import advised
from advisor.assess import Assessment, assess_document
from advisor.model.changes import Change
from advisor.model.findings import FIX, STOP, WATCH, Finding
from advisor.reading.yaml_text import parse_yaml
from tests.support import MINIMAL, _Plain, merged

OPEN = (STOP, FIX, WATCH)


class Told(Struct, frozen=True):
    """A finding with what was told for it, and the plan after that was done."""

    before: Assessment
    finding: Finding
    after: Assessment | None

    @property
    def clears(self) -> bool:
        """Whether no finding of the rule is left about the same subject."""
        assert self.after is not None
        return not any(
            (left.rule, left.subject) == (self.finding.rule, self.finding.subject) and left.severity in OPEN
            for left in self.after.report.findings
        )

    @property
    def brings(self) -> set[tuple[str, str]]:
        """Faults at stop or fix that the plan did not have."""
        assert self.after is not None
        had, has = (
            {(one.rule, one.subject) for one in report.findings if one.severity in (STOP, FIX)}
            for report in (self.before.report, self.after.report)
        )
        return has - had


def checked(plan: Any, own: Path | None = None) -> Assessment:
    """A plan, as YAML text or as its data, read and judged; nothing is advised."""
    text = (
        plan if isinstance(plan, str) else yaml.dump(plan, Dumper=_Plain, allow_unicode=True, sort_keys=False)
    )
    return assess_document(parse_yaml(text.encode(), "plan.yaml"), own)


def whole(fragment: Any) -> Any:
    """A fragment laid over the smallest plan."""
    return merged(MINIMAL, fragment)


def applied(plan: Any, change: Change) -> Any:
    """The data of a plan with a change written in; plain loops, and nothing of the advice."""
    data = yaml.load(yaml.dump(plan, Dumper=_Plain, allow_unicode=True), Loader=yaml.BaseLoader)
    for setting in change.settings:
        steps: list[Any] = [
            int(step) if step.isdigit() else step for step in re.findall(r"[a-z_]+|\d+", setting.path)
        ]
        at: Any = data
        for step, following in pairwise(steps):
            if isinstance(at, list):
                at = at[step]
                continue
            if not isinstance(at.get(step), dict | list):
                at[step] = [] if isinstance(following, int) else {}
            at = at[step]
        if isinstance(at, list) and steps[-1] == len(at):
            at.append(_as_text(setting.value))
        elif setting.value is None:
            at.pop(steps[-1], None)
        else:
            at[steps[-1]] = _as_text(setting.value)
    return data


def _as_text(value: Any) -> Any:
    """As the other entries of a plan that was loaded without guessing: numbers are text."""
    if isinstance(value, dict):
        return {key: _as_text(inner) for key, inner in value.items()}
    return str(value)


def told_for(plan: Any, rule: str, own: Path | None = None) -> list[Told]:
    """What is told for each finding of a rule that is no note, followed where it worked when it was tried."""
    data = yaml.load(plan, Loader=yaml.BaseLoader) if isinstance(plan, str) else plan
    before = checked(data, own)
    found = [one for one in advised(before, own).report.findings if one.rule == rule and one.severity in OPEN]
    return [
        Told(
            before,
            one,
            checked(applied(data, one.changes[0]), own) if one.changes and not one.obstacle else None,
        )
        for one in found
    ]
