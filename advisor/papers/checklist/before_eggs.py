"""Stages of the checklist before the eggs: put right, build, trial run, lay box."""

from collections.abc import Iterator

from msgspec.structs import replace

from advisor.drawings.box_parts import where_probe
from advisor.model.figures import Figure
from advisor.model.findings import Finding, Report, alike
from advisor.model.papers import MixAmounts, PaperFigures
from advisor.model.plan import Plan
from advisor.papers.checklist.gather import MOST_KINDS, boxes_by_words, heater_is_refused
from advisor.papers.checklist.stages import Item, ItemGroup
from advisor.papers.entries import with_plain_entries
from advisor.papers.refused import ChangeItems
from advisor.rules.engine import MOSTLY_NOT_JUDGED, Situation
from advisor.rules.shared import FOAMS
from advisor.show import Show, counted
from advisor.wording import (
    about_scale,
    capital,
    clutch_names,
    day_words,
    dry_media,
    hole_size,
    joined,
    mixing_water,
    named_boxes,
    set_point_words,
    short_day,
    trial_end,
    window_words,
    with_plain_dates,
)

# K, how well thermometers agree and the set point is held: as good as home sensors get (data sheets)
WITHIN = 0.5
MOST_TOLD = 4  # clutches told with their own days in one sentence; judgement
FOAM_LIMIT = 60.0  # °C, surfaces that touch foam (expanded polystyrene softens from 70 °C: practice with EN 13163, from memory)


def steady(situation: Situation, figures: PaperFigures, before: str = "") -> str:
    """The range in which the medium is to stay: what a thermometer resolves, and no less than the forecast allows."""
    held, show = figures.held, situation.show
    if held is None:
        return ""
    swing = situation.forecast.heat.swing
    half = swing.high / 2 if isinstance(swing, Figure) else 0.0
    low, high = figures.eggs_between or held
    return before + show.temperature_range(
        min(held[0] - WITHIN, low - half), max(held[1] + WITHIN, high + half)
    )


def put_right(situation: Situation, report: Report) -> Iterator[ItemGroup]:
    """The findings of the check, the dangerous ones first, and what everybody sees to first of all."""
    several = len(situation.plan.clutches) > 1
    yield ItemGroup("what the check found", tuple(_findings(report, several)))
    told = {finding.rule for finding in report.findings}
    yield ItemGroup("before you start", tuple(_first_of_all(situation, report, told)))


def _findings(report: Report, several: bool) -> Iterator[Item]:
    """One item for each; what the one above asks for as well is not told again."""
    last = ""
    for findings in alike(report):
        item = _finding(findings, several)
        yield replace(item, action="Do what the item above asks.") if item.action == last else item
        last = item.action


def _finding(findings: tuple[Finding, ...], several: bool) -> Item:
    """One item for findings that say and ask the same; where the plan has `several` clutches it tells which."""
    finding = findings[0]
    subjects = [other.subject for other in findings if other.subject and other.subject not in finding.message]
    subjects = [subject for subject in subjects if several or not subject.startswith("clutch ")]
    if len(subjects) > MOST_KINDS:
        subjects = [subjects[0], f"{len(subjects) - 1} more"]
    about = f" It is about {joined(subjects)}." if subjects else ""
    remedy = " ".join(filter(None, (finding.obstacle, finding.remedy)))
    if finding.rule == MOSTLY_NOT_JUDGED.id:
        remedy = "Find out what the list 'Not judged yet' asks for. It stands near the end of this paper."
    return Item(
        with_plain_dates(with_plain_entries(remedy)),
        why=with_plain_dates(with_plain_entries(finding.message)) + about,
        severity=finding.severity,
    )


