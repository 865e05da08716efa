"""A thermometer besides the thermostat's own probe."""

from collections.abc import Iterator

from advisor.model.findings import FIX, WATCH, Finding
from advisor.rules.engine import PLAN, Case, Rule

RULE = Rule(
    id="watching-no-second-thermometer",
    title="Nothing but the thermostat's probe measures the box",
    explanation=(
        "A thermostat holds what its own probe reads. If the probe reads wrong or has slipped, the box is wrong and the "
        "display still shows the set point. Eggs held a few degrees off are slowed or deformed within weeks. Only a second "
        "thermometer shows it."
    ),
    remedy="Put one more thermometer into the medium of an egg box, and compare it with the display every day.",
    sources=("practice",),
    about=PLAN,
    needs=("watching.thermometers",),
    levers=("watching.thermometers",),
    good="watching: {thermometers: 2}",
    bad="watching: {thermometers: 0}",
)


def check(case: Case) -> Iterator[Finding]:
    """No thermometer: a logger may stand in for it when it has a sensor of its own."""
    watching = case.plan.watching
    if watching.thermometers:
        return
    yield (
        Finding(
            WATCH,
            "There is no second thermometer, only a logger. It counts as one when it has a sensor of its own.",
            "watching.thermometers",
            "Or count the logger: put its own sensor into the medium, and compare it with the display every day.",
        )
        if watching.logger
        else Finding(
            FIX,
            "There is no thermometer besides the thermostat's probe: 1 is the least.",
            "watching.thermometers",
        )
    )
