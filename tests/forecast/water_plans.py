"""Plans for the tests of water, air and room: one clip-lid box with 14 eggs of 11 g, told in full, and changes of it."""

from collections.abc import Mapping
from typing import Any

import yaml

from advisor.forecast.egg_box.eggs import load_of
from advisor.forecast.egg_box.water_inputs import WaterModel, water_model
from advisor.model.figures import Figure, Result
from advisor.model.findings import Finding
from advisor.model.forecast import EggBoxForecast
from advisor.rules import engine, rule_modules
from advisor.rules.engine import Situation
from tests.changes import changed
from tests.support import ROOT, situation_of

USUAL = yaml.load((ROOT / "tests/rules/bases/water_box.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)

# 35 eggs of 1.35 g for most of a year (trade t11; mass of a relative's egg, Diaz-Paniagua & Cuadrado 2003).
CHAMELEON = {
    "clutches[0].species": "chamaeleo-calyptratus",
    "clutches[0].eggs": "35",
    "clutches[0].egg_mass": "1.35 g",
}


def volume_mix(parts: float) -> dict[str, str]:
    return {"medium": f"{parts:g}", "water": "1", "by": "volume"}


def mass_mix(water: float) -> dict[str, str]:
    return {"medium": "1", "water": f"{water:g}", "by": "mass"}


def fragment_with(changes: Mapping[str, Any]) -> Any:
    """The usual plan as a keeper writes it, with entries changed or, for None, left out."""
    fragment: Any = USUAL
    for path, value in changes.items():
        fragment = changed(fragment, path, value)
    return fragment


def situation_with(changes: Mapping[str, Any]) -> Situation:
    return situation_of(fragment_with(changes))


def box_with(changes: Mapping[str, Any]) -> EggBoxForecast:
    """The forecast of the egg box in the usual plan with changes."""
    return situation_with(changes).forecast.egg_boxes[0]


def model_with(changes: Mapping[str, Any]) -> WaterModel:
    """The water budget of that box."""
    situation = situation_with(changes)
    clutches = situation.forecast.clutches
    model = water_model(
        situation.plan,
        0,
        load_of(situation.plan, 0, situation.species, clutches),
        situation.forecast.heat.outer_humidity,
    )
    assert isinstance(model, WaterModel)
    return model


def findings_with(changes: Mapping[str, Any]) -> tuple[Finding, ...]:
    """All findings about water, air and eggs in the usual plan with changes."""
    report = engine.judge(situation_with(changes), rule_modules())
    return tuple(found for found in report.findings if found.rule.startswith(("moisture-", "air-", "eggs-")))


def severities(findings: tuple[Finding, ...]) -> dict[str, str]:
    return {found.rule: found.severity for found in findings}


def figure(result: Result) -> Figure:
    assert isinstance(result, Figure), result
    return result