def _first_of_all(situation: Situation, report: Report, told: set[str]) -> Iterator[Item]:
    plan, show = situation.plan, situation.show
    if plan.people.residual_current_device is None:
        yield Item(
            "Ask a licensed electrician for a residual-current device (RCD, GFCI) of at most 30 mA in the supply.",
            why="It cuts the power before a shock kills. Your plan does not say that there is one.",
        )
    yield Item("Read the cautions with all people in the home.")
    yield Item("Show one more person how to switch off the power of the box.")
    unjudged = len({answer.rule for answer in report.not_judged})
    if unjudged and MOSTLY_NOT_JUDGED.id not in told:
        yield Item(
            "Find out what the list 'Not judged yet' asks for.",
            why=f"{capital(counted(unjudged, 'rule'))} could not be judged. A fault in what is left out stays hidden.",
        )
    if "people-licence" not in told:
        names = joined(list(dict.fromkeys(species.name for species in situation.species.values())))
        yield Item(f"Ask your wildlife authority if you need a permit for {names}.")
    eggs = sum(clutch.eggs or 0 for clutch in plan.clutches)
    young = f"up to {eggs} young" if eggs else "the young"
    yield Item(f"Plan homes and food for {young}.")
    room = plan.room.temperature
    passes = f"it stays at {show.temperature_range(room.low, room.high)}." if room else "you know its range."
    yield Item("Measure the room at its coldest and warmest, for some days.", passes=passes)


def build(situation: Situation, report: Report, asked: ChangeItems) -> Iterator[ItemGroup]:
    """How the parts go together."""
    plan, show = situation.plan, situation.show
    power = [
        Item(
            "Keep plugs and joints outside the box, off the floor, each lead in a loop lower than its socket.",
            why="Water runs down a lead and drops off at the loop.",
        ),
        _fix_heater(situation, report, asked),
        Item(
            "Clear the space round the box of all that burns.", passes="a hand's width is free on all sides."
        ),
        Item("Hang the sheet beside the box."),
    ]
    yield ItemGroup("power and heat", tuple(power))
    inside = []
    sits = plan.control.probe.sits_in
    if sits:
        inside.append(
            Item(
                f"Fix the probe {where_probe(sits)} and tie its lead down.",
                passes="a gentle pull does not move it.",
                why="A probe that slips out cooks the eggs.",
            )
        )
    if plan.control.cut_out and plan.control.cut_out.fitted:
        inside.append(Item("Fix the cut-out's probe by the warmest egg box."))
    inside += _holes(plan, show, asked)
    inside += _stand(plan, show, asked)
    inside.append(Item("Lay a thermometer in the medium of the box farthest from the probe."))
    if plan.power_cut.prepared == "water bottles":
        inside.append(Item("Stand the full water bottles in the outer box."))
    yield ItemGroup("inside the box", tuple(inside))


def _holes(plan: Plan, show: Show, asked: ChangeItems) -> list[Item]:
    boxes = boxes_by_words(
        (f"{counted(holes.count, 'hole')} of {hole_size(holes.diameter, show)}", box)
        for box in plan.egg_boxes
        if (holes := box.lid.holes) and holes.count and holes.diameter
    )
    items = [
        Item(
            f"Make {words} in each box {named_boxes(same)}.",
            why="Near the edge of the lid or high in the walls.",
        )
        for words, same in list(boxes.items())[: MOST_KINDS * 2]
    ]
    if len(boxes) > MOST_KINDS * 2:
        items.append(Item("Make the air holes of the other boxes as your plan has them."))
    if told := asked.at(".lid"):
        items.append(Item(f"Make the air holes that item {told} asks for."))
    return items


