"""How cold the eggs were, and for how long."""

from collections.abc import Iterator

from advisor.model.findings import Finding, NotJudged
from advisor.rules.engine import CLUTCH, Case, Rule
from advisor.rules.follow.shared import judged_side

NOW = "Let the thermostat bring the box back, no faster, and find the cause: plug, power, a cold room, a weak heater."

RULE = Rule(
    id="follow-too-cold",
    title="The eggs were too cold",
    explanation=(
        "A day of cold mostly costs a day. Eggs of temperate places bear days at 15 °C, those of tropical places a day. Long "
        "cold kills, ice within hours. Too cool for weeks gives late and weak young."
    ),
    remedy=NOW,
    sources=("judgement",),
    about=CLUTCH,
    needs=("clutch_followed.spells",),
    good="log: {cold: {hours: 10, extreme: 20 °C, harm: none}}",
    bad="log: {cold: {hours: 100, extreme: 8 °C, harm: possible}}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """The gravest on the cold side."""
    yield from judged_side(case, "cold", NOW, "Keep every egg: cold eggs often only wait.")
