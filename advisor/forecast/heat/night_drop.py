"""How far a box follows cooler nights: the medium at the end of the night and of the day, and hour by hour between."""

from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from advisor.forecast.edge import in_range, together, untold
from advisor.forecast.heat.power_cut import SLOWER, SWITCH_OFF
from advisor.forecast.heat.times import BATH, Capacity, heat_capacity, lump_inputs, untold_bath
from advisor.forecast.ranges import Spread, Uncertainty, asking, figure, propagate
from advisor.formulas.heat.night_drop import HOURS, HeldBox, day_course
from advisor.formulas.heat.warming_and_cooling import medium_course, stuck_on_temperature
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import HeatForecast
from advisor.model.plan import Plan, SetPointStep

ROOM = "how warm the room is by night: log it in the trial run"


class NightDrop(Struct, frozen=True):
    """The medium at the end of the night and of the day [°C], and its likely, lowest and highest course by hours from morning."""

    night: Figure
    day: Figure
    hours: tuple[tuple[float, float, float], ...]


def with_night_drop(plan: Plan, heat: HeatForecast) -> HeatForecast:
    """The heat forecast with how far the box follows the cooler nights of a programme; as it was without one."""
    step = cooler_nights(plan)
    if step is None:
        return heat
    found = night_drop(plan, step, heat.conductance)
    night, day = (found, found) if isinstance(found, Unknown) else (found.night, found.day)
    return replace(heat, night_reached=night, day_reached=day)


def cooler_nights(plan: Plan) -> SetPointStep | None:
    """The step of the programme that has cooler nights."""
    return next((step for step in plan.control.programme if step.night is not None), None)


def night_drop(plan: Plan, step: SetPointStep, conductance: Result) -> NightDrop | Unknown:
    """What the medium goes through in a day with a cooler night, or what is missing to tell."""
    if untold_bath(plan):
        return BATH
    capacity, room, power = heat_capacity(plan), plan.room.temperature, plan.heat.power
    wanted = {"room.temperature": room, "heat.power": power}
    reason = "the room or the heater's power is not told"
    lacking = together(untold(reason, wanted), capacity, conductance)
    if lacking is not None:
        return lacking
    assert isinstance(capacity, Capacity) and isinstance(conductance, Figure)
    assert room is not None and power is not None and step.night is not None
    day, night, lasts = step.set_to, step.night, step.night_lasts / 3600
    lag = capacity.medium / capacity.link / 3600 if plan.control.probe.sits_in == "air" else 0.0
    watts = power

    def model(values: Mapping[str, float]) -> dict[str, float]:
        slower = values["slower"]
        course = medium_course(capacity.lumps({"bottle": 0.0, **values}))
        box = HeldBox(
            tuple((hours * slower, share) for hours, share in course),
            values["room"],
            stuck_on_temperature(values["room"], watts, values["conductance"]),
            lag * values["capacity"],
        )
        found = day_course(box, day, night, lasts)
        return {"night": found.morning, "day": found.evening} | {
            str(hour): temperature for hour, temperature in enumerate(found.hours)
        }

    inputs = (
        *(entry for entry in lump_inputs(conductance) if entry.name != "bottle" or capacity.bottles),
        Uncertainty("slower", SLOWER[1], SLOWER[0], SLOWER[2], "how the box cools"),
        Uncertainty("room", room.middle, room.low, room.high, ROOM),
    )
    spreads = in_range(lambda: propagate(model, inputs))
    if isinstance(spreads, Unknown):
        return spreads

    def told_as(spread: Spread, basis: str) -> Figure:
        asked = asking(spread, SWITCH_OFF)
        return figure(asked, "temperature", basis, day_course, least=night, most=day)

    hours = (spreads[str(hour)] for hour in range(HOURS))
    return NightDrop(
        told_as(spreads["night"], "the box cooling from the day's set point until the night ends"),
        told_as(spreads["day"], "the box warming at full power from there until the day ends"),
        tuple((one.value, max(one.low, night), min(one.high, day)) for one in hours),
    )
