"""Heat faults with one cause are told once, the cause and not the follower; other faults beside them stay."""

import pytest
from msgspec import structs

from advisor.model.findings import Finding
from advisor.model.plan import Accept
from advisor.rules import engine, rule_modules
from tests.changes import changed
from tests.rules.test_rules import HERE, loaded
from tests.support import situation_of


def heat_findings(changes: dict[str, str]) -> tuple[set[str], set[tuple[str, str]]]:
    """Rules that find a fault of heat, and followers with their cause."""
    plan = loaded(HERE / "bases" / "heat_box.yaml")
    for path, value in changes.items():
        plan = changed(plan, path, value)
    report = engine.judge(situation_of(plan, HERE / "species_heat"), rule_modules())
    heat = {finding.rule for finding in report.findings if finding.rule.startswith("heat-")}
    return heat, {pair for pair in report.followers if pair[0].startswith("heat-")}


def test_floor_heat_is_told_as_the_cause_of_the_wet_lid() -> None:
    found, followers = heat_findings({"heat.place": "floor"})
    assert "heat-from-below-wet-medium" in found
    assert "heat-condensation-on-lid" not in found
    assert ("heat-condensation-on-lid", "heat-from-below-wet-medium") in followers


def test_side_heat_wets_no_lid_of_one_layer() -> None:
    # Its warm air fills the top of the box: computed in two dimensions, the lid is 1.7 K warmer than the medium.
    found, _ = heat_findings({"heat.place": "one side", "heat.size": "40 x 20 cm"})
    assert not found & {"heat-condensation-on-lid", "heat-from-below-wet-medium"}


def test_soft_foam_is_told_as_the_hot_heater() -> None:
    found, followers = heat_findings({"heat.power": "60 W"})
    assert "heat-stuck-on-softens-foam" in found
    assert ("heat-surface-too-hot", "heat-stuck-on-softens-foam") in followers


def test_bulb_in_foam_is_told_as_the_soft_foam() -> None:
    found, followers = heat_findings(
        {"heat.source": "bulb", "heat.size": "10 x 10 cm", "heat.power": "60 W", "control.cut_out": "none"}
    )
    assert "heat-bulb-in-foam" in found
    assert ("heat-stuck-on-softens-foam", "heat-bulb-in-foam") in followers
    assert "heat-stuck-on-harms-eggs" in found  # what a stuck bulb does to the eggs is another fault


def test_sound_box_has_no_fault_of_heat_but_what_a_power_cut_does() -> None:
    found, followers = heat_findings(
        {"heat.power": "20 W", "heat.size": "50 x 35 cm", "room.temperature": "16 to 20 °C"}
    )
    assert found == {"heat-power-cut-cools-eggs"}
    assert followers == set()


@pytest.mark.parametrize(("high", "sure"), [(-0.01, True), (0.0, False), (0.1, False)])
def test_a_lid_is_surely_the_colder_one_where_the_whole_range_says_so(high: float, sure: bool) -> None:
    figures = {
        "egg_boxes.0.heat.condensation": [2e-8, 1e-8, 4e-8],
        "egg_boxes.0.heat.lid_minus_medium": [-0.4, -0.5, high],
    }
    plan = changed(loaded(HERE / "bases" / "heat_box.yaml"), "heat.place", "floor")
    situation = situation_of(plan, HERE / "species_heat", figures)
    found = next(module for module in rule_modules() if module.RULE.id == "heat-condensation-on-lid")
    (finding,) = engine.ask(found.RULE, found.check, situation)
    assert isinstance(finding, Finding)
    assert ("not sure" in finding.message) != sure


def findings_for(changes: dict[str, str]) -> set[str]:
    plan = loaded(HERE / "bases" / "heat_box.yaml")
    for path, value in changes.items():
        plan = changed(plan, path, value)
    report = engine.judge(situation_of(plan, HERE / "species_heat"), rule_modules())
    return {finding.rule for finding in report.findings}


def test_missing_cut_out_is_told_as_what_it_does_to_the_eggs() -> None:
    found = findings_for({"heat.power": "20 W", "control.cut_out": "none"})
    assert "heat-stuck-on-harms-eggs" in found
    assert "control-no-cut-out" not in found


def test_missing_cut_out_is_told_by_itself_where_the_heater_does_no_certain_harm() -> None:
    found = findings_for({"heat.power": "8 W", "control.cut_out": "none"})
    assert "control-no-cut-out" in found


def test_missing_power_cut_plan_is_told_as_the_hours_that_the_eggs_have() -> None:
    found = findings_for({"power_cut.prepared": "nothing", "room.temperature": "5 to 20 °C"})
    assert "heat-power-cut-cools-eggs" in found
    assert "watching-no-power-cut-plan" not in found


def test_missing_power_cut_plan_is_a_note_where_a_day_without_power_does_nothing() -> None:
    plan = loaded(HERE / "bases" / "heat_box.yaml")
    report = engine.judge(situation_of(plan, HERE / "species_heat"), rule_modules())
    found = {finding.rule: finding.severity for finding in report.findings}
    assert "heat-power-cut-cools-eggs" not in found
    assert found["watching-no-power-cut-plan"] == "note"


def test_missing_power_cut_plan_is_told_by_itself_where_the_hours_are_not_known() -> None:
    plan = changed(loaded(HERE / "bases" / "heat_box.yaml"), "outer_box.lid_fits")
    report = engine.judge(situation_of(plan, HERE / "species_heat"), rule_modules())
    found = {finding.rule for finding in report.findings}
    assert "heat-power-cut-cools-eggs" not in found
    assert "watching-no-power-cut-plan" in found


def test_accepting_a_follower_points_at_its_cause_and_hides_nothing() -> None:
    plan = changed(loaded(HERE / "bases" / "heat_box.yaml"), "control.cut_out", "none")
    plan = changed(plan, "heat.power", "20 W")
    situation = situation_of(plan, HERE / "species_heat")
    accept = (Accept("control-no-cut-out", "someone is home all day"),)
    accepting = structs.replace(situation, plan=structs.replace(situation.plan, accept=accept))
    report = engine.judge(accepting, rule_modules())
    found = {finding.rule: finding for finding in report.findings}
    assert found["heat-stuck-on-harms-eggs"].severity == "fix"
    assert "told here as heat-stuck-on-harms-eggs" in found["plan-acceptance-unused"].message
    assert report.accepted == ()
