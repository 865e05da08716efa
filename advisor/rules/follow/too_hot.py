"""How hot the eggs were, and for how long."""

from collections.abc import Iterator

from advisor.model.findings import Finding, NotJudged
from advisor.rules.engine import CLUTCH, Case, Rule
from advisor.rules.follow.shared import judged_side

NOW = "Bring the box down to the set point, and find the cause: thermostat, probe out of place, sun, a hot room."

RULE = Rule(
    id="follow-too-hot",
    title="The eggs were too hot",
    explanation=(
        "Heat is urgent. The hours that eggs bear fall about tenfold for each 4 °C above what harms them over weeks, and they "
        "are known to a factor of two at best. Early eggs, whose organs form, and late ones, which need most oxygen, bear half "
        "as long. A minute of hot air says nothing: the medium counts."
    ),
    remedy=NOW,
    sources=("judgement",),
    about=CLUTCH,
    needs=("clutch_followed.spells",),
    good="log: {hot: {hours: 3, extreme: 34 °C, harm: none}}",
    bad="log: {hot: {hours: 24, extreme: 38 °C, harm: likely}}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """The gravest on the hot side."""
    yield from judged_side(case, "hot", NOW, "Keep every egg: for one or two weeks nothing shows.")
