"""A cause that two rules see is told once; a fault of another kind is not lost with it."""

from typing import Any

from advisor.model.findings import Report
from advisor.rules import engine, rule_modules
from tests.support import situation_of

LATE_LAY_BOX = {"ready_on": "2027-05-10"}
TIGHT_LAY_BOX = {"ready_on": "2027-05-05"}


def judged(fragment: Any) -> Report:
    return engine.judge(situation_of(fragment), rule_modules())


def findings_of(fragment: Any, area: str) -> list[tuple[str, str]]:
    return sorted(
        (finding.rule, finding.path) for finding in judged(fragment).findings if finding.rule.startswith(area)
    )


def laying_plan(lay_box: dict[str, str], trial_from: str) -> dict[str, Any]:
    clutch = {"species": "pantherophis-guttatus", "laying": {"expected": "2027-05-09"}, "lay_box": lay_box}
    return {"trial_run": {"from": trial_from, "days": "7"}, "clutches": [clutch]}


def test_late_lay_box_is_told_once() -> None:
    found = findings_of(laying_plan(LATE_LAY_BOX, "2027-04-20"), "timing")
    assert found == [("timing-not-ready-before-laying", "clutches[0].lay_box.ready_on")]


def test_tight_lay_box_is_told_beside_a_late_trial_run() -> None:
    found = findings_of(laying_plan(TIGHT_LAY_BOX, "2027-05-08"), "timing")
    assert found == [
        ("timing-no-lay-box", "clutches[0].lay_box.ready_on"),
        ("timing-not-ready-before-laying", "trial_run.from"),
    ]


def test_water_bath_without_residual_current_device_is_told_once() -> None:
    plan = {"heat": {"source": "water bath"}, "people": {"residual_current_device": "no", "drip_loop": "yes"}}
    assert findings_of(plan, "people") == [("people-mains-near-water", "heat.source")]


def test_missing_drip_loop_does_not_hide_the_missing_residual_current_device() -> None:
    plan = {
        "heat": {"source": "mat", "place": "lid"},
        "people": {"residual_current_device": "no", "drip_loop": "no"},
    }
    assert findings_of(plan, "people") == [
        ("people-mains-near-water", "people.drip_loop"),
        ("people-no-residual-current-device", "people.residual_current_device"),
    ]
