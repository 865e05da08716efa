"""What a remedy says with a number, put literally into the plan: it fits, it clears its rule, it wakes no sibling.

The plans are drawn from ranges that keepers use; nothing here knows how a remedy was reckoned.
"""

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.model.findings import Finding
from advisor.rules import rule_modules
from advisor.rules.engine import ask
from tests.changes import changed
from tests.support import situation_of

HERE = Path(__file__).parent
MODULES = {module.RULE.id: module for module in rule_modules()}
HEAT_BOX = yaml.load((HERE / "bases" / "heat_box.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
HEATER_RULES = ("heat-too-weak-for-room", "heat-stuck-on-harms-eggs")


def findings(plan: Any, *rules: str, own: str | None = None) -> list[Finding]:
    situation = situation_of(plan, HERE / own if own else None)
    answers = [answer for rule in rules for answer in ask(MODULES[rule].RULE, MODULES[rule].check, situation)]
    return [answer for answer in answers if isinstance(answer, Finding)]


def with_entries(plan: Any, entries: dict[str, Any]) -> Any:
    for path, value in entries.items():
        plan = changed(plan, path, value)
    return plan


HEATERS = [
    ("20 °C", "5 W", "30 mm", "none"),
    ("20 °C", "60 W", "30 mm", "none"),
    ("22 to 24 °C", "3 W", "30 mm", "none"),
    ("22 to 24 °C", "40 W", "40 mm", "none"),
    ("12 to 26 °C", "10 W", "30 mm", "none"),
    ("12 to 26 °C", "200 W", "20 mm", "none"),
    ("19 to 21 °C", "7 W", "60 mm", {"set_to": "30 °C"}),
    ("19 to 21 °C", "90 W", "60 mm", {"set_to": "30 °C"}),
]


@pytest.mark.parametrize(("room", "power", "wall", "cut_out"), HEATERS)
def test_a_heater_that_one_rule_names_suits_the_other(room: str, power: str, wall: str, cut_out: Any) -> None:
    entries = {
        "room.temperature": room,
        "heat.power": power,
        "outer_box.wall.thickness": wall,
        "control.cut_out": cut_out,
    }
    plan = with_entries(HEAT_BOX, entries)
    found = findings(plan, *HEATER_RULES, own="species_heat")
    assert found
    named = [re.findall(r"a heater of ([\d.]+)(?: to ([\d.]+))? W", answer.remedy) for answer in found]
    windows = {window for told in named for window in told}
    alone = any("No heater both holds" in answer.remedy for answer in found)
    assert len(windows) <= 1 and (windows or alone)
    for end in {end for window in windows for end in window if end}:
        mended = changed(plan, "heat.power", f"{end} W")
        # Where no heater is harmless, one for the coldest room is named all the same, and a cut-out with it.
        rules = HEATER_RULES[:1] if alone else HEATER_RULES
        assert findings(mended, *rules, own="species_heat") == []
