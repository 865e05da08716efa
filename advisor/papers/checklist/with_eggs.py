"""Stages of the checklist with the eggs: egg day, checks, hatching."""

from collections.abc import Iterator

from advisor.model.figures import Figure
from advisor.model.forecast import BoxUse, Window
from advisor.model.papers import PaperFigures
from advisor.model.plan import Clutch, Plan
from advisor.papers.checklist.before_eggs import MOST_TOLD, steady
from advisor.papers.checklist.gather import MOST_KINDS
from advisor.papers.checklist.stages import Item, ItemGroup
from advisor.papers.refused import ChangeItems
from advisor.rules.engine import Situation
from advisor.rules.shared import cool_period_is_borne
from advisor.show import counted
from advisor.wording import (
    about_scale,
    begin_words,
    clutch_names,
    day_words,
    joined,
    scale_text,
    short_day,
    window_words,
)

MOST_DATED = 20  # clutches of a season told with their dates; judgement
MOST_DAYS = 8  # check days told in a line; the check sheet has them all
CLIMB_OUT = "Hatchlings climb out of it, onto the heater or into the water."  # common practice, no source


def egg_day_when(situation: Situation) -> str:
    """When the eggs are likely to come."""
    windows = [clutch.laying_window for clutch in situation.forecast.clutches if clutch.laying_window]
    if not windows:
        return "the day the eggs are laid"
    if any(clutch.repeats for clutch in situation.plan.clutches):
        return "each clutch on its own days, told where the due dates are"
    if len(set(windows)) > 1:
        return "each clutch on its own days: front of the sheet"
    return f"likely {window_words((min(first for first, _ in windows), max(last for _, last in windows)))}"


def egg_day(situation: Situation, figures: PaperFigures) -> Iterator[ItemGroup]:
    """From the lay box into the egg box."""
    plan = situation.plan
    eggs = [
        Item("Wash your hands with soap, now and at the end."),
        Item("Write down day, hour and number of eggs."),
        Item(
            "Mark each egg's top with a soft pencil before you lift it.",
            why="Keep that side up: a turned egg can die.",
        ),
    ]
    if any(clutch.parted != "left together" for clutch in plan.clutches):
        eggs.append(
            Item(
                "Part eggs only while they are fresh and come apart by themselves.",
                why="Best within a few hours, never after 24 hours. A clump that sticks stays together.",
            )
        )
    else:
        eggs.append(Item("Lift the clump as one and leave it together."))
    told = [(index, clutch) for index, clutch in enumerate(plan.clutches) if not clutch.nth]
    placing = [_into_box(situation, index, clutch) for index, clutch in told[: MOST_KINDS * 2]]
    if len(told) > MOST_KINDS * 2:
        placing.append(Item("Put the other clutches into their boxes in the same way."))
    yield ItemGroup("the eggs", tuple([*eggs, *placing]))
    yield ItemGroup(
        "the boxes",
        (
            *_weigh(situation, figures),
            Item(
                f"{'Close the lids and put the boxes' if plan.has_lids else 'Put the trays'} back at once.",
                passes="no egg lies in the sun or in a draught.",
            ),
            Item("Write the due dates on each box.", why=_due(situation)),
            Item(
                "Read the thermostat after one hour.",
                passes=f"{steady(situation, figures, 'it shows ')}."
                if plan.control.set_to is not None and plan.control.probe.sits_in != "water"
                else "",
            ),
        ),
    )


