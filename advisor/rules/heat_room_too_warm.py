"""A room so warm that the thermostat has nothing to control."""

from collections.abc import Iterator

from advisor.forecast.heat.egg_limits import harmed_from, limit_support
from advisor.forecast.heat.parts import cooling_needed, fan_always, warmed_by_fan
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, STOP, WATCH, Finding, NotJudged
from advisor.rules.engine import PLAN, Case, Rule
from advisor.rules.shared import ROUNDING

# K that the warmest room has to stay below the set point. Derived: the box warms itself a little (lamps, eggs, the
# least pulse of the heater), so from 3 K down control gets worse. The limit is judgement.
GOOD_GAP = 3.0

MORE_COOLING = "Use a stronger cooling, or move the box to a cooler place."

RULE = Rule(
    id="heat-room-too-warm",
    title="The room gets too warm for the thermostat to hold the set point",
    explanation=(
        "Without cooling a thermostat can only add heat. In a room nearly as warm as the set point the box drifts with the "
        "room. In a warmer one it follows within hours, and nothing brings the eggs down."
    ),
    remedy="Move the box to a cooler place, such as a north room or a cellar, for the whole season.",
    sources=("practice", "judgement"),
    about=PLAN,
    needs=("room.temperature", "control.set_to"),
    levers=("cooling.power", "control.set_to", "room.temperature"),
    good="room: {temperature: 16 to 24 °C}\ncontrol: {set_to: 28 °C}",
    bad="room: {temperature: 18 to 30 °C}\ncontrol: {set_to: 28 °C}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Compares the warmest room with the set point, and with what harms the eggs; with cooling, its watts with the gain."""
    plan, loss = case.plan, case.forecast.heat.conductance
    room = plan.room.temperature
    assert room is not None
    if plan.cooling is None and not fan_always(plan):
        yield from _judged(case, room.high, "")
    elif isinstance(loss, Unknown):
        yield NotJudged(loss.needs or (loss.reason,))
    elif plan.cooling is None:
        lift = warmed_by_fan(plan, loss)
        said = f"and the fan warms the box by about {case.show.step(lift)}"
        yield from _judged(case, room.high + lift, said)
    else:
        yield from _cooled(case, loss, plan.cooling.power)


def _cooled(case: Case, loss: Figure, power: float) -> Iterator[Finding]:
    """What comes in on the warmest day against what the cooling takes out."""
    need, show, room = cooling_needed(case.plan, loss), case.show, case.plan.room.temperature
    assert need is not None and room is not None
    told = (
        f"and there {show.figure(need)} have to be taken out of the box to hold the set point: "
        f"the cooling takes out {show.power(power)}"
    )
    if power >= need.high:
        return
    if power >= need.value:
        yield Finding(
            WATCH, f"The warmest room is {show.temperature(room.high)}, {told}.", "cooling.power", MORE_COOLING,
            figures=(("conductance", loss),),
        )  # fmt: skip
        return
    yield from _judged(case, room.high + (fan_always(case.plan) - power) / loss.value, told)


def _judged(case: Case, at: float, said: str) -> Iterator[Finding]:
    """A box that ends at a temperature [°C] with its heater off; `said`: why that is not the room's."""
    room, set_to, show = case.plan.room.temperature, min(case.plan.control.held), case.show
    assert room is not None
    gap, cooled = round(set_to - at, 6), case.plan.cooling is not None
    path, remedy = ("cooling.power", MORE_COOLING) if cooled else ("room.temperature", "")
    warmest = f"The warmest room is {show.temperature(room.high)}"
    box = f"{warmest}, {said}. The box gets to about {show.temperature(round(at, 1))}" if said else warmest
    why = "" if cooled else ": the box has no cooling and follows the room"
    if gap >= GOOD_GAP:
        return
    if gap > 0:
        yield Finding(
            WATCH,
            f"{box}, only {show.step(gap)} below the set point of {show.temperature(set_to)}: "
            f"steady control needs {show.step(GOOD_GAP)} or more.",
            path,
            remedy,
        )
        return
    over = f"{show.step(-gap)} above" if gap < 0 else "as warm as"
    harmed = [
        (harmed_from(species), species)
        for species in case.situation.species.values()
        if at >= harmed_from(species) - ROUNDING
    ]
    if not harmed and (end := _borne(case)) is not None and at <= end + ROUNDING:
        yield Finding(
            WATCH,
            f"{box}, {over} the set point of {show.temperature(set_to)}{why}. "
            f"Up to {show.temperature(end)} it stays inside what these eggs bear for weeks.",
            path,
            "Read the thermometer in the medium on hot days.",
        )
        return
    if not harmed:
        yield Finding(FIX, f"{box}, {over} the set point of {show.temperature(set_to)}{why}.", path, remedy)
        return
    limit, species = min(harmed, key=lambda pair: pair[0])
    without = "" if cooled else ", and the box has no cooling"
    yield Finding(
        STOP,
        f"{box}, {over} the set point{without}: eggs of {species.name} come to harm from {show.temperature(limit)}.",
        path,
        remedy,
        support=limit_support(species, hot=True),
    )


def _borne(case: Case) -> float | None:
    """Up to where [°C] a warm day does no harm to any species: its usual band, or where no warmth sets the sexes the tolerated
    one. None when some profile tells none.
    """
    bands = [
        species.tolerated if species.sex.set_by == "chromosomes" and species.tolerated else species.aim
        for species in case.situation.species.values()
    ]
    return min((band.high for band in bands if band is not None), default=None) if None not in bands else None
