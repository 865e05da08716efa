"""The key of a curve: every mark in it is drawn, and every mark that is drawn is in it, on whatever paper."""

import xml.etree.ElementTree as ElementTree
from collections.abc import Iterator

import pytest

from advisor.drawings.canvas import svg_of
from advisor.drawings.species_curve import PlanAt, curve_drawing
from advisor.forecast.clutch.curves import days_curve, sexes_curve
from advisor.model.curves import Curve
from advisor.model.figures import Figure, Unknown
from advisor.model.species import Species
from advisor.show import Show
from tests.profiles import PROFILES

PLANS = (
    None,
    PlanAt(28.0, (27.0, 29.0), Figure(0.4, 0.2, 0.6, "share")),
    PlanAt(28.0, None, Unknown("no data there")),
    PlanAt(None, None, Unknown("no data there")),
)
WORDS = {
    "line": "expected",
    "dotted": "likely range (95 %)",
    "circle": "counted (area by eggs)",
    "square": "weaker evidence (area by eggs)",
    "bar": "range that a source states",
    "hatched": "what your eggs see",
    "thick bar": "likely at your set point",
}
AXIS = "44"  # x of the upright axis, a line as thick as a bar


def kind_of(entry: ElementTree.Element) -> str:
    """The kind of a mark by what can be seen of it; empty for axes, ticks and what belongs to another mark."""
    name, at = entry.tag.rpartition("}")[2], entry.attrib
    fill, width = at.get("fill", ""), at.get("stroke-width", "")
    if "dotted" in fill or "hatched" in fill:
        return "dotted" if "dotted" in fill else "hatched"
    if name == "ellipse":
        return "circle"
    if name == "rect" and fill == "#fff":
        return "square"
    if name == "polyline" or (name == "line" and width == "2"):
        assert "stroke-dasharray" not in at  # the line of what is expected is solid everywhere
        return "line"
    if name == "line" and at["x1"] == at["x2"] and at["x1"] != AXIS:
        return {"1.2": "bar", "4": "thick bar"}.get(width, "")
    return ""


def curves(species: Species) -> Iterator[tuple[str, Curve]]:
    for what, curve in (("days", days_curve(species)), ("share", sexes_curve(species))):
        if isinstance(curve, Curve):
            yield what, curve


@pytest.mark.parametrize("identifier", sorted(PROFILES))
def test_the_key_holds_the_marks_that_are_drawn_and_no_others(identifier: str) -> None:
    for what, curve in curves(PROFILES[identifier]):
        for plan in PLANS if what == "share" else PLANS[:1]:
            drawing = curve_drawing(curve, what, "a species", Show(), "c", plan)
            root = ElementTree.fromstring(svg_of(drawing))
            (group,) = [entry for entry in root if entry.attrib.get("class") == "key"]
            drawn = {kind_of(entry) for entry in root} - {""}
            in_key = [kind for entry in group if (kind := kind_of(entry))]
            assert drawn == set(in_key)
            words = [label.text for label in drawing.labels]
            assert ("weaker evidence" in drawing.description) == any(
                piece.known != "published" for piece in curve.pieces
            )
            assert all((words.count(WORDS[kind]) == 1) == (kind in in_key) for kind in WORDS)
