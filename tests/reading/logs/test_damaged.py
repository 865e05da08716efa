"""Damaged logs: refused with a place and a reason, or read; never an exception of another kind, never a made-up number."""

import random
from pathlib import Path

import pytest

from advisor.reading.logs.columns import Asked
from advisor.reading.logs.readings import read_log
from advisor.reading.problems import InputError
from tests.reading.logs.written import dialects

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
SOURCES = [dialect for place, dialect in enumerate(dialects()) if place % 4 == 0]
PLACES = {"T1": "egg box medium", "T2": "room"}


def damaged(content: bytes, dice: random.Random) -> bytes:
    """A short log with some bytes cut out, doubled, moved or replaced."""
    for _ in range(dice.randint(1, 6)):
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
    assert read > 10


NUMBERS = (b"0", b"1", b"17", b"99", b"1000")


@pytest.mark.parametrize("seed", range(4))
def test_rubbish_is_refused(seed: int, tmp_path: Path) -> None:
    dice, path = random.Random(seed), tmp_path / "log.csv"
    for _ in range(60):
        path.write_bytes(b"".join(dice.choice((*PIECES, *NUMBERS)) for _ in range(dice.randint(0, 80))))
        with pytest.raises(InputError):
            read_log(path, Asked(PLACES))
