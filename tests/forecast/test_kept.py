"""A forecast that was kept is the one that would be computed."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from advisor.advice.entries import with_entry
from advisor.assess import assess_document
from advisor.forecast import forecast_plan, without_care
from advisor.forecast.heat.steady import forecast_heat
from advisor.reading.marks import path_key
from advisor.reading.yaml_text import read_yaml
from tests.support import ROOT

PLANS = [*sorted((ROOT / "examples").glob("*.yaml")), *sorted((ROOT / "tests/setups/sound").glob("*.yaml"))]
CARE = {
    "watching": {"thermometers": 3, "alarm": "yes"},
    "checks": {"opens": "egg boxes", "lasting": "60 s", "rhythm": [{"every": "2 days"}]},
    "trial_run": {"days": 3},
    "people": {"residual_current_device": "no", "children_under_five": "yes"},
    "clutches[0].looked_for": "every 3 days",
    "clutches[0].marked": "no",
    "clutches[0].laying": {"expected": "2028-01-01 to 2028-02-01"},
    "clutches[0].placed": "on the surface",
    "clutches[0].cool_period": {"at": "15 °C", "days": 30},
}


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_heat_does_not_depend_on_care(path: Path) -> None:
    document = read_yaml(path)
    data = document.data
    for entry, value in CARE.items():
        data = with_entry(data, path_key(entry), value)
    situation = assess_document(replace(document, data=data)).situation
    whole = forecast_heat(situation.plan, situation.species)
    assert forecast_heat(without_care(situation.plan), situation.species) == whole
    kept = forecast_plan(without_care(situation.plan), situation.species)
    assert forecast_plan(situation.plan, situation.species).heat == kept.heat
