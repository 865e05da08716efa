"""Which column of a log is which sensor: the names that the keeper has given a place, found in the header or the rows."""

import difflib
from itertools import islice
from pathlib import Path

from advisor.reading.logs.cells import bare_name, clean, number_in, unit_after, unit_in
from advisor.reading.logs.columns import Asked, Column, problem
from advisor.reading.logs.table import LogTable, rows_of
from advisor.reading.problems import printable

_SAMPLE = 400  # rows that show what a column holds
FEW = 0.1  # share of the rows up to which a unit behind the number is damage, or one day's slip; judgement


def named_columns(path: Path, encoding: str, table: LogTable, asked: Asked) -> list[tuple[int, Column]]:
    """Place and column of each sensor that has a place; raises `InputError` where one is missing, or none is there."""
    sample = list(islice(rows_of(path, encoding, table), _SAMPLE))
    found, shown = _named(table, sample)
    columns: list[tuple[int, Column]] = []
    for name, where in asked.places.items():
        key = next((key for key in (clean(name).lower(), bare_name(name).lower()) if key in found), None)
        if key is not None:
            columns.append((found[key], _column(path, table, sample, name, where, found[key])))
        elif name in asked.must:
            raise _unknown(path, table, name, shown)
    if not columns:
        name = printable((shown or ["T1"])[0], 40)
        hint = f'Say where each lies, for example: --sensor "{name}=egg box medium" --sensor "...=room".'
        raise problem(
            path,
            _head(table),
            "no sensor of this log has a place",
            f"{hint} Sensors here: {', '.join(shown)}.",
        )
    return columns


def names_in(path: Path, encoding: str, table: LogTable) -> list[str]:
    """The names of the sensors, as a keeper would write them."""
    return _named(table, list(islice(rows_of(path, encoding, table), _SAMPLE)))[1]


def _named(table: LogTable, sample: list[tuple[int, list[str]]]) -> tuple[dict[str, int], list[str]]:
    """The column of each name in small letters, and the names as they are told."""
    if table.names is None:
        found = {clean(table.headers[place]).lower(): place for place in _values(table)}
        found |= {bare_name(table.headers[place]).lower(): place for place in _values(table)}
        return found, [bare_name(table.headers[place]) for place in _values(table)]
    place, shown = _of_long(table, sample)
    return {name.lower(): place for name in shown}, shown


def _head(table: LogTable) -> int:
    return max(table.first_line - 1, 1)


def _values(table: LogTable) -> list[int]:
    return [place for place in range(len(table.headers)) if place not in table.time and place != table.names]


def _of_long(table: LogTable, sample: list[tuple[int, list[str]]]) -> tuple[int, list[str]]:
    """Column of the values of a long table, and the names that stand in its first rows."""
    names = table.names or 0
    counts = {
        place: sum(len(cells) > place and bool(clean(cells[place])) and number_in(cells[place]) is not None for _, cells in sample)
        for place in _values(table)
        if table.units[place] != "other"
    }  # fmt: skip
    best = max(counts, key=lambda place: counts[place], default=names)
    shown = dict.fromkeys(bare_name(cells[names]) for _, cells in sample if len(cells) > names)
    return best, [name for name in shown if name]


def _unknown(path: Path, table: LogTable, name: str, shown: list[str]) -> Exception:
    near = difflib.get_close_matches(name, shown, n=1)
    hint = (f"Did you mean {near[0]}? " if near else "") + f"Sensors here: {', '.join(shown)}."
    return problem(path, _head(table), f"there is no sensor '{printable(name, 60)}' in the log", hint)


def _column(
    path: Path, table: LogTable, sample: list[tuple[int, list[str]]], name: str, where: str, place: int
) -> Column:
    column = Column(name, where, table.units[place])
    if column.of_heater:
        return column
    if column.unit == "other":
        header = printable(clean(table.headers[place]), 40)
        raise problem(path, _head(table), f"'{header}' is no temperature, and has the place '{where}'", "Name the column of the temperature.", place + 1)  # fmt: skip
    column.unit = column.unit or _unit_in_cells(path, table, sample, place)
    return column


def _unit_in_cells(
    path: Path, table: LogTable, sample: list[tuple[int, list[str]]], place: int
) -> str | None:
    """The unit that stands behind the numbers, or in a column of a long table; one behind a few alone is damage."""
    places = _values(table) if table.names is not None else [place]
    units: dict[str, list[int]] = {}
    for line, cells in sample:
        for cell in (cells[at] for at in places if at < len(cells)):
            unit = unit_after(cell) or (unit_in(cell) if table.names is not None else None)
            if unit in ("C", "F", "K"):
                units.setdefault(unit, []).append(line)
    usual = {unit: lines[0] for unit, lines in units.items() if len(lines) > FEW * len(sample)}
    if len(usual) > 1:
        raise problem(path, max(usual.values()), "two units of temperature stand in one column", "Export the log in °C.", place + 1)  # fmt: skip
    return next(iter(usual), None)
