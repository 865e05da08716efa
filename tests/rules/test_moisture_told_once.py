"""Moisture faults with one cause are told once, and the arithmetic of the days agrees with common practice."""

from collections.abc import Mapping

from advisor.rules import engine, rule_modules
from advisor.units import QUANTITIES
from tests.changes import changed
from tests.rules.test_rules import HERE, loaded
from tests.support import situation_of


def moisture_findings(species: str, set_to: str, mix: dict[str, str], top_up: str) -> list[str]:
    fragment = {
        "control": {"set_to": set_to},
        "egg_boxes": [
            {
                "name": "eggs",
                "medium": {"material": "vermiculite", "grade": "medium", "mix": mix},
                "top_up": top_up,
            }
        ],
        "clutches": [{"species": species, "box": "eggs"}],
    }
    report = engine.judge(situation_of(fragment), rule_modules())
    return [finding.rule for finding in report.findings if finding.rule.startswith("moisture-")]


def volume_mix(parts: int) -> dict[str, str]:
    return {"medium": str(parts), "water": "1", "by": "volume"}


def told(changes: Mapping[str, object]) -> list[tuple[str, str]]:
    """Rule and severity of the findings about water and air in a plan that is told in full."""
    plan = loaded(HERE / "bases" / "water_box.yaml")
    for path, value in changes.items():
        plan = changed(plan, path, value)
    report = engine.judge(situation_of(plan), rule_modules())
    areas = ("moisture-", "air-")
    return [(found.rule, found.severity) for found in report.findings if found.rule.startswith(areas)]


CHAMELEON = {
    "clutches[0].species": "chamaeleo-calyptratus",
    "clutches[0].eggs": "35",
    "clutches[0].egg_mass": "1.4 g",
}


def test_short_mix_tells_that_no_top_up_is_planned() -> None:
    assert told({**CHAMELEON, "egg_boxes[0].medium.mix": volume_mix(8)}) == [
        ("moisture-mix-too-short", "fix")
    ]
    assert told(CHAMELEON) == [("moisture-mix-too-short", "watch")]


def test_short_mix_is_told_once_for_all_clutches_in_the_box() -> None:
    plan = loaded(HERE / "bases" / "water_box.yaml")
    for path, value in {**CHAMELEON, "egg_boxes[0].medium.mix": volume_mix(8)}.items():
        plan = changed(plan, path, value)
    plan["clutches"] = [plan["clutches"][0], dict(plan["clutches"][0])]
    report = engine.judge(situation_of(plan), rule_modules())
    found = [finding for finding in report.findings if finding.rule.startswith("moisture-")]
    assert [(finding.rule, finding.subject) for finding in found] == [
        ("moisture-mix-too-short", "egg box 'eggs'")
    ]
    assert ("moisture-no-top-up-planned", "moisture-mix-too-short") in report.followers


def test_wet_mix_tells_that_water_stands_free() -> None:
    assert told({"clutches[0].eggs": "7", "egg_boxes[0].medium.mix": volume_mix(2)}) == [
        ("moisture-mix-too-wet", "fix")
    ]


def test_free_water_under_a_mix_that_is_used_is_told() -> None:
    # 4:1 by volume of a light coarse grade, 60 g a litre: 4.2 g/g is more than it was ever seen to hold (3.8).
    light = {
        "egg_boxes[0].medium.grade": "coarse",
        "egg_boxes[0].medium.litre_mass": "60 g",
        "clutches[0].eggs": "7",
    }
    assert told(light) == [("moisture-free-water", "fix")]


def test_a_tight_lid_without_holes_tells_that_oxygen_runs_short() -> None:
    lid = {"fit": "gasket", "thickness": "1 mm", "holes": "none"}
    assert told({"egg_boxes[0].lid": lid}) == [("air-no-holes", "stop")]


def test_holes_that_are_missing_are_told_once_with_the_oxygen_where_that_is_worse() -> None:
    lid = {"fit": "clip", "thickness": "1 mm", "holes": "none"}
    few, many = (told({"egg_boxes[0].lid": lid, "clutches[0].eggs": eggs}) for eggs in ("4", "30"))
    assert [rule for rule, _ in few if rule.startswith("air-")] == ["air-no-holes"]
    assert [rule for rule, _ in many if rule.startswith("air-")] == ["air-short-of-oxygen-late"]


def test_dry_mix_tells_that_the_water_does_not_last() -> None:
    found = moisture_findings("pantherophis-guttatus", "28 °C", volume_mix(30), "none")
    assert found == ["moisture-mix-too-dry"]


def test_wet_medium_for_rigid_eggs_tells_that_the_mix_is_too_wet() -> None:
    found = moisture_findings("testudo-hermanni", "31 °C", volume_mix(4), "by weight")
    assert found == ["moisture-wet-medium-for-rigid-eggs"]


def test_finding_on_a_profile_figure_names_its_sources_and_a_known_quantity() -> None:
    fragment = {
        "egg_boxes": [{"name": "eggs", "medium": {"material": "vermiculite", "mix": volume_mix(2)}}],
        "clutches": [{"species": "testudo-hermanni", "box": "eggs"}],
    }
    findings = engine.judge(situation_of(fragment), rule_modules()).findings
    wet = next(finding for finding in findings if finding.rule == "moisture-wet-medium-for-rigid-eggs")
    profile = situation_of(fragment).species["testudo-hermanni"].medium.water
    assert profile is not None
    assert (wet.sources, wet.evidence) == (profile.support.sources, profile.support.known)
    assert all(figure.quantity in QUANTITIES for _, figure in wet.figures)
