"""Pictures: labels legible and apart, inside the sheet; to scale; what is unknown is said, not drawn."""

import itertools
import re
import xml.etree.ElementTree as ElementTree
from collections.abc import Iterator
from itertools import combinations, pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from advisor.drawings.canvas import (
    LINE,
    NARROW,
    SIZE,
    WIDTH,
    Drawing,
    Label,
    fitted,
    svg_of,
    text_width,
    wrapped,
)
from advisor.drawings.courses import scale_chart, water_chart
from advisor.drawings.cross_section import cross_section
from advisor.drawings.egg_and_lead import drip_loop, egg_in_medium
from advisor.drawings.ladder import ladder, spread
from advisor.drawings.power_cut import power_cut_chart
from advisor.drawings.season import season
from advisor.drawings.species_curve import PlanAt, curve_drawing
from advisor.drawings.top_view import top_view
from advisor.forecast.clutch.curves import sexes_curve
from advisor.model.curves import Curve, CurvePiece, CurvePoint
from advisor.model.figures import Figure, Unknown
from advisor.reading.species import load_species
from advisor.show import Show
from advisor.units import TRACE
from advisor.wording import window_words
from tests.papers.pages import EXAMPLES, ODD, Papers, example, hostile_plan, papers_of, plan_file
from tests.referees.label_boxes import label_box
from tests.support import ROOT

PROFILES = ROOT / "tests" / "rules" / "profiles"
SVG = "{http://www.w3.org/2000/svg}"
LEAST_SIZE = (
    9.0  # points in print: the brief of these papers; CAA CAP 676 asks for 10 in running text (from memory)
)


def drawings_of(papers: Papers, us: bool) -> Iterator[Drawing | Unknown]:
    situation, figures = papers.assessment.situation, papers.figures
    plan, forecast, show = situation.plan, situation.forecast, Show("us" if us else "metric")
    names = tuple(situation.species[clutch.species].name for clutch in plan.clutches)
    for width in (WIDTH, NARROW):
        yield cross_section(plan, forecast, figures, show, width=width)
        yield season(plan, forecast, names, width=width)
        yield top_view(plan, forecast, show, width=width)
    yield power_cut_chart(figures.cooling, forecast.heat.hours_to_harm, figures.cold, show)
    yield egg_in_medium(plan, figures, show)
    yield drip_loop(plan)
    for number, box in enumerate(forecast.egg_boxes):
        yield water_chart(
            box,
            figures.water_courses[number],
            figures.other_courses[number],
            (0.6, 3.8),
            show,
            f"water-{number}",
        )
    yield ladder(plan, forecast, tuple(situation.species.values()), show)
    for number, readings in enumerate(figures.readings):
        if readings:
            other = figures.other_masses[number]
            yield scale_chart(readings, other, readings[-1].day + 20, 0.1, show, f"scale-{number}")
    for number, curve in enumerate(figures.share_curves):
        if not isinstance(curve, Unknown):
            share = forecast.clutches[number].male_share
            ours = PlanAt(plan.control.set_to, figures.eggs_between, share)
            for width in (WIDTH, NARROW):
                yield curve_drawing(curve, "share", "a species", show, f"sexes-{number}", ours, width)


@pytest.fixture(scope="module")
def all_papers(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Papers]:
    folder = tmp_path_factory.mktemp("plans")
    found = {path.stem: example(path.stem) for path in EXAMPLES}
    odd = {**ODD, "cold-room": COLD_ROOM}
    found |= {name: papers_of(plan_file(folder / f"{name}.yaml", changes)) for name, changes in odd.items()}
    found["hostile"] = papers_of(hostile_plan(folder / "hostile.yaml"))
    return found


COLD_ROOM = {"room": {"temperature": "4 to 20 °C"}}  # a power cut there gets to the limits of short exposures
NAMES = [path.stem for path in EXAMPLES] + [*ODD, "cold-room", "hostile"]


