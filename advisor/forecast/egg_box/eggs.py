"""The eggs in one box: how many, how heavy, for how long, at what temperature; shared by water and air."""

import datetime
import math
from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

from advisor.forecast.edge import reason_of
from advisor.forecast.egg_box.use import box_use
from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.air.oxygen import peak_oxygen
from advisor.formulas.air.vents import LikelyRange
from advisor.formulas.water.egg_box_water import egg_kind
from advisor.model.figures import Figure, Formula, Unknown
from advisor.model.forecast import ClutchForecast
from advisor.model.plan import Clutch, EggBox, Plan
from advisor.model.species import Species

SNAKES = ("colubrid", "other snake", "python")
SHELLED_REPTILES = ("tortoise", "turtle")
# words for eggs that the medium does not touch
OUT_OF_THE_MEDIUM = ("over the medium", "attached to its surface")


class BoxLoad(Struct, frozen=True):
    """One egg box of a kind: the clutches that lie in at one time, spread evenly over the boxes, or one in its own boxes.

    eggs; egg_mass [kg] at laying, the mean; gain, share of that mass gained by hatching; days of incubation, the
    longest of its clutches; temperature [°C]; water_band [kg/kg] that every species in it bears; peak_oxygen [m3/s
    STPD] that all eggs use together at hatching. Checks and laying day, when it is known, are those of its first clutch;
    boxes that clutches use by turns have no one laying day; days_by, what the days were worked out with.
    """

    eggs: int
    egg_mass: float
    gain: LikelyRange
    days: LikelyRange
    temperature: float
    rigid: bool
    water_band: LikelyRange | Unknown
    peak_oxygen: LikelyRange | Unknown
    check_days: tuple[int, ...]
    laid: datetime.date | None
    days_by: tuple[Formula, ...]


def animal_of(species: Species) -> Literal["snake", "lizard", "turtle"]:
    """The word that the egg physics uses for the species' group."""
    if species.group in SNAKES:
        return "snake"
    return "turtle" if species.group in SHELLED_REPTILES else "lizard"


def load_of(
    plan: Plan, index: int, species: Mapping[str, Species], clutches: tuple[ClutchForecast, ...]
) -> BoxLoad | Unknown:
    """The eggs in the egg box at a place in the plan, or what is missing to tell."""
    box = plan.egg_boxes[index]
    unsettled = [f"clutches[{clutch.entry}].box" for clutch in plan.clutches if clutch.box is None]
    if unsettled:
        return Unknown("it is not told which box a clutch goes into", tuple(unsettled))
    inside = [number for number, clutch in enumerate(plan.clutches) if clutch.box == box.name]
    if not inside:
        return Unknown("no clutch goes into this box")
    missing = _missing(plan, box, index, inside)
    if missing:
        return Unknown("number or mass of the eggs, or the set point, is not told", missing)
    assert plan.control.set_to is not None
    days: list[Figure] = []
    for number in inside:
        length = clutches[number].incubation_days
        if isinstance(length, Unknown):
            return length
        days.append(length)
    profiles = [species[plan.clutches[number].species] for number in inside]
    for profile in profiles:
        if profile.eggs.shell is None:
            return Unknown(
                f"the shell of {profile.name} eggs is not known", (f"species/{profile.id}.yaml: eggs.shell",)
            )
    by_turns, lot, boxes = _lot(plan, index, species, clutches, inside)
    profiles_in_lot = [species[plan.clutches[number].species] for number in lot]
    eggs = sum(plan.clutches[number].eggs or 0 for number in lot)
    masses = [(plan.clutches[number].eggs or 0) * (plan.clutches[number].egg_mass or 0.0) for number in lot]
    gains = [
        _gain(profile, plan.clutches[number]) for profile, number in zip(profiles_in_lot, lot, strict=True)
    ]

    def mean(values: list[float]) -> float:
        return sum(mass * value for mass, value in zip(masses, values, strict=True)) / sum(masses)

    offsets = [way.value for way in clutches[inside[0]].warmth.ways] or [0.0]
    temperatures = LikelyRange(
        plan.control.set_to + min(offsets),
        plan.control.set_to + offsets[0],
        plan.control.set_to + max(offsets),
    )
    return BoxLoad(
        eggs=math.ceil(eggs / boxes),
        egg_mass=sum(masses) / eggs,
        gain=LikelyRange(
            mean([gain.low for gain in gains]),
            mean([gain.typical for gain in gains]),
            mean([gain.high for gain in gains]),
        ),
        days=LikelyRange(
            max(length.low for length in days),
            max(length.value for length in days),
            max(length.high for length in days),
        ),
        temperature=temperatures.typical,
        rigid=any(profile.eggs.shell == "rigid" for profile in profiles),
        water_band=_water_band(profiles),
        peak_oxygen=_peak_oxygen(plan, lot, profiles_in_lot, temperatures, math.ceil(eggs / boxes)),
        check_days=clutches[inside[0]].check_days,
        laid=None if by_turns else clutches[inside[0]].laid,
        days_by=tuple(dict.fromkeys(formula for length in days for formula in length.formulas)),
    )


