"""A suggestion: on the screen, as JSON, as the changed text of the plan file, and as a whole new plan."""

from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from typing import Any

from advisor.advice.plan_text import edited
from advisor.advice.suggest import Suggestion
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
    if any(not row.proposed for row in suggestion.rows):
        yield from change_lines(suggestion, width, "Change:")
    yield from _proposed_lines(suggestion, width)
    if not suggestion.rows:
        yield Line("No change is needed." if not suggestion.obstacle else "No change was found.")
    yield from _obstacle_lines(suggestion, width)
    yield Line(f"{counted(suggestion.tries, 'plan')} tried.", "quiet")
    before, after = suggestion.before.report, suggestion.after.report
    if suggestion.rows:
        yield from wrapped(f"Before: {verdict_text(before)}", width, before.verdict, 4)
    yield from wrapped(
        f"{'After: ' if suggestion.rows else ''}{verdict_text(after)}", width, after.verdict, 4
    )


def whole_plan_lines(suggestion: Suggestion, width: int) -> Iterator[Line]:
    """What is proposed beside the changes, which were told before, the verdict, and what stays with the keeper."""
    yield from _proposed_lines(suggestion, width)
    yield from _obstacle_lines(suggestion, width)
    report = suggestion.after.report
    yield from wrapped(verdict_text(report), width, report.verdict, 4)
    yield from _remaining_lines(suggestion, width)


def _proposed_lines(suggestion: Suggestion, width: int) -> Iterator[Line]:
    """The entries that were proposed; what has one reason stands in one row."""
    proposed = [row for row in suggestion.rows if row.proposed]
    if proposed:
        yield Line("Proposed where the plan tells nothing:", "head")
    for why, rows in groupby(proposed, lambda row: row.why):
        told = ", ".join(f"{row.path}: {_value(_alike_once(row.after))}" for row in rows)
        yield from wrapped(f"  {told}  ({why})", width, "", 6)


def _obstacle_lines(suggestion: Suggestion, width: int) -> Iterator[Line]:
    if suggestion.obstacle:
        yield from wrapped(f"What stands in the way: {suggestion.obstacle}", width, "fix", 4)


def _remaining_lines(suggestion: Suggestion, width: int) -> Iterator[Line]:
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


def change_lines(suggestion: Suggestion, width: int, head: str) -> Iterator[Line]:
    """Every entry to change, told or not, and why."""
    yield Line(head, "head")
    changed = [row for row in suggestion.rows if not row.proposed]
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


def _alike_once(value: Any) -> Any:
    """A list of blocks, each without the entries that it shares with the first of them."""
    if not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
        return value
    first, *others = value
    rest = [{name: entry for name, entry in one.items() if first.get(name) != entry} for one in others]
    return [first, *({**one, "rest": f"as {first['name']}"} for one in rest)] if others else value


def _value(value: Any) -> str:
    return "not told" if value is None else flow(value)
