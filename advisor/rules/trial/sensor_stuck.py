"""A sensor that tells one and the same value while another moves."""

from collections.abc import Iterator

from advisor.model.findings import FIX, Finding
from advisor.model.logs import clock_time
from advisor.model.trial import Stuck
from advisor.rules.engine import PLAN, Case, Rule

RULE = Rule(
    id="trial-sensor-stuck",
    title="A sensor is stuck",
    explanation=(
        "A flat line looks like a perfect box. But when another sensor in the same box moves by more than a degree and this "
        "one not by a single step, it measures nothing: its cable, its plug or the logger has failed. What it says of the "
        "eggs is worth nothing."
    ),
    remedy="Pull the sensor out and hold it in your hand: its reading has to climb within minutes. If not, replace it.",
    sources=("judgement",),
    about=PLAN,
    needs=("trial.stuck",),
    good="log: {stuck: []}",
    bad="log: {stuck: [{name: T1, value: 28.0, since: 0, hours: 30, other: T2, moved: 4.0}]}",
)


def check(case: Case) -> Iterator[Finding]:
    """Each stuck sensor."""
    stuck, show = case.trial.stuck, case.show
    assert isinstance(stuck, Stuck)
    for one in stuck.sensors:
        yield Finding(
            FIX,
            f"{one.name} tells {show.temperature(one.value)} for {show.hours(one.hours * 3600)} from {clock_time(one.since)} on, "
            f"while {one.other} moves by {show.step(one.moved)}.",
            "watching.sensors",
            RULE.remedy,
        )
