"""How far the sensors in the egg boxes lie apart."""

from collections.abc import Iterator

from advisor.model.figures import Figure
from advisor.model.findings import FIX, WATCH, Finding
from advisor.rules.engine import PLAN, Case, Rule

APART = 1.0  # K between egg boxes that days and sexes bear; judgement

RULE = Rule(
    id="trial-sensors-differ",
    title="The egg boxes are not equally warm",
    explanation=(
        "Two sensors in egg boxes tell different means. Either the boxes lie in warm and cool corners, and their eggs hatch "
        "on different days and with other sexes, or the sensors themselves differ: cheap ones do, by a degree. A few "
        "sensors see less than the whole spread."
    ),
    remedy="Put all sensors into one glass of water for half an hour. Take off what they differ by, and then move the boxes.",
    sources=("judgement",),
    about=PLAN,
    needs=("trial.spread",),
    good="log: {spread: 0.3 K}",
    bad="log: {spread: 2.5 K}",
)


def check(case: Case) -> Iterator[Finding]:
    """The largest difference of two means in egg boxes."""
    spread = case.trial.spread
    assert isinstance(spread, Figure)
    if spread.value > APART:
        yield Finding(
            FIX if spread.low > APART else WATCH,
            f"The means of the sensors in egg boxes differ by {case.show.step(spread.value)}; up to {case.show.step(APART)} is fine.",
            "egg_boxes",
            RULE.remedy,
            figures=(("spread", spread),),
        )
