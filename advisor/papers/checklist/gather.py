"""The stage of the checklist in which everything is bought or looked out."""

from collections.abc import Iterable, Iterator

from advisor.model.figures import Figure
from advisor.model.findings import STOP, Report
from advisor.model.plan import EggBox, Plan
from advisor.papers.checklist.stages import Item, ItemGroup
from advisor.papers.refused import ChangeItems
from advisor.rules.engine import Situation
from advisor.show import Show, counted
from advisor.wording import capital, day_words, joined, named_boxes, size_words

MOST_KINDS = 3  # kinds of egg boxes told in one item each


def gather_when(situation: Situation) -> str:
    """Until when everything must be there."""
    start = situation.plan.trial_run.from_
    if start:
        return f"by {day_words(start)}"
    days = [clutch.ready_by for clutch in situation.forecast.clutches if clutch.ready_by]
    return f"well before {day_words(min(days))}" if days else "well before the eggs"


def heater_is_refused(report: Report) -> bool:
    """Whether the check says "stop" to the heater of the plan."""
    return any(finding.severity == STOP and finding.path.startswith("heat.") for finding in report.findings)


def gather(situation: Situation, report: Report, asked: ChangeItems) -> Iterator[ItemGroup]:
    """What to buy or look out."""
    plan, show = situation.plan, situation.show
    yield ItemGroup("box and heat", tuple(_gather_box(situation, report, asked)))
    tools = [
        *_gather_egg_boxes(plan, show, asked),
        *_gather_medium(situation),
        Item(f"A scale that reads {'a tenth of an ounce' if show.us else 'single grams'}, for this only."),
        Item("A soft pencil, labels, gloves and clean paper."),
    ]
    if plan.power_cut.prepared == "water bottles":
        water = f", {show.volume(plan.power_cut.water)} in all" if plan.power_cut.water else ""
        tools.append(Item(f"Bottles of water for the outer box{water}."))
    elif plan.power_cut.prepared in ("battery supply", "generator"):
        tools.append(Item(f"The {plan.power_cut.prepared} for a power cut, charged or fuelled."))
    yield ItemGroup("egg boxes and tools", tuple(tools))


def _gather_box(situation: Situation, report: Report, asked: ChangeItems) -> Iterator[Item]:
    plan, show = situation.plan, situation.show
    yield Item("A smoke alarm for the room.", passes="its test button makes it sound.")
    box = plan.outer_box
    words = ["ready-built incubator"] if box.ready_built else [box.wall.material or "insulated", "outer box"]
    if box.wall.thickness is not None:
        words += ["with walls of", show.length(box.wall.thickness)]
    size = box.inside or box.outside
    measured = f", {size_words(size, show)} {'inside' if box.inside else 'outside'}" if size else ""
    yield Item(f"The {' '.join(words)}{measured}.")
    yield from _gather_parts(plan, show)
    if not box.ready_built or plan.heat.source is not None:
        yield _gather_heater(situation, report, asked)
    kind = plan.control.thermostat
    known = kind is not None and kind != "none"
    if known or not box.ready_built:
        yield Item(
            f"A thermostat of the {kind} kind, with its probe." if known else "A thermostat with its probe."
        )
    cut_out = plan.control.cut_out
    if cut_out is None or cut_out.fitted:
        yield Item("A second thermostat as a cut-out.", why="It cuts the power when the first one sticks.")
    thermometers = plan.watching.thermometers
    yield Item(
        f"{capital(counted(thermometers, 'thermometer'))} besides the probe."
        if thermometers
        else "A thermometer besides the probe.",
        passes=f"{'each' if (thermometers or 1) > 1 else 'it'} keeps the lowest and the highest reading.",
    )
    if plan.watching.alarm:
        yield Item("An alarm for too warm and too cold.")


def _gather_parts(plan: Plan, show: Show) -> Iterator[Item]:
    """Doors, windows, vents, fan and cooling of the outer box."""
    for part in plan.outer_box.parts:
        yield Item(
            f"For its {part.side} a {part.what} of {part.material}, {show.length(part.thickness)} thick, over "
            f"{show.percent(part.share)} of that side."
        )
    vents = plan.outer_box.vents
    if vents is not None:
        where = {"lid": "in its lid", "high and low": "high and as many low", "low": "low in its walls"}[
            vents.where
        ]
        yield Item(
            f"In the outer box {counted(vents.count, 'open hole')} of {show.length(vents.diameter)}, {where}."
        )
    if plan.fan is not None:
        runs = "that always runs" if plan.fan.runs == "always" else "that runs with the heater"
        yield Item(f"A fan of {show.power(plan.fan.power)} {runs}.")
    if plan.cooling is not None:
        yield Item(
            f"A cooling that takes out {show.power(plan.cooling.power)}, driven by the same thermostat."
        )


