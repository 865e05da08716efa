"""The box in cross-section: to scale, drops where water gathers, what is unknown said and not drawn."""

import re
from pathlib import Path

import pytest
from msgspec.structs import replace

from advisor.drawings.canvas import (
    Drawing,
    svg_of,
)
from advisor.drawings.cross_section import cross_section
from advisor.model.figures import Figure, Unknown
from advisor.show import Show
from advisor.units import TRACE
from tests.drawings.drawn import rectangles, section
from tests.papers.pages import EXAMPLES, example, papers_of, plan_file


@pytest.mark.parametrize("name", ["first-season", "two-species", "floor-heat"])
def test_the_box_is_drawn_to_scale(name: str) -> None:
    plan = example(name, whole=True).assessment.situation.plan
    outer, inner, *rest = rectangles(section(example(name, whole=True)))
    inside, wall = plan.outer_box.inside, plan.outer_box.wall.thickness
    assert inside is not None and wall is not None
    scale = inner["width"] / inside.length
    # Coordinates are written to a tenth of a unit.
    assert inner["height"] == pytest.approx(inside.height * scale, abs=0.2)
    assert outer["width"] == pytest.approx((inside.length + 2 * wall) * scale, abs=0.3)
    heater = plan.heat.size
    assert heater is not None
    assert any(entry["width"] == pytest.approx(heater.length * scale, abs=0.3) for entry in rest)
    depth = plan.egg_boxes[0].medium.depth
    assert depth is not None
    assert any(entry["height"] == pytest.approx(depth * scale, abs=0.3) for entry in rest)


def black_drops(drawing: Drawing) -> int:
    """Drops of water that is sure to gather; hollow ones stand for water that may."""
    return sum(shape.startswith("<path") and 'fill="#000"' in shape for shape in drawing.shapes)


def drops(drawing: Drawing) -> int:
    return sum(shape.startswith("<path") for shape in drawing.shapes)


def test_drops_hang_where_water_condenses_and_nowhere_else() -> None:
    for path in EXAMPLES:
        papers = example(path.stem)
        drawing = cross_section(
            papers.assessment.situation.plan,
            papers.assessment.situation.forecast,
            papers.figures.egg_sizes,
            Show(),
        )
        wet = any(
            isinstance(box.heat.condensation, Figure) and box.heat.condensation.value * 86400 > TRACE
            for box in papers.assessment.situation.forecast.egg_boxes
        )
        if isinstance(drawing, Drawing):
            assert (black_drops(drawing) > 0) == wet, path.stem
    assert black_drops(section(example("floor-heat", whole=True))) > 0


WATER_RULES = ("heat-condensation-on-lid", "heat-from-below-wet-medium")


@pytest.mark.parametrize("thermostat", ["on-off", "pulse"])
@pytest.mark.parametrize("place", ["lid", "floor", "one side"])
@pytest.mark.parametrize("probe", ["probe box medium", "air"])
def test_picture_half_page_and_rules_agree_on_drops(
    thermostat: str, place: str, probe: str, tmp_path: Path
) -> None:
    """No paper says that no water gathers while a rule says that it does, or the other way round."""
    control = {"thermostat": thermostat, "switching_band": "1 °C", "probe": {"sits_in": probe}}
    changes = {"control": control, "heat": {"place": place, "size": "40 x 20 cm"}}
    papers = papers_of(plan_file(tmp_path / "plan.yaml", changes), whole=True)
    findings = papers.assessment.report.findings
    warned = any(finding.rule in WATER_RULES or "can drip" in finding.message for finding in findings)
    (case,) = [case for case in papers.checklist.emergencies if case.condition.startswith("Drops")]
    drawing = section(papers)
    words = " ".join(label.text for label in drawing.labels)
    assert ("no water gathers" in case.actions[-1]) != warned
    assert ("no water gathers" in words) != warned
    assert (drops(drawing) > 0) == warned
    in_off_times = (thermostat, place, probe) == ("on-off", "lid", "probe box medium")
    assert ("while the heater is off" in case.actions[-1]) == in_off_times
    assert (drops(drawing) > 0 and black_drops(drawing) == 0) == (in_off_times or "may drip" in words)


def test_what_the_plan_leaves_out_is_said_and_not_drawn() -> None:
    papers = example("first-season")
    plan = papers.assessment.situation.plan
    whole = section(papers)
    without = section(papers, heat=replace(plan.heat, size=None))
    assert "How large the heater is" in " ".join(without.notes) and not whole.notes
    assert len(without.shapes) < len(whole.shapes)
    assert "probe sits" in " ".join(
        section(papers, control=replace(plan.control, probe=replace(plan.control.probe, sits_in=None))).notes
    )
    assert "stands on" in " ".join(
        section(papers, egg_boxes=tuple(replace(box, stands=None) for box in plan.egg_boxes)).notes
    )
    nothing = cross_section(
        replace(plan, outer_box=replace(plan.outer_box, inside=None)),
        papers.assessment.situation.forecast,
        papers.figures.egg_sizes,
        Show(),
    )
    assert isinstance(nothing, Unknown)


def test_the_probe_is_drawn_where_it_sits() -> None:
    papers = example("first-season")
    plan = papers.assessment.situation.plan
    drawn = {}
    for sits in ("probe box medium", "egg box medium", "air", "on heater", "outside the box"):
        control = replace(plan.control, probe=replace(plan.control.probe, sits_in=sits))
        drawing = section(papers, control=control)
        (diamond,) = [shape for shape in drawing.shapes if shape.startswith("<polygon")]
        drawn[sits] = re.search(r'points="([\d.]+)', diamond)[1]  # type: ignore[index]
    outer = rectangles(section(papers))[0]
    assert len(set(drawn.values())) == 5
    assert float(drawn["outside the box"]) > outer["x"] + outer["width"]


def test_foam_and_rack_are_drawn_as_thick_and_as_high_as_they_are() -> None:
    papers = example("first-season")
    plan = papers.assessment.situation.plan
    boxes, inside = plan.egg_boxes, plan.outer_box.inside
    assert inside is not None
    drawn = rectangles(section(papers, egg_boxes=tuple(replace(box, foam_on_lid=0.03) for box in boxes)))
    scale = drawn[1]["width"] / inside.length
    sheets = [one for one in drawn if one["height"] == pytest.approx(0.03 * scale, abs=0.2)]
    assert len(sheets) == len(boxes)
    low, high = (
        max(one["y"] for one in rectangles(section(papers, egg_boxes=raised))[2:])
        for raised in (tuple(replace(box, shelf_height=height) for box in boxes) for height in (0.02, 0.05))
    )
    assert low - high == pytest.approx(0.03 * scale, abs=0.2)


def test_the_same_data_give_the_same_picture(tmp_path: Path) -> None:
    papers = papers_of(plan_file(tmp_path / "plan.yaml", {}))
    assert svg_of(section(papers)) == svg_of(section(example("first-season")))
