"""The text of a log, line by line: its encoding from its bytes, and what is no text refused."""

import codecs
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import BinaryIO

from advisor.reading.problems import file_problem

LARGEST_LOG = 1_000_000_000  # bytes; a reading every second of a whole season has a third of it
LONGEST_LINE = 20_000  # characters; a thousand sensors have less
_CHUNK = 1 << 20
_MARKS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))
_SPREADSHEETS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")  # zip, and the older compound file
_SAVE_AS = "Open it in the program it comes from and save it as CSV (text, one row a reading)."


def encoding_of(path: Path) -> str:
    """The encoding of a log; raises `InputError` for what is no ordinary text file."""
    try:
        if path.is_dir():
            raise file_problem(path, "is a folder, a file is needed", "Name the log inside it.")
        if path.exists() and not path.is_file():
            raise file_problem(path, "is not an ordinary file", "Name the log, a CSV file.")
        if path.stat().st_size > LARGEST_LOG:
            raise file_problem(
                path, f"is too large: at most {LARGEST_LOG} bytes are read", "Export fewer days."
            )
        with path.open("rb") as file:
            return _encoding(path, file)
    except FileNotFoundError as error:
        raise file_problem(
            path, "there is no such file", "Check the name and the folder you are in."
        ) from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the name cannot be used"
        raise file_problem(path, f"cannot be read: {reason}") from error


def _encoding(path: Path, file: BinaryIO) -> str:
    start = file.read(_CHUNK)
    if not start.strip():
        raise file_problem(path, "the file is empty", "Export the log again.")
    if start.startswith(_SPREADSHEETS):
        raise file_problem(path, "is a spreadsheet or an archive, not text", _SAVE_AS)
    for mark, name in _MARKS:
        if start.startswith(mark):
            return name
    if b"\0" in start:
        # Plain letters in UTF-16 have a zero in every second byte, on one side only.
        half = len(start) // 4
        for name, zeros in (("utf-16-le", start[1::2]), ("utf-16-be", start[::2])):
            other = start[::2] if name == "utf-16-le" else start[1::2]
            if zeros.count(0) > half and not other.count(0):
                return name
        raise file_problem(path, "is not text", _SAVE_AS)
    decoder = codecs.getincrementaldecoder("utf-8")()
    chunk = start
    try:
        while chunk:
            decoder.decode(chunk)
            chunk = file.read(_CHUNK)
        decoder.decode(b"", final=True)
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


def lines_of(path: Path, encoding: str) -> Iterator[str]:
    """The lines of a text file, none held in memory but the current one; raises `InputError` for an endless one."""
    with path.open(encoding=encoding, errors="replace") as file:
        for line in iter(partial(file.readline, LONGEST_LINE + 1), ""):
            if len(line) > LONGEST_LINE:
                raise file_problem(path, f"a line is longer than {LONGEST_LINE} characters", _SAVE_AS)
            yield line
