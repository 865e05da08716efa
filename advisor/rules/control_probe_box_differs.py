"""The probe box against the egg boxes it stands for."""

from collections.abc import Iterator
from operator import attrgetter
from typing import Any

from msgspec.structs import replace

from advisor.model.findings import FIX, NOTE, WATCH, Finding, NotJudged
from advisor.model.plan import EggBox, Holes, Mix, Size
from advisor.rules.engine import PLAN, Case, Lacking, Rule
from advisor.show import Show
from advisor.units import number

# What is compared, the worst first: entry, severity of a difference, the word for it. Tiers under heat from the lid
# differ by 2.6 to 4.7 K (computed by a 2-D finite-volume model of boxes 50 to 60 cm long) and a box on the heater by
# 2.5 K (derived with this project's heat network); the rest changes how fast the box follows.
# Lids hardly change the temperature (judgement); without one the medium cools itself as its water evaporates.
ENTRIES = (
    ("stands", FIX, "place"),
    ("tier", FIX, "tier"),
    ("lid.fitted", FIX, "lid"),
    ("inside", WATCH, "inside size"),
    ("medium.called", WATCH, "medium"),
    ("medium.mix", WATCH, "mix"),
    ("medium.depth", WATCH, "depth of medium"),
    ("foam_on_lid", WATCH, "foam on the lid"),
    ("lid.fit", NOTE, "lid"),
    ("lid.holes", NOTE, "air holes"),
)
# the plan's entry, where it is another
WRITTEN_AT = {"medium.called": "medium.material", "lid.fitted": "lid"}
# Boxes in one tier stand as low as the lower of two; where the eggs are in both, heat-uneven-between-boxes tells it.
SAME_TIER = ({"one", "lower"}, {"lower", "two"}, {"upper", "two"})
NEAR = 0.10  # share by which sizes, mixes and holes may differ and still count as alike; judgement
NEAR_DEPTH = 0.005  # m by which the depth of medium may differ; judgement

