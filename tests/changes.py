"""Changes of single entries of a plan as a keeper writes it, named by their path."""

import re
from typing import Any


def changed(plan: Any, path: str, value: Any = None) -> Any:
    """The plan with the entry at a path such as "egg_boxes[0].lid.fit" set, or taken out when there is no value."""
    step, _, rest = re.sub(r"\[(\d+)\]", r".\1", path).partition(".")
    key: Any = int(step) if isinstance(plan, list) else step
    if rest:
        inner = changed(plan[key] if isinstance(plan, list) or key in plan else {}, rest, value)
    else:
        inner = value
    if isinstance(plan, list):
        return [inner if index == key else entry for index, entry in enumerate(plan)]
    kept = {name: entry for name, entry in plan.items() if name != key}
    return kept if inner is None else {**kept, key: inner}


def with_entries(plan: Any, entries: dict[str, Any]) -> Any:
    """The plan with several entries set by their paths."""
    for path, value in entries.items():
        plan = changed(plan, path, value)
    return plan
