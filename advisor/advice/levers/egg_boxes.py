"""Levers of the egg boxes: lid, medium, water, room for the eggs."""

import math
from collections.abc import Iterator

from advisor.advice.levers.lever import Ladder, Lever, change, one_of
from advisor.advice.written import Written
from advisor.constants import DAY
from advisor.model.changes import PURCHASE, Change
from advisor.model.figures import Figure
from advisor.rules.engine import Case
from advisor.rules.shared import can_be_deeper
from advisor.show import counted

HOLES = (
    (2e-3, (5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 20)),
    (3e-3, (5, 6, 8, 10, 12, 15, 18)),
    (4e-3, (5, 6, 8, 10, 12)),
)  # m
FEWER_HOLES = (5, 4, 3, 2)
MIXES_BY_VOLUME = (8, 6, 5, 4, 3.5, 3, 2.5, 2, 1.5, 1)  # parts of medium to one of water
MIXES_BY_MASS = (4, 3, 2.5, 2, 1.7, 1.4, 1.2, 1, 0.8, 0.7)
DEPTHS = (0.04, 0.05, 0.06, 0.07, 0.08, 0.10)  # m
TOP_UPS = (28, 21, 14, 10, 7)  # days


def _named(case: Case) -> str:
    return (
        f"each egg box '{case.box.name}'" if (case.box.count or 1) > 1 else f"the egg box '{case.box.name}'"
    )


def _holes(case: Case) -> Iterator[Ladder]:
    """More holes of the size that is planned, then larger ones; then fewer, for a lid that lets out too much water."""
    write, holes = Written(case.plan.units), case.box.lid.holes
    count = holes.count if holes is not None else 0
    planned = (holes.diameter if holes is not None else None) or HOLES[0][0]

    def made(number: int, diameter: float) -> Change:
        words = f"Make {counted(number, 'hole')} of {write.length(diameter)} in the lid of {_named(case)}, far apart."
        value = {"count": number, "diameter": write.length(diameter)}
        return change(case, words, box__lid__holes=value)

    for diameter, counts in HOLES:
        if diameter < planned - 1e-6:
            continue
        more = [number for number in counts if number * diameter**2 > count * planned**2 + 1e-12]
        if more:
            yield Ladder(tuple(made(number, diameter) for number in more), steady=True)
    fewer = [number for number in FEWER_HOLES if number < count]
    if fewer:
        yield Ladder(
            tuple(
                change(
                    case,
                    f"Leave {counted(number, 'hole')} open in the lid of {_named(case)}, and tape over the others.",
                    box__lid__holes={"count": number, "diameter": write.length(planned)},
                )
                for number in fewer
            ),
            steady=True,
        )


def _fit(case: Case) -> Iterator[Ladder]:
    box = _named(case)
    yield from one_of(
        *(
            change(case, f"Use a lid that {words} on {box}.", PURCHASE, box__lid__fit=fit)
            for fit, words in (("clip", "clips shut"), ("loose", "lies loose"), ("gasket", "has a gasket"))
            if fit != case.box.lid.fit
        )
    )


def _count(case: Case) -> Iterator[Ladder]:
    """More boxes of the same kind, with the eggs spread over them."""
    count = case.box.count or 0
    places = case.box_forecast.places_for_eggs
    eggs = sum(clutch.eggs or 0 for clutch, _ in case.clutches_in_box)
    least = max(
        count + 1, math.ceil(eggs / places.low) if isinstance(places, Figure) and places.low >= 1 else 1
    )
    name = case.box.name
    yield Ladder(
        tuple(
            change(
                case,
                f"Spread the eggs over {counted(number, 'egg box', 'egg boxes')} like '{name}'.",
                PURCHASE,
                box__count=number,
            )
            for number in range(least, least + 4)
        ),
        steady=True,
    )


def _depth(case: Case) -> Iterator[Ladder]:
    depth, inside, write = case.box.medium.depth, case.box.inside, Written(case.plan.units)
    most = math.inf if inside is None else inside.height - 0.03
    steps = [step for step in DEPTHS if step <= most + 1e-9]
    deeper = (
        [step for step in steps if depth is None or step > depth + 1e-9] if can_be_deeper(case.box) else []
    )

    def filled(step: float) -> Change:
        return change(
            case,
            f"Fill {write.length(step)} of medium into {_named(case)}.",
            box__medium__depth=write.length(step),
        )

    if depth is None and len(deeper) > 1:
        deeper = [deeper[1], deeper[0], *deeper[2:]]
    if deeper:
        yield Ladder(tuple(filled(step) for step in deeper), steady=depth is not None)
    shallower = [step for step in reversed(steps) if depth is not None and step < depth - 1e-9]
    if shallower:
        yield Ladder(tuple(filled(step) for step in shallower), steady=True)