def _lot(
    plan: Plan,
    index: int,
    species: Mapping[str, Species],
    clutches: tuple[ClutchForecast, ...],
    inside: list[int],
) -> tuple[bool, list[int], int]:
    """Whether clutches take turns; those that share boxes evenly, and the boxes: the one with most in a box of its own."""
    box = plan.egg_boxes[index]
    count, use = box.count or 1, box_use(plan, index, species, clutches)
    if isinstance(use, Unknown) or not use.by_turns:
        return False, inside, count
    if use.needed > count:
        return True, list(use.together), count
    boxes = {stay.clutch: len(stay.boxes) for stay in use.stays}

    def in_one_box(number: int) -> float:
        clutch = plan.clutches[number]
        return (clutch.eggs or 0) * (clutch.egg_mass or 0.0) / boxes[number]

    fullest = max(inside, key=in_one_box)
    return True, [fullest], boxes[fullest]


def _missing(plan: Plan, box: EggBox, index: int, inside: list[int]) -> tuple[str, ...]:
    missing = [
        f"clutches[{plan.clutches[number].entry}].{entry}"
        for number in inside
        for entry, value in (
            ("eggs", plan.clutches[number].eggs),
            ("egg_mass", plan.clutches[number].egg_mass),
        )
        if value is None
    ]
    if box.count is None:
        missing.append(f"egg_boxes[{index}].count")
    if plan.control.set_to is None:
        missing.append("control.set_to")
    return tuple(dict.fromkeys(missing))


def _gain(species: Species, clutch: Clutch) -> LikelyRange:
    """Share of its mass an egg gains by hatching: the profile's own figure, or the usual one of its kind.

    Eggs that do not touch the medium take up no liquid water: like rigid ones they hold their mass or lose a little.
    """
    touching = clutch.placed not in OUT_OF_THE_MEDIUM
    shell = (species.eggs.shell or "parchment") if touching else "rigid"
    usual = egg_kind(shell, animal_of(species), clutch.egg_mass or 0.0).gain_at_hatching
    own = species.eggs.gain
    if own is None or shell == "rigid":
        return usual
    if own.low < own.high:
        return LikelyRange(own.low, own.middle, own.high)
    return LikelyRange(min(usual.low, own.low), own.middle, max(usual.high, own.high))


def _peak_oxygen(
    plan: Plan, inside: list[int], profiles: list[Species], temperatures: LikelyRange, eggs_in_box: int
) -> LikelyRange | Unknown:
    """What the eggs of one box use together [m3/s STPD], each clutch at the rate of its group.

    The low end is for the coolest place [°C] that the plan leaves open, the high end for the warmest.
    """
    eggs = [plan.clutches[number].eggs or 0 for number in inside]

    def of_box(temperature: float) -> LikelyRange:
        peaks = [
            peak_oxygen(
                plan.clutches[number].egg_mass or 0.0,
                temperature,
                "python" if profile.group == "python" else "other",
            )
            for number, profile in zip(inside, profiles, strict=True)
        ]
        share = eggs_in_box / sum(eggs)
        low, typical, high = (
            share * sum(count * getattr(peak, end) for count, peak in zip(eggs, peaks, strict=True))
            for end in ("low", "typical", "high")
        )
        return LikelyRange(low, typical, high)

    try:
        return LikelyRange(
            of_box(temperatures.low).low, of_box(temperatures.typical).typical, of_box(temperatures.high).high
        )
    except NoSolution as error:
        return Unknown(reason_of(error))


def _water_band(profiles: list[Species]) -> LikelyRange | Unknown:
    """The water contents [kg/kg] that every species bears."""
    unknown = tuple(
        f"species/{profile.id}.yaml: medium.water" for profile in profiles if profile.medium.water is None
    )
    if unknown:
        return Unknown("the species' profile gives no water band", unknown)
    bands = [profile.medium.water for profile in profiles if profile.medium.water is not None]
    low, high = max(band.low for band in bands), min(band.high for band in bands)
    return LikelyRange(low, (low + high) / 2, high)