@pytest.mark.parametrize("us", [False, True], ids=["metric", "us"])
@pytest.mark.parametrize("name", NAMES)
def test_labels_stand_apart_and_inside_the_sheet(name: str, us: bool, all_papers: dict[str, Papers]) -> None:
    for drawing in drawings_of(all_papers[name], us):
        if isinstance(drawing, Unknown):
            continue
        boxes = [label_box(label) for label in drawing.labels]
        for label, box in zip(drawing.labels, boxes, strict=True):
            assert box.left >= -0.1 and box.right <= drawing.width + 0.1, (drawing.title, label.text)
            assert box.top >= -1.0 and box.bottom <= drawing.height + 0.1, (drawing.title, label.text)
        for number, one in enumerate(boxes):
            for other, label in zip(boxes[number + 1 :], drawing.labels[number + 1 :], strict=True):
                across = min(one.right, other.right) - max(one.left, other.left)
                down = min(one.bottom, other.bottom) - max(one.top, other.top)
                # The box of a line reaches from the highest to the lowest letter; two lines may touch by a hair.
                assert across <= 0 or down <= 0.2, (drawing.title, drawing.labels[number].text, label.text)


@pytest.mark.parametrize("name", NAMES)
def test_every_picture_is_sound_and_speaks(name: str, all_papers: dict[str, Papers]) -> None:
    for drawing in drawings_of(all_papers[name], us=False):
        if isinstance(drawing, Unknown):
            assert len(drawing.reason) > 10
            continue
        root = ElementTree.fromstring(svg_of(drawing))
        assert root.attrib["role"] == "img"
        title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
        assert title is not None and title.text and description is not None and description.text
        assert root.attrib["aria-labelledby"] == f"{title.attrib['id']} {description.attrib['id']}"
        sizes = [float(text.attrib["font-size"]) for text in root.iter(f"{SVG}text")]
        assert min(sizes) >= LEAST_SIZE
        colours = set(re.findall(r'(?:fill|stroke)="([^"]*)"', svg_of(drawing)))
        assert {colour for colour in colours if not colour.startswith("url(#")} <= {"#000", "#fff", "none"}
        assert set(re.findall(r"url\(#([\w-]+)\)", svg_of(drawing))) <= {
            entry.attrib["id"] for entry in root.iter(f"{SVG}pattern")
        }


def rectangles(drawing: Drawing) -> list[dict[str, float]]:
    root = ElementTree.fromstring(svg_of(drawing))
    return [
        {key: float(entry.attrib[key]) for key in ("x", "y", "width", "height")}
        for entry in root.iter(f"{SVG}rect")
    ]


def section(papers: Papers, **changes: Any) -> Drawing:
    situation = papers.assessment.situation
    plan = replace(situation.plan, **changes)
    drawing = cross_section(plan, situation.forecast, papers.figures, Show())
    assert isinstance(drawing, Drawing)
    return drawing


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
            papers.assessment.situation.plan, papers.assessment.situation.forecast, papers.figures, Show()
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
        papers.figures,
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


def test_the_season_marks_each_check_and_top_up() -> None:
    papers = example("first-season")
    situation = papers.assessment.situation
    drawing = season(situation.plan, situation.forecast, ("corn snake",))
    assert isinstance(drawing, Drawing)
    texts = " ".join(label.text for label in drawing.labels)
    (clutch,) = situation.forecast.clutches
    assert "Corn snake: laid 9 to 16 May 2027" in texts
    strokes = [shape for shape in drawing.shapes if 'stroke-width="1.4"' in shape and "class" not in shape]
    assert len(strokes) == len(clutch.check_days) + len(clutch.late_check_days)
    triangles = [shape for shape in drawing.shapes if shape.startswith("<polygon")]
    box = situation.forecast.egg_boxes[0]
    assert len(triangles) == len(box.water.top_ups) + 2  # the lay box, and all ready


