"""How well the figures are known that this plan is judged by."""

from collections.abc import Iterator, Sequence

from advisor.model.findings import NOTE, WATCH, Finding, NotJudged
from advisor.model.species import KNOWN, Observation, Support
from advisor.rules.engine import CLUTCH, Case, Rule
from advisor.rules.shared import held_by_eggs
from advisor.show import counted

NEAR = 1.5  # K; how far from the set point a point of the profile still tells; judgement, as in the forecast
FEW_EGGS = 30  # counted young; below it a share is known to about 0.18 either way (binomial, 95 %); judgement
NO_STUDY = ("practice", "judgement")  # bibliography keys that stand for no study
KEEPERS_ONLY = "Common practice alone"

# a figure in words, its support, its counted points
Used = tuple[str, list[Support], tuple[Observation, ...]]

RULE = Rule(
    id="profile-thin-evidence",
    title="Figures of the species rest on thin evidence",
    explanation=(
        "Nobody has tested these figures well. Your eggs may hatch weeks before or after the days given, or come to harm "
        "inside a band that was called safe."
    ),
    remedy="Ask keepers of the species, start to look for young early, and write down what your eggs do.",
    sources=("judgement",),
    about=CLUTCH,
    needs=("control.set_to",),
    good="control: {set_to: 28 °C}\nclutches: [{species: testudo-exemplaris}]  # an invented profile with two studies",
    bad="control: {set_to: 28 °C}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Groups the figures used at this set point by how they are known; worst when keepers' word is all there is."""
    species, held, wanted = case.species, held_by_eggs(case), case.clutch.wanted
    bands = (("the band to aim for", species.aim), ("the tolerated band", species.tolerated))
    limits = ("the harmful limits", species.harmful)
    used: list[Used] = [(name, [band.support], ()) for name, band in (*bands, limits) if band is not None]
    days = _near(held, species.duration)
    if days:
        used.append(("the days near the set point", [point.support for point in days], days))
    else:
        yield NotJudged(("species.duration",))
    if species.sex.set_by not in (None, "chromosomes"):
        young = _near(held, species.sex.observed)
        if wanted is None:
            yield NotJudged(("clutch.wanted",))
        elif wanted != "any" and young:
            used.append(("the share of males near the set point", [point.support for point in young], young))
        elif wanted != "any":
            yield NotJudged(("species.sex.observed",))
    thin = [(name, why, supports) for name, supports, points in used if (why := _thin(supports, points))]
    if not thin:
        return
    reasons = list(dict.fromkeys(why for _, why, _ in thin))
    told = [f"{reason}: {', '.join(name for name, why, _ in thin if why == reason)}." for reason in reasons]
    weak = [support for _, _, supports in thin for support in supports]
    yield Finding(
        WATCH if len(thin) == len(used) and reasons == [KEEPERS_ONLY] else NOTE,
        f"The profile of {species.name} is thin for {_planned(case)}. {' '.join(told)}",
        "clutch.species",
        RULE.remedy,
        sources=tuple(dict.fromkeys(key for support in weak for key in support.sources)),
        evidence=", ".join(grade for grade in KNOWN if any(support.known == grade for support in weak)),
    )


def _planned(case: Case) -> str:
    set_to = case.plan.control.set_to
    assert set_to is not None
    return (
        "this programme" if case.plan.control.programme else f"a set point of {case.show.temperature(set_to)}"
    )


def _near(held: Sequence[float], points: Sequence[Observation]) -> tuple[Observation, ...]:
    """The points at steady temperatures near those that the eggs are held at [°C]."""
    return tuple(
        point for point in points if any(abs(point.at.middle - at) <= NEAR for at in held) and not point.swing
    )


def _thin(supports: Sequence[Support], points: Sequence[Observation]) -> str:
    """Why the evidence is thin, or nothing."""
    studies = {key for support in supports for key in _studies(support)}
    if not studies:
        return KEEPERS_ONLY
    counts = [point.eggs for point in points if _studies(point.support)]
    eggs = sum(count for count in counts if count is not None)
    few = bool(counts) and None not in counts and eggs < FEW_EGGS
    if len(studies) == 1:
        return f"One study, {counted(eggs, 'egg')}" if few else "One study"
    return f"Only {counted(eggs, 'egg')} counted" if few else ""


def _studies(support: Support) -> set[str]:
    """The bibliography keys of a figure that stand for studies."""
    return set(support.sources) - set(NO_STUDY)