def _into_box(situation: Situation, index: int, clutch: Clutch) -> Item:
    show = situation.show
    # Marco et al. 2004 compared touching eggs with eggs 1 cm apart.
    apart = "" if clutch.eggs == 1 else f", {'3/8 in' if show.us else '1 cm'} apart"
    if clutch.placed == "attached to its surface":
        placed = ", still on what they were laid on"
    else:
        how = {"on the surface": "on the medium", "over the medium": "on a grid over the medium"}
        placed = f", {how.get(clutch.placed, clutch.placed)}{apart}" if clutch.placed else apart
    box = f"box '{clutch.box}'" if clutch.box else "its box"
    count = next((found.count for found in situation.plan.egg_boxes if found.name == clutch.box), None) or 1
    if count > 1:
        box = f"the {count} boxes '{clutch.box}'" + (f", {_each(clutch.eggs, count)}" if clutch.eggs else "")
    eggs = f"the {counted(clutch.eggs, 'egg')} of " if clutch.eggs else ""
    which = f"clutch {index + 1}"
    if clutch.repeats:
        which = f"each of the clutches {index + 1} to {index + 1 + clutch.repeats.times}"
        box = f"a box '{clutch.box}' of its own that is free" if clutch.box else "a box of its own"
    name = situation.species[clutch.species].name
    places = next(
        (found.places_for_eggs for found in situation.forecast.egg_boxes if found.name == clutch.box), None
    )
    why = ""
    if isinstance(places, Figure) and clutch.placed != "attached to its surface":
        room = round(places.value)
        if clutch.eggs and room < clutch.eggs:
            why = f"All boxes of this kind have room for about {counted(room, 'egg')} only: take more boxes."
    return Item(f"Put {eggs}{which} ({name}) into {box}{placed}.", why=why)


def _each(eggs: int, boxes: int) -> str:
    """How many eggs go into each of several boxes: "7 in each", "7 or 8 in each", "1 in each of 2"."""
    few, more = divmod(eggs, boxes)
    if few == 0:
        return f"1 in each of {eggs}" if eggs > 1 else "in one of them"
    return f"{few} or {few + 1} in each" if more else f"{few} in each"


def _weigh(situation: Situation, figures: PaperFigures) -> Iterator[Item]:
    plan, show = situation.plan, situation.show
    kinds = [index for index, box in enumerate(plan.egg_boxes) if box.holds != "probe"]
    for index in kinds[:MOST_KINDS]:
        readings, lid = figures.readings[index], plan.egg_boxes[index].lid.fitted
        whole = "box with its lid" if lid else "tray"
        passes = f"{about_scale(readings[0].mass, show)} more than the empty {whole}." if readings else ""
        yield Item(
            f"Weigh each {'closed box' if lid else 'tray'} '{plan.egg_boxes[index].name}' and write the mass on its label.",
            passes=passes,
        )
    if not kinds:
        yield Item("Weigh each closed egg box and write the mass on its label.")
    if len(kinds) > MOST_KINDS:
        yield Item("Weigh each closed egg box that is left and write the mass on its label.")


def _due(situation: Situation) -> str:
    parts = []
    if any(clutch.repeats for clutch in situation.plan.clutches):
        return _season(situation)
    for index, clutch in enumerate(situation.forecast.clutches[: MOST_KINDS * 2]):
        about = f"Clutch {index + 1}" if len(situation.forecast.clutches) > 1 else "The clutch"
        if clutch.hatch_window:
            parts.append(f"{about} is due {window_words(clutch.hatch_window)}.")
        elif isinstance(clutch.incubation_days, Figure):
            days = clutch.incubation_days
            parts.append(f"{about} is due after {situation.show.days_range(days.low, days.high)}.")
    if len(situation.forecast.clutches) > MOST_KINDS * 2:
        parts.append("The box labels have the other dates.")
    return " ".join(parts)


def _season(situation: Situation) -> str:
    """The egg days of a season in their order, each with the box that is likely to be free and the days of hatching."""
    boxes = {
        stay.clutch: stay.boxes
        for use in situation.forecast.box_use
        if isinstance(use, BoxUse)
        for stay in use.stays
    }
    dated = [
        (found.laying_window, found.hatch_window, index)
        for index, found in enumerate(situation.forecast.clutches)
        if found.laying_window and found.hatch_window
    ]
    parts = [
        f"Clutch {index + 1}: laid {_short(laid)}"
        + (f", box {joined([str(number) for number in boxes[index]])}" if index in boxes else "")
        + f", due {_short(due)}."
        for laid, due, index in sorted(dated)[:MOST_DATED]
    ]
    more = " The box labels have the other dates." if len(dated) > MOST_DATED else ""
    return " ".join(parts) + more


