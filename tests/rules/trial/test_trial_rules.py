"""Cases of the rules on a trial run's log: each YAML file beside this one holds those of the rule it is named after.

A case is a plan fragment (as for the other rules) and what the `log` tells: fields of `Trial`, each a number with its unit, or
"low to high UNIT" for a range round its middle; `never_settles: yes`; `stuck` a list of sensors, and `length` that of the log. What is not
given, the log can't tell. It expects `clear`, a list of findings ({severity, path, says}), or {not_judged: [needs]}.
"""

import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from msgspec.structs import fields, replace

from advisor.model.figures import Figure, Unknown
from advisor.model.findings import Finding, NotJudged
from advisor.model.trial import Extreme, Stuck, StuckSensor, Trial
from advisor.rules import TRIAL_RULE_IDS, known_rule_ids, rule_by_id, trial_rule_modules
from advisor.rules.engine import ask, judge
from tests.support import situation_of

HERE = Path(__file__).parent
MODULES = {module.RULE.id: module for module in trial_rule_modules()}
UNTOLD = "this log does not tell"
AT = 1_808_244_000.0  # 2027-04-20 18:00
TOLD = re.compile(r"(-?[\d.]+)(?: to (-?[\d.]+))? ?(.*)")
FACTORS = {
    "°C": (1.0, "temperature"),
    "K": (1.0, "step"),
    "h": (3600.0, "hours"),
    "days": (1.0, "days"),
    "": (1.0, "share"),
}
EXTREMES = ("coldest", "warmest", "overshoot")


def figure(text: str) -> Figure:
    found = TOLD.fullmatch(str(text))
    assert found, text
    factor, quantity = FACTORS[found[3]]
    low = float(found[1]) * factor
    high = float(found[2]) * factor if found[2] else low
    return Figure((low + high) / 2, low, high, quantity)


def stuck_sensor(told: dict[str, str]) -> StuckSensor:
    value, since, hours, moved = (float(told[key]) for key in ("value", "since", "hours", "moved"))
    return StuckSensor(told["name"], value, since, hours, told["other"], moved)


def trial_of(log: dict[str, Any]) -> Trial:
    untold: dict[str, Any] = {entry.name: Unknown(UNTOLD) for entry in fields(Trial)}
    days = figure(log.pop("length", "6 days")).value
    trial = Trial(
        **{
            **untold,
            "start": AT,
            "end": AT + days * 86_400,
            "never_settles": False,
            "sensors": (),
            "steady": figure("5 days"),
        }
    )
    for name, told in log.items():
        value: Any = told
        if name == "stuck":
            value = Stuck(tuple(stuck_sensor(one) for one in told))
        elif name == "never_settles":
            value = told == "yes"
        else:
            value = Extreme(figure(told), AT) if name in EXTREMES else figure(told)
        trial = replace(trial, **{name: value})
    return trial


def situation(plan: dict[str, Any], log: dict[str, Any]) -> Any:
    return replace(situation_of(plan), trial=trial_of(dict(log)))


def answers(rule_id: str, plan: dict[str, Any], log: dict[str, Any]) -> list[Finding | NotJudged]:
    module = MODULES[rule_id]
    return ask(module.RULE, module.check, situation(plan, log))


def loaded(text: str) -> Any:
    return yaml.load(text, Loader=yaml.BaseLoader)


FILES = {f"trial-{path.stem.replace('_', '-')}": path for path in HERE.glob("*.yaml")}
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


@pytest.mark.parametrize("rule_id", TRIAL_RULE_IDS)
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


@pytest.mark.parametrize("rule_id", TRIAL_RULE_IDS)
def test_rule_is_a_manual_page(rule_id: str) -> None:
    rule = rule_by_id(rule_id)
    assert rule is MODULES[rule_id].RULE and rule.id == rule_id
    assert len(rule.title) <= 70 and not rule.title.endswith(".")
    assert 2 <= rule.explanation.count(". ") + 1 <= 6
    assert " should " not in rule.explanation
    assert rule.remedy[0].isupper() and rule.remedy.endswith(".")


def test_registry_is_the_folder() -> None:
    folder = {path.stem for path in (HERE.parents[2] / "advisor" / "rules" / "trial").glob("*.py")} - {
        "__init__",
        "shared",
    }
    assert {f"trial-{name.replace('_', '-')}" for name in folder} == set(TRIAL_RULE_IDS) == set(FILES)


def test_what_the_log_cannot_tell_is_not_judged() -> None:
    report = judge(situation({}, {}), trial_rule_modules())
    assert not report.findings
    assert {answer.rule for answer in report.not_judged} == set(TRIAL_RULE_IDS)


def test_an_accepted_trial_rule_is_accepted_here_and_passed_over_in_the_plan() -> None:
    accept = {
        "accept": [
            {"rule": "trial-swings", "because": "a test"},
            {"rule": "air-no-holes", "because": "a test"},
        ]
    }
    assert "trial-swings" in known_rule_ids()
    report = judge(situation(accept, {"swing": "2.4 K"}), trial_rule_modules())
    assert [risk.rule for risk in report.accepted] == ["trial-swings"]
    assert not report.findings
    report = judge(replace(situation(accept, {"swing": "0.2 K"})), trial_rule_modules())
    assert [finding.rule for finding in report.findings] == ["plan-acceptance-unused"]
