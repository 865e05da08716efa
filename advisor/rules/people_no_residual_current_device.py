"""A device that cuts the power when current leaks."""

from collections.abc import Iterator

from advisor.model.findings import STOP, Finding
from advisor.rules.engine import PLAN, Case, Rule

RULE = Rule(
    id="people-no-residual-current-device",
    title="No residual-current device protects people from a shock",
    explanation=(
        "Damp medium, drops of water and mains leads share one box here. When water bridges a live part, the current can "
        "pass through you as you lift the lid. A shock can kill at once. A residual-current device (RCD, GFCI or RCBO) "
        "senses the leak and cuts the power in a fraction of a second."
    ),
    remedy="Have an electrician fit a residual-current device (RCD, GFCI) of at most 30 mA, or plug in through a bought adapter that has one.",
    sources=("practice",),
    about=PLAN,
    needs=("people.residual_current_device",),
    implied_by=("people-mains-near-water",),
    levers=("people.residual_current_device",),
    good="people: {residual_current_device: yes}",
    bad="people: {residual_current_device: no}",
)


def check(case: Case) -> Iterator[Finding]:
    """None in the supply."""
    if case.plan.people.residual_current_device:
        return
    yield Finding(
        STOP,
        "There is no residual-current device in the supply of this box.",
        "people.residual_current_device",
    )
