"""A log from file to `Log`: the readings of the sensors that the keeper has named, in °C, in the order of time."""

from array import array
from pathlib import Path

from advisor.model.logs import Log, RowsLeftOut, clock_time
from advisor.reading.logs.columns import Asked, problem
from advisor.reading.logs.named import named_columns, names_in
from advisor.reading.logs.rows import LogPass
from advisor.reading.logs.series import sensor_of, to_celsius
from advisor.reading.logs.table import find_table, rows_of
from advisor.reading.logs.text import encoding_of
from advisor.reading.logs.times import Unclear

LONGEST_JUMP = 400.0 * 86_400.0  # s; past it a clock has been set back to its first day


def read_log(path: Path, asked: Asked) -> Log:
    """Reads the log of any logger; raises `InputError` with line, column and what was expected."""
    encoding = encoding_of(path)
    table = find_table(path, encoding, asked.starts is not None)
    reading = LogPass(table, named_columns(path, encoding, table, asked), asked.starts)
    reading.run(rows_of(path, encoding, table), asked.progress)
    if len(reading.lines) < 2:
        raise problem(path, table.first_line, "only one row has a date and a time", "A log needs many.")
    try:
        times, notes = reading.stamps.seconds(asked.order)
    except Unclear as unclear:
        raise problem(
            path, reading.lines[unclear.row], unclear.message, unclear.hint, table.time[0] + 1
        ) from None
    told = list(notes)
    _check(path, times, reading.lines)
    rank = _rank(times, reading.lines, told)
    sensors = []
    for _, column in reading.columns:
        to_celsius(column, asked.degrees, path, max(table.first_line - 1, 1), told)
        sensor = sensor_of(column, times, rank, reading.lines, reading.left, told)
        sensors += [] if sensor is None else [sensor]
        told += [f"{column.name} has no reading at all."] if sensor is None else []
    if not sensors:
        raise problem(
            path, table.first_line, "no named sensor has a reading", "Name other columns with --sensor."
        )
    left = tuple(RowsLeftOut(why, count, line) for why, (count, line) in reading.left.counts.items())
    return Log(str(path), tuple(sensors), len(reading.lines), left, tuple(told))


def sensor_names(path: Path, counts: bool = False) -> list[str]:
    """The names of the sensors in a log, whose first column may count from its start; raises `InputError`."""
    encoding = encoding_of(path)
    return names_in(path, encoding, find_table(path, encoding, counts))


def _check(path: Path, times: "array[float]", lines: "array[int]") -> None:
    if max(times) == min(times):
        raise problem(
            path, lines[0], "all rows have the same time", "Export the log with the time of each reading."
        )
    for place in range(1, len(times)):
        if abs(times[place] - times[place - 1]) > LONGEST_JUMP:
            jump = f"the time jumps from {clock_time(times[place - 1])} to {clock_time(times[place])}"
            raise problem(path, lines[place], jump, "The logger's clock was set back. Keep one of the two parts in a copy of the log.")  # fmt: skip


def _rank(times: "array[float]", lines: "array[int]", told: list[str]) -> "array[int] | None":
    """The rank of each row in time where the file is not in order; None where it is."""
    back = [place for place in range(1, len(times)) if times[place] < times[place - 1]]
    if not back:
        return None
    if len(back) == len(times) - 1:
        told.append("The newest row stands first: the log is read from its end.")
    else:
        count = "1 row stands" if len(back) == 1 else f"{len(back)} rows stand"
        told.append(f"{count} after a later one, the first on line {lines[back[0]]}: sorted by time.")
    rank = array("l", [0]) * len(times)
    for place, row in enumerate(sorted(range(len(times)), key=times.__getitem__)):
        rank[row] = place
    return rank
