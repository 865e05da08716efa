"""Damaged logs: refused with a place and a reason, or read; never an exception of another kind, never a made-up number."""

import random
from pathlib import Path

import pytest

from advisor.reading.logs.columns import Asked
from advisor.reading.logs.readings import read_log
from advisor.reading.problems import InputError
from tests.reading.logs.written import BOX, FORMS, ROOM, dialects, table

PIECES = [
    b",",
    b";",
    b"\t",
    b'"',
    b"\n",
    b"\r",
    b"\0",
    b"85.0",
    b"-127",
    b"28,5",
    b"2027-13-40",
    b"31/12/2027",
    b" ",
    b"\xff",
    b"\xc3",
    b"nan",
    b"1e999",
    b"-",
    b"=",
    b"12:61",
    b"AM",
    b"9" * 40,
]
SOURCES = list(dialects())
PLACES = {"T1": "egg box medium", "T2": "room"}
TRUE = {"T1": BOX, "T2": ROOM}
EDITS = 6


def damaged(content: bytes, dice: random.Random) -> bytes:
    """A short log with some bytes cut out, doubled, moved or replaced."""
    for _ in range(dice.randint(1, EDITS)):
        at, length = dice.randrange(len(content) + 1), dice.choice((1, 1, 2, 9, 60))
        piece = dice.choice(
            (b"", b"", dice.choice(PIECES), content[at : at + length] * 2, bytes([dice.randrange(256)]))
        )
        content = content[:at] + piece + content[at + length :]
    return content


@pytest.mark.parametrize("seed", range(6))
def test_damage_is_told_or_borne(seed: int, tmp_path: Path) -> None:
    dice, path, read = random.Random(seed), tmp_path / "log.csv", 0
    for _ in range(60):
        dialect = dice.choice(SOURCES)
        content = dialect.text.encode(dialect.encoding)
        path.write_bytes(damaged(content[: dice.choice((300, 900, 2500))], dice))
        try:
            log = read_log(path, Asked(PLACES, order=dialect.order))
        except InputError as error:
            assert error.problems[0].message
            continue
        read += 1
        for sensor in log.sensors:
            assert list(sensor.times) == sorted(set(sensor.times))
            assert all(-40.0 <= value <= 150.0 for value in sensor.values)
            other = TRUE["T2" if sensor.name == "T1" else "T1"]
            wrong = [value for value in sensor.values if not _near(value, TRUE[sensor.name])]
            # One bite may swallow a cell and a row's end without a trace, and touches no more than a few rows; a column
            # that is read as another would be wrong from end to end.
            assert len(wrong) <= EDITS and sum(_near(value, other) for value in wrong) <= 2
    assert read > 10


def _near(value: float, truth: list[float]) -> bool:
    return any(
        abs(value - true) <= 0.011 for true in truth
    )  # Fahrenheit and kelvins are written to two digits


PLAIN = table(FORMS["iso"], ",", ".")


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("Time,T1,T2", "Time,,T1,T2", "the rows have 3 cells and the header 4"),
        ("Time,T1,T2", "Time,T1", "the rows have 3 cells and the header 2"),
        ("Time,T1,T2\n2027-04-12 22:00:00,28.0", "Time,T1,28.0", "no sensor of this log has a place"),
    ],
)
def test_a_header_that_does_not_fit_is_refused(old: str, new: str, message: str, tmp_path: Path) -> None:
    (tmp_path / "log.csv").write_text(PLAIN.replace(old, new), "utf-8")
    with pytest.raises(InputError) as caught:
        read_log(tmp_path / "log.csv", Asked(PLACES))
    assert message in caught.value.problems[0].message


@pytest.mark.parametrize(
    ("old", "new", "why"),
    [
        ("22:10:00,28.1,18.0", "22:10:00,18.0", "the row is cut off"),  # else the room would be the eggs
        ("22:10:00,28.1,18.0", "22:10:00,28.1 °F,18.0", "T1: another unit than in the other rows"),
    ],
)
def test_a_row_that_does_not_fit_is_left_out(old: str, new: str, why: str, tmp_path: Path) -> None:
    (tmp_path / "log.csv").write_text(PLAIN.replace(old, new), "utf-8")
    log = read_log(tmp_path / "log.csv", Asked(PLACES))
    assert [(left.why, left.count, left.first_line) for left in log.left_out] == [(why, 1, 3)]
    assert all(_near(value, TRUE[sensor.name]) for sensor in log.sensors for value in sensor.values)
    assert len(log.sensors[0].values) == 299


def test_a_column_that_few_rows_have_is_no_reason_to_refuse(tmp_path: Path) -> None:
    notes = PLAIN.replace("T1,T2", "T1,T2,Note", 1).replace("28.3,19.0", "28.3,19.0,lid open")
    (tmp_path / "log.csv").write_text(notes, "utf-8")
    log = read_log(tmp_path / "log.csv", Asked(PLACES))
    assert [list(sensor.values) for sensor in log.sensors] == [BOX, ROOM]


NUMBERS = (b"0", b"1", b"17", b"99", b"1000")


@pytest.mark.parametrize("seed", range(4))
def test_rubbish_is_refused(seed: int, tmp_path: Path) -> None:
    dice, path = random.Random(seed), tmp_path / "log.csv"
    for _ in range(60):
        path.write_bytes(b"".join(dice.choice((*PIECES, *NUMBERS)) for _ in range(dice.randint(0, 80))))
        with pytest.raises(InputError):
            read_log(path, Asked(PLACES))
