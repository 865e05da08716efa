"""Entries of a plan's data, as the file holds them, read and changed by their path; the data given are left as they were."""

from collections.abc import Iterable
from typing import Any

from advisor.reading.yaml_text import PathKey


def value_at(data: Any, path: PathKey) -> Any:
    """The value at a path; None where the plan has none."""
    for part in path:
        if isinstance(part, int):
            data = data[part] if isinstance(data, list) and part < len(data) else None
        else:
            data = data.get(part) if isinstance(data, dict) else None
    return data


def told_at(data: Any, path: PathKey) -> Any:
    """The value at a path, or the word that stands in place of a block on the way to it ("none")."""
    for depth in range(1, len(path)):
        above = value_at(data, path[:depth])
        if above is not None and not isinstance(above, dict | list):
            return above
    return value_at(data, path)


def with_entry(data: Any, path: PathKey, value: Any) -> Any:
    """A copy of the data with `value` at the path; None takes the entry away.

    Blocks on the way that are missing, or that hold a word in place of a block ("none"), are made, and an item just past
    the end of a list is added to it. Raises IndexError where the path names one further on.
    """
    if not path:
        return value
    part, rest = path[0], path[1:]
    if isinstance(part, int):
        items = list(data)
        if part == len(items):
            items.append({})
        if value is None and not rest:
            return items[:part] + items[part + 1 :]
        items[part] = with_entry(items[part], rest, value)
        return items
    block = dict(data) if isinstance(data, dict) else {}
    inner = with_entry(block.get(part), rest, value)
    if inner is None:
        block.pop(part, None)
    else:
        block[part] = inner
    return block


def within(path: str, entry: str) -> bool:
    """Whether a path is an entry, or lies below it."""
    return path == entry or path.startswith((f"{entry}.", f"{entry}["))


def touches(path: str, entries: Iterable[str]) -> bool:
    """Whether a path is one of the entries, or lies below or above one."""
    return any(within(path, entry) or within(entry, path) for entry in entries)
