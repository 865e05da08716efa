"""Where the table of a log stands: what parts its cells, its header, the columns of time, names and units.

Python's own csv reads the cells. Which sign parts them is found by trying each on the first lines: right is the one that
makes most rows of a time and a number.
"""

import csv
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import islice
from pathlib import Path

from msgspec import Struct

from advisor.reading.logs.cells import bare_name, clean, is_number, is_unit, number_in, unit_in
from advisor.reading.logs.text import lines_of
from advisor.reading.logs.times import Stamps, elapsed_unit, is_clock, read_date_text
from advisor.reading.problems import InputError, Problem, printable

SIGNS = (";", "\t", ",", "|")
_SAMPLE = 500  # lines in which the table has begun, and the form of its rows shows
_NAME_HEADERS = (
    "sensor",
    "name",
    "channel",
    "probe",
    "location",
    "place",
    "device",
    "series",
    "entity",
    "id",
    "entity_id",
)


class LogTable(Struct, frozen=True):
    """The form of a table. `time` are the columns of date and time, `names` that of sensor names in a long table.

    `headers` has a header for each column, with the unit in it or from a row of units; `first_line` is the first row's.
    `unit` [s] is that of a column of time that counts from the start of the log, None where it holds dates.
    `least` is how many cells a row has at least: in one with fewer nobody knows which are missing.
    """

    sign: str
    time: tuple[int, ...]
    names: int | None
    headers: tuple[str, ...]
    units: tuple[str | None, ...]
    first_line: int
    least: int
    unit: float | None = None


def _cells(lines: Sequence[str], sign: str) -> list[tuple[int, list[str]]]:
    reader = csv.reader(lines, delimiter=sign, skipinitialspace=True)
    found = []
    try:
        for row in reader:
            found.append((reader.line_num, [clean(cell) for cell in row]))
    except csv.Error:
        return found
    return found


def time_columns(cells: Sequence[str], counts: bool = False) -> tuple[int, ...] | None:
    """The columns of a row that hold its time: one, or date and clock; None where there is no time.

    counts: the first column counts from the start of the log.
    """
    if counts:
        return (0,) if cells and Stamps(0.0).add(cells[0]) else None
    for place, cell in enumerate(cells):
        if Stamps().add(cell):
            return (place,)
        beside = cells[place + 1] if place + 1 < len(cells) else ""
        if read_date_text(cell) is not None and is_clock(beside):
            return (place, place + 1)
    return None


def find_table(path: Path, encoding: str, counts: bool = False) -> LogTable:
    """The form of the table in a log, whose first column may count from its start; raises `InputError` where there is none."""
    lines = list(islice(lines_of(path, encoding), _SAMPLE))
    best: tuple[int, int, str, tuple[int, ...], list[tuple[int, list[str]]]] | None = None
    for sign in SIGNS:
        rows = _cells(lines, sign)
        told = [(time_columns(cells, counts), line, cells) for line, cells in rows]
        kinds = Counter(time for time, _, cells in told if time is not None and _has_number(cells, time))
        if not kinds:
            continue
        time, count = kinds.most_common(1)[0]
        width = len(rows[-1][1])
        if best is None or (count, width) > best[:2]:
            best = count, width, sign, time, rows
    if best is None:
        raise _no_table(path, lines)
    _, _, sign, time, rows = best
    return _described(path, sign, time, rows, counts)


def _has_number(cells: Sequence[str], time: tuple[int, ...]) -> bool:
    return any(is_number(cell) for place, cell in enumerate(cells) if place not in time)


