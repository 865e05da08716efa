"""A sensor that was moved while the eggs lay in the box."""

from collections.abc import Iterator

from advisor.model.findings import WATCH, Finding, NotJudged
from advisor.model.follow import MOVED
from advisor.model.logs import clock_time
from advisor.rules.engine import PLAN, Case, Rule

RULE = Rule(
    id="follow-sensor-moved",
    title="A sensor was moved",
    explanation=(
        "One sensor stepped to another level and stayed there, while another in the box was quiet. So not the box changed, but "
        "the place of the sensor. From then on it no longer tells what it told before, and all that is summed from it is off "
        "by the step."
    ),
    remedy="Put the sensor back into the medium beside the eggs, and fix its cable. If you moved it on purpose, note the day.",
    sources=("judgement",),
    about=PLAN,
    good="log: {events: []}",
    bad="log: {events: [{kind: sensor moved, moved: 2.0 K}]}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Each step of a sensor."""
    followed = case.situation.followed
    assert followed is not None
    if MOVED in followed.not_seen:
        yield NotJudged(("watching.sensors",))
    for event in followed.events:
        if event.kind == MOVED:
            way = "higher" if event.moved > 0 else "lower"
            yield Finding(
                WATCH,
                f"{event.sensor} stepped {case.show.step(abs(event.moved))} {way} on {clock_time(event.begin)} and stayed there, while another sensor was quiet.",
                "watching.sensors",
                RULE.remedy,
            )