def _gather_heater(situation: Situation, report: Report, asked: ChangeItems) -> Item:
    heat, show = situation.plan.heat, situation.show
    need = situation.forecast.heat.watts_needed
    why = f"The coldest room needs {show.figure(need)}." if isinstance(need, Figure) else ""
    if heater_is_refused(report):
        return Item(
            "A heater that the first items of this paper allow.", why="The one in your plan is not safe."
        )
    if told := asked.at("heat."):
        return Item(f"A heater as item {told} asks for.", why=why)
    if heat.source is None:
        return Item("A heater, which your plan does not name.", why=why)
    size = (
        f", {size_words_flat(heat.size.length, heat.size.width, show)}"
        if heat.size and heat.source != "bulb"
        else f", {show.length(heat.length / heat.count)} long"
        if heat.length
        else ""
    )
    several = heat.count > 1
    label = "the label of each" if several else "its label"
    second = heat.floor_heater
    own = heat.power - second.power if heat.power and second else heat.power
    passes = f"{label} says {show.power(own / heat.count)}." if own else ""
    heater = f"The {heat.count} heaters: each a" if several else "The heater:"
    more = ""
    if second is not None:
        more = f" For the floor one more, {size_words_flat(second.size.length, second.size.width, show)}, {show.power(second.power)}."
    return Item(f"{heater} {heat.source}{size}.{more}", passes=passes, why=why)


def size_words_flat(length: float, width: float, show: Show) -> str:
    """ "40 x 28 cm"."""
    one, two = show.length(length), show.length(width)
    unit = two.rpartition(" ")[2]
    return f"{one.removesuffix(f' {unit}')} x {two}"


def boxes_by_words(pairs: Iterable[tuple[str, EggBox]]) -> dict[str, list[EggBox]]:
    """Boxes of which the same is to be said, together."""
    found: dict[str, list[EggBox]] = {}
    for words, box in pairs:
        found.setdefault(words, []).append(box)
    return found


def _gather_egg_boxes(plan: Plan, show: Show, asked: ChangeItems) -> Iterator[Item]:
    kinds = boxes_by_words(
        (_box_words(place, box, show, asked), box) for place, box in enumerate(plan.egg_boxes)
    )
    for words, same in list(kinds.items())[: MOST_KINDS * 2]:
        count = sum(box.count or 0 for box in same) if all(box.count for box in same) else 0
        noun = "box" if count == 1 else "boxes"
        action, _, told = words.partition("|")
        yield Item(
            f"{count or ''} {noun} {named_boxes(same)} {action}".strip(),
            passes=f"they are as item {told} says." if told else "",
        )
    if len(kinds) > MOST_KINDS * 2:
        yield Item("The other egg boxes of your plan.")
    if not plan.egg_boxes:
        yield Item("Small boxes with lids for the eggs, which your plan does not name.")


def _box_words(place: int, box: EggBox, show: Show, asked: ChangeItems) -> str:
    """What a box is for, its size and its lid; behind a stroke the item that changes it, if any."""
    what = "the probe" if box.holds == "probe" else "eggs"
    size = f", {size_words(box.inside, show)} inside" if box.inside else ""
    closes = {"gasket": ", tight lid", "clip": ", clip lid", "loose": ", loose lid"}
    lid = closes.get(box.lid.fit or "", ", with lid") if box.lid.fitted else ", without lids"
    changed = [asked.at(f"egg_boxes[{place}].{entry}") for entry in ("count", "inside", "lid.fit")]
    return f"for {what}{size}{lid}.|{next(filter(None, changed), '')}"


def _gather_medium(situation: Situation) -> Iterator[Item]:
    plan, show, shopping = situation.plan, situation.show, situation.forecast.shopping
    materials = list(
        dict.fromkeys(_material(box) for box in plan.egg_boxes if box.medium.material not in (None, "none"))
    )
    what = joined(materials) if materials else "medium for the egg boxes"
    medium, mass, water = shopping.medium, shopping.medium_mass, shopping.water
    if not isinstance(medium, Figure) or not isinstance(mass, Figure) or not isinstance(water, Figure):
        reason = "" if isinstance(medium, Figure) else medium.reason
        yield Item(
            f"{capital(what)} and clean water.", why=f"How much is not known: {reason}." if reason else ""
        )
        return
    if medium.value > 0:
        yield Item(
            f"{show.volume(medium.value)} of {what}, dry, {show.figure(mass)}.",
            why="A tenth of it is to spare.",
        )
        yield Item(f"{show.volume(water.value)} of clean water to mix in.")


def _material(box: EggBox) -> str:
    grade = box.medium.grade
    words = box.medium.called or "medium"
    return f"{words} ({grade} grade)" if grade and grade != "unknown" else words
