"""Levers of the clutches: how the eggs lie, when they are looked for, the lay box, the cool period."""

import datetime
from collections.abc import Iterator
from functools import cache
from statistics import median

from advisor.advice.levers.lever import Ladder, Lever, always, change, ladder, one_of
from advisor.advice.written import Written
from advisor.model.changes import PURCHASE, SETTING, Change
from advisor.model.species import CoolPeriod
from advisor.reading.names import profile_files
from advisor.reading.species import load_species
from advisor.rules.engine import Case

USUAL_BEFORE, LEAST_BEFORE = 14, 7  # days from the lay box to the first likely laying day; judgement


def _box(case: Case) -> Iterator[Ladder]:
    """Another kind of egg box of the plan that holds eggs."""
    words = f"Put the eggs of {case.species.name} into the egg box"
    return ladder(
        change(case, f"{words} '{box.name}'.", clutch__box=box.name)
        for box in case.plan.egg_boxes
        if box.holds != "probe" and box.name != case.clutch.box
    )


def _eggs(case: Case) -> Iterator[Ladder]:
    usual = case.species.eggs.clutch
    if usual is not None and case.clutch.eggs is None:
        eggs = max(1, round(usual.middle))
        yield from one_of(change(case, f"Count the eggs; {eggs} are usual.", clutch__eggs=eggs))


def _egg_mass(case: Case) -> Iterator[Ladder]:
    """Of a species whose eggs nobody has weighed, the middle one of its group: a guess that says to weigh one."""
    if case.clutch.egg_mass is None:
        mass = case.species.eggs.mass
        typical = Written(case.plan.units).mass(mass.middle if mass else _of_the_group(case.species.group))
        yield from one_of(change(case, f"Weigh an egg; {typical} is usual.", clutch__egg_mass=typical))


@cache
def _of_the_group(group: str) -> float:
    """The middle one of the egg masses [kg] in the profiles of a group of animals, or of all where it has none."""
    profiles = [load_species(identifier) for identifier in profile_files()]
    masses = [(profile.group, profile.eggs.mass.middle) for profile in profiles if profile.eggs.mass]
    return median([mass for of, mass in masses if of == group] or [mass for _, mass in masses])


def _wanted(case: Case) -> Iterator[Ladder]:
    """A wish that nobody told; one that was told is no choice of the advice."""
    if case.clutch.wanted is None:
        yield from one_of(change(case, "Take the sexes as they come.", clutch__wanted="any"))


def _looked_for(case: Case) -> Iterator[Ladder]:
    """Every day; twice where eggs that stick together are to be parted while fresh. Eggs that were laid are found."""
    if case.clutch.laid_on is not None:
        return
    sticks = case.clutch.parted == "while fresh" and case.species.eggs.cling is True
    every, words = ("every 12 h", "every morning and evening") if sticks else ("every 24 h", "every morning")
    window = case.clutch_forecast.laying_window
    start = window[0].isoformat() if window else "the first likely laying day"
    yield from one_of(change(case, f"Look for eggs {words} from {start} on.", clutch__looked_for=every))


def _placed(case: Case) -> Iterator[Ladder]:
    """As the species lays; eggs that are left on their surface cannot be parted."""
    if case.species.eggs.glued_to_surface:
        entries = {"clutch__placed": "attached to its surface"}
        if case.clutch.parted in ("while fresh", "later"):
            entries["clutch__parted"] = "left together"
        yield from one_of(change(case, "Leave the eggs on the surface that they are glued to.", **entries))
        return
    words = "Sink the eggs into the medium to half their height, so that the upper half stays in the air."
    yield from one_of(change(case, words, clutch__placed="half buried"))


def _parted(case: Case) -> Iterator[Ladder]:
    """Left together where they stick: that harms no egg, whenever they are found."""
    together = change(case, "Leave eggs that stick together as they are.", clutch__parted="left together")
    fresh = change(case, "Part the eggs within hours of laying, or not at all.", clutch__parted="while fresh")
    yield from one_of(*((fresh, together) if case.species.eggs.cling is False else (together, fresh)))


def _cool_period(case: Case) -> Iterator[Ladder]:
    """What the profile names and the eggs need, else none.

    Where some populations need it, only the keeper knows where the parents come from: what is missing stays missing.
    """
    need, told = case.species.cool_period, case.clutch.cool_period is not None
    none = change(case, "Leave the cool period out.", clutch__cool_period="none")
    if need is None:
        yield from one_of(none)
        return
    own = _as_profile(case, need)
    if need.needed_by == "all":
        yield from one_of(own)
    elif told:
        yield from one_of(own, none)
    elif need.needed_by == "none":
        yield from one_of(none)


def _as_profile(case: Case, need: CoolPeriod) -> Change:
    at, days = Written(case.plan.units).temperature(need.at.middle), round(need.days.middle)
    words = f"Plan a cool period of {days} days at {at}, {need.when}, and warm the eggs again slowly."
    return change(case, words, clutch__cool_period={"at": at, "days": days})


def _lay_box(case: Case) -> Iterator[Ladder]:
    """Two weeks before the first likely laying day; one that comes too late a week before, since days may have passed."""
    laying = case.clutch_forecast.laying_window
    if laying is not None and case.clutch.laid_on is None:
        before = USUAL_BEFORE if case.clutch.lay_box.ready_on is None else LEAST_BEFORE
        day = (laying[0] - datetime.timedelta(days=before)).isoformat()
        words = f"Put a lay box with damp medium and moss in place by {day}."
        cost = PURCHASE if case.clutch.lay_box.ready_on is None else SETTING
        yield from one_of(change(case, words, cost, clutch__lay_box={"ready_on": day}))


def _every(case: Case) -> Iterator[Ladder]:
    usual = case.species.laying.next_clutch if case.species.laying else None
    if usual is not None and case.clutch.repeats is not None:
        days = case.show.days_range(usual.low, usual.high)
        yield from one_of(change(case, f"Plan the clutches {days} apart.", clutch__repeats__every=days))


LEVERS = (
    Lever("clutches[].box", _box, "the box for the eggs"),
    Lever("clutches[].eggs", _eggs, "usual for the species; count yours and correct it"),
    Lever("clutches[].egg_mass", _egg_mass, "usual for the species or its kin; weigh one and correct it"),
    Lever("clutches[].wanted", _wanted, "no wish is told; correct it if you have one"),
    Lever("clutches[].repeats.every", _every, "as the profile of the species has it"),
    Lever("clutches[].looked_for", _looked_for, "fresh eggs dry out or are trodden on within a day"),
    Lever("clutches[].placed", _placed, "as the species lays them"),
    Lever("clutches[].parted", _parted, "eggs that have stuck together tear"),
    Lever(
        "clutches[].marked",
        always(
            "Put a small pencil mark on top of each egg before you lift it, and keep the mark up.",
            clutch__marked="yes",
        ),
        "a turned egg can die",
    ),
    Lever("clutches[].cool_period", _cool_period, "as the profile of the species has it"),
    Lever("clutches[].lay_box", _lay_box, "a female without a place to lay holds her eggs"),
)
