"""What the preparation checklist says for one plan: stages with items, as plain data; templates lay it out."""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass

from advisor import __version__
from advisor.assess import Assessment
from advisor.model.findings import Finding
from advisor.model.plan import Clutch, Plan
from advisor.units import Show
from advisor.writing.cautions import CAUTIONS, Caution

MOST_ITEMS = (
    9  # items a stage: more are not worked through (from memory: checklist practice in surgery, 5-9 a pause)
)


@dataclass(frozen=True, slots=True)
class Item:
    """One action; `by` is a date or a day in words, `why` one short sentence, `severity` only for findings."""

    action: str
    why: str = ""
    by: str = ""
    severity: str = ""


@dataclass(frozen=True, slots=True)
class Stage:
    """A group of actions between two natural pauses."""

    name: str
    when: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Checklist:
    """The whole paper."""

    title: str
    species: str
    verdict: str
    printed_on: str
    version: str
    stages: tuple[Stage, ...]
    not_judged: tuple[str, ...]
    cautions: tuple[Caution, ...]


def checklist_of(assessment: Assessment, today: datetime.date) -> Checklist:
    """The checklist for a judged plan; `today` is printed on it."""
    from advisor.writing.screen import verdict_text

    situation = assessment.situation
    plan, show = situation.plan, situation.show
    names = ", ".join(species.name for species in situation.species.values())
    missing = {need for answer in assessment.report.not_judged for need in answer.needs}
    stages = (
        Stage("Put right now", "before anything else", tuple(_put_right(assessment.report.findings))),
        Stage("Gather", _gather_when(assessment), tuple(_gather(plan, show))),
        Stage("Build", _gather_when(assessment), tuple(_build(plan, show))),
        Stage("Try out", _trial_when(plan), tuple(_try_out(plan, show))),
        Stage("Lay box", _lay_box_when(plan), tuple(_lay_box(plan))),
        Stage("Egg day", _egg_day_when(assessment), tuple(_egg_day(plan))),
        Stage("Checks", _checks_when(assessment), tuple(_checks(plan, show))),
        Stage("Hatching", _hatching_when(assessment), tuple(_hatching())),
    )
    return Checklist(
        title=plan.title,
        species=names,
        verdict=verdict_text(assessment.report),
        printed_on=today.isoformat(),
        version=__version__,
        stages=tuple(stage for stage in stages if stage.items),
        not_judged=tuple(sorted(missing)),
        cautions=CAUTIONS,
    )


def _put_right(findings: tuple[Finding, ...]) -> Iterator[Item]:
    for finding in findings:
        about = f" ({finding.subject})" if finding.subject else ""
        yield Item(finding.remedy, finding.message + about, severity=finding.severity)


def _gather_when(assessment: Assessment) -> str:
    days = [clutch.ready_by for clutch in assessment.situation.forecast.clutches if clutch.ready_by]
    start = assessment.situation.plan.trial_run.from_
    if start:
        return f"before the trial run on {start}"
    return f"well before {min(days)}" if days else "well before the eggs"


def _gather(plan: Plan, show: Show) -> Iterator[Item]:
    box = plan.outer_box
    wall = f", {box.wall.material}" if box.wall.material else ""
    size = box.inside or box.outside
    where = "inside" if box.inside else "outside"
    shown = (
        f", {show.length(size.length)} x {show.length(size.width)} x {show.length(size.height)} {where}"
        if size
        else ""
    )
    yield Item(f"The outer box{wall}{shown}.")
    heat = plan.heat
    if heat.source:
        power = f" of {show.power(heat.power)}" if heat.power else ""
        yield Item(f"The heater: {heat.source}{power}.", "Read the power on its label.")
    if plan.control.thermostat and plan.control.thermostat != "none":
        yield Item(f"The thermostat ({plan.control.thermostat}) with its probe.")
    if plan.control.cut_out and plan.control.cut_out.fitted:
        yield Item(
            "A second, independent thermostat as a cut-out.", "It cuts the power when the first one sticks."
        )
    for egg_box in plan.egg_boxes:
        count = f"{egg_box.count} " if egg_box.count else ""
        what = "for the probe" if egg_box.holds == "probe" else "for eggs"
        yield Item(f"Egg boxes {what} ('{egg_box.name}'): {count}with lids.")
    mediums = {egg_box.medium.material for egg_box in plan.egg_boxes if egg_box.medium.material}
    if mediums:
        yield Item(f"Medium: {', '.join(sorted(mediums))}. A kitchen scale, kept for this use only.")
    thermometers = plan.watching.thermometers
    yield Item(
        f"{thermometers} thermometers." if thermometers else "A second thermometer.", "To check the first."
    )


def _build(plan: Plan, show: Show) -> Iterator[Item]:
    yield Item("Put plugs and sockets outside the box and off the floor.", "Water runs down a lead.")
    yield Item("Hang every lead in a loop below its socket.", "Drops fall off before they reach the socket.")
    if plan.heat.place:
        place = {"lid": "under the lid", "floor": "on the floor", "in water": "in the water"}.get(
            plan.heat.place
        )
        yield Item(
            f"Fix the heater {place or 'on ' + plan.heat.place}. Do not fold, cover, pinch or pierce it."
        )
    for egg_box in plan.egg_boxes:
        if egg_box.lid.holes and egg_box.lid.holes.count and egg_box.lid.holes.diameter:
            holes = egg_box.lid.holes
            yield Item(
                f"Make {holes.count} holes of {show.length(holes.diameter or 0)} in each box '{egg_box.name}'.",
                "Near the edge of the lid or high in the walls.",
            )
    if plan.control.probe.sits_in:
        yield Item(
            f"Put the probe in its place: {plan.control.probe.sits_in}. Fix its lead.",
            "A probe that slips cooks eggs.",
        )
    yield Item("Stand a smoke alarm in the room. Keep what burns away from the box.")


