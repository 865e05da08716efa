"""Clutches in one outer box whose temperature bands do not meet."""

from collections.abc import Iterator
from itertools import combinations

from advisor.forecast.clutch.box_shared import (
    LEAST_SHARED,
    aim_of,
    conflict,
    harmed,
    meeting,
    shared_width,
    split,
    tolerated_middle,
    tolerated_of,
)
from advisor.model.findings import FIX, SEVERITIES, STOP, WATCH, Finding, NotJudged
from advisor.model.forecast import Window
from advisor.model.species import Species
from advisor.rules.engine import PLAN, Case, Rule
from advisor.units import number_ranges

SEVERITY = {"harm": STOP, "tolerated bands apart": FIX, "usual bands apart": WATCH}

RULE = Rule(
    id="heat-species-need-different-temperatures",
    title="Clutches in this box need different temperatures",
    explanation=(
        "One outer box has one set point. Eggs take the temperature of the medium round them and cannot move away. "
        "When two species have bands that do not meet, one clutch is always too warm or too cool. "
        "Too warm brings bent or weak young, or kills within hours to days. Too cool slows the embryos down and can "
        "kill them over weeks."
    ),
    remedy="Give each group of clutches its own outer box and thermostat.",
    sources=("practice",),
    about=PLAN,
    needs=("clutches",),
    good="clutches: [{species: pantherophis-guttatus}, {species: pogona-vitticeps}]",
    bad="clutches: [{species: correlophus-ciliatus}, {species: python-regius}]",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Compares the species two by two that meet in time; one finding names the worst pair and proposes the split."""
    names = dict.fromkeys(clutch.species for clutch in case.plan.clutches)
    species = [case.situation.species[name] for name in names]
    if len(species) < 2:
        return
    missing = [
        f"species/{one.id}.yaml: {band}"
        for one in species
        for band in ("aim", "tolerated")
        if getattr(one, band) is None
    ]
    if missing:
        yield NotJudged(tuple(missing))
    known = sorted((one for one in species if one.aim and one.tolerated), key=lambda one: aim_of(one).high)
    conflicts = [
        (SEVERITIES.index(SEVERITY[found]), shared_width(one, other), one, other)
        for one, other in combinations(known, 2)
        if (found := conflict(one, other)) and _meet(case, one, other)
    ]
    if not conflicts:
        return
    worst, _, *pair = min(conflicts, key=lambda found: found[:2])
    cool, warm = sorted(pair, key=tolerated_middle)
    severity = SEVERITIES[worst]
    bands = [aim_of(one) if severity == WATCH else tolerated_of(one) for one in (cool, warm)]
    index = next(index for index, clutch in enumerate(case.plan.clutches) if clutch.species == warm.id)
    yield Finding(
        severity,
        _message(case, cool, warm, severity),
        f"clutches[{case.plan.clutches[index].entry}].species",
        _boxes(case, known, severity),
        sources=tuple(dict.fromkeys(key for band in bands for key in band.support.sources)),
        obstacle="One outer box has one set point, so no change of this plan clears this.",
    )


def _meet(case: Case, one: Species, other: Species) -> bool:
    """Whether eggs of both may lie in the box on one day; so they may where a date is not known."""

    def spans(species: Species) -> list[Window | None]:
        return [
            (found.laying_window[0], found.hatch_window[1])
            if found.laying_window and found.hatch_window
            else None
            for found in case.forecast.clutches
            if found.species == species.id
        ]

    return any(
        first is None or second is None or max(first[0], second[0]) <= min(first[1], second[1])
        for first in spans(one)
        for second in spans(other)
    )


def _named(case: Case, species: Species) -> str:
    numbers = [index + 1 for index, clutch in enumerate(case.plan.clutches) if clutch.species == species.id]
    return f"{'clutch' if len(numbers) == 1 else 'clutches'} {number_ranges(numbers)} ({species.name})"


def _message(case: Case, cool: Species, warm: Species, severity: str) -> str:
    show, shared = case.show, shared_width(cool, warm)
    kind, band = ("usual", aim_of) if severity == WATCH else ("tolerated", tolerated_of)
    bands = (
        f"The {kind} band of {_named(case, cool)} is {show.temperature_range(band(cool).low, band(cool).high)}, "
        f"that of {_named(case, warm)} {show.temperature_range(band(warm).low, band(warm).high)}"
    )
    if severity == WATCH:
        return f"{bands}. Both tolerate only {_all_tolerate(case, [cool, warm])}."
    if severity == STOP:
        hurt, other = (cool, warm) if harmed(cool, warm) else (warm, cool)
        return f"{bands}. A box set for {_named(case, other)} harms {_named(case, hurt)}."
    if shared < 0:
        return f"{bands}: no set point suits both, the gap is {show.step(-shared)}."
    return f"{bands}: they share only {show.step(shared)}, and a box needs {show.step(LEAST_SHARED)} or more."


def _all_tolerate(case: Case, species: list[Species]) -> str:
    """The band that all of them tolerate; nothing where some of them, that never meet, share none."""
    band = meeting([tolerated_of(one) for one in species])
    return case.show.temperature_range(band.low, band.high) if band is not None else ""


def _boxes(case: Case, known: list[Species], severity: str) -> str:
    """The split into the fewest boxes, each with its clutches and set point; the band that all share if there is one."""
    show, groups = case.show, split(known)
    parts = [
        f"one set to {show.temperature(group.set_point)} "
        f"(usual {show.temperature_range(group.band.low, group.band.high)}) "
        f"for {' with '.join(_named(case, member) for member in group.species)}"
        for group in groups
    ]
    boxes = f"{len(groups)} outer boxes, each with a plan of its own: {'; '.join(parts)}."
    shared = _all_tolerate(case, known)
    if severity != WATCH or not shared:
        return f"Use {boxes}"
    return f"Keep the whole box within {shared}, or better use {boxes}"
