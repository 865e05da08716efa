"""The watts the box needs in the coldest room against the watts of the heater."""

from collections.abc import Iterator

from advisor.forecast.egg_limits import cold_limit
from advisor.model.figures import Figure
from advisor.model.findings import FIX, NOTE, STOP, WATCH, Finding
from advisor.rules.engine import PLAN, Case, Rule

# Share of its power that the heater gives in the coldest room. Above 0.85 nothing is left to warm the box up, below
# 0.15 it heats in rare hard bursts; 1.5 to 2 times the need suits best. Judgement.
STRETCHED, IDLE = 0.85, 0.15
BEST = (1.5, 2.0)

# The smallest plan whose heat forecast is whole; rules that rest on it lay their own heater beside it.
BOX = """\
room: {temperature: 16 to 22 °C}
outer_box: {inside: 60 x 40 x 25 cm, wall: {material: expanded polystyrene, thickness: 30 mm}, lid_fits: well, stands_on: shelf}
control: {thermostat: pulse, set_to: 28 °C, probe: {sits_in: air}}
egg_boxes:
- {name: eggs, count: 2, holds: eggs, inside: 20 x 15 x 9 cm, stands: on a rack, tier: one,
   medium: {material: vermiculite, grade: medium, depth: 4 cm, mix: {medium: 4, water: 1, by: volume}}}
"""

RULE = Rule(
    id="heat-too-weak-for-room",
    title="The heater does not suit the coldest room",
    explanation=(
        "The colder the room, the more heat a box loses. When the loss passes what the heater gives, the box cools "
        "below the set point, though the heater never stops. Eggs in the cold slow down, and further down the embryos "
        "die within days. A heater far too strong is no better: it works in short hard bursts, and it does more harm if "
        "it ever sticks."
    ),
    remedy="Move the box to a warmer room, or use a heater of one and a half to two times the watts that it needs.",
    sources=("judgement",),
    about=PLAN,
    needs=("forecast.heat.power_share", "forecast.heat.watts_needed"),
    good=BOX + "heat: {source: mat, place: lid, power: 20 W, size: 40 x 30 cm}",
    bad=BOX + "heat: {source: mat, place: lid, power: 8 W, size: 40 x 30 cm}",
)


def check(case: Case) -> Iterator[Finding]:
    """Grades the share of the heater's power that the coldest room takes."""
    share, need = case.forecast.heat.power_share, case.forecast.heat.watts_needed
    power, set_to, room, show = (
        case.plan.heat.power,
        case.plan.control.set_to,
        case.plan.room.temperature,
        case.show,
    )
    assert isinstance(share, Figure) and isinstance(need, Figure)
    assert power is not None and set_to is not None and room is not None
    watts = show.about_power(need.value, need.low, need.high)
    needs = f"In a room of {show.temperature(room.low)} the box needs {watts}, and the heater has {show.power(power)}"
    sized = f"Use a heater of {show.power_range(BEST[0] * need.value, BEST[1] * need.value)}"
    if share.value > 1:
        reached = room.low + (set_to - room.low) / share.value
        limit = cold_limit(case.situation.species.values())
        certain = share.low > 1
        killing = certain and limit is not None and limit.harm and reached <= limit.temperature
        message = f"{needs}: it gets no warmer than about {show.temperature(round(reached))}"
        message += "." if certain else ", if the forecast is right."
        if killing and limit is not None:
            harm = show.temperature(limit.temperature)
            message += f" Eggs of {limit.species.name} come to harm at {harm} and below."
        severity = STOP if killing else FIX
        remedy = f"{sized}, thicker foam, or a warmer room."
    elif share.high >= 1 or share.value > STRETCHED:
        percent = show.about_percent(share.value, share.low, share.high)
        severity, message = (
            WATCH,
            f"{needs}: {percent} of it, so little or nothing is left on the coldest nights.",
        )
        remedy = f"{sized}, or watch the thermometer through the coldest night of the trial run."
    elif share.value < IDLE:
        percent = show.about_percent(share.value, share.low, share.high)
        severity, message = NOTE, f"{needs}: {percent} of it, far more than it can use."
        remedy = f"{sized}: the box then stays steadier."
    else:
        return
    yield Finding(
        severity, message, "heat.power", remedy, figures=(("watts_needed", need), ("power_share", share))
    )
