"""What the case files cannot say: text that must be absent, and one cause told once."""

from typing import Any

from advisor.model.findings import Finding
from advisor.rules import engine, rule_modules
from advisor.rules.sex_not_as_wanted import RULE, check
from tests.support import situation_of

NO_SPREAD = {"heat.spread": ["0", "0", "0"]}


def plan(set_to: str, wanted: str, checked: str) -> dict[str, Any]:
    return {
        "control": {"set_to": set_to, "checked_against": checked},
        "clutches": [{"species": "trachemys-scripta", "wanted": wanted}],
    }


def remedy(fragment: dict[str, Any]) -> str:
    (found,) = engine.ask(RULE, check, situation_of(fragment, figures=NO_SPREAD))
    assert isinstance(found, Finding)
    return found.remedy


def test_the_error_of_the_thermostat_is_told_only_where_it_changes_something() -> None:
    # Sliders: all females from about 30 °C (29.2 °C gives half, width 0.2 K: Noble et al. 2018), far from 28.1 °C.
    assert "off can make it" not in remedy(plan("30.5 °C", "males", "ice point"))


def test_a_missed_wish_is_not_told_a_second_time_as_too_close_to_call() -> None:
    fragment = plan("29.1 °C", "females", "nothing")
    report = engine.judge(situation_of(fragment, figures=NO_SPREAD), rule_modules())
    told = [finding.rule for finding in report.findings if finding.rule.startswith("sex-")]
    assert told == ["sex-not-as-wanted"]
    assert ("sex-too-close-to-call", "sex-not-as-wanted") in report.followers


def test_a_set_point_outside_the_band_and_the_data_is_told_once() -> None:
    report = engine.judge(situation_of({"control": {"set_to": "36 °C"}}), rule_modules())
    assert ("profile-outside-data", "heat-outside-species-band") in report.followers
