"""One pass over the rows of a log: takes up times and readings, and counts every row that is left out."""

import math
from array import array
from collections.abc import Callable, Iterable

from advisor.model.logs import HEATER_ON
from advisor.reading.logs.cells import SWITCHES, bare_name, clean, number_in, unit_after
from advisor.reading.logs.columns import Column, Left
from advisor.reading.logs.table import LogTable, time_columns
from advisor.reading.logs.times import Stamps
from advisor.reading.problems import printable

PROGRESS_EVERY = 20_000  # lines


class LogPass:
    """What a pass has taken up: time and line of each row, the readings of the columns, what was left out."""

    def __init__(self, table: LogTable, columns: Iterable[tuple[int, Column]], starts: float | None) -> None:
        """columns: place in the table, and what its readings go to; in a long table all share one place.

        starts [s since 1970] of a log that counts from its start.
        """
        self.table, self.columns = table, tuple(columns)
        self.left, self.stamps, self.lines = Left(), Stamps(starts, table.unit or 1.0), array("L")
        self._by_name = {bare_name(column.name).lower(): column for _, column in self.columns}

    def run(self, rows: Iterable[tuple[int, list[str]]], progress: Callable[[int], None]) -> None:
        """Takes up all rows."""
        time, width = self.table.time, len(self.table.headers)
        read = self._read_long if self.table.names is not None else self._read_wide
        first, last, both, add = time[0], time[-1], len(time) == 2, self.stamps.add
        least = self.table.least
        for line, cells in rows:
            if len(cells) < least:
                self._no_row(line, cells)
                continue
            text = f"{clean(cells[first])} {clean(cells[last])}" if both else cells[first]
            if len(cells) > width and any(map(str.strip, cells[width:])):
                self.left.add("more cells than the header has", line)
            elif not add(text) and not add(clean(text)):
                self._no_row(line, cells)
            else:
                self.lines.append(line)
                read(line, cells)
                if not line % PROGRESS_EVERY:
                    progress(len(self.lines))

    def _no_row(self, line: int, cells: list[str]) -> None:
        told = [cell for cell in map(clean, cells) if cell]
        if not told:
            return
        if told[0].startswith("#"):
            self.left.add("a comment", line)
        elif told == [header for header in map(clean, self.table.headers) if header]:
            self.left.add("the header again", line)
        elif time_columns(cells, self.table.unit is not None) == self.table.time:
            self.left.add("the row is cut off", line)
        else:
            self.left.add("no date and time", line)

    def _read_wide(self, line: int, cells: list[str]) -> None:
        row = len(self.lines) - 1
        for place, column in self.columns:
            if place >= len(cells):
                column.missing += 1
                self.left.add(f"{column.name}: the row is cut off", line)
                continue
            cell = cells[place]
            try:
                value = float(cell)
            except ValueError:
                value = math.nan
            if value - value == 0.0 and "_" not in cell:  # the usual cell, a plain number, without detours
                column.rows.append(row)
                column.values.append(value)
            else:
                self._take(column, cell, row, line)

    def _read_long(self, line: int, cells: list[str]) -> None:
        names, place = self.table.names or 0, self.columns[0][0]
        if len(cells) <= max(names, place):
            self.left.add("the row is cut off", line)
            return
        name = bare_name(cells[names])
        column = self._by_name.get(name.lower())
        if column is None:
            self.left.add(f"readings of '{printable(name, 40)}', which has no place", line)
        else:
            self._take(column, cells[place], len(self.lines) - 1, line)

    def _take(self, column: Column, cell: str, row: int, line: int) -> None:
        value = number_in(cell)
        if value is None and column.place == HEATER_ON:
            value = SWITCHES.get(clean(cell).lower())
        if value is None or math.isnan(value):
            column.missing += 1
            if value is None and not column.no_number:
                column.no_number = f"{column.name}: no number, such as '{printable(clean(cell), 30)}'"
            self.left.add(f"{column.name}: no value" if value is not None else column.no_number, line)
        elif not (column.of_heater or cell[-1:].isdigit()) and unit_after(cell) not in (None, column.unit):
            column.missing += 1
            self.left.add(f"{column.name}: another unit than in the other rows", line)
        else:
            column.rows.append(row)
            column.values.append(value)