def _short(window: Window) -> str:
    """ "1 to 6 Feb", "28 Feb to 3 Mar"."""
    first, last = (short_day(day) for day in window)
    same = (window[0].year, window[0].month) == (window[1].year, window[1].month)
    return last if first == last else f"{first.split()[0] if same else first} to {last}"


def checks_when(situation: Situation) -> str:
    """On which days the checks fall."""
    rhythms = {clutch.check_days for clutch in situation.forecast.clutches if clutch.check_days}
    if not rhythms:
        return "on the days of your plan"
    days = max(rhythms, key=len)
    if len(rhythms) > 1 or len(days) > MOST_DAYS:
        return "days: check sheet"
    return f"on days {', '.join(map(str, days))} after laying, then until all have hatched"


def checks(situation: Situation, figures: PaperFigures, asked: ChangeItems) -> Iterator[ItemGroup]:
    """The looks at the eggs."""
    plan = situation.plan
    between = steady(situation, figures)
    turned = tuple(_turned(situation))
    if turned:
        yield ItemGroup("on their days", turned)
    yield ItemGroup(
        "each time",
        (
            Item("Wash your hands with soap before and after."),
            Item(
                "Write down the lowest and highest temperature each day.",
                passes=f"{between}." if between else "",
            ),
            _open(plan),
            Item(
                f"Look for {'drops under the lid, ' if plan.has_lids else ''}dents in the eggs, mould and dry medium.",
                passes="you see none.",
                why="Early dents mean too dry. Late ones are normal.",
            ),
            *_weigh_and_top_up(situation, figures, asked),
            *_cool_periods(situation),
            Item(
                "Take out a dead egg only if it lifts freely.",
                why="Use gloves. Bag it, bin it. The others stay in place.",
            ),
            Item(
                "Test the smoke alarm and the residual-current device once a month.",
                passes="both still work.",
            ),
        ),
    )


def _turned(situation: Situation) -> Iterator[Item]:
    """The steps of a programme."""
    for step in situation.plan.control.programme[1:]:
        day = begin_words(step) + (" after laying" if step.from_ is None else "")
        yield Item(
            f"Turn the thermostat to {situation.show.temperature(step.set_to)} on {day}.",
            passes="the cut-out still lies above it, and the medium is there a day later.",
        )


def _open(plan: Plan) -> Item:
    lasting = plan.checks.lasting
    time = f" within {lasting:.0f} seconds" if lasting is not None and lasting < 120 else ""
    if plan.checks.opens == "egg boxes":
        return Item(
            f"Open one egg box at a time and close it{time or ' at once'}.",
            why="Each look costs water and warmth.",
        )
    return Item(
        f"Lift only the outer lid and close it{time or ' at once'}.",
        why="The egg-box lids stay shut: each opening costs water."
        if plan.has_lids
        else "Each opening costs moist air.",
    )


def _weigh_and_top_up(situation: Situation, figures: PaperFigures, asked: ChangeItems) -> Iterator[Item]:
    warm = "the water is as warm as the box."
    if told := asked.at(".top_up"):
        yield Item("Weigh each egg box at each check and write it down.", passes="the box is back at once.")
        yield Item(f"Add water at the edge as item {told} says.", passes=warm, why="Never pour onto eggs.")
        return
    if not any(figures.readings):
        yield Item(
            "Weigh one closed egg box once a week and write it down.", passes="the box is back at once."
        )
        yield Item(
            "Add water at the edge when the box has got lighter: as much as it lost.",
            passes=warm,
            why="Never pour onto eggs.",
        )
        return
    yield Item(
        "On the days in 'What the scale should read', weigh one closed egg box.",
        passes="the reading lies in the range, and the box is back at once.",
    )
    topped = [
        (box, found.water.top_ups)
        for found, box in zip(situation.forecast.egg_boxes, situation.plan.egg_boxes, strict=True)
        if found.water.top_ups and box.top_up is not None and box.top_up.way != "none"
    ]
    if not topped:
        yield Item(
            "Add water at the edge, but only when the scale reads below the range.",
            passes=warm,
            why="Never pour onto eggs.",
        )
        return
    why = "Never pour onto eggs. The scale has the last word: add what is missing."
    if len(topped) > 1:
        action = "Add water at the edge of each box on the days that 'What the scale should read' tells."
        yield Item(action, passes=warm, why=why)
        return
    box, top_ups = topped[0]
    show = situation.show
    words = [f"{scale_text(top_up.water, show)} on day {top_up.day}" for top_up in top_ups[:3]]
    named = f"each box '{box.name}'" if (box.count or 1) > 1 else f"box '{box.name}'"
    more = " The table has the later days." if len(top_ups) > 3 else ""
    yield Item(f"Add water at the edge of {named}: {joined(words)}.", passes=warm, why=why + more)


