"""Stages of a checklist: actions between two natural pauses, few enough to work through in one go."""

from collections.abc import Iterable, Sequence
from itertools import pairwise

from msgspec import Struct

from advisor.wording import joined

# Items a stage: people work through 5 to 9 (from memory: checklist practice in surgery and aviation).
FEWEST_ITEMS, MOST_ITEMS = 5, 9


class Item(Struct, frozen=True):
    """One action: `passes` tells when it is done well, `why` the reason, `severity` only for findings of the check."""

    action: str
    passes: str = ""
    why: str = ""
    severity: str = ""
    number: str = ""


class Stage(Struct, frozen=True):
    """Actions between two natural pauses, and when they are due; empty where the stage before tells it."""

    name: str
    when: str
    items: tuple[Item, ...]


class ItemGroup(Struct, frozen=True):
    """Items that belong together; `name` is used where the stage has to be split."""

    name: str
    items: tuple[Item, ...]


def stages_from(name: str, when: str, groups: Iterable[ItemGroup]) -> list[Stage]:
    """One stage where all items find room in it, else one for each group, evened out to 5 to 9 items each."""
    filled = [group for group in groups if group.items]
    items = [item for group in filled for item in group.items]
    if not items:
        return []
    if len(items) <= MOST_ITEMS:
        return [Stage(name, when, tuple(items))]
    parts: list[ItemGroup] = []
    for group in filled:
        parts += _cut(group.items, (group.name,))
    while (place := _too_short(parts)) is not None:
        start = max(place - 1, 0)
        pair = parts[start : start + 2]
        names = tuple(dict.fromkeys(part.name for part in pair))
        parts[start : start + 2] = _cut(tuple(item for part in pair for item in part.items), names)
    all_names = [part.name for part in parts]
    stages: list[Stage] = []
    for number, part in enumerate(parts):
        title = f"{name}: {part.name}"
        if all_names.count(part.name) > 1:
            title += ", continued" * (all_names[:number].count(part.name))
        stages.append(Stage(title, "" if stages else when, part.items))
    return stages


def _cut(items: tuple[Item, ...], names: tuple[str, ...]) -> list[ItemGroup]:
    """The items in equal parts of at most `MOST_ITEMS`; the first is named after the first group, the rest after the last."""
    count = -(-len(items) // MOST_ITEMS)
    if count == 1:
        return [ItemGroup(joined(names), items)]
    ends = [round(len(items) * part / count) for part in range(count + 1)]
    return [
        ItemGroup(names[0] if start == 0 else names[-1], items[start:end]) for start, end in pairwise(ends)
    ]


def _too_short(parts: Sequence[ItemGroup]) -> int | None:
    if len(parts) < 2:
        return None
    return next((place for place, part in enumerate(parts) if len(part.items) < FEWEST_ITEMS), None)


def numbered(stages: Sequence[Stage]) -> tuple[Stage, ...]:
    """The stages with their items numbered "2.3"."""
    return tuple(
        Stage(
            stage.name,
            stage.when,
            tuple(
                Item(item.action, item.passes, item.why, item.severity, f"{place}.{number}")
                for number, item in enumerate(stage.items, 1)
            ),
        )
        for place, stage in enumerate(stages, 1)
    )
