"""Clutches in one outer box whose temperature bands do not meet."""

from collections.abc import Iterator
from itertools import combinations

from advisor.model.findings import FIX, SEVERITIES, STOP, WATCH, Finding, NotJudged
from advisor.model.species import Band, Species
from advisor.rules.engine import PLAN, Case, Rule

LEAST_SHARED = 1.0  # K; a box is not known, and not held, closer than about 0.5 K either way; judgement
ROUNDING = 1e-6  # K; so that °F entries do not miss a limit by the last decimal

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
    """Compares the species two by two; one finding names the worst pair and proposes the split."""
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
    known = sorted((one for one in species if one.aim and one.tolerated), key=lambda one: _aim(one).high)
    conflicts = [
        (SEVERITIES.index(severity), _shared(one, other), one, other)
        for one, other in combinations(known, 2)
        if (severity := _conflict(one, other))
    ]
    if not conflicts:
        return
    worst, _, *pair = min(conflicts, key=lambda conflict: conflict[:2])
    cool, warm = sorted(pair, key=_middle)
    severity = SEVERITIES[worst]
    bands = [_aim(one) if severity == WATCH else _tolerated(one) for one in (cool, warm)]
    index = next(index for index, clutch in enumerate(case.plan.clutches) if clutch.species == warm.id)
    yield Finding(
        severity,
        _message(case, cool, warm, severity),
        f"clutches[{index}].species",
        _remedy(case, known, severity),
        sources=tuple(dict.fromkeys(key for band in bands for key in band.support.sources)),
    )


def _aim(species: Species) -> Band:
    assert species.aim is not None
    return species.aim


def _tolerated(species: Species) -> Band:
    assert species.tolerated is not None
    return species.tolerated


def _middle(species: Species) -> float:
    return _tolerated(species).low + _tolerated(species).high


def _shared(one: Species, other: Species) -> float:
    """Width of the band that both tolerate [K]; negative when there is a gap."""
    first, second = _tolerated(one), _tolerated(other)
    return min(first.high, second.high) - max(first.low, second.low)


def _conflict(one: Species, other: Species) -> str | None:
    """How bad it is to keep two species at one set point; None when their usual bands meet."""
    cool, warm = sorted((one, other), key=_middle)
    widths = [_tolerated(species).high - _tolerated(species).low for species in (cool, warm)]
    if _shared(cool, warm) < min(LEAST_SHARED, *widths) - ROUNDING:
        return STOP if _harmed(cool, warm) or _harmed(warm, cool) else FIX
    meet = max(_aim(cool).low, _aim(warm).low) <= min(_aim(cool).high, _aim(warm).high) + ROUNDING
    return None if meet else WATCH


def _harmed(one: Species, by: Species) -> bool:
    """Whether every temperature that the other species tolerates is known to harm this one."""
    if one.harmful is None:
        return False
    above, below = one.harmful.above, one.harmful.below
    too_warm = above is not None and _tolerated(by).low >= above - ROUNDING
    too_cool = below is not None and _tolerated(by).high <= below + ROUNDING
    return too_warm or too_cool


def _named(case: Case, species: Species) -> str:
    numbers = [
        str(index + 1) for index, clutch in enumerate(case.plan.clutches) if clutch.species == species.id
    ]
    if len(numbers) == 1:
        return f"clutch {numbers[0]} ({species.name})"
    return f"clutches {', '.join(numbers[:-1])} and {numbers[-1]} ({species.name})"


def _message(case: Case, cool: Species, warm: Species, severity: str) -> str:
    show, shared = case.show, _shared(cool, warm)
    kind, band = ("usual", _aim) if severity == WATCH else ("tolerated", _tolerated)
    bands = (
        f"The {kind} band of {_named(case, cool)} is {show.temperature_range(band(cool).low, band(cool).high)}, "
        f"that of {_named(case, warm)} {show.temperature_range(band(warm).low, band(warm).high)}"
    )
    if severity == WATCH:
        return f"{bands}. Both tolerate only {_all_tolerate(case, [cool, warm])}."
    if severity == STOP:
        harmed, other = (cool, warm) if _harmed(cool, warm) else (warm, cool)
        return f"{bands}. A box set for {_named(case, other)} harms {_named(case, harmed)}."
    if shared < 0:
        return f"{bands}: no set point suits both, the gap is {show.step(-shared)}."
    return f"{bands}: they share only {show.step(shared)}, and a box needs {show.step(LEAST_SHARED)} or more."


def _all_tolerate(case: Case, species: list[Species]) -> str:
    low = max(_tolerated(one).low for one in species)
    return case.show.temperature_range(low, min(_tolerated(one).high for one in species))


def _remedy(case: Case, known: list[Species], severity: str) -> str:
    """The split into the fewest boxes in which all usual bands meet, and the band that all share if there is one."""
    groups: list[list[Species]] = []
    for species in known:
        if groups and not any(_conflict(species, member) for member in groups[-1]):
            groups[-1].append(species)
        else:
            groups.append([species])
    parts = []
    for group in groups:
        low, high = max(_aim(member).low for member in group), min(_aim(member).high for member in group)
        names = " with ".join(_named(case, member) for member in group)
        parts.append(f"{names} at {case.show.temperature_range(low, high)}")
    split = f"{len(groups)} outer boxes: {'; '.join(parts)}."
    if severity != WATCH:
        return f"Use {split}"
    return f"Keep the whole box within {_all_tolerate(case, known)}, or better use {split}"
