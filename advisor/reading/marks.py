"""From a plan path as people write it to its line in the file, and to an example of the entry."""

import re
from functools import lru_cache

from advisor.reading.schema import entry_at
from advisor.reading.schema_check import example_in, flow_text
from advisor.reading.yaml_text import Document, PathKey


@lru_cache(maxsize=4096)
def path_key(path: str) -> PathKey:
    """ "egg_boxes[0].lid.fit" as a path key."""
    parts = re.findall(r"([^.\[\]]+)|\[(\d+)\]", path)
    return tuple(int(index) if index else name for name, index in parts)


def line_of(document: Document, path: str) -> int:
    """The line of an entry, or of the nearest entry above it that is in the file."""
    return document.place(path_key(path))[0]


def example_of(path: str, us: bool = False) -> str:
    """An example value for a plan entry, from the schema, in US units if asked; empty when there is no such entry."""
    example = example_in(entry_at("plan", path_key(path)), us)
    return "" if example is None else flow_text(example)
