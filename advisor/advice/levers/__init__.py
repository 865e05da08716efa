"""The levers of a set-up: which entries advice may change, and which values it tries."""

import re
from functools import cache

from advisor.advice.levers.lever import Lever
from advisor.model.plan import Plan
from advisor.reading.marks import path_key
from advisor.rules.engine import Case, Situation

_BUILT_IN = ("heat", "outer_box", "control.thermostat", "control.switching_band", "control.probe")


@cache
def all_levers() -> dict[str, Lever]:
    """Every lever by its entry."""
    from advisor.advice.levers import (
        box_heat,
        box_places,
        care,
        clutches,
        control,
        egg_box_lid,
        egg_box_medium,
        egg_boxes,
        outer_box,
        power_cut,
        room,
    )

    areas = (
        box_heat,
        box_places,
        care,
        clutches,
        control,
        egg_boxes,
        egg_box_lid,
        egg_box_medium,
        outer_box,
        power_cut,
        room,
    )
    return {lever.entry: lever for area in areas for lever in area.LEVERS}


def lever_of(path: str) -> Lever | None:
    """The lever of a plan path; None where the entry is none."""
    return all_levers().get(re.sub(r"\[\d+\]", "[]", path))


def is_built_in(plan: Plan, path: str) -> bool:
    """Whether an entry is part of a ready-built box, which advice neither guesses nor changes."""
    return plan.outer_box.ready_built and path.startswith(_BUILT_IN)


def case_at(situation: Situation, path: str) -> Case:
    """The case of a plan path: the egg box or the clutch that it leads into; of a clutch with the box it goes into."""
    key = path_key(path)
    if key[0] == "egg_boxes" and len(key) > 1:
        return Case(situation, box_index=int(key[1]))
    if key[0] == "clutches" and len(key) > 1:
        index = situation.plan.first_of(int(key[1]))
        names = [box.name for box in situation.plan.egg_boxes]
        goes_into = situation.plan.clutches[index].box
        box = names.index(goes_into) if goes_into in names else None
        return Case(situation, box_index=box, clutch_index=index)
    return Case(situation)
