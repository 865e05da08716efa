"""What a log tells, from the `log` of a case: of a trial run, or of the eggs in the box.

Of a trial run: fields of `Trial`, each a number with its unit, or "low to high UNIT" for a range round its middle;
`never_settles: yes`; `stuck` a list of sensors, and `length` that of the log. With eggs inside, of the first clutch: `hot` or
`cold` a spell {hours, extreme, harm}, `aim` and `tolerated` minutes outside {below, above, now}, `gaps` a list of {hours, share,
sensitive} ten days apart, `male_share`, `undecided`, `days` and `planned_days`, `events` a list of {kind, moved}, `not_seen`,
`settled`, `hatched`. What is not given, the log can't tell.
"""

import datetime
import itertools
import re
from typing import Any

from msgspec.structs import fields, replace

from advisor.model.figures import Figure, Unknown
from advisor.model.follow import ClutchFollowed, Event, Followed, Outcome, Outside, Spell, Unlogged
from advisor.model.trial import Extreme, Stuck, StuckSensor, Trial
from tests.support import situation_of

UNTOLD = "this log does not tell"
AT = 1_808_244_000.0  # 2027-04-20 18:00
TOLD = re.compile(r"(-?[\d.]+)(?: to (-?[\d.]+))? ?(.*)")
FACTORS = {
    "°C": (1.0, "temperature"),
    "K": (1.0, "step"),
    "h": (3600.0, "hours"),
    "days": (1.0, "days"),
    "": (1.0, "share"),
}
EXTREMES = ("coldest", "warmest", "overshoot")


def figure(text: str) -> Figure:
    found = TOLD.fullmatch(str(text))
    assert found, text
    factor, quantity = FACTORS[found[3]]
    low = float(found[1]) * factor
    high = float(found[2]) * factor if found[2] else low
    return Figure((low + high) / 2, low, high, quantity)


def stuck_sensor(told: dict[str, str]) -> StuckSensor:
    value, since, hours, moved = (float(told[key]) for key in ("value", "since", "hours", "moved"))
    return StuckSensor(told["name"], value, since, hours, told["other"], moved)


def trial_of(log: dict[str, Any]) -> Trial:
    untold: dict[str, Any] = {entry.name: Unknown(UNTOLD) for entry in fields(Trial)}
    days = figure(log.pop("length", "6 days")).value
    trial = Trial(
        **{
            **untold,
            "start": AT,
            "end": AT + days * 86_400,
            "never_settles": False,
            "sensors": (),
            "steady": figure("5 days"),
        }
    )
    for name, told in log.items():
        value: Any = told
        if name == "stuck":
            value = Stuck(tuple(stuck_sensor(one) for one in told))
        elif name == "never_settles":
            value = told == "yes"
        else:
            value = Extreme(figure(told), AT) if name in EXTREMES else figure(told)
        trial = replace(trial, **{name: value})
    return trial


def trial_situation(plan: dict[str, Any], log: dict[str, Any]) -> Any:
    return replace(situation_of(plan), trial=trial_of(dict(log)))


LOGGED = 30 * 1440.0


def spells(log: dict[str, Any]) -> tuple[Spell, ...]:
    return tuple(
        Spell(
            side,
            AT,
            AT + 3600 * float(log[side]["hours"]),
            float(log[side]["hours"]),
            figure(log[side]["extreme"]).value,
            log[side]["harm"].replace("none", ""),
            "daily" in log[side],
        )
        for side in ("hot", "cold")
        if side in log
    )


def clutch_of(species: str, log: dict[str, Any]) -> ClutchFollowed:
    told: dict[str, Any] = {entry.name: Unknown(UNTOLD) for entry in fields(ClutchFollowed)}
    told |= {"species": species, "day": 30.0, "undecided": None, "settled": "settled" in log}
    told["laid"] = datetime.date(2027, 5, 11)
    told |= {name: None for name in ("eggs_left", "growing", "hatch_window", "planned_window", "sensitive", "outcome")}  # fmt: skip
    if "hatched" in log:
        day = datetime.date(2027, 7, 10)
        told["outcome"] = Outcome(day, day, 12, (), Unknown(UNTOLD))
    for name in ("male_share", "undecided", "days", "planned_days"):
        if name in log:
            told[name] = figure(log[name])
    for name in ("aim", "tolerated"):
        if name in log or "hot" in log or "cold" in log:
            minutes = {"below": "0", "above": "0", **log.get(name, {})}
            told[name] = Outside(float(minutes["below"]), float(minutes["above"]), LOGGED, "now" in minutes)
    if {"hot", "cold", "aim", "tolerated"} & set(log):
        told["spells"] = spells(log)
    if "gaps" in log:
        told["gaps"] = tuple(
            Unlogged(
                begin,
                begin + 3600 * float(gap["hours"]),
                float(gap["share"]),
                float(gap["share"]),
                "sensitive" in gap,
            )
            for begin, gap in zip(itertools.count(AT, 864_000), log["gaps"], strict=False)
        )
    return ClutchFollowed(**told)


def follow_situation(plan: dict[str, Any], log: dict[str, Any]) -> Any:
    base = situation_of(plan)
    clutches = tuple(clutch_of(clutch.species, log) for clutch in base.plan.clutches)
    events = tuple(
        Event(one["kind"], "T1", AT, AT + 600, 27.0, figure(one["moved"]).value)
        for one in log.get("events", ())
    )
    return replace(base, followed=Followed(clutches, events, tuple(log.get("not_seen", ()))))