def _no_table(path: Path, lines: Sequence[str]) -> InputError:
    """Points at the line that is most like a row."""
    numbered = [number for number, line in enumerate(lines, 1) if sum(map(str.isdigit, line)) > 3]
    line = numbered[len(numbered) // 2] if numbered else 1
    shown = printable(lines[line - 1].strip(), 60)
    return InputError([
        Problem(str(path), line, 1, f"no row of a date, a time and a number was found; this line reads '{shown}'",
                "Expected are rows like 2027-04-20 18:00,28.5 with commas, semicolons or tabs between. Save the log as CSV with date and time. One that counts from its start needs --starts.")
    ])  # fmt: skip


def _described(
    path: Path, sign: str, time: tuple[int, ...], rows: list[tuple[int, list[str]]], counts: bool
) -> LogTable:
    is_row = [time_columns(cells, counts) == time and _has_number(cells, time) for _, cells in rows]
    first = is_row.index(True)
    line = rows[first][0]
    data = [cells for (_, cells), good in zip(rows, is_row, strict=True) if good]
    width = Counter(len(_trimmed(cells)) for cells in data).most_common(1)[0][0]
    above = [_trimmed(cells) for _, cells in rows[:first] if any(cells)]
    told = above.pop() if len(above) > 1 and _is_row_of_units(above[-1]) else []
    head = above[-1] if above and sum(map(bool, above[-1])) > 1 else []
    if any(is_number(cell) and not cell.isdigit() for cell in head):
        head = []  # a damaged row; a number may name a channel, a decimal none
    _check_header(path, line, head, width, data)
    if not head and sign == "," and not any("." in cell for cells in data for cell in _but(cells, time)):
        raise _unclear(path, line, "there is no header, and commas may part the cells or be decimal commas")
    least, width = width, max(width, len(head))
    names = _padded(head, width)
    units = [unit_in(unit) or unit_in(name) for unit, name in zip(_padded(told, width), names, strict=True)]
    unit = elapsed_unit(names[0]) or elapsed_unit(_padded(told, width)[0]) if counts else None
    if counts and unit is None:
        message = f"the first column, '{printable(names[0], 40)}', does not tell its unit"
        hint = (
            'Write it into the header, in a copy of the log: "Elapsed (s)", "Elapsed (min)" or "Elapsed (h)".'
        )
        raise InputError([Problem(str(path), max(line - 1, 1), 1, message, hint)])
    return LogTable(
        sign, time, _name_column(names, data, time), tuple(_numbered(names)), tuple(units), line, least, unit
    )


def _check_header(
    path: Path, line: int, head: Sequence[str], width: int, data: Sequence[Sequence[str]]
) -> None:
    """A header has a cell for each column; one more is a last column of remarks, which few rows may have."""
    remarks = sum(len(cells) == len(head) and not is_number(cells[-1]) for cells in data)
    if not head or len(head) == width or (len(head) > width and remarks > 1):
        return
    why = "a comma may be a decimal comma" if len(head) < width else "nobody knows which header is whose"
    raise _unclear(path, line, f"the rows have {width} cells and the header {len(head)}: {why}")


def _unclear(path: Path, line: int, message: str) -> InputError:
    hint = "Export the log with semicolons between the cells, or with decimal points and a header."
    return InputError([Problem(str(path), line, 1, message, hint)])


def _but(cells: Sequence[str], time: tuple[int, ...]) -> list[str]:
    return [cell for place, cell in enumerate(cells) if place not in time]


def _trimmed(cells: Sequence[str]) -> list[str]:
    """Without the empty cells at the end, which some loggers write."""
    kept = list(cells)
    while kept and not kept[-1]:
        kept.pop()
    return kept


def _padded(cells: Sequence[str], width: int) -> list[str]:
    return [*cells[:width], *[""] * (width - len(cells))]


def _is_row_of_units(cells: Sequence[str]) -> bool:
    told = [cell for cell in cells if cell]
    return bool(told) and any(is_unit(cell.strip("()[]")) for cell in told) and not any(map(is_number, told))


def _numbered(headers: Sequence[str]) -> Iterator[str]:
    """Headers that come twice are numbered; a column without one is named by its place."""
    seen: Counter[str] = Counter()
    for place, header in enumerate(headers):
        name = header or f"column {place + 1}"
        seen[bare_name(name).lower()] += 1
        times = seen[bare_name(name).lower()]
        yield name if times == 1 else f"{bare_name(name)} {times}"


def _name_column(headers: Sequence[str], data: list[list[str]], time: tuple[int, ...]) -> int | None:
    """The column of sensor names of a long table, or None."""
    for place, header in enumerate(headers):
        if place in time:
            continue
        words = [cells[place] for cells in data if place < len(cells)]
        if not words or any(not word or is_unit(word) for word in words):
            continue
        known = bare_name(header).lower() in _NAME_HEADERS
        if any(number_in(word) is not None for word in words) and not known:
            continue
        if (known and len(headers) - len(time) > 1) or 2 <= len(set(words)) <= len(words) / 2:
            return place
    return None


def rows_of(path: Path, encoding: str, table: LogTable) -> Iterator[tuple[int, list[str]]]:
    """Line and cells of every row from the first of the table on; raises `InputError` at a quotation mark left open."""
    reader = csv.reader(lines_of(path, encoding), delimiter=table.sign, skipinitialspace=True)
    before = 0
    try:
        for row in reader:
            line = reader.line_num
            if line >= table.first_line:
                if line > before + 1:
                    raise _open_quote(path, before + 1, row)
                yield line, row
            before = line
    except csv.Error:
        raise _open_quote(path, before + 1, []) from None


def _open_quote(path: Path, line: int, row: list[str]) -> InputError:
    column = next((place for place, cell in enumerate(row, 1) if "\n" in cell), 1)
    message = f"a quotation mark opens in cell {column} and does not close on its line"
    return InputError(
        [Problem(str(path), line, column, message, "Close it, or take it out, in a copy of the log.")]
    )
