"""Pictures: labels legible and apart, inside the sheet; to scale; what is unknown is said, not drawn."""

import itertools
import re
import xml.etree.ElementTree as ElementTree
from collections.abc import Iterator

import pytest
from msgspec.structs import replace

from advisor.drawings.canvas import (
    NARROW,
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
from advisor.drawings.ladder import ladder
from advisor.drawings.power_cut import power_cut_chart
from advisor.drawings.season import season
from advisor.drawings.species_curve import PlanAt, curve_drawing
from advisor.drawings.top_view import top_view
from advisor.model.figures import Figure, Unknown
from advisor.show import Show
from advisor.wording import window_words
from tests.drawings.drawn import SVG, rectangles
from tests.papers.pages import EXAMPLES, ODD, Papers, example, hostile_plan, papers_of, plan_file
from tests.referees.label_boxes import label_box

LEAST_SIZE = (
    9.0  # points in print: the brief of these papers; CAA CAP 676 asks for 10 in running text (from memory)
)


def drawings_of(papers: Papers, us: bool) -> Iterator[Drawing | Unknown]:
    situation, figures = papers.assessment.situation, papers.figures
    plan, forecast, show = situation.plan, situation.forecast, Show("us" if us else "metric")
    names = tuple(situation.species[clutch.species].name for clutch in plan.clutches)
    for width in (WIDTH, NARROW):
        yield cross_section(plan, forecast, figures.egg_sizes, show, width=width)
        yield season(plan, forecast, names, width=width)
        yield top_view(plan, forecast, show, width=width)
    yield power_cut_chart(figures.cooling, forecast.heat.hours_to_harm, figures.cold, show)
    yield egg_in_medium(plan, figures.egg_sizes, show)
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
    assert isinstance(egg_in_medium(plan, papers.figures.egg_sizes, Show()), Drawing)
    clutch = replace(plan.clutches[0], placed="attached to its surface")
    assert isinstance(
        egg_in_medium(replace(plan, clutches=(clutch,)), papers.figures.egg_sizes, Show()), Unknown
    )


def test_texts_are_cut_and_wrapped_to_their_width() -> None:
    long = "one two three " * 40
    assert 80.0 < text_width(fitted(long, 100.0)) <= 100.0
    assert all(text_width(row) <= 100.0 for row in wrapped(long + "w" * 200, 100.0))
    assert fitted("short", 100.0) == "short"
    assert label_box(Label(10.0, 20.0, "abc", anchor="middle")).left < 10.0
