"""Single entries of a plan that may be faulty, for faults that need more than one entry to see."""

from typing import Any

from advisor.reading.convert import converted
from advisor.reading.quantities import Refusal
from advisor.reading.schema import entry_at
from advisor.reading.yaml_text import PathKey

LONGEST_LIST = 100  # entries that any list of a plan may hold; of a longer one the schema tells the fault


def entries_of(data: dict[str, Any], key: str) -> list[tuple[int, dict[str, Any]]]:
    """The blocks of a list with their places; none where it is no list."""
    entries = data.get(key)
    if not isinstance(entries, list):
        return []
    return [(index, entry) for index, entry in enumerate(entries[:LONGEST_LIST]) if isinstance(entry, dict)]


def si_value(data: Any, block: PathKey, *path: str) -> Any:
    """One converted value below `data`, or None when it is missing or faulty (the schema tells that fault).

    block: the path of `data` in the plan.
    """
    for part in path:
        data = data.get(part) if isinstance(data, dict) else None
    try:
        return None if data is None else converted(data, entry_at("plan", (*block, *path)))
    except (Refusal, AttributeError, TypeError):
        return None
