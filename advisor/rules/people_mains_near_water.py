"""Mains leads and water that can meet."""

from collections.abc import Iterator

from advisor.model.findings import FIX, STOP, WATCH, Finding, NotJudged
from advisor.rules.engine import PLAN, Case, Rule

RULE = Rule(
    id="people-mains-near-water",
    title="Mains power and water can meet",
    explanation=(
        "Water runs along a lead and down into the socket, unless the lead hangs in a loop below it. A heater in water can "
        "crack or run dry, and then the water itself is live or the heater starts a fire. A person who reaches in gets "
        "the shock. It takes one moment."
    ),
    remedy="Hang every lead in a loop below its socket, and keep sockets and plugs above and away from the water.",
    sources=("practice",),
    about=PLAN,
    good="people: {residual_current_device: yes, drip_loop: yes}\nheat: {source: mat, place: lid}",
    bad="people: {drip_loop: no}\nheat: {source: mat, place: lid}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Leads without a drip loop; a heater in water, worst without a residual-current device."""
    people, heat = case.plan.people, case.plan.heat
    if people.drip_loop is None:
        yield NotJudged(("people.drip_loop",))
    elif not people.drip_loop:
        yield Finding(
            FIX,
            "The leads have no drip loop.",
            "people.drip_loop",
            subject="leads",
            levers=("people.drip_loop",),
        )
    if case.plan.outer_box.water_dish is not None:
        yield Finding(
            WATCH,
            "An open dish of water stands in the box with the heater: one knock, and the water runs under it.",
            "outer_box.water_dish",
            "Stand the dish where it cannot tip, lower than heater, leads and plugs.",
            subject="water dish",
        )
    in_water = heat.source == "water bath" or heat.place == "in water"
    path = "heat.source" if heat.source == "water bath" else "heat.place"
    if not in_water:
        lacking = tuple(entry for entry in ("source", "place") if getattr(heat, entry) is None)
        if lacking:
            yield NotJudged(tuple(f"heat.{entry}" for entry in lacking))
    elif people.residual_current_device is None:
        yield NotJudged(("people.residual_current_device",))
    elif people.residual_current_device:
        yield Finding(
            WATCH,
            "The heater works in water: it must stay covered, and water is lost from day to day.",
            path,
            "Look at the water level at every check. Use a heater that switches itself off when the water is low.",
            subject="water level",
        )
    else:
        yield Finding(
            STOP,
            "The heater works in water, and there is no residual-current device in the supply.",
            path,
            "Do not plug the heater in before.",
            subject="supply",
            levers=("people.residual_current_device",),
        )
