"""Every "what matters most is …" names the entry of the plan where the answer goes, and giving that entry narrows the figure.

A walk over all examples and sound set-ups. What nobody can know beforehand says so in place of an entry.
"""

import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from advisor.assess import situation_for
from advisor.forecast.egg_box.medium import drained_of, known_medium
from advisor.forecast.heat.steady import forecast_heat
from advisor.model.figures import Figure
from advisor.model.forecast import Forecast, results_in
from advisor.model.measured import (
    THERMOSTAT,
    Energy,
    HeaterFace,
    IcePoint,
    MeasuredMedium,
    MediumHolds,
    SwitchedOff,
    WarmUp,
    WeighedLid,
)
from advisor.model.plan import EggBox, Plan
from advisor.reading.plan import read_plan
from tests.support import ROOT

PLANS = {
    path.stem: path
    for folder in ("examples", "tests/setups/sound")
    for path in sorted((ROOT / folder).glob("*.yaml"))
}
DAY = 86400.0
ENTRY = re.compile(r"`([a-z_.]+)`")


@cache
def read(path: Path) -> tuple[Plan, Forecast]:
    plan, _ = read_plan(path)
    return plan, situation_for(plan).forecast


def figures_of(forecast: Forecast) -> dict[tuple[str, int, str], Figure]:
    parts = [("heat", 0, forecast.heat), ("shopping", 0, forecast.shopping)]
    parts += [("egg box", index, box) for index, box in enumerate(forecast.egg_boxes)]
    parts += [("clutch", index, clutch) for index, clutch in enumerate(forecast.clutches)]
    return {
        (kind, index, name): found
        for kind, index, part in parts
        for name, found in results_in(part).items()
        if isinstance(found, Figure)
    }


def at(result: object) -> float:
    assert isinstance(result, Figure), result
    return result.value


def told(plan: Plan, forecast: Forecast, entry: str, index: int) -> Plan:
    """The plan with the entry given, as the forecast has it: then the two agree."""
    heat, control, room = forecast.heat, plan.control, plan.room.temperature
    cold = room.low if room is not None else 20.0
    box = plan.egg_boxes[index] if index < len(plan.egg_boxes) else EggBox("")
    boxes = forecast.egg_boxes
    if entry == "tier":
        return replace(plan, control=replace(control, probe=replace(control.probe, tier="lower")))
    if entry == "litre_mass":
        return replace(plan, egg_boxes=tuple(map(weighed, plan.egg_boxes)))
    set_to = control.set_to or 0.0
    usual = (set_to - room.middle) / (set_to - cold) if room is not None else 1.0
    give: dict[str, Callable[[], dict[str, Any]]] = {
        "heater_on": lambda: {"energy": Energy(at(heat.watts_needed) * DAY, DAY, cold, set_to, 0.0)},
        "heater_face": lambda: {"heater_face": HeaterFace(at(heat.heater_surface), cold, set_to)},
        "switched_off": lambda: {"switched_off": fall(forecast, control.coldest or 0.0, cold)},
        "warm_up": lambda: {"warm_up": WarmUp(at(heat.warm_up_hours), cold)},
        "swing": lambda: {"swing": at(heat.swing)},
        "outer_humidity": lambda: {"outer_humidity": at(heat.outer_humidity)},
        "boxes": lambda: {"boxes": thermometers(plan, box, usual)},
        "lids": lambda: {"lids": (WeighedLid(box.name, at(boxes[index].water.water_loss) * 7 * DAY, 7 * DAY),)},
        "medium_holds": lambda: {"medium_holds": MediumHolds(box.name, held(box))},
        "offsets": lambda: {"offsets": (IcePoint(THERMOSTAT, 0.0),)},
    }  # fmt: skip
    return replace(plan, measured=replace(plan.measured, **give[entry.removeprefix("measured.")]()))


def thermometers(plan: Plan, box: EggBox, usual: float) -> tuple[MeasuredMedium, ...]:
    """Medium and lid of each layer as forecast, in the usual room."""
    found, set_to = forecast_heat(plan, situation_for(plan).species), plan.control.set_to or 0.0
    layers = {"lower": found.lower, "upper": found.upper}
    step = usual * at(found.heat.spread) / 2.0
    signed = (
        -step
        if found.upper and at(found.lower.medium_temperature) > at(found.upper.medium_temperature)
        else step
    )
    return tuple(
        MeasuredMedium(box.name, name, medium, medium + usual * at(layer.lid_minus_medium), name)
        for name, layer, medium in (
            ("lower", layers["lower"], set_to - signed), ("upper", layers["upper"] or layers["lower"], set_to + signed)
        )
    )  # fmt: skip


def fall(forecast: Forecast, set_to: float, cold: float) -> SwitchedOff:
    lost = forecast.heat.hours_to_lose_3_K
    if isinstance(lost, Figure):
        return SwitchedOff(set_to, set_to - 3.0, lost.value, cold)
    return SwitchedOff(set_to, at(forecast.heat.medium_after_12_h), 12 * 3600.0, cold)


def weighed(box: EggBox) -> EggBox:
    known = known_medium(box.medium)
    mass = None if known is None else known.bulk_density.typical * 1e-3
    return replace(box, medium=replace(box.medium, litre_mass=mass))


def held(box: EggBox) -> float:
    known = known_medium(box.medium)
    assert known is not None
    return drained_of(known).typical


@pytest.mark.parametrize("name", PLANS)
def test_giving_the_entry_that_matters_most_narrows_the_figure(name: str) -> None:
    plan, forecast = read(PLANS[name])
    after: dict[tuple[str, int], dict[tuple[str, int, str], Figure]] = {}
    for key, figure in figures_of(forecast).items():
        if not figure.matters_most:
            continue
        entries = [
            one for one in ENTRY.findall(figure.matters_most) if one in ("tier", "litre_mass") or "." in one
        ]
        if not entries:
            assert "nobody" in figure.matters_most, (key, figure.matters_most)
            continue
        where = key[1] if key[0] == "egg box" else 0
        entry = entries[0]
        if (entry, where) not in after:
            given = told(plan, forecast, entry, where)
            after[entry, where] = figures_of(situation_for(given).forecast)
        now = after[entry, where][key]
        assert now.high - now.low < figure.high - figure.low, (
            key,
            entry,
            figure.low,
            figure.high,
            now.low,
            now.high,
        )
