"""A plan for each of the outer boxes that a season takes, each put right like any other."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from msgspec import Struct

from advisor.advice.entries import touches, value_at
from advisor.advice.suggest import Bounds, Progress, Suggestion, suggestion_for
from advisor.advice.trials import Trials
from advisor.advice.written import Written
from advisor.assess import Assessment
from advisor.forecast.clutch.box_shared import set_point_in
from advisor.forecast.clutch.outer_boxes import PlannedBox, boxes_of
from advisor.model.changes import Setting
from advisor.model.figures import Unknown

SPLIT = ("clutches", "control.set_to", "egg_boxes")  # entries that stay where they are to be kept


class BoxSuggestion(Struct, frozen=True):
    """What is suggested for one plan of a season, and the entries to set first, which part it from the others."""

    planned: PlannedBox
    parting: tuple[Setting, ...]
    suggestion: Suggestion


def suggestions_for(
    base: Assessment,
    limits: Bounds,
    fill: bool,
    own_species: Path | None,
    progress: Progress = lambda tries: None,
) -> tuple[BoxSuggestion, ...]:
    """A suggestion for each plan that the season takes; none where one plan does, where its clutches are to stay, or where set points change on purpose."""
    situation = base.situation
    if situation.plan.control.programme or any(touches(entry, limits.keep) for entry in SPLIT):
        return ()
    planned = boxes_of(situation.plan, situation.species, situation.forecast)
    if len(planned) < 2:
        return ()
    return tuple(_suggested(base, one, planned, limits, fill, own_species, progress) for one in planned)


def _suggested(
    base: Assessment,
    planned: PlannedBox,
    others: Sequence[PlannedBox],
    limits: Bounds,
    fill: bool,
    own_species: Path | None,
    progress: Progress,
) -> BoxSuggestion:
    trials = Trials(own_species)
    parting = list(_parting(base, planned, others))
    part = trials.of(base, tuple(parting))
    assert part is not None  # what a plan holds, less some of it
    for index, use in enumerate(part.situation.forecast.box_use):
        box = part.situation.plan.egg_boxes[index]
        if not isinstance(use, Unknown) and _shared(base, box.name, others) and box.count != use.needed:
            parting.append(Setting(f"egg_boxes[{index}].count", use.needed))
    part = trials.of(base, tuple(parting)) or part
    return BoxSuggestion(planned, tuple(parting), suggestion_for(part, limits, fill, own_species, progress))


def _parting(base: Assessment, planned: PlannedBox, others: Sequence[PlannedBox]) -> Iterator[Setting]:
    """Takes away the clutches of other boxes and the egg boxes that only those use; a name and a set point of its own."""
    plan, written = base.situation.plan, Written(base.situation.plan.units)
    number = others.index(planned) + 1
    yield Setting("title", f"{plan.title}, plan {number} of {len(others)}")
    if plan.control.set_to is None or not planned.band.low <= plan.control.set_to <= planned.band.high:
        yield Setting("control.set_to", written.temperature(set_point_in(planned.band)))
    if "measured" in base.document.data:  # it was of the box with all clutches
        yield Setting("measured", None)
    own = {clutch.box for clutch in plan.clutches if clutch.entry in planned.entries}
    used = {clutch.box for clutch in plan.clutches}
    for index in reversed(range(len(plan.egg_boxes))):
        if plan.egg_boxes[index].name in used - own:
            yield Setting(f"egg_boxes[{index}]", None)
    for index in reversed(range(len(value_at(base.document.data, ("clutches",))))):
        if index not in planned.entries:
            yield Setting(f"clutches[{index}]", None)


def _shared(base: Assessment, box: str, others: Sequence[PlannedBox]) -> bool:
    """Whether clutches of several plans go into a kind of box."""
    using = {clutch.entry for clutch in base.situation.plan.clutches if clutch.box == box}
    return sum(bool(using & {*one.entries}) for one in others) > 1
