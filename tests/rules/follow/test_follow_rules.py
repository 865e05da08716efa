"""Cases of the rules on a log with eggs inside: each YAML file beside this one holds those of the rule it is named after.

A case is a plan fragment and what the `log` tells of its first clutch: `hot` or `cold` a spell {hours, extreme, harm}, `aim` and
`tolerated` minutes outside {below, above, now}, `gaps` a list of {hours, share, sensitive}, `male_share`, `undecided`, `days`
and `planned_days` as for the rules on a trial run, `events` a list of {kind, moved}, `not_seen`, `settled`, `hatched`. What is not given, the log can't
tell. It expects `clear`, a list of findings, or {not_judged: [needs]}.
"""

import datetime
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import fields, replace

from advisor.model.figures import Unknown
from advisor.model.findings import Finding, NotJudged
from advisor.model.follow import ClutchFollowed, Event, Followed, Outcome, Outside, Spell, Unlogged
from advisor.rules import FOLLOW_RULE_IDS, follow_rule_modules, known_rule_ids, rule_by_id
from advisor.rules.engine import ask, judge
from tests.rules.trial.test_trial_rules import AT, UNTOLD, figure, loaded
from tests.support import situation_of

HERE = Path(__file__).parent
MODULES = {module.RULE.id: module for module in follow_rule_modules()}
LOGGED = 30 * 1440.0


def spells(log: dict[str, Any]) -> tuple[Spell, ...]:
    return tuple(
        Spell(
            side,
            AT,
            AT + 3600 * float(log[side]["hours"]),
            float(log[side]["hours"]),
            figure(log[side]["extreme"]).value,
            log[side]["harm"].replace("none", ""),
            "daily" in log[side],
        )
        for side in ("hot", "cold")
        if side in log
    )


def clutch_of(species: str, log: dict[str, Any]) -> ClutchFollowed:
    told: dict[str, Any] = {entry.name: Unknown(UNTOLD) for entry in fields(ClutchFollowed)}
    told |= {"species": species, "day": 30.0, "undecided": None, "settled": "settled" in log}
    told |= {name: None for name in ("laid", "eggs_left", "growing", "hatch_window", "planned_window", "sensitive", "outcome")}  # fmt: skip
    if "hatched" in log:
        day = datetime.date(2027, 7, 10)
        told["outcome"] = Outcome(day, day, 12, (), Unknown(UNTOLD))
    for name in ("male_share", "undecided", "days", "planned_days"):
        if name in log:
            told[name] = figure(log[name])
    for name in ("aim", "tolerated"):
        if name in log or "hot" in log or "cold" in log:
            minutes = {"below": "0", "above": "0", **log.get(name, {})}
            told[name] = Outside(float(minutes["below"]), float(minutes["above"]), LOGGED, "now" in minutes)
    if {"hot", "cold", "aim", "tolerated"} & set(log):
        told["spells"] = spells(log)
    if "gaps" in log:
        told["gaps"] = tuple(
            Unlogged(
                AT,
                AT + 3600 * float(gap["hours"]),
                float(gap["share"]),
                float(gap["share"]),
                "sensitive" in gap,
            )
            for gap in log["gaps"]
        )
    return ClutchFollowed(**told)


def situation(plan: dict[str, Any], log: dict[str, Any]) -> Any:
    base = situation_of(plan)
    clutches = tuple(clutch_of(clutch.species, log) for clutch in base.plan.clutches)
    events = tuple(
        Event(one["kind"], "T1", AT, AT + 600, 27.0, figure(one["moved"]).value)
        for one in log.get("events", ())
    )
    return replace(
        base, followed=Followed(AT, AT + LOGGED * 60, clutches, events, tuple(log.get("not_seen", ())))
    )


def answers(rule_id: str, plan: dict[str, Any], log: dict[str, Any]) -> list[Finding | NotJudged]:
    module = MODULES[rule_id]
    return ask(module.RULE, module.check, situation(plan, log))


FILES = {f"follow-{path.stem.replace('_', '-')}": path for path in HERE.glob("*.yaml")}
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


@pytest.mark.parametrize("rule_id", FOLLOW_RULE_IDS)
def test_rule_has_cases_of_each_kind_and_its_fragments_hold(rule_id: str) -> None:
    expected = [case["expect"] for case in loaded(FILES[rule_id].read_text("utf-8"))]
    assert any(isinstance(one, list) for one in expected)
    assert "clear" in expected
    assert any(isinstance(one, dict) for one in expected)
    rule = MODULES[rule_id].RULE
    for text, fires in ((rule.bad, True), (rule.good, False)):
        found = answers(rule_id, {}, loaded(text)["log"])
        assert any(isinstance(one, Finding) for one in found) == fires


@pytest.mark.parametrize("rule_id", FOLLOW_RULE_IDS)
def test_rule_is_a_manual_page(rule_id: str) -> None:
    rule = rule_by_id(rule_id)
    assert rule is MODULES[rule_id].RULE and rule.id == rule_id and rule_id in known_rule_ids()
    assert len(rule.title) <= 70 and not rule.title.endswith(".")
    assert 2 <= rule.explanation.count(". ") + 1 <= 6
    assert " should " not in rule.explanation
    assert rule.remedy[0].isupper() and rule.remedy.endswith(".")


def test_registry_is_the_folder() -> None:
    folder = {path.stem for path in (HERE.parents[2] / "advisor" / "rules" / "follow").glob("*.py")} - {
        "__init__",
        "shared",
    }
    assert {f"follow-{name.replace('_', '-')}" for name in folder} == set(FOLLOW_RULE_IDS) == set(FILES)


def test_what_the_log_cannot_tell_is_not_judged() -> None:
    report = judge(situation({}, {"not_seen": ["sensor moved"]}), follow_rule_modules())
    assert not report.findings
    assert {answer.rule for answer in report.not_judged} == set(FOLLOW_RULE_IDS)
