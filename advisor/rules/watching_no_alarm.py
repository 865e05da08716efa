"""Something that tells the keeper in time."""

from collections.abc import Iterator

from advisor.model.findings import NOTE, WATCH, Finding, NotJudged
from advisor.rules.engine import PLAN, Case, Rule

RULE = Rule(
    id="watching-no-alarm",
    title="Nothing calls you when the box gets too hot or too cold",
    explanation=(
        "A heater that sticks or a lead that slips out shows only on the thermometer. If you look once a day, the eggs can "
        "be too hot or too cold for most of a day before you know. Heat kills within hours. Cold mostly gives you longer."
    ),
    remedy="Add a thermometer with a high and a low alarm that you hear or that reaches your phone.",
    sources=("practice",),
    about=PLAN,
    needs=("watching.alarm",),
    levers=("watching.alarm",),
    good="watching: {alarm: yes}",
    bad="watching: {logger: no, alarm: no}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """No alarm: worse when no logger records what happened either."""
    watching = case.plan.watching
    if watching.alarm:
        return
    if watching.logger is None:
        yield NotJudged(("watching.logger",))
    elif watching.logger:
        yield Finding(
            NOTE,
            "There is a logger but no alarm: you see what happened, but not in time.",
            "watching.alarm",
            "Look at the logger morning and evening, or add an alarm.",
        )
    else:
        yield Finding(
            WATCH,
            "There is neither an alarm nor a logger: a fault shows only when you look.",
            "watching.alarm",
            "Until then look at the thermometer morning and evening.",
        )