def _fix_heater(situation: Situation, report: Report, asked: ChangeItems) -> Item:
    heat, show = situation.plan.heat, situation.show
    if heater_is_refused(report):
        return Item("Fix no heater before the first items of this paper are done.")
    if told := asked.at("heat."):
        return Item(f"Fix the heater as item {told} says.")
    place = {
        "lid": "under the lid",
        "floor": "on the floor",
        "one side": "on one side",
        "all sides": "on all sides",
        "in water": "in the water, always covered by it",
    }.get(heat.place or "", "in its place")
    if heat.floor_heater is not None:
        place += ", and the second one on the floor"
    surface = situation.forecast.heat.heater_surface_full
    why = ""
    if isinstance(surface, Figure):
        why = f"At full power it reaches {show.figure(surface)}."
    foam = situation.plan.outer_box.wall.material in (*FOAMS, None)
    covered = "the water covers it up to its mark, and nothing pinches or pierces it"
    passes = covered if heat.place == "in water" else "nothing folds, covers, pinches or pierces it"
    passes += f", and what touches foam stays at or below {show.temperature(FOAM_LIMIT)}." if foam else "."
    return Item(f"Fix the heater {place}.", passes=passes, why=why)


def _stand(plan: Plan, show: Show, asked: ChangeItems) -> list[Item]:
    words = {box.stands for box in plan.egg_boxes}
    items = []
    if told := asked.at(".tier") or asked.at(".stands"):
        return [Item(f"Stand the egg boxes as item {told} says.")]
    if "on a rack" in words:
        items.append(Item("Stand the egg boxes on a rack.", passes="air moves below them."))
    if any(box.stacked for box in plan.egg_boxes):
        items.append(Item("Stack the egg boxes two high.", passes="no box shuts the air holes of another."))
    if not items:
        items.append(Item("Stand the egg boxes level, with a finger of air between them."))
    for foam in sorted({box.foam_on_lid for box in plan.egg_boxes} - {0.0}):
        items.append(
            Item(f"Lay {show.length(foam)} of foam on the lids.", passes="their air holes stay free.")
        )
    return items


def trial_when(plan: Plan, asked: ChangeItems) -> str:
    """When the box runs without eggs."""
    if told := asked.at("trial_run"):
        return f"when item {told} says"
    run = plan.trial_run
    if run.from_ and run.days:
        return window_words((run.from_, trial_end(run.from_, run.days)))
    return "a week before the eggs, three days at the least"


def trial(situation: Situation, figures: PaperFigures, asked: ChangeItems) -> Iterator[ItemGroup]:
    """The run without eggs."""
    yield ItemGroup("tests", tuple(_tests(situation, asked)))
    yield ItemGroup("the run", tuple(_run(situation, figures, asked)))


def _tests(situation: Situation, asked: ChangeItems) -> Iterator[Item]:
    control, show = situation.plan.control, situation.show
    yield Item("Stay at home for the first day of the run.", why="A fault shows in the first hours.")
    if situation.plan.people.residual_current_device is False:
        yield Item("Plug the box in only behind a residual-current device (RCD, GFCI) of at most 30 mA.")
    else:
        yield Item(
            "Press the test button of the residual-current device.", passes="the power goes off at once."
        )
    if control.cut_out and control.cut_out.set_to is not None:
        yield Item(
            f"Turn the cut-out down, then back up to {show.temperature(control.cut_out.set_to)}.",
            passes="the heater goes off while it is down.",
        )
    elif told := asked.at("control.cut_out"):
        yield Item(f"Set the cut-out as item {told} says.", passes="it cuts the heater.")
    yield Item("Turn the thermostat down, then up again.", passes="the heater goes off while it is down.")
    yield Item(
        "Hold the probe and the thermometers in crushed ice and water.",
        passes=f"each reads {show.temperature(0.0)} within {show.tolerance(WITHIN)}.",
    )
    yield Item("Feel plug, leads and thermostat after an hour.", passes="none of them is hot.")


