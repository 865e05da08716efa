"""Traps of YAML 1.1 (measured on PyYAML 6.0), on the C loader and the pure one."""

from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.reading.problems import InputError
from advisor.reading.yaml_text import LOADER, PURE_LOADER, parse_yaml

LOADERS = pytest.mark.parametrize("loader", [LOADER, PURE_LOADER], ids=["c", "pure"])


@LOADERS
@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1:1", "1:1"),
        ("12:30", "12:30"),
        ("NO", "NO"),
        ("no", "no"),
        ("yes", "yes"),
        ("on", "on"),
        ("012", "012"),
        ("1_000", "1_000"),
        ("2024-03-01", "2024-03-01"),
        (".nan", ".nan"),
        (".inf", ".inf"),
        ("5.", "5."),
        ("0x1f", "0x1f"),
        ("1e3", 1000),
        ("2.0", 2),
        ("14.50", 14.5),
        ("28.50", 28.5),
        ("-3", -3),
        ("true", True),
        ("null", None),
        ("~", None),
        ("<<", "<<"),
        ("=", "="),
    ],
)
def test_scalar(loader: Any, text: str, value: object) -> None:
    found = parse_yaml(f"a: {text}\n".encode(), "f.yaml", loader).data["a"]
    assert (found, type(found)) == (value, type(value))


@LOADERS
def test_plain_yaml_would_have_changed_them(loader: Any) -> None:
    """The referee: PyYAML's own safe loader reads these texts as something else."""
    assert yaml.safe_load("a: 1:1")["a"] == 61
    assert yaml.safe_load("a: NO")["a"] is False
    assert yaml.safe_load("a: 012")["a"] == 10
    assert parse_yaml(b"on: 1\n", "f.yaml", loader).data == {"on": 1}


@LOADERS
def test_bom_and_windows_line_ends_are_read(loader: Any) -> None:
    assert parse_yaml(b"\xef\xbb\xbfa: 1\r\nb: 2\r\n", "f.yaml", loader).data == {"a": 1, "b": 2}


@LOADERS
def test_marks_point_at_the_key(loader: Any) -> None:
    document = parse_yaml(b"room:\n  temperature: 20 C\nlist:\n  - {name: x}\n", "f.yaml", loader)
    assert document.place(("room", "temperature")) == (2, 3)
    assert document.place(("list", 0, "name")) == (4, 6)
    assert document.place(("list", 0, "missing")) == (4, 5)


@LOADERS
@settings(max_examples=100, deadline=None)
@given(content=st.binary(max_size=80) | st.text(max_size=80).map(str.encode))
def test_any_bytes_are_read_or_refused(loader: Any, content: bytes) -> None:
    try:
        parse_yaml(content, "f.yaml", loader)
    except InputError as error:
        assert error.problems
