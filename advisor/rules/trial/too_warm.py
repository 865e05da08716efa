"""How warm the medium got once it had settled."""

from collections.abc import Iterator

from advisor.model.figures import Figure
from advisor.model.findings import Finding, NotJudged
from advisor.model.trial import Extreme
from advisor.rules.engine import PLAN, Case, Rule
from advisor.rules.trial.shared import beyond_the_bands

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
    warmest = case.trial.warmest
    assert isinstance(warmest, Extreme)
    yield from beyond_the_bands(case, warmest, "above", ("up", "warmest"), _remedy)


def _remedy(case: Case, warmest: Extreme, limit: float) -> str:
    medium = case.trial.medium
    if isinstance(medium, Figure) and warmest.figure.value - medium.value > PEAKS:
        return (
            "It was warm for some hours only: look whether the probe still sits in its place, whether the room was warm or "
            "sun fell on the box, and set the cut-out lower."
        )
    more = max(warmest.figure.value - limit, 0.1)
    return f"Set the thermostat {case.show.step(more)} lower or more, and look again after a day."