def _trial_when(plan: Plan) -> str:
    run = plan.trial_run
    if run.from_ and run.days:
        return f"{run.from_} to {run.from_ + datetime.timedelta(days=int(run.days))}"
    return "at least three days before the eggs, better a week"


def _try_out(plan: Plan, show: Show) -> Iterator[Item]:
    control = plan.control
    if control.set_to is not None:
        yield Item(f"Set the thermostat to {show.temperature(control.set_to)}.")
    if control.cut_out and control.cut_out.set_to is not None:
        yield Item(
            f"Set the cut-out to {show.temperature(control.cut_out.set_to)}. Test that it cuts the power."
        )
    yield Item(
        "Compare the probe and the thermometers in crushed ice and water.",
        f"Pass: each reads 0 °C (32 °F) within {show.step(0.5)}.",
    )
    yield Item("Put a cup of water in each egg box in place of eggs. Close everything. Be at home.")
    yield Item(
        "Write down the lowest and the highest temperature in the medium each day.",
        f"Pass: within {show.step(0.5)} of the set point for three days."
        if control.set_to is not None
        else "",
    )
    yield Item("Look under the egg-box lids each morning.", "Pass: no drops hang there.")
    yield Item("Pull the plug for one hour once. Write down how far the medium cools.")


def _lay_box_when(plan: Plan) -> str:
    days = [clutch.lay_box.ready_on for clutch in plan.clutches if clutch.lay_box.ready_on]
    return f"by {min(days)}" if days else "at the shed before laying, or sooner"


def _lay_box(plan: Plan) -> Iterator[Item]:
    yield Item(
        "Put a lay box with damp moss or medium in with the female.",
        "Eggs laid elsewhere dry out before you find them.",
    )
    yield Item("Feel the moss each day. Wet it when it is dry.")
    yield Item("Leave the female in peace.", "Ask a reptile veterinarian if she strains, is weak or overdue.")


def _egg_day_when(assessment: Assessment) -> str:
    windows = [
        clutch.laying_window for clutch in assessment.situation.forecast.clutches if clutch.laying_window
    ]
    if not windows:
        return "the day the eggs are laid"
    return f"likely {min(window[0] for window in windows)} to {max(window[1] for window in windows)}"


def _egg_day(plan: Plan) -> Iterator[Item]:
    yield Item("Wash your hands. Write down the day and the hour.")
    yield Item("Mark the top of each egg with a soft pencil. Keep that side up.", "A turned egg can die.")
    if any(clutch.parted != "left together" for clutch in plan.clutches):
        yield Item(
            "Ease eggs apart only while they are fresh and part by themselves.",
            "Best within a few hours, never after 24 hours. Leave a stuck clutch stuck.",
        )
    for index, clutch in enumerate(plan.clutches):
        yield Item(_into_box(index, clutch))
    yield Item("Weigh each closed box. Write the mass on its label.")
    yield Item("Close the lids. Write the hatch window on the box.")


def _into_box(index: int, clutch: Clutch) -> str:
    placed = {
        "half buried": "half buried, a finger apart",
        "buried": "buried",
        "on the surface": "on the medium",
        "over the medium": "on a grid over the medium",
        "attached to its surface": "still attached to what they were laid on",
    }.get(clutch.placed or "", "a finger apart")
    box = f"box '{clutch.box}'" if clutch.box else "its box"
    return f"Put clutch {index + 1} ({clutch.species}) into {box}, {placed}."


def _checks_when(assessment: Assessment) -> str:
    days = [clutch.check_days for clutch in assessment.situation.forecast.clutches if clutch.check_days]
    return f"on days {', '.join(map(str, days[0]))} of incubation" if days else "on the days of your plan"


def _checks(plan: Plan, show: Show) -> Iterator[Item]:
    yield Item("Read the lowest and highest temperature every day. Write them down.")
    if plan.checks.opens == "outer lid":
        yield Item("Lift only the outer lid. Look through the egg-box lids.", "Close again within seconds.")
    yield Item(
        "Look for drops under the lid, dents, mould and dry medium.",
        "Dents early mean dry. Near the end they are normal.",
    )
    yield Item("Weigh the box. Add the missing water at the edge, at box temperature, never onto eggs.")
    yield Item("Take out a dead egg only if it lifts freely. Use gloves, bag it, bin it.")


def _hatching_when(assessment: Assessment) -> str:
    windows = [
        clutch.hatch_window for clutch in assessment.situation.forecast.clutches if clutch.hatch_window
    ]
    if not windows:
        return "when the first slit shows"
    return f"likely {min(window[0] for window in windows)} to {max(window[1] for window in windows)}"


def _hatching() -> Iterator[Item]:
    yield Item("Have homes and food for the young ready.")
    yield Item("Look two to four times a day after the first slit. Do not disturb.")
    yield Item("Do not pull a hatchling out or cut its egg.", "It still takes in yolk. This can last days.")
    yield Item(
        "Write down the day, the number and the temperature of the whole run.", "Next year you will want it."
    )
