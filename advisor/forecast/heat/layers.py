"""The egg boxes of a plan as the layers of the heat physics: boxes of mean size, below and above."""

import math
from typing import cast

from advisor.formulas.heat.box_setup import EggBoxes
from advisor.model.figures import Unknown
from advisor.model.plan import EggBox, Plan, Size
from advisor.model.shelves import USUAL_RACK, shelf_above

MIXED_LAYER = Unknown("open trays and boxes with lids in one layer are not computed together")
# m, where none is told: from 0.5 to 3 mm no result moves by 1 % (derived with this network)
LID_THICKNESS = 0.001
STACKED_GAP = 0.01  # m, from lid to base where boxes stand on each other; judgement
BONE_DRY = -100e6  # Pa, water potential of a medium without water: the driest that the formulas take


def tiers_of(boxes: tuple[EggBox, ...]) -> tuple[EggBoxes | Unknown, EggBoxes | Unknown | None]:
    """All egg boxes as a lower and, when some are stacked, an upper tier of boxes of mean size."""
    lower: list[tuple[int, EggBox]] = []
    upper: list[tuple[int, EggBox]] = []
    for box in boxes:
        count = box.count or 1
        if box.tier == "two":
            lower.append((math.ceil(count / 2), box))
            if count > 1:
                upper.append((count // 2, box))
        elif box.tier == "upper":
            upper.append((count, box))
        else:
            lower.append((count, box))
    # One stacked box of which nothing tells what stands above stands on the others.
    stacked = [entry for entry in lower if entry[1].tier == "two"]
    if not upper and stacked and len(lower) > 1:
        upper = [stacked[-1]]
        lower.remove(stacked[-1])
    if not lower:  # nothing is told to stand below
        lower, upper = upper, []
    return _layer(lower), _layer(upper) if upper else None


def _layer(entries: list[tuple[int, EggBox]]) -> EggBoxes | Unknown:
    if len({box.lid.fitted for _, box in entries}) > 1:
        return MIXED_LAYER
    count = sum(number for number, _ in entries)

    def mean(values: list[float]) -> float:
        return sum(number * value for (number, _), value in zip(entries, values, strict=True)) / count

    sizes = [cast(Size, box.inside) for _, box in entries]
    area = mean([size.floor for size in sizes])  # a round one counts as the square of its floor
    ratio = mean([size.length / size.width for size in sizes])
    height = mean([size.height for size in sizes])
    depth = mean([box.medium.depth or 0.0 for _, box in entries])
    thickness = mean([box.lid.thickness or LID_THICKNESS for _, box in entries])
    mixes = [box.medium.mix for _, box in entries]
    dry = all(mix is not None and mix.water == 0 for mix in mixes)
    return EggBoxes(
        count=count,
        length=math.sqrt(area * ratio),
        width=math.sqrt(area / ratio),
        height=height,
        medium_depth=min(depth, height - 0.003),
        lid_thickness=thickness,
        water_potential=BONE_DRY if dry else 0.0,
        lid_foam=mean([box.foam_on_lid for _, box in entries]),
        is_open=not entries[0][1].lid.fitted,
    )


def gap_under_shelf(plan: Plan, lower: EggBoxes) -> float:
    """From the lids of the lower boxes to the bases of the upper ones [m]; the usual gap where these stand on those."""
    shelf = shelf_above(plan.egg_boxes)
    if shelf is None:
        return STACKED_GAP
    rack = min(box.shelf_height or USUAL_RACK for box in plan.egg_boxes)
    return max(shelf - rack - lower.height - 2.0 * lower.lid_thickness, STACKED_GAP)
