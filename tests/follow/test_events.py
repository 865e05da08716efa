"""Events planted into simulated boxes and made courses are found at their time and by their kind; sound logs hold none."""

import math
import random
from array import array
from typing import Any

import pytest
from msgspec.structs import replace

from advisor.forecast.follow.whole import noon
from advisor.model.follow import CUT, GAP, LID, MOVED, OVERSHOOT, Event, Followed, Outside
from advisor.model.logs import AIR_ABOVE, EGG_MEDIUM, HEATER_ON, ROOM, Log, Sensor
from tests.follow.logs import HOUR, LAID, followed, log_of, plan_of, sensor
from tests.referees.simulated_box import Box, run, told

DAYS = 8.0
START = noon(LAID)


def box_log(box: Box, seed: int = 1, heater: bool = True, hours: float = DAYS * 24) -> Log:
    """A box of two lumps as four sensors tell it, from laying on."""
    dice, result = random.Random(seed), run(box, hours, cold=False, step=30.0)
    times = array("d", (START + 300.0 * step for step in range(len(result.times))))
    places = {EGG_MEDIUM: result.medium, AIR_ABOVE: result.air, ROOM: result.room}
    sensors = [
        Sensor(place, place, times, array("d", told(values, 0.0625, 0.02, dice.uniform(-0.3, 0.3), dice)))
        for place, values in places.items()
    ]
    return log_of(*sensors, *([Sensor(HEATER_ON, HEATER_ON, times, array("d", result.on))] if heater else []))


def changed(log: Log, place: str, change: Any) -> Log:
    """The log with the readings of one place changed by a function of hours from laying and value."""
    return replace(
        log,
        sensors=tuple(
            one
            if one.place != place
            else replace(
                one,
                values=array("d", (change((time - START) / HOUR, value) for time, value in zip(one.times, one.values, strict=True))),
            )
            for one in log.sensors
        ),
    )  # fmt: skip


def kinds(found: Followed) -> list[str]:
    return [event.kind for event in found.events]


def the(found: Followed, kind: str) -> Event:
    (event,) = [event for event in found.events if event.kind == kind]
    return event


def hour(time: float) -> float:
    return (time - START) / HOUR


SOUND = [
    Box(),
    Box(pulse=False, band=0.6),
    Box(pulse=False, probe_in_air=True, band=0.6),
    Box(conductance=1.0, watts=25.0, room=lambda at: 19.0 + 4.0 * math.sin(2 * math.pi * at / 24)),
]


@pytest.mark.parametrize("box", SOUND)
@pytest.mark.parametrize("heater", [True, False])
def test_sound_log_holds_no_event(box: Box, heater: bool) -> None:
    assert followed(plan_of(), box_log(box, heater=heater)).events == ()


def test_day_and_night_set_apart_are_no_events() -> None:
    def temperature(at: float) -> float:
        return 30.0 - 3.5 / (1 + math.exp(-(((at - 14) % 24) - 1) * 6)) if at % 24 >= 14 else 30.0 - 3.5 * math.exp(-(at % 24) / 0.7)  # fmt: skip

    room = sensor(lambda _: 20.0, DAYS * 24, ROOM, "T2")
    assert kinds(followed(plan_of(), log_of(sensor(temperature, DAYS * 24, every=300.0), room))) == []


@pytest.mark.parametrize("heater", [True, False])
@pytest.mark.parametrize("begin", [75.0, 101.5])
def test_power_cut(begin: float, heater: bool) -> None:
    found = followed(plan_of(), box_log(Box(off=((begin, begin + 5.0),)), heater=heater))
    assert kinds(found) == [CUT]
    event = the(found, CUT)
    assert hour(event.begin) == pytest.approx(begin, abs=0.5)
    assert hour(event.end) == pytest.approx(begin + 5.0, abs=0.5)
    assert event.moved < -2.0 and event.harm == ""
    assert event.delay is not None and 0.0 < event.delay < 0.3


@pytest.mark.parametrize(("box", "depth"), [(SOUND[0], 1.2), (SOUND[0], 2.5), (SOUND[1], 9.0)])
def test_lid_opened(box: Box, depth: float) -> None:
    def open_lid(at: float, air: float) -> float:
        since = at - 90.0
        return air - depth * math.exp(-since / 0.15) if since >= 0 else air

    found = followed(plan_of(), changed(box_log(box), AIR_ABOVE, open_lid))
    assert kinds(found) == [LID]
    assert hour(the(found, LID).begin) == pytest.approx(90.0, abs=0.1)
    # Air that swings by 4 K with its heater hides what is less deep: so it is said.
    assert (LID in found.not_seen) == (not box.pulse)


def test_opened_lid_is_not_seen_without_air_or_at_rare_readings() -> None:
    assert set(followed(plan_of(), log_of(sensor(lambda _: 28.0, 50.0))).not_seen) == {LID, MOVED}
    air = sensor(lambda _: 28.5, 50.0, AIR_ABOVE, "T2", every=1800.0)
    assert followed(plan_of(), log_of(sensor(lambda _: 28.0, 50.0), air)).not_seen == (LID,)


