"""Levers of the room: a warmer or a cooler one for the box."""

from collections.abc import Iterator

from advisor.advice.levers.lever import Ladder, Lever, change, ladder, one_of
from advisor.advice.written import Written
from advisor.model.changes import ROOM, Change
from advisor.model.plan import Range
from advisor.rules.engine import Case

COOLEST, WARMEST = 5.0, 30.0  # °C between which a room is sought; judgement
BELOW = 3.0  # K below the set point that a room stays, so that the thermostat has something to do; judgement
USUAL = Range(16.0, 24.0)  # °C, a heated home by night and day; common practice, no source
USUAL_HUMIDITY = "50 %"  # common practice, no source
SWING = 2.0  # K that a room swings at least, where its warm end comes down past its cool end; judgement


def _temperature(case: Case) -> Iterator[Ladder]:
    """Rooms with a warmer cool end, then rooms with a cooler warm end, whole degree by whole degree.

    A usual one, to be proposed where none is told.
    """
    room, set_to, write = case.plan.room.temperature, case.plan.control.set_to, Written(case.plan.units)
    if room is None:
        usual = write.temperatures(USUAL.low, USUAL.high)
        yield from one_of(
            change(case, "Measure the room by night and by day.", ROOM, room__temperature=usual)
        )
        return
    warmer = [
        _moved(case, "colder", low, Range(low, max(low, room.high)))
        for low in write.whole(room.low + 0.1, WARMEST if set_to is None else set_to - BELOW)
    ]
    cooler = [
        _moved(case, "warmer", high, Range(min(room.low, high - SWING), high))
        for high in reversed(write.whole(COOLEST, room.high - 0.1))
    ]
    for steps in (warmer, cooler):
        yield from ladder(steps, steady=True)


def _moved(case: Case, word: str, end: float, room: Range) -> Change:
    write = Written(case.plan.units)
    return change(
        case,
        f"Move the box to a place that never gets {word} than {write.temperature(end)}.",
        ROOM,
        room__temperature=write.temperatures(room.low, room.high),
    )


def _humidity(case: Case) -> Iterator[Ladder]:
    """A usual one, to be proposed where none is told: nobody is asked to change the air of a room."""
    if case.plan.room.humidity is None:
        yield from one_of(change(case, "Measure how damp the room is.", ROOM, room__humidity=USUAL_HUMIDITY))


LEVERS = (
    Lever("room.temperature", _temperature, "a guess; measure yours by night and by day and correct it"),
    Lever("room.humidity", _humidity, "usual in homes; measure yours and correct it"),
)
