"""The watts the box needs in the coldest room against the watts of the heater."""

from collections.abc import Iterator

from advisor.forecast.heat.egg_limits import cold_limit
from advisor.forecast.heat.egg_warmth import eggs_held_at
from advisor.model.figures import Figure
from advisor.model.findings import FIX, NOTE, STOP, WATCH, Finding
from advisor.rules.engine import PLAN, Case, Rule
from advisor.rules.shared import BOX, STRETCHED

# share of its power in the coldest room below which a heater works in rare hard bursts; judgement
IDLE = 0.15
FEW_WATTS = 5.0  # W, the weakest heaters that are sold; from memory

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
    levers=(
        "heat.power",
        "outer_box.lid_fits",
        "outer_box.stands_on",
        "outer_box.wall.thickness",
        "outer_box.wall.material",
        "heat",
        "room.temperature",
    ),
    good=BOX + "heat: {source: mat, place: lid, power: 20 W, size: 40 x 30 cm}",
    bad=BOX + "heat: {source: mat, place: lid, power: 8 W, size: 40 x 30 cm}",
)


def check(case: Case) -> Iterator[Finding]:
    """Grades the share of the heater's power that the coldest room takes."""
    share, need = case.forecast.heat.power_share, case.forecast.heat.watts_needed
    remedy = ""
    power, set_to, room, show = (
        case.plan.heat.power,
        case.plan.control.set_to,
        case.plan.room.temperature,
        case.show,
    )
    assert isinstance(share, Figure) and isinstance(need, Figure)
    assert power is not None and set_to is not None and room is not None
    watts = show.figure(need)
    needs = f"In a room of {show.temperature(room.low)} the box needs {watts}, and the heater has {show.power(power)}"
    if share.value > 1:
        held = [eggs_held_at(case.plan.control, clutch.warmth) for clutch in case.forecast.clutches]
        eggs = min((at for at in held if at is not None), default=set_to)
        reached = room.low + (eggs - room.low) / share.value
        limit = cold_limit(case.situation.species.values())
        certain = share.low > 1
        killing = certain and limit is not None and limit.harm and reached <= limit.temperature
        what = "it gets" if eggs == set_to else "the eggs get"
        message = f"{needs}: {what} no warmer than about {show.temperature(round(reached))}"
        message += "." if certain else ", if the forecast is right."
        if killing and limit is not None:
            harm = show.temperature(limit.temperature)
            message += f" Eggs of {limit.species.name} come to harm at {harm} and below."
        severity = STOP if killing else FIX
    elif share.high >= 1 or share.value > STRETCHED:
        percent = show.figure(share)
        severity, message = (
            WATCH,
            f"{needs}: {percent} of it, so little or nothing is left on the coldest nights.",
        )
    elif share.value < IDLE:
        percent = show.figure(share)
        severity, message = NOTE, f"{needs}: {percent} of it, far more than it can use."
        remedy = _weaker(case, need)
    else:
        return
    yield Finding(
        severity, message, "heat.power", remedy, figures=(("watts_needed", need), ("power_share", share))
    )


def _weaker(case: Case, need: Figure) -> str:
    """What to do about a heater that is far too strong; a warmer room would leave it still less to do."""
    if case.plan.outer_box.ready_built:
        return "Nothing in a ready-built box has to be changed for that: see in the trial run how far the medium swings."
    if need.high < FEW_WATTS:
        return f"A heater of a few watts is enough: {case.show.power(FEW_WATTS)} or less."
    return "Use a heater of one and a half to two times the watts that the box needs."
