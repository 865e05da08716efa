"""Curves over temperature and days, and the ladder: gaps left open, the keeper's set point, labels apart."""

import re
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.drawings.canvas import (
    LINE,
    SIZE,
    WIDTH,
    Drawing,
)
from advisor.drawings.courses import water_chart
from advisor.drawings.ladder import ladder, spread
from advisor.drawings.species_curve import PlanAt, curve_drawing
from advisor.forecast.clutch.curves import sexes_curve
from advisor.model.curves import Curve, CurvePiece, CurvePoint
from advisor.model.figures import Unknown
from advisor.reading.species import load_species
from advisor.show import Show
from tests.papers.pages import example
from tests.referees.label_boxes import label_box
from tests.support import ROOT

PROFILES = ROOT / "tests" / "rules" / "profiles"


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
