"""The curves of a species, as text and drawn: to scale, gaps empty, labels apart."""

import itertools
import re
import xml.etree.ElementTree as ElementTree
from collections.abc import Iterator

import pytest

from advisor.drawings.canvas import WIDTH, Drawing, svg_of
from advisor.drawings.species_curve import curve_drawing
from advisor.drawings.text_plot import plot_lines
from advisor.forecast.clutch.curves import days_curve, sexes_curve
from advisor.model.curves import Curve, CurvePiece, CurvePoint, ObservedPoint
from advisor.reading.species import load_species
from advisor.show import Show
from tests.referees.label_boxes import label_box
from tests.species.test_pages import IDS

SVG = "{http://www.w3.org/2000/svg}"


def marks(lines: list[str]) -> Iterator[str]:
    for line in lines[:-3]:
        yield from line[8:]


def made_curve() -> Curve:
    points = tuple(CurvePoint(24.0 + t, 80 - 5 * t, 70 - 5 * t, 90 - 5 * t) for t in range(9))
    observed = (
        ObservedPoint(25.0, 75, 75, 20, "published"),
        ObservedPoint(28.0, 55, 65, None, "common practice"),
        ObservedPoint(31.0, 45, 45, 10, "published"),
    )
    return Curve((CurvePiece(points, "published"),), observed)


def test_the_plot_shows_points_curve_and_range() -> None:
    lines = list(plot_lines(made_curve(), "days", Show()))
    drawn = list(marks(lines))
    assert (drawn.count("o"), drawn.count("x")) == (2, 1)
    assert drawn.count("|") >= 1  # the range that the source states
    assert drawn.count("-") > 40 and drawn.count(".") > 100
    assert lines[-1].startswith("o published")


def test_the_plot_is_to_scale() -> None:
    lines = list(plot_lines(made_curve(), "days", Show()))[:-3]
    places = {
        (row, column - 8) for row, line in enumerate(lines) for column, sign in enumerate(line) if sign == "o"
    }
    # 24 to 32 °C over 66 columns, 30 to 90 days over 15 rows: 75 days at 25 °C, 45 at 31 °C, each within half a cell.
    for at, days in ((25, 75), (31, 45)):
        column, row = (at - 24) / 8 * 65, (90 - days) / 60 * 14
        assert any(abs(x - column) <= 0.5 and abs(y - row) <= 0.5 for y, x in places)


def test_the_plot_leaves_gaps_empty() -> None:
    whole = made_curve()
    points = whole.pieces[0].points
    cut = Curve((CurvePiece(points[:3], "published"), CurvePiece(points[6:], "published")), whole.observed)
    lines = list(plot_lines(cut, "days", Show()))[:-3]
    column = 8 + round(4.0 / 8 * 65)  # 28 °C, in the gap; only the stated range stands there
    assert {line[column] for line in lines if len(line) > column} <= {" ", "|", "x"}


def test_the_axis_counts_in_the_keepers_unit() -> None:
    metric, us = (list(plot_lines(made_curve(), "days", Show(units)))[-2] for units in ("metric", "us"))
    assert metric.split() == ["24", "25", "26", "27", "28", "29", "30", "31", "32", "°C"]
    assert us.split()[0] == "74" and us.split()[-1] == "°F"


def drawings(identifier: str, units: str) -> Iterator[tuple[Curve, str, Drawing]]:
    species = load_species(identifier)
    for what, curve in (("days", days_curve(species)), ("share", sexes_curve(species))):
        if isinstance(curve, Curve):
            yield curve, what, curve_drawing(curve, what, species.name, Show(units), f"curve-{what}")


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("identifier", IDS)
def test_labels_stand_inside_the_sheet_and_apart(identifier: str, units: str) -> None:
    for _, _, drawing in drawings(identifier, units):
        boxes = [label_box(label) for label in drawing.labels]
        for box, label in zip(boxes, drawing.labels, strict=True):
            assert box.left >= -0.1 and box.right <= WIDTH + 0.1, label.text
            assert box.top >= -1 and box.bottom <= drawing.height + 0.1, label.text
        for one, other in itertools.combinations(boxes, 2):
            across = min(one.right, other.right) - max(one.left, other.left)
            down = min(one.bottom, other.bottom) - max(one.top, other.top)
            assert across <= 0 or down <= 0.2


@pytest.mark.parametrize("identifier", IDS)
def test_each_curve_has_axes_points_band_and_words_in_black_and_white(identifier: str) -> None:
    for curve, what, drawing in drawings(identifier, "metric"):
        root = ElementTree.fromstring(svg_of(drawing))
        assert root.attrib["role"] == "img"
        title, words = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
        assert title is not None and words is not None and title.text and words.text
        assert "days" in words.text if what == "days" else "%" in words.text
        (explained,) = [entry for entry in root if entry.attrib.get("class") == "key"]
        root.remove(explained)
        published = sum(point.known == "published" for point in curve.observed)
        assert len(list(root.iter(f"{SVG}ellipse"))) == published
        assert len(list(root.iter(f"{SVG}rect"))) == len(curve.observed) - published
        assert len(list(root.iter(f"{SVG}polyline"))) == len(curve.pieces)
        assert len(list(root.iter(f"{SVG}polygon"))) == sum(len(piece.points) > 1 for piece in curve.pieces)
        colours = set(re.findall(r"#[0-9a-fA-F]{3,6}\b", svg_of(drawing)))
        assert colours <= {"#000", "#fff"}


def test_points_are_drawn_where_they_belong_and_larger_for_more_eggs() -> None:
    observed = (
        ObservedPoint(25.0, 0.25, 0.25, 50, "published"),
        ObservedPoint(31.0, 0.75, 0.75, 200, "published"),
    )
    points = tuple(CurvePoint(24.0 + t, 0.1 * t, 0.0, 1.0) for t in range(9))
    drawing = curve_drawing(
        Curve((CurvePiece(points, "published"),), observed), "share", "made up", Show(), "c"
    )
    root = ElementTree.fromstring(svg_of(drawing))
    ends = {
        label.text: label.x
        for label in drawing.labels
        if label.text in ("24", "32") and label.anchor == "middle"
    }
    levels = {label.text: label.y for label in drawing.labels if label.text.endswith("%")}
    small, large = (entry for entry in root if entry.tag == f"{SVG}ellipse")
    for ellipse, at, level in ((small, 25, "25 %"), (large, 31, "75 %")):
        across = ends["24"] + (at - 24) / 8 * (ends["32"] - ends["24"])
        assert float(ellipse.attrib["cx"]) == pytest.approx(across, abs=0.2)
        # The label of a level stands with its middle at the line: 0.35 of 9.5 below.
        assert float(ellipse.attrib["cy"]) == pytest.approx(levels[level] - 0.35 * 9.5, abs=0.2)
    # The area goes with the count: four times the eggs, twice the radius.
    assert float(large.attrib["rx"]) == pytest.approx(
        2 * float(small.attrib["rx"]), abs=0.15
    )  # coordinates are written to a tenth
