"""The sheet beside the box, one leaf: its three pause points. What goes wrong, and the scale, stand on its back."""

from collections.abc import Iterator

from msgspec import Struct

from advisor.drawings.box_parts import where_probe
from advisor.model.papers import PaperFigures
from advisor.papers.checklist.before_eggs import WITHIN, steady
from advisor.rules.engine import Situation
from advisor.wording import about_scale

MOST_CLUTCHES = 6  # told on the front; more leave no room for the pause points; judgement


class PausePoint(Struct, frozen=True):
    """A pause point: what was done is confirmed aloud before anybody goes on, killer items alone, at most nine."""

    name: str
    items: tuple[str, ...]


def pauses(situation: Situation, figures: PaperFigures) -> tuple[PausePoint, ...]:
    """The three of them: before power on, before eggs, egg day."""
    return (
        PausePoint("Before power on", tuple(_before_power(situation))),
        PausePoint("Before eggs", tuple(_before_eggs(situation, figures))),
        PausePoint("Egg day", tuple(_egg_day(situation, figures))),
    )


def _over_water(situation: Situation) -> bool:
    """A bath hides its heater under water, and some drops are to be expected over it."""
    return situation.plan.heat.place == "in water"


def _before_power(situation: Situation) -> Iterator[str]:
    plan = situation.plan
    yield "Residual-current device (RCD, GFCI): its test button cuts the power."
    yield "Each lead hangs in a drip loop. Plugs are off the floor, outside the box."
    yield "Smoke alarm in the room: its test button sounds."
    yield (
        "Water covers the heater up to its mark."
        if _over_water(situation)
        else "Nothing lies on, covers or folds the heater."
    )
    yield "A hand's width round the box is free of what burns."
    sits = plan.control.probe.sits_in
    yield f"Probe fixed{f' {where_probe(sits)}' if sits else ''}: a gentle pull does not move it."
    if plan.control.cut_out is None or plan.control.cut_out.fitted:
        yield "Probe of the cut-out: fixed beside the warmest egg box."
    yield "Somebody is at home for the first day."


def _before_eggs(situation: Situation, figures: PaperFigures) -> Iterator[str]:
    plan, show = situation.plan, situation.show
    cut_out = plan.control.cut_out
    if cut_out is None or cut_out.fitted:
        at = f" at {show.temperature(cut_out.set_to)}" if cut_out and cut_out.set_to is not None else ""
        yield f"Cut-out cuts the heater{at}, and is set back."
    yield f"Ice and water: probe and thermometers read {show.temperature(0.0)} within {show.tolerance(WITHIN)}."
    yield f"Three days on end the medium stays steady{steady(situation, figures, ', ')}."
    if plan.has_lids:
        wiped = ", or they are wiped off and foam lies on the lids" if _over_water(situation) else ""
        yield f"No drops hang under the egg-box lids{wiped}."
    yield "Medium damp, no water at the bottom of a tilted box."
    yield f"Empty boxes weighed{' with their lids' if plan.has_lids else ''}, mass on each label."
    if plan.power_cut.prepared == "water bottles":
        yield "Bottles stand in the box, full and shut."
    if plan.watching.alarm:
        yield "Alarm rings for too warm and for too cold."


def _egg_day(situation: Situation, figures: PaperFigures) -> Iterator[str]:
    clutches = situation.plan.clutches
    yield "Hands washed."
    yield "Top of each egg marked before it was lifted. No egg was turned."
    yield "Only fresh eggs parted. What sticks stays together."
    placed = {clutch.placed for clutch in clutches}
    half = placed == {"half buried"}
    yield (
        "Eggs half buried, they do not touch."
        if half
        else "Eggs placed as the plan has it, they do not roll."
    )
    wet = [about_scale(readings[0].mass, situation.show) for readings in figures.readings if readings]
    more = (
        f" Without the box: {wet[0]}." if len(wet) == 1 else " The back tells what to expect." if wet else ""
    )
    lids = situation.plan.has_lids
    yield f"{'Closed boxes' if lids else 'Trays'} weighed, mass on each label.{more}"
    yield "Lids shut, boxes back in their places." if lids else "Trays back in their places."
    yield "Day of laying on each label and on this sheet."
    yield f"After one hour the medium is back{steady(situation, figures, ' at ')}."