def _run(situation: Situation, figures: PaperFigures, asked: ChangeItems) -> Iterator[Item]:
    plan, show, heat = situation.plan, situation.show, situation.forecast.heat
    mixes = list(mix_items(plan, figures, show))
    yield from mixes[: MOST_KINDS * 2]
    if told := asked.at(".medium"):
        yield Item(f"Mix as item {told} says, for the boxes that it is about.")
    if len(mixes) > MOST_KINDS * 2:
        yield Item(
            f"Mix for the other {counted(len(mixes) - MOST_KINDS * 2, 'kind')} of boxes by the mixing card."
        )
    yield Item("Stand a small cup of water in each egg box.")
    set_to = plan.control.set_to
    warm_up = heat.warm_up_hours
    if set_to is not None:
        passes = f"the medium is warm after {show.figure(warm_up)}." if isinstance(warm_up, Figure) else ""
        yield Item(f"Set the thermostat to {set_point_words(plan.control, show)}.", passes=passes)
    elif told := asked.at("control.set_to"):
        yield Item(f"Set the thermostat as item {told} says.")
    between = steady(situation, figures)
    yield Item(
        "Write down the lowest and highest temperature in the medium each day.",
        passes=f"all {between}, for three days on end." if between else "",
    )
    if situation.plan.has_lids:
        yield Item("Look under the egg-box lids each morning.", passes="no drops hang there.")
    yield Item("Pull the plug for one hour and write down how far the medium cools.")


def mix_items(plan: Plan, figures: PaperFigures, show: Show) -> Iterator[Item]:
    """One item for each mixture; boxes that take the same are named together."""
    boxes = boxes_by_words(
        (
            f"{dry_media(box.medium, mix.volume, show)}, {about_scale(mix.dry, show)}, "
            f"and {mixing_water(mix, show)} of water",
            box,
        )
        for box, mix in zip(plan.egg_boxes, figures.mixes, strict=True)
        if isinstance(mix, MixAmounts)
    )
    for words, same in boxes.items():
        yield Item(
            f"Mix for each box {named_boxes(same)}: {words}.",
            passes="no water stands at the bottom when you tilt the box.",
            why="Wet the dry medium first. Do not breathe its dust.",
        )


def lay_box_when(plan: Plan, asked: ChangeItems) -> str:
    """When the lay box is in place."""
    if told := asked.at(".lay_box"):
        return f"when item {told} says"
    days = [clutch.lay_box.ready_on for clutch in plan.clutches if clutch.lay_box.ready_on]
    return f"from {day_words(min(days))}" if days else "from the shed before laying, or sooner"


def lay_box(situation: Situation) -> Iterator[ItemGroup]:
    """The box the female lays in."""
    plan, show = situation.plan, situation.show
    windows = [
        (name, found.laying_window)
        for name, found, clutch in zip(
            clutch_names(situation.plan.clutches, situation.species),
            situation.forecast.clutches,
            plan.clutches,
            strict=True,
        )
        if found.laying_window and clutch.laid_on is None and not clutch.nth
    ]
    signs = ["strains", "is weak"]
    if len({window[1] for _, window in windows}) == 1:
        signs.append(f"has not laid by {day_words(windows[0][1][1])}")
    elif windows:
        days = [f"{short_day(window[1])} ({name})" for name, window in windows[:MOST_TOLD]]
        more = ["the day on the front of the sheet"] if len(windows) > MOST_TOLD else []
        signs.append(f"has not laid by {joined([*days, *more])}")
    every = [clutch.looked_for for clutch in plan.clutches if clutch.looked_for]
    often = f"every {show.hours(min(every))}" if every else "morning and evening"
    yield ItemGroup(
        "the lay box",
        (
            Item(f"Ask a reptile veterinarian at once if the female {joined(signs, 'or')}."),
            Item(
                "Put a lay box with damp moss or medium in with the female.",
                why="Eggs laid in a dry place dry out.",
            ),
            Item(
                "Feel the moss each day and wet it when it is dry.",
                passes="it is damp, and no water drips from it.",
            ),
            Item(f"Look for eggs {often}.", why="Fresh eggs can be moved with the least risk."),
            Item("Handle the female as little as you can."),
            Item(
                "Keep the outer box running at its set point.", passes="it is warm on the day the eggs come."
            ),
        ),
    )
