"""How cold the medium got once it had settled."""

from collections.abc import Iterator

from advisor.model.figures import Figure
from advisor.model.findings import Finding, NotJudged
from advisor.model.trial import Extreme
from advisor.rules.engine import PLAN, Case, Rule
from advisor.rules.trial.shared import beyond_the_bands

DIPS = 1.0  # K below the mean: then it is hours that are cold, not the set point; judgement

RULE = Rule(
    id="trial-too-cold",
    title="In the trial run the medium was too cold",
    explanation=(
        "What counts is the medium at the eggs, not the air and not the thermostat's display. Eggs that lie too cold grow "
        "slowly, and below their band some die or hatch weak. A cold spell that comes every night in the trial comes "
        "every night of the season."
    ),
    remedy="Raise the set point, or keep the box warmer on cold nights: thicker walls, a warmer room, a stronger heater.",
    sources=("judgement",),
    about=PLAN,
    needs=("trial.coldest",),
    good="log: {coldest: 27.8 °C}",
    bad="log: {coldest: 22.0 °C}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """The coldest 3-h mean of the settled medium against the bands of every species in the plan."""
    coldest = case.trial.coldest
    assert isinstance(coldest, Extreme)
    yield from beyond_the_bands(case, coldest, "below", ("down", "coldest"), _remedy)


def _remedy(case: Case, coldest: Extreme, limit: float) -> str:
    medium = case.trial.medium
    if isinstance(medium, Figure) and medium.value - coldest.figure.value > DIPS:
        return "It was cold for some hours only: keep the room warmer then, make the walls thicker, or take a stronger heater."
    more, set_to = max(limit - coldest.figure.value, 0.1), case.plan.control.set_to
    higher = f"Set the thermostat {case.show.step(more)} higher or more, and look again after a day."
    if not isinstance(medium, Figure) or set_to is None or medium.high >= set_to:
        return higher
    return (
        f"{higher} If nothing moves, hear whether the cut-out breaks the heat before the thermostat does: set it just over "
        "the warmest air, no further. A heater that is on all the time is too weak."
    )
