"""Flows of water that one finding tells stand in one unit: "0.9 oz a day" beside "0 tsp a day" can't be compared."""

import re
from itertools import product

import pytest

from advisor.rules import engine, rule_modules
from tests.changes import changed
from tests.rules.test_rules import HERE, loaded
from tests.support import situation_of

FLOW = re.compile(r"[\d.)] ?(g|tsp|oz) (?:of water )?a day")
WATER_RULES = ("heat-from-below-wet-medium", "heat-condensation-on-lid")


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("place", ["floor", "one side", "lid"])
def test_flows_of_one_finding_stand_in_one_unit(place: str, units: str) -> None:
    told = set()
    for size, room, stands in product(
        ("20 x 14 x 9 cm", "55 x 35 x 18 cm"), ("5 to 10 °C", "20 to 24 °C"), ("on a rack", "on the floor")
    ):
        plan = loaded(HERE / "bases" / "heat_box.yaml")
        changes = {
            "units": units,
            "heat.place": place,
            "room.temperature": room,
            "egg_boxes.0.inside": size,
            "egg_boxes.0.count": "1",
            "egg_boxes.0.stands": stands,
        }
        for path, value in changes.items():
            plan = changed(plan, path, value)
        report = engine.judge(situation_of(plan, HERE / "species_heat"), rule_modules())
        for finding in report.findings:
            if finding.rule in WATER_RULES:
                text = f"{finding.message} {finding.remedy}"
                assert len(set(FLOW.findall(text))) <= 1, text
                told.update(FLOW.findall(text))
    if place == "floor":
        assert told == ({"tsp", "oz"} if units == "us" else {"g"})
