"""A heater that nothing controls."""

from collections.abc import Iterator

from advisor.model.findings import FIX, STOP, Finding
from advisor.rules.engine import PLAN, Case, Rule

PROBE = "Put its probe into a probe box."

RULE = Rule(
    id="control-no-thermostat",
    title="No thermostat controls the heater",
    explanation=(
        "A heater without a thermostat keeps the box a fixed step above the room. When the room warms up or cools "
        "down, the eggs do the same. One hot afternoon can push them past what they survive within hours. "
        "Cold nights slow them down and can kill them over days."
    ),
    remedy="Add a thermostat with a pulse or dimming output, and put its probe in a probe box.",
    sources=("practice",),
    about=PLAN,
    needs=("control.thermostat",),
    levers=("control.thermostat",),
    good="control: {thermostat: pulse}",
    bad="control: {thermostat: none}",
)


def check(case: Case) -> Iterator[Finding]:
    """Without control the box swings as far as the room does (derived: steady heat balance)."""
    if case.plan.control.thermostat != "none":
        return
    show, room = case.show, case.plan.room.temperature
    bands = [
        (species.tolerated.high - species.tolerated.low, species)
        for species in case.situation.species.values()
        if species.tolerated
    ]
    if room is None or not bands:
        yield Finding(
            STOP,
            "The heater has no thermostat: the eggs get warmer and cooler with the room.",
            "control.thermostat",
            PROBE,
        )
        return
    width, species = min(bands, key=lambda pair: pair[0])
    assert species.tolerated is not None
    swing, fits = room.high - room.low, room.high - room.low < width
    yield Finding(
        FIX if fits else STOP,
        f"The heater has no thermostat, so the eggs move with the room by {show.step(swing)}. "
        f"The band that {species.name} tolerates is {show.step(width)} wide"
        + (", and only chance would keep the eggs in it." if fits else "."),
        "control.thermostat",
        PROBE,
        sources=("practice", *species.tolerated.support.sources),
    )
