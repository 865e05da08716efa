"""Nothing of the size that is read may take long: texts that once took seconds to minutes.

Processor time is bounded widely: ten times what these take on a slow machine, a tenth of what they took.
"""

import time

import pytest

from advisor.reading.dates import read_date, read_date_range, read_yes_no
from advisor.reading.file_bytes import LARGEST_FILE
from advisor.reading.plan import read_document
from advisor.reading.problems import InputError
from advisor.reading.quantities import (
    LONGEST,
    WORDS,
    Kind,
    Refusal,
    read_quantity,
)
from advisor.reading.yaml_text import parse_yaml
from advisor.rules import ALL_RULE_IDS
from tests.fuzz.run import LONGEST as LONGEST_TIME

CLUTCH = b"format: 1\nclutches:\n- species: pantherophis-guttatus\n"


def text_entry(text: str) -> bytes:
    return CLUTCH + b'room: {temperature: "' + text.encode() + b'"}\n'


def many(row: bytes, start: bytes = CLUTCH) -> bytes:
    """Rows up to the largest file; %d in a row is its number."""
    rows = (row % number if b"%d" in row else row for number in range(LARGEST_FILE // len(row)))
    return (start + b"".join(rows))[: LARGEST_FILE - 1]


INPUTS = {
    "brackets": b"[" * 8000,
    "many brackets": b"[" * (LARGEST_FILE - 1),
    "braces": b"{" * 8000,
    "dashes": b"- " * 100_000,
    "blanks in a temperature": text_entry("29 a" + " " * 20_000 + "x"),
    "digits": text_entry("9" * 240_000),
    "ranges of ranges": text_entry("29 to " * 40_000),
    "fractions": text_entry("1/" * 100_000),
    "sides": CLUTCH + b'outer_box: {inside: "' + b"5 x " * 50_000 + b'"}\n',
    "unknown keys": many(b"key%d: 1\n"),
    "unknown keys in many boxes": many(b"- {name: b%d, lyd: 3}\n", CLUTCH + b"egg_boxes:\n"),
    "missing keys": many(b"- {}\n", b"format: 1\nclutches:\n"),
    "one misspelt species": many(b"- {species: corny snake}\n", b"format: 1\nclutches:\n"),
    "many misspelt species": many(b"- {species: corny snake %d}\n", b"format: 1\nclutches:\n"),
    "unknown rules": many(b"- {rule: heat-x%d, because: x}\n", CLUTCH + b"accept:\n"),
    "the same key": many(b"a: 1\n"),
    "flow list": many(b"1,", CLUTCH + b"egg_boxes: ["),
    "open quote": many(b"x ", CLUTCH + b'title: "'),
    "broken at the end": many(b"- {name: b%d}\n", CLUTCH + b"egg_boxes:\n")[:-20] + b"\n ]",
}


@pytest.mark.parametrize("content", INPUTS.values(), ids=INPUTS)
def test_no_file_takes_long_to_refuse(content: bytes) -> None:
    start = time.process_time()
    with pytest.raises(InputError):
        read_document(parse_yaml(content, "plan.yaml"), ALL_RULE_IDS)
    assert time.process_time() - start < 2 * LONGEST_TIME


READERS = {"date": read_date, "date-range": read_date_range, "yes-no": read_yes_no}


@pytest.mark.parametrize("name", WORDS)
def test_a_long_text_reaches_no_pattern(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def reached(*_: object) -> None:
        raise AssertionError("a pattern saw the text")

    monkeypatch.setattr("advisor.reading.quantities._read_text", reached)
    with pytest.raises(Refusal, match=f"{LONGEST + 1} characters"):
        READERS.get(name, lambda text: read_quantity(text, Kind(name)))("9" * (LONGEST + 1))
