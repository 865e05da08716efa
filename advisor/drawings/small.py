"""Small pictures beside words to choose from, where a drawing says more: where the heater and the probe are, how eggs lie."""

import re

from advisor.drawings.box_parts import diamond, heater_shapes, probe_at
from advisor.drawings.canvas import Box, ellipse, line, rectangle, shown
from advisor.drawings.egg_boxes import Place, Spot, egg_lift
from advisor.model.plan import Area, EggBox, Heat, Plan

WIDE, HIGH = 78.0, 48.0  # units
WET = "#ccc"  # the medium; dots are too fine at this size
INNER = Box(3.0, 3.0, 61.0, 45.0)  # leaves room at the right for a probe outside
PLACE = Place(INNER, Box(1.0, 1.0, 63.0, 47.0), 400.0, "small")
MAT = Area(0.09, 0.06)
SPOTS = (Spot(0, 30.0, 42.0, 20.0, 18.0, 1), Spot(1, 7.0, 42.0, 20.0, 18.0, 1))
BOXES = (EggBox("eggs", holds="eggs"), EggBox("probe", holds="probe"))
SURFACE, EGG = 27.0, (13.0, 8.0)  # units: of the medium from above; half axes of an egg


def small_picture(entry: str, word: str) -> str:
    """A word of an entry of the plan as a picture without words, inline SVG; empty where words say as much."""
    drawn = {"heat.place": _heater, "control.probe.sits_in": _probe, "clutches.placed": _placed}
    draw = drawn.get(re.sub(r"\[\d+\]", "", entry))
    if draw is None:
        return ""
    return (
        f'<svg viewBox="0 0 {shown(WIDE)} {shown(HIGH)}" aria-hidden="true" focusable="false">'
        f"{''.join(draw(word))}</svg>"
    )


def _heater(word: str) -> tuple[str, ...]:
    return rectangle(PLACE.outer), *heater_shapes(Heat(source="mat", place=word, size=MAT), PLACE)[1]


def _probe(word: str) -> tuple[str, ...]:
    """The egg box with eggs on the right, the probe box on the left; on a heater under the lid, or in a bath."""
    heat = "in water" if word == "water" else "lid"
    at = probe_at(Plan(clutches=(), heat=Heat(place=heat), egg_boxes=BOXES), word, PLACE, SPOTS)
    eggs = (ellipse(SPOTS[0].left + x, SPOTS[0].foot - 10.0, 4.0, 3.0) for x in (5.0, 15.0))
    boxes = (part for spot in SPOTS for part in _box(spot))
    inside = _heater(heat) if word in ("water", "on heater") else (rectangle(PLACE.outer),)
    return *inside, *(() if word == "water" else (*boxes, *eggs)), *((diamond(*at),) if at else ())


def _box(spot: Spot) -> tuple[str, ...]:
    right, top = spot.left + spot.width, spot.foot - spot.high
    medium = Box(spot.left, spot.foot - 10.0, right, spot.foot)
    return rectangle(Box(spot.left, top, right, spot.foot), "#fff"), rectangle(medium, WET, 0.5)


def _placed(word: str) -> tuple[str, ...]:
    across, down = EGG
    x, y = WIDE / 2, SURFACE + egg_lift(word, 2 * down)
    medium = rectangle(Box(1.0, SURFACE, WIDE - 1.0, HIGH - 1.0), WET)
    if word == "attached to its surface":  # upright beside what the female glued it to
        bark = rectangle(Box(x, 1.0, x + 8.0, SURFACE), "#000")
        return medium, bark, ellipse(x - down, SURFACE - across, down, across - 2.0, width=1.4)
    if word == "over the medium":
        y -= 2.0
        return (
            medium,
            line(6.0, y + down, WIDE - 6.0, y + down, 1.4, "4 2"),
            ellipse(x, y, across, down, width=1.4),
        )
    return medium, ellipse(x, y, across, down, width=1.4)
