"""How warm the medium got once it had settled."""

from collections.abc import Iterator

from advisor.model.figures import Figure
from advisor.model.findings import Finding, NotJudged
from advisor.model.trial import Extreme
from advisor.rules.engine import PLAN, Case, Rule
from advisor.rules.trial.shared import CHECK_FIRST, when, without_bands, worst_for_eggs

PEAKS = 1.0  # K above the mean: then it is hours that are warm, not the set point; judgement

RULE = Rule(
    id="trial-too-warm",
    title="In the trial run the medium was too warm",
    explanation=(
        "What counts is the medium at the eggs, not the air and not the thermostat's display. Warmth harms faster than "
        "cold: a few degrees too many can kill eggs within hours. What the box did empty it does with eggs, and a little "
        "more, since eggs give heat of their own late in the incubation."
    ),
    remedy="Lower the set point, move the probe into the medium of an egg box, and keep the room cooler.",
    sources=("judgement",),
    about=PLAN,
    needs=("trial.warmest",),
    good="log: {warmest: 28.2 °C}",
    bad="log: {warmest: 34.5 °C}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """The warmest 3-h mean of the settled medium against the bands of every species in the plan."""
    warmest, show = case.trial.warmest, case.show
    assert isinstance(warmest, Extreme)
    worst = worst_for_eggs(case, warmest, "above")
    if worst is None:
        lacking = without_bands(case)
        if lacking:
            yield NotJudged(lacking)
        return
    severity, species, limit, words, sources = worst
    yield Finding(
        severity,
        f"The medium was up at {show.temperature(warmest.figure.value)} ({when(warmest)}, mean of 3 h): for {species.name} "
        f"{words} {show.temperature(limit)}.",
        "control.set_to",
        f"{_remedy(case, warmest, limit)} {CHECK_FIRST}",
        figures=(("warmest", warmest.figure),),
        sources=sources,
    )


def _remedy(case: Case, warmest: Extreme, limit: float) -> str:
    medium = case.trial.medium
    if isinstance(medium, Figure) and warmest.figure.value - medium.value > PEAKS:
        return (
            "It was warm for some hours only: look whether the probe still sits in its place, whether the room was warm or "
            "sun fell on the box, and set the cut-out lower."
        )
    more = max(warmest.figure.value - limit, 0.1)
    return f"Set the thermostat {case.show.step(more)} lower or more, and look again after a day."
