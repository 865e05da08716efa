"""Runs the rule cases: each YAML file beside this one holds cases of the rule it is named after.

A case is a plan fragment merged onto a minimal plan (`format: 1`, one corn-snake clutch); null removes an entry. It expects
`clear`, a list of findings ({severity, path, says}; if need be with the whole `remedy`, `sources`, `evidence`, `levers` and
the names of the `figures`), or {not_judged: [paths]}; {findings: [...], not_judged: [...]} asks for
both. The whole answer of the rule must match: nothing more, nothing less. `species_dir` (optional) names a folder beside
this file with profiles of invented species, for what no shipped profile says.

`figures` sets figures of the forecast by path, as [value, low, high] in SI, so that a limit is tested without its formulas.

Rules that rest on a forecast need a plan told in full: `base` names such a plan in bases/, onto which `plan` is merged;
`set` then gives single entries by their path, or takes them out (null). A case with `without_each: [paths]` stands for one case a path: without
that entry the rule must answer "not judged" and name it, and nothing else.
"""

import inspect
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.model.findings import Finding, NotJudged
from advisor.reading.species import load_species
from advisor.rules import RULE_IDS, engine, rule_modules
from tests.changes import changed
from tests.support import merged, situation_of

HERE = Path(__file__).parent
MODULES = {module.RULE.id: module for module in rule_modules()}


LOADER = getattr(yaml, "CBaseLoader", yaml.BaseLoader)  # text stays text; the quick one where there is one


def loaded(path: Path) -> Any:
    return yaml.load(path.read_text(encoding="utf-8"), Loader=LOADER)


def plan_of(case: dict[str, Any]) -> Any:
    base = loaded(HERE / "bases" / f"{case['base']}.yaml") if "base" in case else {}
    plan = merged(base, case.get("plan", {}))
    for path, value in case.get("set", {}).items():
        plan = changed(plan, path, None if value == "null" else value)
    return plan


def cases_in(path: Path) -> Iterator[dict[str, Any]]:
    """The cases of a file, each with its whole plan."""
    for case in loaded(path):
        whole = {**case, "plan": plan_of(case)}
        if "without_each" not in case:
            yield whole
        for entry in case.get("without_each", ()):
            plan = changed(whole["plan"], entry)
            assert plan != whole["plan"], entry
            name = f"{case['name']}: {entry}"
            yield {**whole, "name": name, "plan": plan, "expect": {"not_judged": [entry]}}


CASES = [
    pytest.param(path.stem.replace("_", "-"), case, id=f"{path.stem}: {case['name']}")
    for path in sorted(HERE.glob("*.yaml"))
    for case in cases_in(path)
]


def answers(
    rule_id: str, plan: Any, species_dir: str | None = None, figures: dict[str, list[str]] | None = None
) -> list[Finding | NotJudged]:
    module = MODULES[rule_id]
    own_species = HERE / species_dir if species_dir else None
    return engine.ask(module.RULE, module.check, situation_of(plan, own_species, figures))


@pytest.mark.parametrize(("rule_id", "case"), CASES)
def test_case(rule_id: str, case: dict[str, Any]) -> None:
    found = answers(rule_id, case["plan"], case.get("species_dir"), case.get("figures"))
    expected = case["expect"]
    if expected == "clear":
        expected = {}
    elif isinstance(expected, list):
        expected = {"findings": expected}
    findings = [answer for answer in found if isinstance(answer, Finding)]
    missing = sorted({path for answer in found if isinstance(answer, NotJudged) for path in answer.needs})
    wanted = expected.get("findings", [])
    assert [(answer.severity, answer.path) for answer in findings] == [
        (want["severity"], want["path"]) for want in wanted
    ]
    for answer, want in zip(findings, wanted, strict=True):
        assert want.get("says", "") in f"{answer.message} {answer.remedy}"
        told = {"remedy": answer.remedy, "sources": list(answer.sources), "evidence": answer.evidence}
        told |= {"figures": [name for name, _ in answer.figures], "levers": list(answer.levers)}
        assert {key: told[key] for key in told.keys() & want.keys()} == {
            key: want[key] for key in told.keys() & want.keys()
        }
    assert missing == sorted(expected.get("not_judged", []))


@pytest.mark.parametrize("rule_id", RULE_IDS)
def test_bad_fragment_fires_and_good_fragment_is_clear(rule_id: str) -> None:
    rule = MODULES[rule_id].RULE
    bad = answers(rule_id, yaml.load(rule.bad, Loader=yaml.BaseLoader), "profiles")
    assert any(isinstance(answer, Finding) for answer in bad)
    assert answers(rule_id, yaml.load(rule.good, Loader=yaml.BaseLoader), "profiles") == []


@pytest.mark.parametrize("rule_id", RULE_IDS)
def test_rule_has_cases_that_fire_stay_silent_and_cannot_judge(rule_id: str) -> None:
    path = HERE / f"{rule_id.replace('-', '_')}.yaml"
    expected = [case["expect"] for case in cases_in(path)]
    assert any(isinstance(answer, list) or "findings" in answer for answer in expected if answer != "clear")
    assert "clear" in expected
    module = MODULES[rule_id]
    can_lack = bool(module.RULE.needs) or bool(
        re.search(r"\b(NotJudged|Lacking|known)\(", inspect.getsource(module))
    )
    assert any(isinstance(answer, dict) and "not_judged" in answer for answer in expected) == can_lack


def test_no_case_asks_for_words_that_the_fixed_remedy_says_anyway() -> None:
    # Such words are found whatever the message tells.
    for path in HERE.glob("*.yaml"):
        remedy = MODULES[path.stem.replace("_", "-")].RULE.remedy
        for case in cases_in(path):
            expected = (
                case["expect"].get("findings", []) if isinstance(case["expect"], dict) else case["expect"]
            )
            for want in expected if isinstance(expected, list) else ():
                says = want.get("says")
                assert not says or says not in remedy, case["name"]


def test_registry_is_the_folder() -> None:
    folder = {
        path.stem.replace("_", "-")
        for path in (HERE.parents[1] / "advisor" / "rules").glob("*.py")
        if path.stem not in ("__init__", "engine", "hidden", "shared")
    }
    assert sorted(folder) == sorted(RULE_IDS)


@pytest.mark.parametrize("rule_id", RULE_IDS)
def test_rule_is_a_manual_page(rule_id: str) -> None:
    rule = MODULES[rule_id].RULE
    assert rule.id == rule_id
    assert len(rule.title) <= 70 and not rule.title.endswith(".")
    assert 2 <= rule.explanation.count(". ") + 1 <= 6
    assert " should " not in rule.explanation
    assert rule.remedy[0].isupper() and rule.remedy.endswith(".")
    assert rule.sources


def test_profiles_named_in_cases_exist() -> None:
    assert load_species("pantherophis-guttatus").aim is not None


def test_merge_removes_entries_with_null() -> None:
    assert merged({"a": {"b": "1", "c": "2"}}, {"a": {"b": None}}) == {"a": {"c": "2"}}