def test_overshoot_is_told_with_what_it_did() -> None:
    # Stuck for ten hours, to 38 °C with a time constant of 3 h; harm above 33: 0.74 of the dose that may do harm is told
    # of mid development, twice that of the first third: possible.
    def temperature(at: float) -> float:
        if 100 <= at < 110:
            return 38.0 - 10.0 * math.exp(-(at - 100) / 3)
        return 28.0 + (9.64 * math.exp(-(at - 110) / 3) if at >= 110 else 0.0)

    room = sensor(lambda _: 20.0, DAYS * 24, ROOM, "T2")
    found = followed(plan_of(), log_of(sensor(temperature, DAYS * 24), room))
    assert kinds(found) == [OVERSHOOT]
    event = the(found, OVERSHOOT)
    assert hour(event.begin) == pytest.approx(100.4, abs=0.5)
    assert event.extreme == pytest.approx(37.6, abs=0.2)
    assert event.harm == "possible" and event.delay is not None and event.delay < 0.0
    spells = found.clutches[0].spells
    assert isinstance(spells, tuple) and [spell.side for spell in spells] == ["hot"]


@pytest.mark.parametrize(("after", "moved"), [(28.0, False), (25.0, True)])
def test_gap(after: float, moved: bool) -> None:
    def temperature(at: float) -> float:
        return after + (28.0 - after) * (1 - math.exp(-max(at - 80.0, 0.0) / 3)) if at >= 80 else 28.0

    found = followed(plan_of(), log_of(sensor(temperature, 150.0, gaps=[(60.0, 80.0)])))
    assert kinds(found) == [GAP]
    event = the(found, GAP)
    assert (hour(event.begin), hour(event.end)) == (60.0, 80.0)
    assert (event.moved < 0.0) == moved and event.extreme is None


@pytest.mark.parametrize("step", [1.0, -2.0])
def test_sensor_moved(step: float) -> None:
    log = changed(box_log(Box()), EGG_MEDIUM, lambda at, value: value + step * (at >= 70.0))
    found = followed(plan_of(), log)
    assert kinds(found) == [MOVED]
    event = the(found, MOVED)
    assert event.sensor == EGG_MEDIUM and event.moved == pytest.approx(step, abs=0.2)
    assert hour(event.begin) == pytest.approx(70.0, abs=0.4)


def test_dial_knocked_moves_all_and_is_no_moved_sensor() -> None:
    log = box_log(Box())
    for place in (EGG_MEDIUM, AIR_ABOVE):
        log = changed(log, place, lambda at, value: value + 1.0 * (at >= 70.0))
    assert MOVED not in kinds(followed(plan_of(), log))


@pytest.mark.parametrize(
    ("hours", "at", "harm"),
    [
        (12.0, 36.0, "possible"),  # 3 K over 33: 15.2 h, in the first third 7.6 h: dose 1.6
        (5.0, 36.0, "near"),  # 0.66
        (2.0, 36.0, ""),  # 0.26
        (80.0, 36.0, "likely"),  # 10.5, likely from 5
        (0.5, 43.0, "likely"),  # at once
    ],
)
def test_hours_of_heat_by_the_rule(hours: float, at: float, harm: str) -> None:
    # Corn snake, harmful above 33 °C.
    log = log_of(sensor(lambda hour: at if 100 <= hour < 100 + hours else 28.0, 250.0, every=60.0))
    (spell,) = followed(plan_of(), log).clutches[0].spells  # type: ignore[misc]
    assert (spell.side, spell.harm, spell.daily) == ("hot", harm, False)
    assert spell.hours == pytest.approx(hours, abs=0.3)


def test_nights_in_the_cold_are_judged_one_by_one() -> None:
    # Twelve hours at 19 °C each night for 20 nights: one night 0.05 of the dose, all of them 1.0 (240 h at 20 °C).
    log = log_of(sensor(lambda hour: 19.0 if hour % 24 >= 12 else 28.0, 480.0))
    (spell,) = followed(plan_of(), log).clutches[0].spells  # type: ignore[misc]
    assert spell.daily and spell.harm == ""
    cold = log_of(sensor(lambda hour: 13.0 if hour % 24 >= 12 else 28.0, 480.0))
    (spell,) = followed(plan_of(), cold).clutches[0].spells  # type: ignore[misc]
    assert spell.daily and spell.harm == "possible"


def test_minutes_outside_are_those_of_the_log() -> None:
    # Usual 27 to 29, tolerated 25 to 31 °C: two hours at 30, three at 24, one at 32.
    def temperature(at: float) -> float:
        return 30.0 if 50 <= at < 52 else 24.0 if 60 <= at < 63 else 32.0 if 70 <= at < 71 else 28.0

    found = followed(plan_of(), log_of(sensor(temperature, 100.0, every=300.0))).clutches[0]
    aim, tolerated = found.aim, found.tolerated
    assert isinstance(aim, Outside) and isinstance(tolerated, Outside)
    # Ten-minute means reach over each step.
    assert aim.below == pytest.approx(180, abs=11) and aim.above == pytest.approx(180, abs=21)
    assert tolerated.below == pytest.approx(180, abs=11) and tolerated.above == pytest.approx(60, abs=11)
    assert not tolerated.now