def _mix(case: Case) -> Iterator[Ladder]:
    """Wetter, then drier mixes than planned, in the way of measuring that is planned."""
    mix = case.box.medium.mix
    by = mix.by if mix is not None else "volume"
    now = mix.medium / mix.water if mix is not None and mix.water > 0 else math.inf
    ratios: tuple[float, ...] = MIXES_BY_VOLUME if by == "volume" else MIXES_BY_MASS
    if mix is None:
        ratios = (4, 3, 5, 2)

    def mixed(ratio: float) -> Change:
        words = f"Mix {ratio:g} parts of dry medium with 1 part of water by {by} for {_named(case)}."
        return change(case, words, box__medium__mix={"medium": ratio, "water": 1, "by": by})

    if mix is None:
        yield from one_of(*(mixed(ratio) for ratio in ratios))
        return
    wetter = [ratio for ratio in ratios if ratio < now - 1e-9]
    drier = [ratio for ratio in reversed(ratios) if ratio > now + 1e-9]
    for steps in (wetter, drier):
        if steps:
            yield Ladder(tuple(mixed(ratio) for ratio in steps), steady=True)


def _top_up(case: Case) -> Iterator[Ladder]:
    """By weight at the checks first; then at fixed days, the rarest first."""
    box, top_up = _named(case), case.box.top_up
    changes = []
    if top_up is None or top_up.way != "by weight":
        words = f"Weigh {box} when you set it up, and bring it back to that weight with water at each check."
        changes.append(change(case, words, box__top_up="by weight"))
    every = top_up.every / DAY if top_up is not None and top_up.every is not None else math.inf
    changes += [
        change(
            case,
            f"Add the water that is lost to {box} every {step} days.",
            box__top_up={"every": f"{step} days"},
        )
        for step in TOP_UPS
        if step < every
    ]
    yield from one_of(*changes)


def _dry_late(case: Case) -> Iterator[Ladder]:
    yield from one_of(
        change(case, f"Keep {_named(case)} as moist as before until hatching.", box__dry_late="no")
    )


def _material(case: Case) -> Iterator[Ladder]:
    yield from one_of(
        change(case, f"Use vermiculite in {_named(case)}.", PURCHASE, box__medium__material="vermiculite")
    )


def _grade(case: Case) -> Iterator[Ladder]:
    yield from one_of(
        change(
            case, f"Use vermiculite of medium grain in {_named(case)}.", PURCHASE, box__medium__grade="medium"
        )
    )


def _inside(case: Case) -> Iterator[Ladder]:
    """Larger boxes by steps of a fifth in length and width, and higher ones."""
    inside, write = case.box.inside, Written(case.plan.units)
    if inside is None:
        return
    sizes = [
        (inside.length * factor, inside.width * factor, max(inside.height, height))
        for factor, height in (
            (1.0, inside.height + 0.03),
            (1.2, 0.09),
            (1.2, 0.12),
            (1.5, 0.12),
            (1.5, 0.15),
        )
    ]
    yield Ladder(
        tuple(
            change(
                case,
                f"Use egg boxes of {write.size(*size)} for '{case.box.name}'.",
                PURCHASE,
                box__inside=write.size(*size),
            )
            for size in sizes
        )
    )


LEVERS = (
    Lever("egg_boxes[].count", _count, "so many boxes hold the eggs with room between them"),
    Lever("egg_boxes[].inside", _inside, "the eggs find room in it"),
    Lever("egg_boxes[].lid.fit", _fit, "a clip lid keeps the water in"),
    Lever("egg_boxes[].lid.holes", _holes, "enough air for the last third"),
    Lever("egg_boxes[].medium.material", _material, "it holds water evenly and does not rot"),
    Lever("egg_boxes[].medium.grade", _grade, "it drains well and holds enough"),
    Lever("egg_boxes[].medium.depth", _depth, "it holds the water of the whole incubation"),
    Lever("egg_boxes[].medium.mix", _mix, "damp, and no water stands free"),
    Lever("egg_boxes[].top_up", _top_up, "what the scale shows is lost water"),
    Lever("egg_boxes[].dry_late", _dry_late, "eggs want their moisture until they hatch"),
)
