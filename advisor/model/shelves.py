"""Egg boxes on shelves: which stand above others without resting on them."""

from collections.abc import Sequence

from msgspec.structs import replace

from advisor.model.plan import EggBox

USUAL_RACK = 0.02  # m, the rack of egg boxes where none is told; judgement


def on_shelves(boxes: tuple[EggBox, ...]) -> tuple[EggBox, ...]:
    """The boxes with their tiers, where these follow from the heights of their racks and nothing else is told."""
    if not any(_above(box, boxes) for box in boxes):
        return boxes
    return tuple(
        replace(box, tier="upper" if _above(box, boxes) else "lower") if box.tier in (None, "one") else box
        for box in boxes
    )


def shelf_above(boxes: Sequence[EggBox]) -> float | None:
    """Height of the shelf that carries the upper tier [m]; None where that stands on the boxes of the lower one."""
    return min((box.shelf_height or 0.0 for box in boxes if has_shelf(box, boxes)), default=None)


def has_shelf(box: EggBox, boxes: Sequence[EggBox]) -> bool:
    """Whether a box of the upper tier stands on a shelf of its own, not on the boxes below."""
    return box.tier == "upper" and _above(box, boxes)


def _above(box: EggBox, boxes: Sequence[EggBox]) -> bool:
    """Whether a box stands on a rack that is higher than the lid of the lowest boxes."""
    racks = [
        (one.shelf_height or USUAL_RACK, one.inside.height)
        for one in boxes
        if one.stands == "on a rack" and one.inside is not None
    ]
    if box.stands != "on a rack" or box.shelf_height is None or not racks:
        return False
    lowest, height = min(racks)
    return box.shelf_height >= lowest + height
