"""Mass and number of the eggs, and the days between clutches, against what the profile knows of the species."""

from collections.abc import Iterator

from advisor.model.findings import FIX, WATCH, Finding, NotJudged
from advisor.model.plan import Range
from advisor.rules.engine import CLUTCH, Case, Rule

# Times past the profile's own range of the mass. Eggs of one species differ by two between small and large females, and
# many profiles hold one mean; a slip of the decimal point is ten. Judgement.
UNUSUAL_MASS, WRONG_MASS = 2.0, 4.0
# The same of the number, and eggs more than one clutch has: those of a season, or of several females, are put together.
# Judgement.
UNUSUAL_NUMBER, WRONG_NUMBER = (2.0, 10), (5.0, 20)

RULE = Rule(
    id="eggs-unlike-species",
    title="The eggs are not like those of this species",
    explanation=(
        "Water, air, room and weight are all reckoned from the mass and the number of the eggs. A slip of the decimal "
        "point makes every one of these figures wrong, and no other rule can see it. A box that was planned for a tenth "
        "of the eggs runs out of water and of oxygen within weeks. Clutches that come sooner than planned find no box free."
    ),
    remedy="Weigh an egg and count the clutch again, then correct the entry.",
    sources=("judgement",),
    about=CLUTCH,
    needs=("clutch.eggs", "clutch.egg_mass"),
    good="clutches: [{species: python-regius, eggs: 6, egg_mass: 85 g}]",
    bad="clutches: [{species: python-regius, eggs: 6, egg_mass: 8.5 g}]",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Each by itself; fewer eggs than usual are no fault of the plan unless they are far fewer."""
    eggs, show = case.species.eggs, case.show
    number, mass = case.clutch.eggs, case.clutch.egg_mass
    assert number is not None and mass is not None
    unknown = tuple(f"species.eggs.{name}" for name in ("mass", "clutch") if getattr(eggs, name) is None)
    if unknown:
        yield NotJudged(unknown)
    if eggs.mass is not None and (times := _times_outside(mass, eggs.mass)) > UNUSUAL_MASS:
        usual = show.mass_range(eggs.mass.low, eggs.mass.high)
        yield _finding(
            case,
            "clutch.egg_mass",
            FIX if times > WRONG_MASS else WATCH,
            f"An egg of {show.mass(mass)} is planned; those of {case.species.name} weigh about {usual}.",
            "Weigh a fresh egg, and look for a slip of the decimal point. If it is right, note it under `accept`.",
        )
    if eggs.clutch is not None and (severity := _severity_of_number(number, eggs.clutch)):
        low, high = round(eggs.clutch.low), round(eggs.clutch.high)
        usual = f"{low} to {high} eggs" if low < high else "1 egg" if low == 1 else f"{low} eggs"
        yield _finding(
            case,
            "clutch.eggs",
            severity,
            f"{number} {'egg is' if number == 1 else 'eggs are'} planned; a clutch of {case.species.name} has {usual}.",
            "Correct the number. Clutches of several females, or of one through a season, get an entry each."
            if number > high
            else "Correct the number, or leave it when so few were laid.",
        )
    yield from _interval(case)


def _interval(case: Case) -> Iterator[Finding | NotJudged]:
    """The days between clutches, told once of all that follow."""
    repeats, laying, show = case.clutch.repeats, case.species.laying, case.show
    if repeats is None or case.clutch.nth:
        return
    usual, every = laying.next_clutch if laying else None, repeats.every
    if usual is None:
        yield NotJudged(("species.laying.next_clutch" if every else "clutch.repeats.every",))
    elif every and (every.high < usual.low or every.low > usual.high):
        yield Finding(
            WATCH,
            f"Clutches are planned {show.days_range(every.low, every.high)} apart; those of {case.species.name} come "
            f"{show.days_range(usual.low, usual.high)} apart.",
            "clutch.repeats.every",
            support=usual.support,
            levers=("clutch.repeats.every",),
        )


def _severity_of_number(number: int, clutch: Range) -> str | None:
    """Far fewer eggs than usual harm nothing that is planned for more: a watch and no more."""
    for severity, (times, more) in ((FIX, WRONG_NUMBER), (WATCH, UNUSUAL_NUMBER)):
        if number > max(times * clutch.high, clutch.high + more):
            return severity
    return WATCH if number * UNUSUAL_NUMBER[0] < clutch.low else None


def _times_outside(value: float, usual: Range) -> float:
    """How many times past the nearer end of the usual range a value lies; 1 or less inside it."""
    return max(value / usual.high, usual.low / value)


def _finding(case: Case, path: str, severity: str, message: str, remedy: str) -> Finding:
    support = case.species.eggs.support
    return Finding(severity, message, path, remedy, support=support)
