"""A temperature log as frozen data: sensors at their places, and what was left out."""

import datetime
import itertools
import statistics
from array import array
from collections.abc import Sequence

from msgspec import Struct

EGG_MEDIUM, PROBE_MEDIUM = "egg box medium", "probe box medium"
AIR_ABOVE, AIR_BELOW = "air above", "air below"
HEATER, ROOM = "heater", "room"
HEATER_ON, HEATER_POWER = "heater on", "heater power"
PLACES = (EGG_MEDIUM, PROBE_MEDIUM, AIR_ABOVE, AIR_BELOW, HEATER, ROOM, HEATER_ON, HEATER_POWER)


class RowsLeftOut(Struct, frozen=True):
    """Rows or readings that were not used: why, how many, and the line of the first."""

    why: str
    count: int
    first_line: int


class Sensor(Struct, frozen=True):
    """One sensor: its name in the log, its place, times [s] in rising order, values [°C; 0-1 or W of a heater].

    Times are seconds since 1970 by the clock that the log started with; the change of the clocks is taken out.
    """

    name: str
    place: str
    times: "array[float]"
    values: "array[float]"

    def gaps(self) -> list[tuple[float, float]]:
        """From and to [s] of each time without readings: longer than two steps and than an hour."""
        least = max(2.5 * usual_step(self.times), 3600.0)
        pairs = itertools.pairwise(self.times)
        return [(before, after) for before, after in pairs if after - before > least]


class Log(Struct, frozen=True):
    """A log: sensors, number of rows read, what was left out, and what was found out on the way, in sentences."""

    file: str
    sensors: tuple[Sensor, ...]
    rows: int
    left_out: tuple[RowsLeftOut, ...]
    notes: tuple[str, ...]

    def at(self, *places: str) -> tuple[Sensor, ...]:
        """The sensors at any of these places."""
        return tuple(sensor for sensor in self.sensors if sensor.place in places)


def usual_step(times: Sequence[float]) -> float:
    """The usual time between two readings [s]: the median of the steps forward; 0 where there are none."""
    steps = [after - before for before, after in itertools.pairwise(times[:20_000]) if after > before]
    return statistics.median(steps) if steps else 0.0


def clock_time(time: float) -> str:
    """A time [s since 1970] as "2027-04-21 03:10"."""
    whole = datetime.datetime(1970, 1, 1) + datetime.timedelta(seconds=round(time / 60) * 60)
    return whole.strftime("%Y-%m-%d %H:%M")
