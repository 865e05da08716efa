"""What holds for every shipped profile: rules about a figure stay silent inside the profile's own range of it."""

from typing import Any

import pytest

from advisor.model.findings import FIX, STOP, Finding
from advisor.model.species import Species
from advisor.rules import rule_modules
from advisor.rules.eggs_cool_period_unsuited import is_borne
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


@pytest.mark.parametrize("species", PROFILES.values(), ids=PROFILES)
def test_the_cool_period_of_a_profile_is_no_fault_and_any_other_cold_is(species: Species) -> None:
    def found(at: str, days: str) -> list[Finding]:
        clutch = {"species": species.id, "cool_period": {"at": at, "days": days}}
        return findings("eggs-cool-period-unsuited", {"clutches": [clutch]})

    assert [answer.severity for answer in found("8 °C", "45")][:1] == [STOP]
    own = species.cool_period
    if own is not None:
        at = f"{own.at.low:.2f} to {own.at.high:.2f} °C"
        assert found(at, f"{own.days.low:.0f} to {own.days.high:.0f}") == []


@pytest.mark.parametrize("species", PROFILES.values(), ids=PROFILES)
def test_no_paper_orders_a_cool_period_that_a_rule_stops(species: Species) -> None:
    for tenths in range(50, 300, 15):
        clutch = {"species": species.id, "cool_period": {"at": f"{tenths / 10} °C", "days": "45"}}
        situation = situation_of({"clutches": [clutch]})
        planned = situation.plan.clutches[0].cool_period
        assert planned is not None
        module = MODULES["eggs-cool-period-unsuited"]
        answers = ask(module.RULE, module.check, situation)
        stopped = any(isinstance(answer, Finding) and answer.severity == STOP for answer in answers)
        assert stopped != is_borne(planned, species)
