"""The egg boxes that were put on the scale: all their weighings and top-ups, as `advisor weigh` reads one."""

import datetime
import math
from collections.abc import Mapping, Sequence

from advisor.forecast.edge import in_range
from advisor.forecast.egg_box.weighing import forecast_weighing
from advisor.model.figures import Unknown
from advisor.model.follow import Happening
from advisor.model.plan import Plan
from advisor.model.species import Species
from advisor.model.water_answers import Weighed, WeighingAnswer

BoxKey = tuple[int, int]  # place in the plan, number among its kind


def weighed_boxes(
    plan: Plan, species: Mapping[str, Species], happened: Sequence[Happening], laid: Sequence[datetime.date | None]
) -> tuple[tuple[str, WeighingAnswer | Unknown], ...]:  # fmt: skip
    """Name of each egg box that was weighed, and what its weighings tell; laid are the laying days of the clutches.

    happened are in the order of their days, and within one in that in which they came: water added after a weighing counts
    after it.
    """
    boxes = dict.fromkeys(one.box for one in happened if one.what == "weighed" and one.box is not None)
    return tuple(
        (_name(plan, box), in_range(lambda box=box: _answer(plan, species, happened, laid, box)))  # type: ignore[misc]
        for box in boxes
    )


def _name(plan: Plan, box: BoxKey) -> str:
    kind = plan.egg_boxes[box[0]]
    return kind.name if (kind.count or 1) == 1 else f"{kind.name} {box[1]}"


def _answer(
    plan: Plan, species: Mapping[str, Species], happened: Sequence[Happening], laid: Sequence[datetime.date | None],
    box: BoxKey,
) -> WeighingAnswer | Unknown:  # fmt: skip
    kind = plan.egg_boxes[box[0]]
    inside = [index for index, clutch in enumerate(plan.clutches) if clutch.box == kind.name]
    begin = next((laid[index] for index in inside if laid[index] is not None), None)
    if begin is None:
        return Unknown(
            "the day its eggs were laid is not told",
            (f"clutches[{plan.clutches[inside[0]].entry}].laying.laid_on",),
        )
    planned = sum(plan.clutches[index].eggs or 0 for index in inside)
    out = [one for one in happened if one.what == "removed" and one.box == box]
    eggs = math.ceil(planned / (kind.count or 1)) - sum(one.eggs or 0 for one in out)
    if planned and eggs <= 0:
        return Unknown("no egg is left in it")
    hatched = [one.on for one in happened if one.what == "hatched" and one.clutch in inside]
    egg_mass = max((plan.clutches[index].egg_mass or 0.0 for index in inside), default=0.0)
    read, added, last_egg = [], 0.0, None
    for one in happened:
        if one.box != box or (hatched and one.on >= min(hatched)):
            continue
        if one.what == "topped up":
            added += one.mass or 0.0
        elif one.what == "weighed":
            # The eggs that were taken out later count as never there: those that die early take up next to nothing.
            spare = egg_mass * sum(gone.eggs or 0 for gone in out if gone.on >= one.on)
            read.append(((one.on - begin).days, (one.mass or 0.0) - spare, added))
            last_egg = one.egg_mass
    return _weighed(plan, species, box[0], read, last_egg, eggs)


def _weighed(
    plan: Plan, species: Mapping[str, Species], index: int, read: list[tuple[int, float, float]],
    egg_mass: float | None, eggs: int,
) -> WeighingAnswer | Unknown:  # fmt: skip
    """All readings (day, mass [kg], water added before [kg]) in one answer."""
    first = next((entry for entry in read if entry[0] == 0), None)
    later = [entry for entry in read if entry[0] > 0]
    if not later:
        return Unknown("it was weighed on the laying day alone, or after hatching: weigh it again")
    day, mass, added = later[-1]
    tare, earlier = plan.egg_boxes[index].tare, tuple(entry for entry in later if entry[0] < day)
    if tare is None and first is None and not earlier:
        return Unknown("one weighing tells nothing without the empty box", (f"egg_boxes[{index}].tare",))
    weighed = Weighed(day, mass, tare or 0.0, first[1] if first else None, added, egg_mass, earlier=earlier)
    return forecast_weighing(plan, species, index, weighed, eggs)
