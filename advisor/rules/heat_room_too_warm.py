"""A room so warm that the thermostat has nothing to control."""

from collections.abc import Iterator

from advisor.model.findings import FIX, STOP, WATCH, Finding
from advisor.rules.engine import PLAN, Case, Rule
from advisor.rules.shared import ROUNDING

# K that the warmest room has to stay below the set point. Derived: the box warms itself a little (lamps, eggs, the
# least pulse of the heater), so from 3 K down control gets worse. The limit is judgement.
GOOD_GAP = 3.0

RULE = Rule(
    id="heat-room-too-warm",
    title="The room gets too warm for the thermostat to hold the set point",
    explanation=(
        "A thermostat can only add heat. When the room is nearly as warm as the set point, the heater hardly runs and "
        "the box drifts with the room. When the room is warmer, the box follows it within hours. The eggs then get "
        "too warm on the hottest days, and nothing brings them down."
    ),
    remedy="Move the box to a cooler place, such as a north room or a cellar, for the whole season.",
    sources=("practice", "judgement"),
    about=PLAN,
    needs=("room.temperature", "control.set_to"),
    levers=("control.set_to", "room.temperature"),
    good="room: {temperature: 16 to 24 °C}\ncontrol: {set_to: 28 °C}",
    bad="room: {temperature: 18 to 30 °C}\ncontrol: {set_to: 28 °C}",
)


def check(case: Case) -> Iterator[Finding]:
    """Compares the warmest room with the set point, and with what harms the eggs."""
    room, set_to, show = case.plan.room.temperature, min(case.plan.control.held), case.show
    assert room is not None
    gap = round(set_to - room.high, 6)
    if gap >= GOOD_GAP:
        return
    warmest = f"The warmest room is {show.temperature(room.high)}"
    if gap > 0:
        yield Finding(
            WATCH,
            f"{warmest}, only {show.step(gap)} below the set point of {show.temperature(set_to)}: "
            f"steady control needs {show.step(GOOD_GAP)} or more.",
            "room.temperature",
        )
        return
    over = f"{show.step(-gap)} above" if gap < 0 else "as warm as"
    harmed = [
        (species.harmful.above, species)
        for species in case.situation.species.values()
        if species.harmful
        and species.harmful.above is not None
        and room.high >= species.harmful.above - ROUNDING
    ]
    if not harmed and (aim := _shared_aim(case)) is not None and room.high <= aim + ROUNDING:
        yield Finding(
            WATCH,
            f"{warmest}, {over} the set point of {show.temperature(set_to)}: the box has no cooling and follows the room. "
            f"Up to {show.temperature(aim)} it stays inside the usual band of these eggs.",
            "room.temperature",
            "Read the thermometer in the medium on hot days.",
        )
        return
    if not harmed:
        yield Finding(
            FIX,
            f"{warmest}, {over} the set point of {show.temperature(set_to)}: the box has no cooling and follows the room.",
            "room.temperature",
        )
        return
    limit, species = min(harmed, key=lambda pair: pair[0])
    assert species.harmful is not None
    yield Finding(
        STOP,
        f"{warmest}, {over} the set point, and the box has no cooling: eggs of {species.name} come to harm from "
        f"{show.temperature(limit)}.",
        "room.temperature",
        sources=species.harmful.support.sources,
        evidence=species.harmful.support.known,
    )


def _shared_aim(case: Case) -> float | None:
    """Where the usual band [°C] of the first species ends; None when some profile tells none."""
    bands = [species.aim for species in case.situation.species.values()]
    return min((band.high for band in bands if band is not None), default=None) if None not in bands else None
