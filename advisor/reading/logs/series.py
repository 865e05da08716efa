"""From the numbers of one column to a sensor: °C, the order of time, without doubles, error codes and what no thermometer reads."""

import itertools
import operator
import statistics
from array import array
from collections.abc import Iterator
from pathlib import Path

from advisor.model.logs import HEATER_ON, Sensor, clock_time
from advisor.reading.logs.cells import ERROR_CODES
from advisor.reading.logs.columns import Column, Left, problem
from advisor.units import UNITS

COLDEST, HOTTEST = -40.0, 150.0  # °C that a thermometer at a box may read; judgement
MOST_WATTS = 1e5  # W that a log of the heater may tell; judgement
NEIGHBOURLY = 15.0  # K within which a reading beside it supports one that could be an error code; judgement
# Medians that leave no doubt of an untold unit; judgement.
PLAIN_CELSIUS, PLAIN_FAHRENHEIT = (5.0, 45.0), (60.0, 115.0)
LOW_CODE, HIGH_CODE = 1.0, 84.0  # °C between which no code lies
MANY_MISSING = 0.1  # share of the rows


def sensor_of(
    column: Column,
    times: "array[float]",
    rank: "array[int] | None",
    lines: "array[int]",
    left: Left,
    told: list[str],
) -> Sensor | None:
    """A sensor with its readings in SI; None where it has none.

    times [s] and lines of the rows; rank of each row in time, None where the file is in order. What is left out is counted
    in `left`, what is found out is told in `told`.
    """
    name, total = column.name, len(column.values) + column.missing
    if column.missing > MANY_MISSING * total:
        told.append(f"{name} lacks {column.missing} of {total} readings: check its plug.")
    if rank is not None:
        places = sorted(range(len(column.rows)), key=lambda place: rank[column.rows[place]])
        column.rows = array("l", (column.rows[place] for place in places))
        column.values = array("d", (column.values[place] for place in places))
    kept_times, kept_values = _kept(column, times, lines, left)
    if column.place == HEATER_ON and kept_values and 1.0 < max(kept_values) <= 100.0:
        kept_values = array("d", (value / 100.0 for value in kept_values))
    if not kept_times:
        return None
    sensor = Sensor(name, column.place, kept_times, kept_values)
    told += _gaps(sensor)
    return sensor


def _kept(
    column: Column, times: "array[float]", lines: "array[int]", left: Left
) -> tuple["array[float]", "array[float]"]:
    name = column.name
    low, high, outside = (0.0, MOST_WATTS, "below nothing or endless") if column.of_heater else (COLDEST, HOTTEST, "no temperature of a box")  # fmt: skip
    codes = set() if column.of_heater else set(_codes(column.values))
    own = array("d", map(times.__getitem__, column.rows))
    within = bool(own) and low <= min(column.values) and max(column.values) <= high
    if within and not codes and all(map(operator.lt, own, own[1:])):
        return own, column.values
    kept_times, kept_values = array("d"), array("d")
    for place, (row, value) in enumerate(zip(column.rows, column.values, strict=True)):
        time = times[row]
        if place in codes:
            left.add(f"{name}: {value:g} °C, an error code of the sensor", lines[row])
        elif not low <= value <= high:
            left.add(f"{name}: {outside}", lines[row])
        elif kept_times and time == kept_times[-1]:
            same = value == kept_values[-1]
            left.add(f"{name}: {'the same reading twice' if same else 'a second, other reading of the same time'}", lines[row])  # fmt: skip
        else:
            kept_times.append(time)
            kept_values.append(value)
    return kept_times, kept_values


def _codes(values: "array[float]") -> Iterator[int]:
    """Places of error codes: runs of such a number with no reading beside them that is anywhere near."""
    if not values or (min(values) > LOW_CODE and max(values) < HIGH_CODE):
        return
    place, before = 0, None
    for value, run in itertools.groupby(values):
        count = sum(1 for _ in run)
        after = values[place + count] if place + count < len(values) else None
        if not LOW_CODE < value < HIGH_CODE and any(abs(value - code) < 0.06 for code in ERROR_CODES):
            beside = [other for other in (before, after) if other is not None]
            if beside and all(abs(value - other) > NEIGHBOURLY for other in beside):
                yield from range(place, place + count)
                place += count
                continue
        before = value
        place += count


def _gaps(sensor: Sensor) -> Iterator[str]:
    gaps = sensor.gaps()
    if gaps:
        longest, since = max((end - begin, begin) for begin, end in gaps)
        count = "a gap" if len(gaps) == 1 else f"{len(gaps)} gaps, the longest"
        yield f"{sensor.name} has {count} of {longest / 3600:.1f} h from {clock_time(since)} on."


def to_celsius(column: Column, degrees: str | None, path: Path, line: int, told: list[str]) -> None:
    """Turns the numbers of a column into °C, in place; raises `InputError` where nothing tells their unit."""
    if column.of_heater or not column.values:
        return
    unit = column.unit or degrees or _plain_unit(column, path, line, told)
    if unit == "F":
        fahrenheit = UNITS["temperature"]["°F"]
        column.values = array(
            "d", (round(value * fahrenheit.factor + fahrenheit.offset, 6) for value in column.values)
        )
    elif unit == "K":
        column.values = array("d", (round(value - 273.15, 6) for value in column.values))


def _plain_unit(column: Column, path: Path, line: int, told: list[str]) -> str:
    middle = statistics.median(column.values[:: max(1, len(column.values) // 5000)])
    if PLAIN_CELSIUS[0] <= middle <= PLAIN_CELSIUS[1]:
        return "C"
    if PLAIN_FAHRENHEIT[0] <= middle <= PLAIN_FAHRENHEIT[1]:
        told.append(f"{column.name}: no unit is written; {middle:g} can only be °F.")
        return "F"
    raise problem(
        path,
        line,
        f"{column.name} reads {middle:g} in the middle: no unit is written, and neither °C nor °F fits a box",
        "Add --degrees C or --degrees F, or name another column.",
    )
