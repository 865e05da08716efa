"""What a remedy says with a number, put literally into the plan: it fits, it clears its rule, it wakes no sibling.

The plans are drawn from ranges that keepers use; nothing here knows how a remedy was reckoned.
"""

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.model.findings import Finding
from advisor.model.species import Species
from advisor.rules import rule_modules
from advisor.rules.engine import ask
from tests.profiles import PROFILES
from tests.support import situation_of

HERE = Path(__file__).parent


MODULES = {module.RULE.id: module for module in rule_modules()}


WATER_BOX = yaml.load((HERE / "bases" / "water_box.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)


def findings(plan: Any, *rules: str, own: str | None = None) -> list[Finding]:
    situation = situation_of(plan, HERE / own if own else None)
    answers = [answer for rule in rules for answer in ask(MODULES[rule].RULE, MODULES[rule].check, situation)]
    return [answer for answer in answers if isinstance(answer, Finding)]


SOFT = [species for species in PROFILES.values() if species.aim and species.medium.water]


@pytest.mark.parametrize("species", PROFILES.values(), ids=lambda species: species.id)
def test_the_band_to_stay_in_is_named(species: Species) -> None:
    band = species.aim or species.tolerated
    plan = {"control": {"set_to": "28 °C"}, "clutches": [{"species": species.id, "wanted": "any"}]}
    for found in findings(plan, "profile-thin-evidence"):
        middle = re.search(
            r"Stay near (-?[\d.]+) °C, the middle of the (usual|tolerated) band of", found.remedy
        )
        if band is None:
            assert "No band is known" in found.remedy
            continue
        assert middle and float(middle[1]) == pytest.approx((band.low + band.high) / 2, abs=0.06)
        assert (middle[2] == "usual") == (species.aim is not None)
