"""Logs in memory, of temperatures that are known by construction, followed as a keeper's would be."""

import datetime
from array import array
from collections.abc import Callable, Sequence
from typing import Any

from advisor.forecast.follow.whole import followed_of, noon
from advisor.model.follow import ClutchFollowed, Followed
from advisor.model.logs import EGG_MEDIUM, Log, Sensor
from tests.support import situation_of

LAID = datetime.date(2027, 5, 11)
HOUR = 3600.0
Temperature = Callable[[float], float]  # by hours from laying


def sensor(
    temperature: Temperature,
    hours: float,
    place: str = EGG_MEDIUM,
    name: str = "T1",
    every: float = 600.0,
    gaps: Sequence[tuple[float, float]] = (),
) -> Sensor:
    """A sensor that reads a temperature from laying on, but not within the gaps [h]."""
    times = [noon(LAID) + every * step for step in range(int(hours * HOUR / every) + 1)]
    kept = [time for time in times if not any(a < (time - noon(LAID)) / HOUR < b for a, b in gaps)]
    values = [temperature((time - noon(LAID)) / HOUR) for time in kept]
    return Sensor(name, place, array("d", kept), array("d", values))


def log_of(*sensors: Sensor) -> Log:
    return Log("log.csv", sensors, len(sensors[0].times), (), ())


def plan_of(species: str = "pantherophis-guttatus", **entries: Any) -> dict[str, Any]:
    return {"clutches": [{"species": species, "laying": {"laid_on": str(LAID)}}], **entries}


def followed(plan: dict[str, Any], log: Log) -> Followed:
    situation = situation_of(plan)
    return followed_of(situation.plan, situation.species, situation.forecast, log, ())


def clutch(temperature: Temperature, hours: float, plan: dict[str, Any], **how: Any) -> ClutchFollowed:
    return followed(plan, log_of(sensor(temperature, hours, **how))).clutches[0]
