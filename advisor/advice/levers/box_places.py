"""Levers of where the egg boxes stand, and of how the probe box is like them."""

from collections.abc import Iterator
from typing import Any

from advisor.advice.levers.lever import Ladder, Lever, change, one_of
from advisor.advice.written import Written
from advisor.model.changes import PURCHASE
from advisor.model.plan import EggBox
from advisor.rules.engine import Case
from advisor.units import INCH, number

LIFTS = {"metric": 0.02, "us": INCH}  # m of air between a heater and an egg box; judgement
# m of foam on an egg-box lid: as cut from packing, and past which little is gained; judgement
SHEETS = {"metric": (0.02, 0.04), "us": (0.75 * INCH, 1.5 * INCH)}


def _stands(case: Case) -> Iterator[Ladder]:
    """All egg boxes on a rack: where one stands otherwise it stays at another temperature than the probe box."""
    entries = {
        f"egg_boxes[{index}]__stands": "on a rack"
        for index, box in enumerate(case.plan.egg_boxes)
        if box.stands != "on a rack"
    }
    if entries:
        lift = Written(case.plan.units).length(LIFTS[case.plan.units])
        above = f", {lift} or more above the heater" if case.plan.heat.place in ("floor", None) else ""
        yield from one_of(change(case, f"Stand the egg boxes on a rack{above}.", **entries))


def _tier(case: Case) -> Iterator[Ladder]:
    """All egg boxes side by side in one layer."""
    entries = {
        f"egg_boxes[{index}]__tier": "one"
        for index, box in enumerate(case.plan.egg_boxes)
        if box.tier != "one"
    }
    if entries:
        yield from one_of(change(case, "Stand all egg boxes side by side in one layer.", **entries))


def _shelf_height(case: Case) -> Iterator[Ladder]:
    """Higher racks under all boxes whose rack is too low."""
    lift = LIFTS[case.plan.units]
    told = Written(case.plan.units).length(lift)
    low = {
        f"egg_boxes[{index}]__shelf_height": told
        for index, box in enumerate(case.plan.egg_boxes)
        if box.shelf_height is not None and box.shelf_height < lift
    }
    if low:
        yield from one_of(change(case, f"Stand the egg boxes on a rack {told} high.", PURCHASE, **low))


def _foam_on_lid(case: Case) -> Iterator[Ladder]:
    """Foam on all egg-box lids, then thicker foam: a lid without it would be another lid than that of the probe box."""
    write = Written(case.plan.units)
    changes = []
    for sheet in SHEETS[case.plan.units]:
        if sheet <= case.box.foam_on_lid:
            continue
        told = write.length(sheet)
        thinner = {
            f"egg_boxes[{index}]__foam_on_lid": told
            for index, box in enumerate(case.plan.egg_boxes)
            if box.foam_on_lid < sheet and box.lid.fitted
        }
        words = f"Lay foam {told} thick on each egg-box lid, its air holes left free."
        changes.append(change(case, words, PURCHASE, **thinner))
    yield from one_of(*changes)


def _like_the_eggs(case: Case) -> Iterator[Ladder]:
    """The probe box made like an egg box, each in turn."""
    probe = case.box
    if probe.holds != "probe":
        return
    for box in case.plan.egg_boxes:
        if box.holds == "probe":
            continue
        now, wanted = described(case, probe), described(case, box)
        entries: dict[str, Any] = {
            f"box__{entry}": value for entry, value in wanted.items() if now.get(entry) != value
        }
        entries |= {
            f"box__{entry}": None
            for entry in ("shape", "medium__mixed_with")
            if entry in now and entry not in wanted
        }
        if entries:
            words = f"Make the probe box like '{box.name}': the same size, place, medium, mix, depth and lid."
            yield from one_of(change(case, words, **entries))


def described(case: Case, box: EggBox) -> dict[str, Any]:
    """What makes a box settle where another does, as a keeper writes it, by entry; nothing where it is not told."""
    write, medium, lid = Written(case.plan.units), box.medium, box.lid
    told: dict[str, Any] = {
        "stands": box.stands,
        "tier": "lower" if box.tier == "two" else box.tier,
        "medium__material": medium.material,
        "medium__grade": medium.grade,
        "lid": None if lid.fitted else "none",
        "lid__fit": lid.fit,
    }
    if medium.mixed_with is not None:
        second = medium.mixed_with
        told["medium__mixed_with"] = {
            "material": second.material,
            "share": f"{number(second.share * 100, 3)} %",
        }
    if box.foam_on_lid:
        told["foam_on_lid"] = write.length(box.foam_on_lid)
    if box.shelf_height is not None:
        told["shelf_height"] = write.length(box.shelf_height)
    if box.inside is not None:
        told["inside"] = write.exact_size(box.inside.length, box.inside.width, box.inside.height)
        told["shape"] = "round" if box.inside.round else None
    if medium.depth is not None:
        told["medium__depth"] = write.exact_size(medium.depth)
    if medium.mix is not None:
        told["medium__mix"] = {"medium": medium.mix.medium, "water": medium.mix.water, "by": medium.mix.by}
    if lid.holes is not None and not lid.holes.count:
        told["lid__holes"] = "none"
    elif lid.holes is not None and lid.holes.diameter is not None:
        told["lid__holes"] = {"count": lid.holes.count, "diameter": write.length(lid.holes.diameter)}
    return {entry: value for entry, value in told.items() if value is not None}


LEVERS = (
    Lever(
        "egg_boxes[]", _like_the_eggs, "the thermostat keeps the egg boxes right as far as they are like it"
    ),
    Lever("egg_boxes[].foam_on_lid", _foam_on_lid, "a lid as warm as the medium stays dry"),
    Lever(
        "egg_boxes[].shelf_height", _shelf_height, "air between heater and box keeps the eggs from its heat"
    ),
    Lever("egg_boxes[].stands", _stands, "air between heater and box keeps the eggs from its heat"),
    Lever("egg_boxes[].tier", _tier, "boxes in one layer share one temperature"),
)
