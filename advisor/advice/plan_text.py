"""A plan file with entries changed: its comments, its order and the writing of all that stays are kept."""

import copy
import io
import re
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any

from advisor.model.changes import Setting
from advisor.reading.marks import path_key
from advisor.reading.schema import entries_in, items_of, load_schema
from advisor.reading.yaml_text import PathKey

COLUMN = 40  # where the comments of new entries start
_FLUSH_LIST = re.compile(r"^\w+:[^\n]*\n(?:\s*#[^\n]*\n)*- ", re.MULTILINE)  # a list as far left as its name
KEPT = 8  # texts whose trees are kept: a page changes the same text at every key
NO_WRAP = 1_000_000  # characters of a line; lines stay as long as they are


def edited(text: str, settings: Iterable[Setting], comments: Mapping[str, str] | None = None) -> str:
    """The text of a plan file with entries set, or taken away where the value is None.

    comments: by path, a remark to write behind an entry that is new. A new entry stands in the order of the format.
    Raises `ValueError` where the text cannot be changed without changing more than was asked.
    """
    data = copy.deepcopy(_tree(text))
    for setting in settings:
        key = path_key(setting.path)
        _set(data, key, setting.value, load_schema("plan"))
    for path, remark in (comments or {}).items():
        _remark(data, path_key(path), remark)
    changed = io.StringIO()
    _round_trip(text).dump(data, changed)
    return changed.getvalue()


@lru_cache(maxsize=KEPT)
def _tree(text: str) -> Any:
    return _round_trip(text).load(text)


def _round_trip(text: str) -> Any:
    """A reader and writer that keeps comments and indents, and takes every plain value as the text that it is."""
    from ruamel.yaml import YAML
    from ruamel.yaml.resolver import VersionedResolver

    class TextResolver(VersionedResolver):
        @property
        def versioned_resolver(self) -> dict[Any, Any]:
            return {}

    yaml = YAML()
    yaml.Resolver = TextResolver
    yaml.preserve_quotes = True
    yaml.width = NO_WRAP
    offset = 0 if _FLUSH_LIST.search(text) else 2
    yaml.indent(mapping=2, sequence=2 + offset, offset=offset)
    return yaml


def _set(block: Any, key: PathKey, value: Any, schema: dict[str, Any]) -> None:
    part, rest = key[0], key[1:]
    inner = items_of(schema) if isinstance(part, int) else entries_in(schema).get(part, {})
    if not rest:
        _put(block, part, value, schema)
        return
    there = part < len(block) if isinstance(part, int) else part in block
    held = block[part] if there else None
    if not isinstance(held, dict | list):  # missing, or a word in place of a block ("none")
        if value is None:
            return
        _put(block, part, [] if isinstance(rest[0], int) else {}, schema)
        held = block[part]
        if "format" in block:  # at the top: a line for each of its entries
            _in_lines(held)
    _set(held, rest, value, inner)
    if value is None and not held and isinstance(part, str):  # an empty block tells nothing
        block.pop(part)


def _put(block: Any, part: str | int, value: Any, schema: dict[str, Any]) -> None:
    """One entry of a block, or item of a list: written, put at its place or behind the last item, or taken away."""
    there = part < len(block) if isinstance(part, int) else part in block
    if value is None:
        if there:
            del block[part]
    elif there:
        block[part] = _node(value)
    elif isinstance(part, str):
        block.insert(_place(block, part, schema), part, _node(value))
    else:
        block.append(_node(value))
        _in_lines(block)
        _in_lines(block[part])


def _place(block: Any, part: str, schema: dict[str, Any]) -> int:
    """Where a new entry goes: behind the last one that the format lists before it."""
    order = list(entries_in(schema))
    if part not in order:
        return len(block)
    before = set(order[: order.index(part)])
    return max((place + 1 for place, name in enumerate(block) if name in before), default=0)


def _node(value: Any) -> Any:
    """A value to write: blocks on one line, lists of blocks in lines."""
    from ruamel.yaml.comments import CommentedMap, CommentedSeq

    if isinstance(value, dict):
        block = CommentedMap((name, _node(entry)) for name, entry in value.items())
        block.fa.set_flow_style()
        return block
    if isinstance(value, list):
        rows = CommentedSeq(_node(entry) for entry in value)
        for row in rows:
            _in_lines(row)
        return rows
    return f"{value}"


def _in_lines(block: Any) -> None:
    if hasattr(block, "fa"):
        block.fa.set_block_style()


def _remark(data: Any, key: PathKey, remark: str) -> None:
    """The remark behind the entry, or behind the line of the block that holds it.

    An item of a list that stands on one line is written in lines first, so that each entry has a place for its remark.
    """
    block: Any = data
    last: tuple[Any, Any] | None = None
    for part in key:
        if isinstance(part, int):
            _in_lines(block)
            _in_lines(block[part])
        elif part not in block:
            break
        elif not block.fa.flow_style():
            last = (block, part)
        block = block[part]
    if last is None:
        return
    held, name = last
    token = (held.ca.items.get(name) or [None] * 3)[2]
    if token is None:
        held.yaml_add_eol_comment(remark, name, column=COLUMN)
        return
    written, newline, below = token.value.partition("\n")
    if remark not in written:
        label, colon, words = remark.partition(": ")
        said = words if colon and f"{label}: " in written else remark  # one label a line
        written = f"{written}; {said}" if written.strip() else f"  # {remark}"
    token.value = f"{written}{newline}{below}"
