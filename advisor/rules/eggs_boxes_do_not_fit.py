"""Egg boxes against the room in the outer box."""

from collections.abc import Iterator

from advisor.forecast.egg_box.room_for_boxes import AIR_ABOVE, RIM, boxes_in_outer_box
from advisor.model.findings import FIX, WATCH, Finding
from advisor.rules.engine import PLAN, Case, Lacking, Rule
from advisor.rules.shared import known

RULE = Rule(
    id="eggs-boxes-do-not-fit",
    title="The egg boxes do not fit into the outer box",
    explanation=(
        "On the day of laying the eggs wait for a place. A box that is squeezed in stands askew, on the heater or against a "
        "wall, and its eggs get too warm or too cold. Without a gap above, the lid of the outer box rests on the egg boxes "
        "and no air moves. A new box found in haste has had no trial run."
    ),
    remedy="Lay the empty egg boxes into the outer box now, with their lids on. Choose smaller boxes or a larger outer box.",
    sources=("judgement",),
    about=PLAN,
    levers=("egg_boxes", "outer_box.inside"),
    good=(
        "outer_box: {inside: 55 x 35 x 22 cm}\n"
        "egg_boxes: [{name: eggs, count: 3, tier: one, inside: 20 x 14 x 9 cm}]"
    ),
    bad=(
        "outer_box: {inside: 40 x 30 x 22 cm}\n"
        "egg_boxes: [{name: eggs, count: 6, tier: one, inside: 20 x 14 x 9 cm}]"
    ),
)


TOO_MANY_WAYS = (
    "there are too many ways to lay out the egg boxes to try them all: lay the empty boxes in to see"
)


def check(case: Case) -> Iterator[Finding]:
    """Too many or too large side by side, or too high; a doubt about rims and air above is a watch."""
    room = known(boxes_in_outer_box(case.plan))
    missing = tuple(
        f"egg_boxes[{index}].tier" for index, box in enumerate(case.plan.egg_boxes) if box.tier is None
    )
    show = case.show
    kinds = range(len(case.plan.egg_boxes))
    each = (f"egg_boxes[{index}].{entry}" for entry in ("count", "inside") for index in kinds)
    levers = (*RULE.levers, *each)
    if room.side_by_side != "yes":
        if missing and room.if_stacked == "yes":
            raise Lacking(*missing)
        if room.side_by_side == "not searched out":
            raise Lacking(TOO_MANY_WAYS)
        boxes = sum(box.count or 0 for box in case.plan.egg_boxes)
        on = f"on a floor of {show.length(room.inside_length)} x {show.length(room.inside_width)}"
        layers = " in two layers" if any(box.tier not in (None, "one") for box in case.plan.egg_boxes) else ""
        on = on if boxes == 1 else f"side by side{layers} {on}"
        yield Finding(
            FIX if room.side_by_side == "no" else WATCH,
            f"{'The egg box does' if boxes == 1 else f'The {boxes} egg boxes do'} not fit {on}."
            if room.side_by_side == "no"
            else f"The {boxes} egg boxes may not fit {on}: with rims of {show.length(RIM)} all round no way to lay them was "
            "found.",
            "egg_boxes",
            levers=levers,
        )
    if room.in_height != "yes":
        yield Finding(
            FIX if room.in_height == "no" else WATCH,
            f"The egg boxes stand {show.length(room.height)} high in an outer box of {show.length(room.inside_height)}; "
            f"{show.length(AIR_ABOVE)} of air above them is needed.",
            "egg_boxes",
            levers=levers,
        )
