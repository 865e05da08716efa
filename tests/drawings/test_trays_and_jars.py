"""Pictures of jars, open trays, two heaters, a probe in the bath and a dish of water."""

import pytest
from msgspec.structs import replace

from advisor.drawings.canvas import Drawing
from advisor.drawings.cross_section import cross_section
from advisor.drawings.top_view import top_view
from advisor.model.plan import Area
from advisor.show import Show
from tests.papers.pages import Papers, papers_of
from tests.support import ROOT


def sound(name: str) -> Papers:
    return papers_of(ROOT / f"tests/setups/sound/{name}.yaml")


def sections(name: str) -> tuple[Drawing, Drawing]:
    """From the front and from above."""
    papers = sound(name)
    situation, show = papers.assessment.situation, Show()
    front = cross_section(situation.plan, situation.forecast, papers.figures.egg_sizes, show)
    above = top_view(situation.plan, situation.forecast, show)
    assert isinstance(front, Drawing) and isinstance(above, Drawing)
    return front, above


def test_jars_are_round_from_above() -> None:
    """Five circles more, four jars for eggs and one for the probe, than the same plan with corners."""
    situation = sound("gecko-jars-half-perlite").assessment.situation
    boxes = situation.plan.egg_boxes
    square = tuple(replace(box, inside=box.inside and replace(box.inside, round=False)) for box in boxes)
    circles = []
    for kinds in (boxes, square):
        drawing = top_view(replace(situation.plan, egg_boxes=kinds), situation.forecast, Show())
        assert isinstance(drawing, Drawing)
        circles.append(sum(shape.startswith("<ellipse") for shape in drawing.shapes))
    assert circles[0] == circles[1] + 5


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("both-sides", "under the lid and on the floor, 17 W"),
        ("bath-probe-in-water", "Probe: in the water of the bath"),
        ("gecko-jars-half-perlite", "vermiculite with 50 % perlite"),
    ],
)
def test_what_is_new_is_told_beside_the_picture(name: str, told: str) -> None:
    front, _ = sections(name)
    assert told in front.description


def test_an_open_tray_has_neither_lid_nor_drops() -> None:
    front, _ = sections("open-trays-over-bath")
    assert "Lid of the egg box" not in front.description and "drip" not in front.description
    lidded, _ = sections("bath-probe-in-water")
    assert "Lid of the egg box" in lidded.description


def test_a_second_heater_is_drawn_below_the_first() -> None:
    papers = sound("both-sides")
    situation = papers.assessment.situation
    one = replace(situation.plan, heat=replace(situation.plan.heat, floor_heater=None))
    pictures = [
        cross_section(plan, situation.forecast, papers.figures.egg_sizes, Show())
        for plan in (situation.plan, one)
    ]
    black = [sum('fill="#000"' in shape for shape in picture.shapes) for picture in pictures]
    assert black[0] == black[1] + 1


def test_a_dish_is_told_where_it_is_not_drawn() -> None:
    situation = sound("both-sides").assessment.situation
    plan = replace(situation.plan, outer_box=replace(situation.plan.outer_box, water_dish=Area(0.2, 0.1)))
    drawing = top_view(plan, situation.forecast, Show())
    assert isinstance(drawing, Drawing) and any("water dish, 20 cm x 10 cm" in note for note in drawing.notes)
