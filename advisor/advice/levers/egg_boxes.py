"""Levers of the egg boxes as such: which there are, how many, how large, and whether they stand in two layers."""

import math
from collections.abc import Iterator

from msgspec.structs import replace

from advisor.advice.levers.egg_box_kits import clutches_of, kit_for, like
from advisor.advice.levers.egg_box_lid import LID, NARROW, USUAL_COUNT
from advisor.advice.levers.egg_box_medium import GRADE, MEDIUM, usual_mixes, written_mix
from advisor.advice.levers.lever import Ladder, Lever, change, ladder, one_of
from advisor.advice.written import Written
from advisor.forecast.egg_box.room_for_eggs import forecast_places
from advisor.model.changes import PURCHASE, SETTING, Change
from advisor.model.figures import Figure
from advisor.model.forecast import BoxUse
from advisor.model.plan import Clutch, EggBox, Size
from advisor.rules.engine import Case
from advisor.rules.shared import HEAD_ROOM
from advisor.show import counted
from advisor.units import INCH

MOST_EGGS = 12  # in one box, also of a clutch that sticks together: they share its air; judgement
LARGER, HIGHER = (1.2, 1.5, 2.0), (0.03, 0.06)  # times in length and width, m
SMALL = (0.7, 0.5)  # times in length and width of boxes that leave room for more
SMALLER, FLATTER = (0.85, 0.7), (0.02, 0.04)


def _egg_boxes(case: Case) -> Iterator[Ladder]:
    """Where there are none: boxes for all eggs and one alike for the probe. Else in two layers, or in one."""
    boxes, clutches = case.plan.egg_boxes, case.plan.clutches
    if not boxes:
        species = [case.situation.species[clutch.species] for clutch in clutches]
        write, units = Written(case.plan.units), case.plan.units
        kit = kit_for(case, clutches)
        inside = kit.inside[units]
        alike = {
            "inside": write.exact_size(inside.length, inside.width, inside.height),
            "stands": "on a rack",
            "tier": "one",
            "lid": {
                "fit": "clip",
                "thickness": LID[units],
                "holes": {"count": USUAL_COUNT, "diameter": NARROW[units]},
            },
            "medium": {
                "material": MEDIUM,
                "grade": GRADE,
                "depth": write.length(kit.depth[units]),
                "mix": written_mix(usual_mixes(species)[0]),
            },
            "top_up": "by weight",
            "dry_late": "no",
        }
        eggs = {
            "name": "eggs",
            "count": _enough(case, EggBox("eggs", inside=inside), clutches),
            "holds": "eggs",
        }
        probe = {"name": "probe", "count": 1, "holds": "probe"}
        words = "Use egg boxes alike for the eggs and for the probe."
        yield from one_of(change(case, words, PURCHASE, egg_boxes=[{**eggs, **alike}, {**probe, **alike}]))
        return
    stacked = any(box.stacked for box in boxes)
    words = (
        "Stand all egg boxes side by side in one layer." if stacked else "Stack the egg boxes in two layers."
    )
    # Of a box with the probe the layer has to be told.
    entries = {
        f"egg_boxes[{index}].tier": "one" if stacked else "lower" if box.holds == "probe" else "two"
        for index, box in enumerate(boxes)
    }
    yield from one_of(change(case, words, **entries))


def _enough(case: Case, box: EggBox, clutches: tuple[Clutch, ...]) -> int:
    """How many boxes of a size hold the eggs of these clutches with room and air."""
    eggs = sum(clutch.eggs or 0 for clutch in clutches)
    inside = tuple(replace(clutch, box=box.name) for clutch in clutches)
    plan = replace(case.plan, egg_boxes=(replace(box, count=1),), clutches=inside)
    places = forecast_places(plan, 0, case.situation.species)
    room = eggs / places.value if isinstance(places, Figure) and places.value else 0.0
    return max(1, math.ceil(eggs / MOST_EGGS), math.ceil(room))