RULE = Rule(
    id="control-probe-box-differs",
    title="The probe box is not like the egg boxes",
    explanation=(
        "The thermostat keeps the probe box right, and the egg boxes only as far as they are like it. A box that stands "
        "higher, on the heater, or holds less medium settles at another temperature, or swings more. "
        "The thermostat cannot see it. The eggs are then outside their band for the whole season, while the display looks right."
    ),
    remedy="Make the probe box the same as the egg boxes: same box, same medium and mix, same depth, same place.",
    sources=("practice", "judgement"),
    about=PLAN,
    good="""\
control: {thermostat: pulse, probe: {sits_in: probe box medium}}
egg_boxes:
- {name: eggs, holds: eggs, inside: 20 x 14 x 9 cm, stands: on a rack, tier: one, lid: {fit: clip, holes: none},
   medium: {material: vermiculite, depth: 5 cm, mix: {medium: 4, water: 1, by: volume}}}
- {name: probe, holds: probe, inside: 20 x 14 x 9 cm, stands: on a rack, tier: one, lid: {fit: clip, holes: none},
   medium: {material: vermiculite, depth: 5 cm, mix: {medium: 4, water: 1, by: volume}}}""",
    bad="""\
control: {thermostat: pulse, probe: {sits_in: probe box medium}}
egg_boxes:
- {name: eggs, holds: eggs, medium: {depth: 5 cm}}
- {name: probe, holds: probe, medium: {depth: 2 cm}}""",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Looks for the probe box, then compares it with each egg box."""
    control, boxes = case.plan.control, tuple(enumerate(case.plan.egg_boxes))
    if control.thermostat == "none" or control.probe.sits_in not in ("probe box medium", None):
        return
    if control.probe.sits_in is None or not boxes:
        raise Lacking(*(("control.probe.sits_in",) if control.probe.sits_in is None else ("egg_boxes",)))
    probes = [(index, box) for index, box in boxes if box.holds == "probe"]
    others = [(index, box) for index, box in boxes if box.holds != "probe"]
    if not probes:
        yield from _no_probe_box(case, others)
    elif not others:
        yield NotJudged(("egg_boxes",))
    for probe_index, told in probes:
        probe = replace(told, tier=control.probe.tier or told.tier)
        for index, box in others:
            yield from _compared(case.show, (probe_index, probe), (index, box))


def _no_probe_box(case: Case, boxes: list[tuple[int, EggBox]]) -> Iterator[Finding | NotJudged]:
    with_eggs = {clutch.box for clutch in case.plan.clutches}
    unknown = [
        f"egg_boxes[{index}].holds" for index, box in boxes if box.holds is None and box.name not in with_eggs
    ]
    if unknown:
        yield NotJudged(tuple(unknown))
        return
    yield Finding(
        FIX,
        f"The probe sits in a probe box, but none of the {len(boxes)} kinds of box in the plan holds the probe."
        if len(boxes) > 1
        else "The probe sits in a probe box, but the only box in the plan holds eggs.",
        "control.probe.sits_in",
        levers=("control.probe.sits_in",),
    )


def _compared(
    show: Show, probe: tuple[int, EggBox], eggs: tuple[int, EggBox]
) -> Iterator[Finding | NotJudged]:
    differences, missing = [], []
    for entry, severity, word in ENTRIES:
        here, there = attrgetter(entry)(probe[1]), attrgetter(entry)(eggs[1])
        if _needless(entry, probe[1], eggs[1]):
            continue
        if entry == "tier" and here == there == "two":  # nobody knows which of them the probe is in
            missing += [f"egg_boxes[{index}].tier" for index, _ in (probe, eggs)]
        elif entry == "tier" and {here, there} in SAME_TIER:
            continue
        elif here is None or there is None:
            missing += [
                f"egg_boxes[{index}].{WRITTEN_AT.get(entry, entry)}"
                for (index, _), value in ((probe, here), (eggs, there))
                if value is None
            ]
        elif not _alike(here, there):
            differences.append((entry, severity, word, _shown(here, show), _shown(there, show)))
    if differences:
        listed = "; ".join(f"{word} {here}, not {there}" for _, _, word, here, there in differences)
        worst, severity = differences[0][:2]
        entry = WRITTEN_AT.get(worst, worst)
        # The egg box may be the one that is wrong.
        other = (f"egg_boxes[{eggs[0]}].{entry}",) if severity == FIX else ()
        yield Finding(
            severity,
            f"The probe box '{probe[1].name}' is not like this box: {listed}.",
            f"egg_boxes[{probe[0]}].{entry}",
            "What you change in the egg box later, change in both.",
            levers=(f"egg_boxes[{probe[0]}]", *other),
            subject=f"egg box '{eggs[1].name}'",
        )
    elif missing:
        yield NotJudged(tuple(missing), subject=f"egg box '{eggs[1].name}'")


def _needless(entry: str, probe: EggBox, eggs: EggBox) -> bool:
    """Whether an entry tells nothing of two boxes: the mix without a medium, holes and fit without a lid."""
    if entry in ("medium.mix", "medium.depth"):
        return probe.medium.material == "none" == eggs.medium.material
    return entry in ("lid.fit", "lid.holes") and not (probe.lid.fitted and eggs.lid.fitted)


def _near(one: float, other: float) -> bool:
    return abs(one - other) <= NEAR * max(one, other) + 1e-9


def _alike(one: Any, other: Any) -> bool:
    """Whether two entries of the same kind are the same for the thermostat."""
    if isinstance(one, Size):
        sides = ("length", "width", "height")
        return one.round == other.round and all(
            _near(getattr(one, side), getattr(other, side)) for side in sides
        )
    if isinstance(one, Mix):
        return bool(one.by == other.by and _near(one.water * other.medium, other.water * one.medium))
    if isinstance(one, Holes):
        return bool(one.count == other.count and _near(one.diameter or 0, other.diameter or 0))
    if isinstance(one, float):
        return bool(abs(one - other) <= NEAR_DEPTH + 1e-9)
    return bool(one == other)


def _shown(value: Any, show: Show) -> str:
    if isinstance(value, bool):
        return "fitted" if value else "none"
    if isinstance(value, Size):
        sides = " x ".join(show.length(side) for side in (value.length, value.width, value.height))
        return f"{sides}, round" if value.round else sides
    if isinstance(value, Mix):
        return f"{number(value.medium)}:{number(value.water)} by {value.by}"
    if isinstance(value, Holes):
        return f"{value.count} of {show.length(value.diameter)}" if value.count and value.diameter else "none"
    return show.length(value) if isinstance(value, float) else str(value)