def _cool_periods(situation: Situation) -> Iterator[Item]:
    show = situation.show
    for index, clutch in enumerate(situation.plan.clutches[:MOST_KINDS]):
        cool = clutch.cool_period
        species = situation.species[clutch.species]
        if (
            cool is not None
            and cool.at is not None
            and cool.days is not None
            and cool_period_is_borne(cool, species)
        ):
            yield Item(
                f"Keep clutch {index + 1} at {show.temperature_range(cool.at.low, cool.at.high)} for "
                f"{show.days_range(cool.days.low, cool.days.high)} in its cool period.",
                why="Your plan has it so. Write down when it starts and ends.",
            )


def hatching_when(situation: Situation) -> str:
    """When the young are likely to come."""
    windows = [clutch.hatch_window for clutch in situation.forecast.clutches if clutch.hatch_window]
    if any(clutch.repeats for clutch in situation.plan.clutches):
        return "each clutch on its own days: the labels of the boxes"
    if len(set(windows)) > 1:
        return "each clutch on its own days: front of the sheet"
    if windows:
        return (
            f"likely {window_words((min(first for first, _ in windows), max(last for _, last in windows)))}"
        )
    days = [found.incubation_days for found in situation.forecast.clutches]
    known = [entry for entry in days if isinstance(entry, Figure)]
    if known:
        if len(known) > 1:
            return "each clutch after its own days: front of the sheet"
        low, high = known[0].low, known[0].high
        return f"likely {situation.show.days_range(low, high)} after laying"
    return "when the first slit shows"


def hatching(situation: Situation) -> Iterator[ItemGroup]:
    """The end of the season."""
    windows = [clutch.hatch_window for clutch in situation.forecast.clutches if clutch.hatch_window]
    first = f" by {day_words(min(window[0] for window in windows))}" if windows else ""
    known = [
        (name, found.hatch_window[1])
        for name, found in zip(
            clutch_names(situation.plan.clutches, situation.species), situation.forecast.clutches, strict=True
        )
        if found.hatch_window
    ]
    last = " in time" if not known else " by the last day on the front of the sheet"
    if len({day for _, day in known}) == 1:
        last = f" by {day_words(known[0][1])}"
    elif 0 < len(known) <= MOST_TOLD:
        last = f" by {joined([f'{short_day(day)} ({name})' for name, day in known])}"
    open_trays = any(not box.lid.fitted and box.holds != "probe" for box in situation.plan.egg_boxes)
    mesh = Item(f"Lay a fine mesh over each open tray{first}.", why=CLIMB_OUT)
    yield ItemGroup(
        "the young",
        (
            *((mesh,) if open_trays else ()),
            Item("Wash your hands with soap after each touch.", why="Young reptiles may carry Salmonella."),
            Item(f"Have homes and food for the young ready{first}."),
            Item("Look in two to four times a day once the first egg is slit, without touching."),
            Item(
                "Leave a hatchling in its egg until it comes out by itself.",
                why="It still takes in yolk. This can last for days. Pulling or cutting can kill it.",
            ),
            Item(f"If nothing has hatched{last}, leave the eggs where they are and ask a reptile vet."),
            Item("Write down day, number and the lowest and highest temperature of the run."),
            Item("Bin the medium and wash boxes outside the kitchen."),
        ),
    )