@pytest.mark.parametrize("name", NAMES)
def test_the_season_has_one_row_a_clutch_with_its_own_hatch_window(
    name: str, all_papers: dict[str, Papers]
) -> None:
    situation = all_papers[name].assessment.situation
    plan, clutches = situation.plan, situation.forecast.clutches
    names = tuple(f"kind {number}" for number in range(len(clutches)))
    drawing = season(plan, situation.forecast, names)
    told = drawing.reason if isinstance(drawing, Unknown) else " ".join((drawing.description, *drawing.notes))
    for number, clutch in enumerate(clutches):
        assert told.lower().count(f"{names[number]}:") >= 1, names[number]
        if clutch.hatch_window is not None:
            assert window_words(clutch.hatch_window) in told
    if isinstance(drawing, Drawing):
        black = [shape for shape in drawing.shapes if shape.startswith("<rect") and 'fill="#000"' in shape]
        dated = any(clutch.laying_window for clutch in clutches)
        windows = [clutch for clutch in clutches if clutch.hatch_window or not dated]
        assert len(black) == len(windows)


def boxes_from_above(drawing: Drawing) -> list[tuple[float, float, float, float]]:
    return [
        (one["x"], one["y"], one["x"] + one["width"], one["y"] + one["height"]) for one in rectangles(drawing)
    ]


