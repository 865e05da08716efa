"""Cases of the rules on logs: each YAML file in `trial` and `follow` holds those of the rule it is named after.

A case is a plan fragment (as for the other rules) and what the `log` tells; `logs.py` tells all words. It expects `clear`, a
list of findings ({severity, path, says}), or {not_judged: [needs]}.
"""

from pathlib import Path
from typing import Any

import pytest
import yaml
from msgspec.structs import replace

from advisor.model.findings import Finding, NotJudged
from advisor.rules import (
    ALL_RULE_IDS,
    FOLLOW_RULE_IDS,
    TRIAL_RULE_IDS,
    follow_rule_modules,
    rule_by_id,
    trial_rule_modules,
)
from advisor.rules.engine import ask, judge
from tests.rules.logs import follow_situation, trial_of, trial_situation
from tests.support import ROOT, situation_of

HERE = Path(__file__).parent
KINDS = {
    "trial": (TRIAL_RULE_IDS, trial_rule_modules(), trial_situation),
    "follow": (FOLLOW_RULE_IDS, follow_rule_modules(), follow_situation),
}
MODULES = {module.RULE.id: module for _, modules, _ in KINDS.values() for module in modules}


def answers(rule_id: str, plan: dict[str, Any], log: dict[str, Any]) -> list[Finding | NotJudged]:
    module, (_, _, situation) = MODULES[rule_id], KINDS[rule_id.split("-")[0]]
    return ask(module.RULE, module.check, situation(plan, log))


def loaded(text: str) -> Any:
    return yaml.load(text, Loader=yaml.BaseLoader)


FILES = {
    f"{kind}-{path.stem.replace('_', '-')}": path for kind in KINDS for path in (HERE / kind).glob("*.yaml")
}
CASES = [
    pytest.param(rule_id, case, id=f"{rule_id}: {case['name']}")
    for rule_id, path in sorted(FILES.items())
    for case in loaded(path.read_text("utf-8"))
]


@pytest.mark.parametrize(("rule_id", "case"), CASES)
def test_case(rule_id: str, case: dict[str, Any]) -> None:
    found = answers(rule_id, case.get("plan", {}), case.get("log", {}))
    expected = case["expect"]
    wanted = expected if isinstance(expected, list) else []
    findings = [answer for answer in found if isinstance(answer, Finding)]
    assert [(one.severity, one.path) for one in findings] == [
        (one["severity"], one["path"]) for one in wanted
    ]
    for one, want in zip(findings, wanted, strict=True):
        assert want.get("says", "") in f"{one.message} {one.remedy}"
    missing = sorted({need for answer in found if isinstance(answer, NotJudged) for need in answer.needs})
    assert missing == sorted(expected.get("not_judged", []) if isinstance(expected, dict) else [])


@pytest.mark.parametrize("rule_id", MODULES)
def test_rule_has_cases_of_each_kind_and_its_fragments_hold(rule_id: str) -> None:
    expected = [case["expect"] for case in loaded(FILES[rule_id].read_text("utf-8"))]
    assert any(isinstance(one, list) for one in expected)
    assert "clear" in expected
    assert any(isinstance(one, dict) for one in expected)
    rule = MODULES[rule_id].RULE
    for text, fires in ((rule.bad, True), (rule.good, False)):
        fragment = loaded(text)
        found = answers(
            rule_id, {key: value for key, value in fragment.items() if key != "log"}, fragment["log"]
        )
        assert any(isinstance(one, Finding) for one in found) == fires


@pytest.mark.parametrize("rule_id", MODULES)
def test_rule_is_a_manual_page(rule_id: str) -> None:
    rule = rule_by_id(rule_id)
    assert rule is MODULES[rule_id].RULE and rule.id == rule_id and rule_id in ALL_RULE_IDS
    assert len(rule.title) <= 70 and not rule.title.endswith(".")
    assert 2 <= rule.explanation.count(". ") + 1 <= 6
    assert " should " not in rule.explanation
    assert rule.remedy[0].isupper() and rule.remedy.endswith(".")


@pytest.mark.parametrize("kind", KINDS)
def test_registry_is_the_folder(kind: str) -> None:
    folder = {path.stem for path in (ROOT / "advisor" / "rules" / kind).glob("*.py")} - {"__init__", "shared"}
    found = {f"{kind}-{name.replace('_', '-')}" for name in folder}
    assert found == set(KINDS[kind][0]) == {rule_id for rule_id in FILES if rule_id.startswith(f"{kind}-")}


@pytest.mark.parametrize(("kind", "log"), [("trial", {}), ("follow", {"not_seen": ["sensor moved"]})])
def test_what_the_log_cannot_tell_is_not_judged(kind: str, log: dict[str, Any]) -> None:
    identifiers, modules, situation = KINDS[kind]
    report = judge(situation({}, log), modules)
    assert not report.findings
    assert {answer.rule for answer in report.not_judged} == set(identifiers)


@pytest.mark.parametrize(("rule_id", "log"), [("trial-too-warm", "warmest"), ("trial-too-cold", "coldest")])
@pytest.mark.parametrize("others", [(), ("exempla-communis", "exempla-incerta")])
def test_a_log_is_not_judged_for_just_the_species_that_tell_no_band(
    rule_id: str, log: str, others: tuple[str, ...]
) -> None:
    plan = {"clutches": [{"species": one} for one in ("exempla-nullius", *others)]}
    situation = replace(situation_of(plan, HERE / "species_heat"), trial=trial_of({log: "28 °C"}))
    (answer,) = ask(MODULES[rule_id].RULE, MODULES[rule_id].check, situation)
    assert isinstance(answer, NotJudged)
    assert answer.needs == ("species/exempla-nullius.yaml: tolerated",)


def test_an_accepted_trial_rule_is_accepted_here_and_passed_over_in_the_plan() -> None:
    accept = {
        "accept": [
            {"rule": "trial-swings", "because": "a test"},
            {"rule": "air-no-holes", "because": "a test"},
        ]
    }
    assert "trial-swings" in ALL_RULE_IDS
    report = judge(trial_situation(accept, {"swing": "2.4 K"}), trial_rule_modules())
    assert [risk.rule for risk in report.accepted] == ["trial-swings"]
    assert not report.findings
    report = judge(trial_situation(accept, {"swing": "0.2 K"}), trial_rule_modules())
    assert [finding.rule for finding in report.findings] == ["plan-acceptance-unused"]
