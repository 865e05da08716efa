"""A day with cooler nights: what the medium of a box goes through, by how fast the box cools and warms."""

import math

from msgspec import Struct

from advisor.formulas.air.moist_air import check_range
from advisor.formulas.heat.warming_and_cooling import Course, share_after

HOURS = 24
_SETTLED = 1e-4  # K from one day to the next
# the slowest box of `medium_course` has settled by then; a day more moves it by less than 0.1 K
_MOST_DAYS = 60


class DayCourse(Struct, frozen=True):
    """One day like the others: the medium [°C] as it ends the day and the night, and in the middle of each hour from morning on."""

    evening: float
    morning: float
    hours: tuple[float, ...]


class HeldBox(Struct, frozen=True):
    """A box that is held: how its medium settles, the room [°C], where it ends at full power [°C], the lag [h] of the medium
    behind the air where the probe hangs in the air, else 0.
    """

    course: Course
    room: float
    settled: float
    lag: float


def day_course(box: HeldBox, day: float, night: float, night_hours: float) -> DayCourse:
    """The day that comes again each day at a set point by day [°C] and a cooler one by night [°C] of some hours, 1 to 23.

    By night the heater rests until the medium has fallen to the night's set point, in the morning it runs at full power until
    the day's is reached; behind a probe in the air the medium can't change faster than by its own lag. Raises ValueError out
    of range. Reference: `medium_course`, from wherever the box has got to; derived.
    """
    check_range("hours of the night", night_hours, 1.0, 23.0, "h")
    day_hours = HOURS - night_hours
    evening = day
    for _ in range(_MOST_DAYS):
        morning = _fallen(box, evening, night, night_hours)
        before, evening = evening, _risen(box, morning, day, day_hours)
        if abs(evening - before) < _SETTLED:
            break
    middles = [hour + 0.5 for hour in range(HOURS)]
    return DayCourse(
        evening,
        morning,
        tuple(
            _risen(box, morning, day, hour)
            if hour < day_hours
            else _fallen(box, evening, night, hour - day_hours)
            for hour in middles
        ),
    )


def _fallen(box: HeldBox, start: float, set_to: float, hours: float) -> float:
    cooled = box.room + (start - box.room) * share_after(box.course, hours)
    return min(max(cooled, _behind(box, start, set_to, hours)), start)


def _risen(box: HeldBox, start: float, set_to: float, hours: float) -> float:
    warmed = box.settled + (start - box.settled) * share_after(box.course, hours)
    return max(min(warmed, _behind(box, start, set_to, hours)), min(start, set_to))


def _behind(box: HeldBox, start: float, set_to: float, hours: float) -> float:
    """The medium that follows air held at a set point."""
    return set_to + (start - set_to) * (math.exp(-hours / box.lag) if box.lag > 0.0 else 0.0)
