"""What the engine makes of the answers: paths, evidence, what is clear, accepted, and too little told."""

from collections.abc import Iterator
from typing import Any

from msgspec.structs import replace

from advisor.model.figures import Unknown
from advisor.model.findings import Finding, NotJudged
from advisor.rules import engine, rule_modules
from advisor.rules.engine import Case, evidence_of
from advisor.rules.shared import known
from tests.support import situation_of

UNSAFE = {"people": {"residual_current_device": "no"}}
RULE_ID = "people-no-residual-current-device"


def test_paths_are_those_of_the_plan() -> None:
    clutch = Case(situation_of({"egg_boxes": [{"name": "eggs"}]}), box_index=0, clutch_index=0)
    assert clutch.path("box.lid") == "egg_boxes[0].lid"
    assert clutch.path("clutch.parted") == "clutches[0].parted"
    assert clutch.path("clutch_forecast.hatch_window") == "clutches[0].laying.expected"
    assert clutch.path("species.sex") == "species/pantherophis-guttatus.yaml: sex"
    plan = Case(situation_of({}))
    assert plan.path("clutch_forecast.hatch_window") == "clutch_forecast.hatch_window"
    assert plan.path("heat.power") == "heat.power"


def test_egg_boxes_are_missing_only_when_there_are_none() -> None:
    assert Case(situation_of({})).missing(("egg_boxes",)) == ("egg_boxes",)
    assert Case(situation_of({"egg_boxes": [{"name": "eggs"}]})).missing(("egg_boxes",)) == ()


def test_evidence_names_each_grade_once_the_best_first() -> None:
    grades = {"one": "common practice", "two": "published", "three": "published"}
    assert evidence_of(("one", "two", "three"), grades) == "published, common practice"
    assert evidence_of(("not in the list",), grades) == "common practice"


def test_a_rule_is_clear_only_without_any_answer() -> None:
    report = engine.judge(situation_of(UNSAFE), rule_modules())
    told = {finding.rule for finding in report.findings} | {answer.rule for answer in report.not_judged}
    assert RULE_ID in told and "people-infection" not in report.clear
    assert "people-licence" in report.clear
    assert not told & set(report.clear)


def test_an_answer_about_a_clutch_names_it() -> None:
    report = engine.judge(situation_of({}), rule_modules())
    subjects = {answer.subject for answer in report.not_judged if answer.rule == "eggs-not-marked"}
    assert subjects == {"clutch 1 (corn snake)"}


def test_an_accepted_risk_leaves_the_findings_and_no_other_does() -> None:
    accepting: dict[str, Any] = {**UNSAFE, "accept": [{"rule": RULE_ID, "because": "on order"}]}
    plain, report = (engine.judge(situation_of(plan), rule_modules()) for plan in (UNSAFE, accepting))
    assert [(risk.rule, risk.because, risk.severity) for risk in report.accepted] == [
        (RULE_ID, "on order", "stop")
    ]
    assert [finding.rule for finding in report.accepted[0].findings] == [RULE_ID]
    assert [found for found in plain.findings if found.rule != RULE_ID] == list(report.findings)


def test_a_quarter_of_the_rules_may_be_left_open() -> None:
    def told(unjudged: int) -> list[Finding]:
        answers = [NotJudged(("heat.power",), f"rule-{number}") for number in range(unjudged)]
        return engine._too_little_told([*answers, *answers], 60)  # asked twice about one rule, counted once

    assert told(15) == []
    assert [finding.message[:11] for finding in told(16)] == ["16 of 60 ru"]


def test_what_the_engine_adds_comes_after_the_rules_of_its_severity() -> None:
    report = engine.judge(
        situation_of({**UNSAFE, "accept": [{"rule": "people-licence", "because": "x"}]}), rule_modules()
    )
    rules = [(finding.severity, finding.rule) for finding in report.findings]
    for severity, rule in (("note", "plan-acceptance-unused"), ("watch", "plan-mostly-not-judged")):
        assert [name for grade, name in rules if grade == severity][-1] == rule


def test_what_a_rule_has_found_stays_when_it_lacks_the_rest() -> None:
    # The rule is about each egg box: what one box lacks ends that one alone, told at its entry.
    def check(case: Case) -> Iterator[Finding]:
        yield Finding("note", f"This is {case.box.name}.", "box.lid")
        if case.box.name == "one":
            raise engine.Lacking("box.lid.holes")
        known(Unknown("nobody knows"))

    rule = replace(
        next(module.RULE for module in rule_modules() if module.RULE.about == engine.EGG_BOX), needs=()
    )
    answers = engine.ask(rule, check, situation_of({"egg_boxes": [{"name": "one"}, {"name": "two"}]}))
    assert [answer.path if isinstance(answer, Finding) else answer.needs for answer in answers] == [
        "egg_boxes[0].lid",
        ("egg_boxes[0].lid.holes",),
        "egg_boxes[1].lid",
        ("nobody knows",),
    ]
    assert {answer.rule for answer in answers} == {rule.id}
    assert [answer.subject for answer in answers] == 2 * ["egg box 'one'"] + 2 * ["egg box 'two'"]
