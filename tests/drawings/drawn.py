"""The parts of a drawing, as tests look at them."""

import xml.etree.ElementTree as ElementTree
from typing import Any

from msgspec.structs import replace

from advisor.drawings.canvas import (
    Drawing,
    svg_of,
)
from advisor.drawings.cross_section import cross_section
from advisor.show import Show
from tests.papers.pages import Papers

SVG = "{http://www.w3.org/2000/svg}"


def rectangles(drawing: Drawing) -> list[dict[str, float]]:
    root = ElementTree.fromstring(svg_of(drawing))
    return [
        {key: float(entry.attrib[key]) for key in ("x", "y", "width", "height")}
        for entry in root.iter(f"{SVG}rect")
    ]


def section(papers: Papers, **changes: Any) -> Drawing:
    situation = papers.assessment.situation
    plan = replace(situation.plan, **changes)
    drawing = cross_section(plan, situation.forecast, papers.figures.egg_sizes, Show())
    assert isinstance(drawing, Drawing)
    return drawing
