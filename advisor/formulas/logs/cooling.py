"""What a spell without heat tells: how fast the medium falls, and the hours until it has lost some kelvins."""

import math
from collections.abc import Iterator

from msgspec import Struct

from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.logs.means import Course

HOUR = 3600.0
LEAST_FALL = 0.4  # K in an hour: a well insulated box 9 K over its room loses more; judgement
_TURNS = 0.1  # K of rise that end a fall
_SUDDEN = 2.0  # times the fall of the hour before: a cold night begins slowly; judgement
_LEVEL = 0.05  # K below its start at which a fall has begun


class Fall(Struct, frozen=True):
    """A spell in which the medium falls fast: from, to [s], temperatures then [°C]."""

    begin: float
    end: float
    start: float
    low: float


def falls(course: Course, least: float) -> Iterator[Fall]:
    """Every spell of half an hour or more in which a temperature falls by `least` [K] or more within its first hour.

    course: 5-min means of the medium [°C]. A spell begins where it last stood within 0.05 K of its start, and ends at its
    lowest, before the temperature rises again. A night that is too cold for the heater begins slowly, and is none.
    """
    place = 0
    while place < len(course):
        ahead = _hour_from(course, place)
        low = min(range(place, ahead), key=lambda at: course[at][1])
        if course[place][1] - course[low][1] < least:
            place += 1
            continue
        top = max(value for _, value in course[place : low + 1])
        begin = max(at for at in range(place, low + 1) if course[at][1] >= top - _LEVEL)
        place = low
        while place + 1 < len(course) and course[place + 1][1] < course[low][1] + _TURNS:
            place += 1
            low = place if course[place][1] < course[low][1] else low
        place += 1
        fallen = course[begin][1] - min(value for _, value in course[begin : _hour_from(course, begin)])
        sudden = fallen >= least and fallen >= _SUDDEN * _before(course, begin)
        if sudden and course[low][0] - course[begin][0] >= HOUR / 2:
            yield Fall(course[begin][0], course[low][0], course[begin][1], course[low][1])


def _before(course: Course, begin: int) -> float:
    """By how much it fell in the hour before [K]; endless where nothing was logged then."""
    hour = [value for time, value in course[max(begin - 80, 0) : begin] if time >= course[begin][0] - HOUR]
    return hour[0] - course[begin][1] if hour else math.inf


def _hour_from(course: Course, place: int) -> int:
    """The place behind the last entry within an hour of the one at `place`."""
    end = place + 1
    while end < len(course) and course[end][0] <= course[place][0] + HOUR + 1.0:
        end += 1
    return end


def time_constant(first: float, last: float, apart: float, room: float) -> float:
    """Time constant [s] of a temperature that falls toward the room.

    first and last [°C], `apart` [s] from one to the other; room [°C]. Raises `NoSolution` where it does not fall or is
    not warmer than the room. Reference: Newton's law of cooling. The medium starts with slope zero, so take the last half
    hour of a spell, not its beginning: within 25 % of the slow time constant of a box of air and medium.
    """
    if not first > last > room:
        raise NoSolution("the medium does not fall toward the room")
    return apart / math.log((first - room) / (last - room))


def hours_to_lose(fall: Fall, constant: float, room: float, lost: float, cold: float) -> float:
    """Hours until the medium has lost `lost` [K] in a room of `cold` [°C], from a spell in a room of `room` [°C].

    constant [s] of the spell's last half hour. The fall grows with the difference of medium and room. Raises
    `NoSolution` where the room is not that cold. Reference: the spell scaled, then Newton's law of cooling.
    """
    if fall.start <= room or fall.start - lost <= cold:
        raise NoSolution(f"the room is not colder by {lost:g} °C")
    fallen = (fall.start - fall.low) * (fall.start - cold) / (fall.start - room)
    left = (fall.start - fallen - cold) / (fall.start - lost - cold)
    hours = (fall.end - fall.begin) / HOUR
    if left >= 1.0:
        return hours + constant / HOUR * math.log(left)
    return hours * lost / fallen  # lost already within the spell
