"""What holds for every shipped profile: rules about a figure stay silent inside the profile's own range of it."""

from typing import Any

import pytest

from advisor.model.findings import FIX, STOP, Finding
from advisor.model.species import Species
from advisor.rules import rule_modules
from advisor.rules.engine import ask
from tests.profiles import PROFILES
from tests.support import situation_of

MODULES = {module.RULE.id: module for module in rule_modules()}


def findings(rule: str, plan: Any) -> list[Finding]:
    answers = ask(MODULES[rule].RULE, MODULES[rule].check, situation_of(plan))
    return [answer for answer in answers if isinstance(answer, Finding)]


@pytest.mark.parametrize("species", PROFILES.values(), ids=PROFILES)
def test_a_room_that_stays_in_the_usual_band_is_nothing_to_put_right(species: Species) -> None:
    if species.aim is None:
        pytest.skip("no usual band is known")
    for set_to in (species.aim.low, species.aim.high):
        plan = {
            "room": {"temperature": f"18 to {species.aim.high:.3f} °C"},
            "control": {"set_to": f"{set_to:.3f} °C"},
            "clutches": [{"species": species.id}],
        }
        assert all(answer.severity not in (FIX, STOP) for answer in findings("heat-room-too-warm", plan))