@pytest.mark.parametrize("name", NAMES)
def test_from_above_nothing_stands_in_anything_else(name: str, all_papers: dict[str, Papers]) -> None:
    situation = all_papers[name].assessment.situation
    drawing = top_view(situation.plan, situation.forecast, Show())
    if isinstance(drawing, Unknown):
        assert situation.plan.outer_box.inside is None and situation.plan.outer_box.outside is None
        return
    _, inner, *boxes = boxes_from_above(drawing)
    root = ElementTree.fromstring(svg_of(drawing))
    for entry in root.iter(f"{SVG}ellipse"):
        x, y, r = (float(entry.attrib[key]) for key in ("cx", "cy", "rx"))
        if r > 2.0:  # a bottle, not the end of a line to some words
            boxes.append((x - r * 0.7, y - r * 0.7, x + r * 0.7, y + r * 0.7))
    for one, other in itertools.combinations(boxes, 2):
        # Coordinates are written to a tenth of a unit.
        across, down = (
            min(one[2], other[2]) - max(one[0], other[0]),
            min(one[3], other[3]) - max(one[1], other[1]),
        )
        assert across <= 0.2 or down <= 0.2
    for left, top, right, bottom in boxes:
        assert inner[0] - 0.2 <= left and right <= inner[2] + 0.2
        assert inner[1] - 0.2 <= top and bottom <= inner[3] + 0.2
    feet = sum(
        -(-(box.count or 1) // (2 if box.tier == "two" else 1))
        for box in situation.plan.egg_boxes
        if box.inside
    )
    told = " ".join(drawing.notes)
    left_out = int(found[1]) if (found := re.search(r"floor for (\d+) egg box", told)) else 0
    assert len(boxes_from_above(drawing)) - 2 + left_out == feet


def test_what_stands_in_the_box_is_told_from_above() -> None:
    situation = example("first-season").assessment.situation
    drawing = top_view(situation.plan, situation.forecast, Show())
    assert isinstance(drawing, Drawing) and not drawing.notes
    for words in ("Egg box 'eggs'", "4 bottles", "Probe: in the medium", "Thermometer", "Warmest", "Coolest"):
        assert words in drawing.description, words
    plan = replace(situation.plan, power_cut=replace(situation.plan.power_cut, prepared="nothing"))
    without = top_view(plan, situation.forecast, Show())
    assert isinstance(without, Drawing) and "bottle" not in without.description


@pytest.mark.parametrize("name", NAMES)
def test_the_power_cut_chart_is_the_forecast_of_the_check(name: str, all_papers: dict[str, Papers]) -> None:
    papers = all_papers[name]
    cooling, heat = papers.figures.cooling, papers.assessment.situation.forecast.heat
    assert isinstance(cooling, Unknown) == isinstance(heat.medium_after_12_h, Unknown)
    if isinstance(cooling, Unknown) or isinstance(heat.medium_after_12_h, Unknown):
        return
    at_12 = dict(cooling)[12.0]
    night = heat.medium_after_12_h
    assert (at_12.value, at_12.low, at_12.high) == pytest.approx(
        (night.value, night.low, night.high), abs=1e-9
    )
    assert cooling[0][1].value == papers.assessment.situation.plan.control.set_to
    assert all(before.value >= after.value for (_, before), (_, after) in itertools.pairwise(cooling))


def test_limits_of_short_exposures_are_drawn_where_the_cut_gets_to_them(
    all_papers: dict[str, Papers],
) -> None:
    for name, reached in (("cold-room", True), ("first-season", False)):
        papers = all_papers[name]
        harm = papers.assessment.situation.forecast.heat.hours_to_harm
        drawing = power_cut_chart(papers.figures.cooling, harm, papers.figures.cold, Show())
        assert isinstance(drawing, Drawing) and isinstance(harm, Figure)
        texts = [label.text for label in drawing.labels]
        assert ("15 °C: 3 days" in texts) == reached and ("how long eggs bear it" in texts) == reached
        assert ("harm possible from about here" in texts) == (harm.value <= 48 * 3600) == reached
        assert (
            f"Harm is possible after {Show().about_hours(harm.value, harm.low, harm.high)} without power."
            in drawing.description
        )


def test_an_egg_is_drawn_half_buried_only_where_the_plan_lays_it_so() -> None:
    papers = example("first-season")
    plan = papers.assessment.situation.plan
    assert isinstance(egg_in_medium(plan, papers.figures, Show()), Drawing)
    clutch = replace(plan.clutches[0], placed="attached to its surface")
    assert isinstance(egg_in_medium(replace(plan, clutches=(clutch,)), papers.figures, Show()), Unknown)


def test_males_by_temperature_marks_the_set_point_in_the_keepers_unit() -> None:
    papers = example("wrong-sexes", whole=True)
    situation = papers.assessment.situation
    (curve,) = papers.figures.share_curves
    assert not isinstance(curve, Unknown)
    share = situation.forecast.clutches[0].male_share
    for show, words in ((Show(), "28 °C"), (Show("us"), "82 °F")):
        ours = PlanAt(situation.plan.control.set_to, papers.figures.eggs_between, share)
        drawing = curve_drawing(curve, "share", "a species", show, "sexes", ours)
        assert f"your set point, {words}" in [label.text for label in drawing.labels]
        assert sum("<ellipse" in shape for shape in drawing.shapes) >= len(curve.observed)


def gapped() -> Curve:
    """The curve of the invented gecko: males were counted at 24 and 34 °C, nothing between."""
    curve = sexes_curve(load_species("gekko-exemplaris-lata", PROFILES))
    assert isinstance(curve, Curve) and len(curve.pieces) == 2
    return curve


@pytest.mark.parametrize("units", ["metric", "us"])
def test_no_line_crosses_a_gap_in_the_curve(units: str) -> None:
    curve, show = gapped(), Show(units)
    ours = PlanAt(29.0, (28.5, 29.5), Unknown("no data there"))
    drawing = curve_drawing(curve, "share", "a species", show, "sexes", ours)
    paths = [
        [float(pair.split(",")[0]) for pair in found[1].split()]
        for shape in drawing.shapes
        if (found := re.search(r'<poly(?:line|gon) points="([^"]*)"', shape))
    ]
    assert len(paths) == 4  # expected and its range for each of two pieces
    texts = {label.text: label for label in drawing.labels}
    middle = texts["not known"].x
    assert not any(min(path) < middle < max(path) for path in paths)
    assert any(max(path) < middle for path in paths) and any(min(path) > middle for path in paths)
    assert f"your set point, {show.temperature(29.0)}: males not known" in texts
    assert "it is not known" in drawing.description
    boxes = [label_box(label) for label in drawing.labels]
    assert all(box.left >= 0 and box.right <= WIDTH for box in boxes)


def test_a_narrow_gap_has_a_question_mark() -> None:
    pieces = tuple(
        CurvePiece(tuple(CurvePoint(temperature, 0.5, 0.3, 0.7) for temperature in piece), "published")
        for piece in ((24.0, 25.0), (25.5, 40.0))
    )
    drawing = curve_drawing(Curve(pieces, ()), "share", "a species", Show(), "sexes")
    assert "?" in [label.text for label in drawing.labels]


def test_the_water_line_goes_straight_up_at_a_top_up() -> None:
    papers = example("first-season")
    box = papers.assessment.situation.forecast.egg_boxes[0]
    drawing = water_chart(box, papers.figures.water_courses[0], (), None, Show())
    assert isinstance(drawing, Drawing) and box.water.top_ups
    thick = next(shape for shape in drawing.shapes if 'stroke="#000" stroke-width="2"' in shape)
    points = re.search(r'points="([^"]*)"', thick)
    assert points is not None
    across = [float(pair.split(",")[0]) for pair in points[1].split()]
    assert len(across) - len(set(across)) == len(box.water.top_ups)


def test_texts_are_cut_and_wrapped_to_their_width() -> None:
    long = "one two three " * 40
    assert 80.0 < text_width(fitted(long, 100.0)) <= 100.0
    assert all(text_width(row) <= 100.0 for row in wrapped(long + "w" * 200, 100.0))
    assert fitted("short", 100.0) == "short"
    assert label_box(Label(10.0, 20.0, "abc", anchor="middle")).left < 10.0


def test_the_same_data_give_the_same_picture(tmp_path: Path) -> None:
    papers = papers_of(plan_file(tmp_path / "plan.yaml", {}))
    assert svg_of(section(papers)) == svg_of(section(example("first-season")))


@settings(max_examples=200, deadline=None)
@given(st.lists(st.floats(15.0, 217.0), min_size=1, max_size=15))
def test_labels_of_the_ladder_stand_apart_in_their_order(wanted: list[float]) -> None:
    heights = spread(sorted(wanted), 14.0, 218.0)
    assert heights == sorted(heights) and heights[0] >= 14.0 - 1e-9 and heights[-1] <= 218.0 + 1e-9
    assert all(below - above >= LINE * SIZE - 1e-9 for above, below in pairwise(heights))


@pytest.mark.parametrize("us", [False, True])
def test_the_ladder_of_every_profile_has_its_labels_apart(us: bool) -> None:
    """Over all profiles, alone and in pairs; a limit is told only where the profile knows it."""
    situation = example("first-season").assessment.situation
    profiles = [
        load_species(name) for name in sorted(path.stem for path in (ROOT / "species").glob("*-*.yaml"))
    ]
    for one, other in zip(profiles, [*profiles[1:], None], strict=True):
        for species in ([one], [one, other] if other is not None else [one]):
            drawing = ladder(situation.plan, situation.forecast, species, Show("us" if us else "metric"))
            boxes = [label_box(label) for label in drawing.labels]
            assert all(box.right <= drawing.width + 0.1 for box in boxes)
            assert not any(
                a.left < b.right and b.left < a.right and a.top < b.bottom - 1.5 and b.top < a.bottom - 1.5
                for a, b in combinations(boxes, 2)
            ), (one.id, drawing.labels)
            known = one.harmful is not None and one.harmful.below is not None
            if species == [one]:
                assert (" down" in drawing.description) == known
                assert ("Harmful cold: not known." in drawing.description) != known
