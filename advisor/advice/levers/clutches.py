"""Levers of the clutches: how the eggs lie, when they are looked for, the lay box, the cool period."""

import datetime
from collections.abc import Iterator

from advisor.advice.levers.lever import Ladder, Lever, change, one_of
from advisor.advice.written import Written
from advisor.model.changes import PURCHASE, Change
from advisor.rules.engine import Case
from advisor.units import number

GLUED, HALF = "attached to its surface", "half buried"
LAY_BOX_BEFORE = (14, 10, 7)  # days before the first likely laying day


def _box(case: Case) -> Iterator[Ladder]:
    """Another kind of egg box of the plan that holds eggs."""
    yield from one_of(
        *(
            change(
                case,
                f"Put the eggs of {case.species.name} into the egg box '{box.name}'.",
                clutch__box=box.name,
            )
            for box in case.plan.egg_boxes
            if box.holds != "probe" and box.name != case.clutch.box
        )
    )


def _egg_mass(case: Case) -> Iterator[Ladder]:
    mass, write = case.species.eggs.mass, Written(case.plan.units)
    if mass is not None:
        typical = write.mass(mass.middle)
        yield from one_of(change(case, f"Weigh an egg; {typical} is usual.", clutch__egg_mass=typical))


def _wanted(case: Case) -> Iterator[Ladder]:
    yield from one_of(change(case, "Take the sexes as they come.", clutch__wanted="any"))


def _looked_for(case: Case) -> Iterator[Ladder]:
    name = case.species.name
    yield from one_of(
        *(
            change(
                case,
                f"Look for eggs of {name} {words} from the first likely laying day on.",
                clutch__looked_for=every,
            )
            for every, words in (("every 24 h", "every day"), ("every 12 h", "morning and evening"))
        )
    )


def _placed(case: Case) -> Iterator[Ladder]:
    glued = case.species.eggs.glued_to_surface
    place, words = (GLUED, "with the surface that they stick to") if glued else (HALF, "half into the medium")
    yield from one_of(change(case, f"Place the eggs of {case.species.name} {words}.", clutch__placed=place))


def _parted(case: Case) -> Iterator[Ladder]:
    together = change(case, "Leave eggs that stick together as they are.", clutch__parted="left together")
    fresh = change(case, "Part the eggs within hours of laying, or not at all.", clutch__parted="while fresh")
    yield from one_of(*((together, fresh) if case.species.eggs.glued_to_surface else (fresh, together)))


def _marked(case: Case) -> Iterator[Ladder]:
    words = "Put a small pencil mark on top of each egg before you lift it, and keep the mark up."
    yield from one_of(change(case, words, clutch__marked="yes"))


def _cool_period(case: Case) -> Iterator[Ladder]:
    """What the profile names, or none where it names none."""
    cool, write = case.species.cool_period, Written(case.plan.units)
    none = change(case, f"Leave the cool period out for {case.species.name}.", clutch__cool_period="none")
    if cool is None or cool.needed_by == "none":
        yield from one_of(none)
        return
    at, days = write.temperature(cool.at.middle), number(cool.days.middle, 3)
    planned = change(
        case,
        f"Plan {days} days at {at} for the eggs of {case.species.name}, and warm them again slowly.",
        clutch__cool_period={"at": at, "days": int(float(days))},
    )
    yield from one_of(planned, none)


def _lay_box(case: Case) -> Iterator[Ladder]:
    """In place two weeks before the first likely laying day, or as long before as time is left."""
    laying = case.clutch_forecast.laying_window
    if laying is None:
        return
    changes: list[Change] = []
    for before in LAY_BOX_BEFORE:
        day = (laying[0] - datetime.timedelta(days=before)).isoformat()
        words = f"Put a lay box with damp medium in place by {day} for {case.species.name}."
        changes.append(change(case, words, PURCHASE, clutch__lay_box={"ready_on": day}))
    yield from one_of(*changes)


LEVERS = (
    Lever("clutches[].box", _box, "the box for the eggs"),
    Lever("clutches[].egg_mass", _egg_mass, "usual for the species; weigh one and correct it"),
    Lever("clutches[].wanted", _wanted, "nobody said which sexes are wanted"),
    Lever("clutches[].looked_for", _looked_for, "fresh eggs dry out or are trodden on within a day"),
    Lever("clutches[].placed", _placed, "as the species lays them"),
    Lever("clutches[].parted", _parted, "eggs that have stuck together tear"),
    Lever("clutches[].marked", _marked, "a turned egg can die"),
    Lever("clutches[].cool_period", _cool_period, "as the profile of the species has it"),
    Lever("clutches[].lay_box", _lay_box, "a female without a place to lay holds her eggs"),
)
