"""Faults that are planted in a sound plan: some can be seen in the drawing, some must be read."""

import copy
import datetime
import random
from collections.abc import Callable
from typing import Any

from msgspec import Struct

from advisor.advice.fill import WEEKS_TO_LAYING
from advisor.assess import Assessment
from advisor.lesson.sound_plan import Data, warmth
from advisor.model.findings import Finding
from advisor.model.species import Species

SET_UPS = 4
LETTERS = "ABCD"


class Fault(Struct, frozen=True):
    """A fault: the rule that has to find it, and entries laid over the plan ("egg_boxes.*.stands": a path with dots)."""

    rule: str
    entries: dict[str, Any]


class SetUp(Struct, frozen=True):
    """A faulty set-up: its letter, its plan and the judged plan."""

    letter: str
    data: Data
    assessment: Assessment


def seen_faults(us: bool, eggs_drawn: bool = True) -> tuple[Fault, ...]:
    """Faults that show in the drawing, which holds no eggs when their size is not known; sizes are our own choice."""
    return (
        Fault("heat-from-below-wet-medium", {"heat.place": "floor"}),
        Fault("heat-egg-box-on-heater", {"heat.place": "floor", "egg_boxes.*.stands": "on the heater"}),
        Fault(
            "heat-bulb-in-foam",
            {
                "heat": {
                    "source": "bulb",
                    "place": "lid",
                    "power": "40 W",
                    "size": "3 x 3 in" if us else "8 x 8 cm",
                }
            },
        ),
        Fault("control-probe-misplaced", {"control.probe.sits_in": "outside the box"}),
        Fault("control-probe-misplaced", {"control.probe.sits_in": "on heater"}),
        *((Fault("eggs-buried", {"clutches.0.placed": "buried"}),) if eggs_drawn else ()),
        Fault("moisture-medium-too-shallow", {"egg_boxes.*.medium.depth": "0.6 in" if us else "1.5 cm"}),
    )


def told_faults(species: Species, us: bool, today: datetime.date) -> tuple[Fault, ...]:
    """Faults that stand in the words; figures are our own choice, far beyond the limits of the rules."""

    laid = today + datetime.timedelta(weeks=WEEKS_TO_LAYING)

    def day(after: int) -> str:
        return (laid + datetime.timedelta(days=after)).isoformat()

    too_warm = _too_warm(species)
    return (
        Fault("control-no-thermostat", {"control.thermostat": "none"}),
        Fault("control-no-cut-out", {"control.cut_out": "none"}),
        Fault("control-never-checked", {"control.checked_against": "nothing"}),
        *(
            (Fault("heat-outside-species-band", {"control.set_to": warmth(too_warm, us)}),)
            if too_warm
            else ()
        ),
        Fault("air-no-holes", {"egg_boxes.*.lid": {"fit": "gasket", "thickness": "1 mm", "holes": "none"}}),
        Fault("moisture-mix-too-dry", {"egg_boxes.*.medium.mix": {"medium": 40, "water": 1, "by": "volume"}}),
        Fault("moisture-mix-too-wet", {"egg_boxes.*.medium.mix": {"medium": 1, "water": 1, "by": "volume"}}),
        Fault("moisture-lid-opened-at-checks", {"checks.opens": "egg boxes", "checks.lasting": "5 min"}),
        Fault("air-checks-too-rare-late", {"checks.rhythm": [{"every": "21 days"}]}),
        Fault("eggs-parted-too-late", {"clutches.0.parted": "later"}),
        Fault("eggs-not-marked", {"clutches.0.marked": "no"}),
        Fault("eggs-looked-for-too-rarely", {"clutches.0.looked_for": "every 3 days"}),
        Fault("timing-not-ready-before-laying", {"trial_run": {"from": day(2), "days": 7}}),
        Fault("timing-no-lay-box", {"clutches.0.lay_box.ready_on": day(-2)}),
        Fault("watching-no-second-thermometer", {"watching.thermometers": 0}),
        Fault("watching-no-alarm", {"watching.alarm": "no", "watching.logger": "no"}),
        Fault("people-no-residual-current-device", {"people.residual_current_device": "no"}),
    )


def _too_warm(species: Species) -> float | None:
    """A set point past what the eggs bear [°C]."""
    if species.harmful is not None and species.harmful.above is not None:
        return species.harmful.above + 1.0
    return species.tolerated.high + 3.0 if species.tolerated is not None else None


def with_faults(sound: Data, faults: tuple[Fault, ...], title: str) -> Data:
    """The sound plan with faults laid over it."""
    data: Data = copy.deepcopy(sound)
    data["title"] = title
    for fault in faults:
        for path, value in fault.entries.items():
            _lay(data, path.split("."), value)
    return data


def _lay(block: Any, way: list[str], value: Any) -> None:
    """Puts a value at the end of a way through blocks and lists."""
    first, *rest = way
    if isinstance(block, list):
        for item in block if first == "*" else [block[int(first)]]:
            _lay(item, rest, value)
    elif rest:
        _lay(block[first], rest, value)
    else:
        block[first] = copy.deepcopy(value)


def set_ups(
    sound: Data,
    species: Species,
    seed: int,
    today: datetime.date,
    judged: Callable[[Data, str], Assessment],
    usual: frozenset[str],
    eggs_drawn: bool = True,
) -> tuple[SetUp, ...]:
    """Four set-ups with one fault to see and one to read each, drawn by the seed; no fault comes twice.

    A draw counts only when the rules find both faults; `usual` are the rules that fire on the sound plan already.
    Fewer than four come back when the rules cannot judge enough faults for this species.
    """
    us = sound["units"] == "us"
    dice = random.Random(seed)
    seen, told = list(seen_faults(us, eggs_drawn)), list(told_faults(species, us, today))
    dice.shuffle(seen)
    dice.shuffle(told)
    found: list[SetUp] = []
    while seen and len(found) < SET_UPS:
        first = seen.pop(0)
        for second in told:
            letter = LETTERS[len(found)]
            data = with_faults(sound, (first, second), f"Set-up {letter}")
            assessment = judged(data, letter)
            fired = {finding.rule for finding in assessment.report.findings} - usual
            if {first.rule, second.rule} <= fired:
                told = [fault for fault in told if fault.rule != second.rule]
                seen = [fault for fault in seen if fault.rule != first.rule]
                found.append(SetUp(letter, data, assessment))
                break
    return tuple(found)


def new_findings(assessment: Assessment, usual: frozenset[str]) -> tuple[Finding, ...]:
    """The findings that the sound plan does not have."""
    return tuple(finding for finding in assessment.report.findings if finding.rule not in usual)
