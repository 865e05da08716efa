"""A suggestion: on the screen, as JSON, as the changed text of the plan file, and as a whole new plan."""

from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from typing import Any

from advisor.advice.plan_text import edited
from advisor.advice.suggest import Row, Suggestion
from advisor.interview.commented_yaml import flow
from advisor.interview.new_plan import Whole
from advisor.interview.second_round import HOME, untold
from advisor.model.changes import PURCHASE, REBUILD, ROOM, SETTING, Setting
from advisor.report.screen import Line, verdict_text, wrapped
from advisor.show import counted

COST = {SETTING: "a setting", PURCHASE: "to buy", REBUILD: "to rebuild", ROOM: "the room"}


def suggestion_lines(suggestion: Suggestion, width: int) -> Iterator[Line]:
    """The changes and what each is for, the verdict before and after."""
    yield from wrapped(suggestion.before.situation.plan.title, width, "head", 2)
    changed = [row for row in suggestion.rows if not row.proposed]
    proposed = [row for row in suggestion.rows if row.proposed]
    if changed:
        yield Line("Change:", "head")
        yield from _change_lines(changed, width)
    if proposed:
        yield Line("Proposed where the plan tells nothing:", "head")
    for row in proposed:
        yield from wrapped(f"  {row.path}: {_value(row.after)}  ({row.why})", width, "", 6)
    if not suggestion.rows:
        yield Line("No change is needed." if not suggestion.obstacle else "No change was found.")
    if suggestion.obstacle:
        yield from wrapped(f"What stands in the way: {suggestion.obstacle}", width, "fix", 4)
    yield Line(f"{counted(suggestion.tries, 'plan')} tried.", "quiet")
    before, after = suggestion.before.report, suggestion.after.report
    if suggestion.rows:
        yield from wrapped(f"Before: {verdict_text(before)}", width, before.verdict, 4)
    yield from wrapped(
        f"{'After: ' if suggestion.rows else ''}{verdict_text(after)}", width, after.verdict, 4
    )


def told_change_lines(suggestion: Suggestion, width: int) -> Iterator[Line]:
    """What was told and would have to change, and why."""
    rows = [row for row in suggestion.rows if row.before is not None]
    yield Line("What you told does not work as it is. This would have to change:", "head")
    yield from _change_lines(rows, width)


def remaining_lines(suggestion: Suggestion, width: int) -> Iterator[Line]:
    """What only the keeper can make true of what was proposed, and what stays missing."""
    hoped = [row.path for row in suggestion.rows if row.proposed and row.path.startswith(HOME)]
    if hoped:
        told = f"Proposed, but only you can know it. Make it so, or correct it: {', '.join(hoped)}."
        yield from wrapped(told, width, "watch", 4)
    missing = untold(suggestion.after.report)
    if missing:
        told = f"Still missing, and nothing was found to propose: {', '.join(missing)}."
        yield from wrapped(told, width, "watch", 4)


def whole_plan(suggestion: Suggestion) -> Whole:
    """The plan with the suggestion in it, and a remark at each entry that it sets."""
    remarks = {}
    for row in suggestion.rows:
        why = row.why if row.proposed else f"clears {', '.join(row.clears)}"
        remarks[row.path] = (
            f"proposed: {why}" if row.before is None else f"changed from {flow(row.before)}: {why}"
        )
    return Whole(suggestion.after.document.data, remarks)


def _change_lines(changed: list[Row], width: int) -> Iterator[Line]:
    for (why, clears), group in groupby(changed, lambda row: (row.why, row.clears)):
        rows = list(group)
        for row in rows:
            told = f"  {row.path}: {_value(row.before)} -> {_value(row.after)}  ({COST[row.cost]})"
            yield from wrapped(told, width, "", 6)
        if why:
            without = f"      Without {'it' if len(rows) == 1 else 'them'}: {why}"
            yield from wrapped(f"{without} Clears: {', '.join(clears)}.", width, "quiet", 6)


def suggestion_data(suggestion: Suggestion) -> dict[str, Any]:
    """The suggestion as plain data."""
    return {
        "format": 1,
        "before": suggestion.before.report.verdict,
        "after": suggestion.after.report.verdict,
        "tries": suggestion.tries,
        "changes": [
            {
                "path": row.path,
                "from": row.before,
                "to": row.after,
                "why": row.why,
                "cost": row.cost,
                "clears": list(row.clears),
                "proposed": row.proposed,
            }
            for row in suggestion.rows
        ],
        "obstacle": suggestion.obstacle or None,
    }


def suggestion_text(plan: Path, suggestion: Suggestion, first: tuple[Setting, ...] = ()) -> str:
    """The plan file with the entries that are set `first`, then the suggestion; what was proposed carries a remark."""
    remarks = {row.path: f"proposed: {row.why}" for row in suggestion.rows if row.proposed}
    return edited(plan.read_text("utf-8-sig"), (*first, *suggestion.settings), remarks)


def _value(value: Any) -> str:
    return "not told" if value is None else flow(value)
