"""Every key that a schema allows is read: what a keeper writes down must count for something."""

import ast
import json
from collections.abc import Iterator
from typing import Any

import pytest

from tests.support import ROOT

SCHEMAS = ROOT / "schema"
# Keys that the schema itself settles.
SETTLED = {"format": "the schema takes one value alone, and the reader knows that one"}


def keys_of(schema: Any) -> Iterator[str]:
    """Names of the entries, at any depth."""
    if isinstance(schema, dict):
        for name, part in schema.items():
            if name == "properties":
                yield from part
            if name not in ("examples", "default"):
                yield from keys_of(part)
    elif isinstance(schema, list):
        for part in schema:
            yield from keys_of(part)


def read_keys(reader: str, model: str) -> set[str]:
    """Texts of the reader that may be keys, and fields of the model, which are filled with a block as it stands.

    A field that nothing reads after that is found by tests/test_reachable.py.
    """
    texts = {
        node.value
        for node in ast.walk(ast.parse(reader))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    return texts | {
        part.target.id
        for node in ast.walk(ast.parse(model))
        if isinstance(node, ast.ClassDef)
        for part in node.body
        if isinstance(part, ast.AnnAssign) and isinstance(part.target, ast.Name)
    }


@pytest.mark.parametrize(
    ("schema", "reader", "model"),
    [
        (
            "plan",
            ("reading/plan.py", "reading/programme.py", "reading/measured.py"),
            ("model/plan.py", "model/care.py", "model/measured.py"),
        ),
        ("species", ("reading/species_build.py",), ("model/species.py",)),
    ],
)
def test_every_key_of_a_schema_is_read(schema: str, reader: tuple[str, ...], model: tuple[str, ...]) -> None:
    keys = set(keys_of(json.loads((SCHEMAS / f"{schema}.schema.json").read_text("utf-8"))))
    readers, models = (
        [(ROOT / "advisor" / path).read_text("utf-8") for path in paths] for paths in (reader, model)
    )
    assert (
        keys
        - set[str]().union(
            *(read_keys(text, "") for text in readers), *(read_keys("", text) for text in models)
        )
        - set(SETTLED)
        == set()
    )


def test_a_key_that_nothing_reads_is_found() -> None:
    schema = {
        "properties": {
            "eggs": {"properties": {"clutch": {}, "colour": {}}, "examples": [{"properties": {"x": {}}}]}
        }
    }
    read = read_keys('def build(data):\n    return Plan(data["eggs"])\n', "class Plan:\n    clutch: int\n")
    assert set(keys_of(schema)) - read == {"colour"}