def _count(case: Case) -> Iterator[Ladder]:
    """As many boxes of the same kind as are in use at one time, more with the eggs spread over them; then fewer."""
    box, clutches = case.box, tuple(clutch for clutch, _ in case.clutches_in_box)
    if box.count is None:
        enough = 1 if box.holds == "probe" or box.inside is None else _enough(case, box, clutches)
        yield from one_of(_counted(case, enough, "Use"))
        return
    use = case.forecast.box_use[case.box_index or 0]
    if isinstance(use, BoxUse) and use.needed > box.count:
        yield from one_of(_counted(case, use.needed, "Use"), *_small(case, use.needed))
    most = max(2 * box.count, box.count + 3, _enough(case, box, clutches) if box.inside else 0)
    more, fewer = range(box.count + 1, most + 1), range(box.count - 1, 0, -1)
    yield from ladder((_counted(case, number, "Spread the eggs over") for number in more), steady=True)
    yield from ladder((_counted(case, number, "Use only") for number in fewer), steady=True)


def _counted(case: Case, number: int, verb: str) -> Change:
    words = f"{verb} {counted(number, 'egg box', 'egg boxes')} like '{case.box.name}'."
    bought = PURCHASE if number > (case.box.count or 0) else SETTING
    return change(case, words, bought, box__count=number)


def _small(case: Case, number: int) -> Iterator[Change]:
    """So many boxes, all of the plan smaller: where the floor has no room for more of the same."""
    write, boxes = Written(case.plan.units), case.plan.egg_boxes
    if case.box.holds == "probe" or any(box.inside is None for box in boxes):
        return
    for times in SMALL:
        sizes = {
            f"egg_boxes[{index}].inside": write.size(
                box.inside.length * times, box.inside.width * times, box.inside.height
            )
            for index, box in enumerate(boxes)
            if box.inside is not None
        }
        own = sizes[case.path("box.inside")]
        words = f"Use {counted(number, 'egg box', 'egg boxes')} like '{case.box.name}', and all boxes smaller: {own} inside."
        yield change(case, words, PURCHASE, box__count=number, **sizes)


def _inside(case: Case) -> Iterator[Ladder]:
    """Higher, larger, smaller and flatter boxes, as far as air stays above the medium; a usual one where none is told."""
    inside, depth, units = case.box.inside, case.box.medium.depth, case.plan.units
    if inside is None:
        model = like(case)
        usual = kit_for(case, clutches_of(case)).inside[units]
        yield from one_of(_sized(case, (model.inside if model is not None else None) or usual))
        return
    step = INCH / 2 if units == "us" else 0.01

    def changed(times: float, more: float) -> Size:
        """Sides that change come to a whole cm or half an inch, as boxes are sold."""
        length, width, height = (
            round(side / step) * step
            for side in (inside.length * times, inside.width * times, inside.height + more)
        )
        floor = (inside.length, inside.width) if times == 1 else (length, width)
        return Size(*floor, height if more else inside.height)

    flatter = (changed(1, -less) for less in FLATTER)
    least = (depth or 0.0) + HEAD_ROOM
    yield from ladder(_sized(case, changed(1, more)) for more in HIGHER)
    yield from ladder(_sized(case, changed(times, 0)) for times in LARGER)
    yield from ladder(_sized(case, changed(times, 0)) for times in SMALLER)
    yield from ladder(_sized(case, size) for size in flatter if size.height >= least)


def _sized(case: Case, size: Size) -> Change:
    text = Written(case.plan.units).exact_size(size.length, size.width, size.height)
    return change(case, f"Use egg boxes of {text} inside for '{case.box.name}'.", PURCHASE, box__inside=text)


def _holds(case: Case) -> Iterator[Ladder]:
    if case.box.holds is None:
        holds = "eggs" if case.clutches_in_box or len(case.plan.egg_boxes) == 1 else "probe"
        yield from one_of(change(case, f"Keep {holds} in '{case.box.name}'.", box__holds=holds))


LEVERS = (
    Lever("egg_boxes", _egg_boxes, "a box alike for the probe stands for those with eggs"),
    Lever("egg_boxes[].count", _count, "so many hold the eggs with room between them"),
    Lever("egg_boxes[].inside", _inside, "of a size that suits these eggs"),
    Lever("egg_boxes[].holds", _holds, "the probe lies in a box of its own"),
)
