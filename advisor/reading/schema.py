"""The schemas of the files, and the entry that they hold at a path."""

import json
from collections.abc import Mapping
from functools import cache
from typing import Any

from advisor.paths import schema_file
from advisor.reading.yaml_text import PathKey


@cache
def load_schema(name: str) -> dict[str, Any]:
    """The schema of "plan", "species", "sources", "happened" or "report"."""
    schema: dict[str, Any] = json.loads(schema_file(name).read_text(encoding="utf-8"))
    return schema


def entry_at(name: str, path: PathKey) -> dict[str, Any]:
    """What the schema `name` says about the entry at a path; empty when there is no such entry."""
    root = entry = load_schema(name)
    for part in path:
        entry = resolved(items_of(entry) if isinstance(part, int) else entries_in(entry).get(part, {}), root)
    return entry


def entries_in(schema: Mapping[str, Any]) -> dict[str, Any]:
    """The entries of a block, also of one in whose place a word may stand."""
    return {**schema.get("properties", {}), **schema.get("else", {}).get("properties", {})}


def items_of(schema: Mapping[str, Any]) -> dict[str, Any]:
    """What stands in a list, also in one in whose place a word may stand; empty for anything else."""
    items: dict[str, Any] = schema.get("items") or schema.get("else", {}).get("items", {})
    return items


def resolved(entry: Mapping[str, Any], root: Mapping[str, Any]) -> dict[str, Any]:
    """The entry with what its reference inside the file `root` stands for."""
    if "$ref" not in entry:
        return dict(entry)
    found: Any = root
    for part in entry["$ref"].removeprefix("#/").split("/"):
        found = found[part]
    return {**found, **entry}
