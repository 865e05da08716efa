"""The water budget of one egg box as a function of what is not known exactly about it."""

import datetime
import math
from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from advisor.constants import DAY
from advisor.forecast.edge import dead_end_or_together, untold
from advisor.forecast.egg_box.eggs import BoxLoad
from advisor.forecast.egg_box.medium import WEIGH_A_LITRE, BoxContents, content_at, contents_of
from advisor.forecast.egg_box.opened_lid import opening_loss
from advisor.forecast.egg_box.vents import LEAK_NAME, BoxVents, vents_of
from advisor.forecast.heat.outer_air import HYGROMETER
from advisor.forecast.measured.water import OTHER_GAS, weighed_lids
from advisor.forecast.ranges import Spread, Uncertainty, figure, propagate
from advisor.formulas.air.moist_air import saturation_pressure, vapour_diffusivity
from advisor.formulas.air.vents import LikelyRange
from advisor.formulas.measured.joining import NORMAL
from advisor.formulas.water.egg_box_water import (
    WaterBox,
    WaterDose,
    WaterState,
    box_mass,
    daily_vapour_loss,
    start_state,
    steps_of,
    water_content,
)
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import MeasuredAgainst, TopUpForecast
from advisor.model.plan import Plan, Range

# [-], of the outer box's air at its own temperature when the egg boxes moisten it; judgement
BOX_AIR_HUMIDITY = 0.60
COARSE_STEP = 3.0  # days, in runs that only serve the range
TOP_UP_BAND = 0.15  # share of the first water content that top-ups keep; common practice, no source
WEIGHING_DAYS = 7  # days between weighings when the plan has no checks; common practice, no source
WEIGH_EGGS = (
    "how much water the eggs take or give: nobody can tell before, weigh two or three marked ones later"
)


class WaterModel(Struct, frozen=True):
    """One egg box: contents, eggs, vents, and the water that openings cost, averaged over the days [kg/day].

    outside [-]: relative humidity of the air round the egg box, at its own temperature.
    """

    contents: BoxContents
    load: BoxLoad
    vents: BoxVents
    outside: LikelyRange
    opening_loss: float
    against: tuple[MeasuredAgainst, ...] = ()


def water_model(
    plan: Plan, index: int, load: BoxLoad | Unknown, outer_humidity: Result
) -> WaterModel | Unknown:
    """The water budget of the egg box at a place in the plan, or what is missing to set it up.

    outer_humidity [-]: of the outer box's air by its own balance; where that is unknown, between the room's air and that
    of a box moistened by its egg boxes.
    What openings cost is so little that it is left out when the plan does not tell how the checks go.
    """
    box, path = plan.egg_boxes[index], f"egg_boxes[{index}]"
    contents, vents = contents_of(box, path), vents_of(plan, index)
    room, humidity = plan.room.temperature, plan.room.humidity
    wanted = {"room.temperature": room, "room.humidity": humidity}
    lacking = dead_end_or_together(contents, vents, load, untold("the room is not told", wanted))
    if lacking is not None:
        return lacking
    assert isinstance(contents, BoxContents) and isinstance(vents, BoxVents) and isinstance(load, BoxLoad)
    assert room is not None and humidity is not None
    opening = opening_loss(plan, index)
    daily = opening.value * len(load.check_days) / load.days.typical if isinstance(opening, Figure) else 0.0
    outside = (
        _room_or_moist(room, humidity, load.temperature)
        if isinstance(outer_humidity, Unknown)
        else LikelyRange(outer_humidity.low, outer_humidity.value, outer_humidity.high)
    )
    return _as_weighed(plan, box.name, WaterModel(contents, load, vents, outside, daily))


def _as_weighed(plan: Plan, name: str, model: WaterModel) -> WaterModel:
    """The model with the lid as a weighing in the trial run found it, the air round the box in that time included."""
    lids = [lid for lid in plan.measured.lids if lid.box == name]
    if not lids:
        return model

    def loss(values: Mapping[str, float]) -> dict[str, float]:
        box = water_box(model, values)
        return {"loss": daily_vapour_loss(box, water_content(box, start_state(box))) / DAY}

    inputs = uncertain_inputs(model)
    spread = propagate(loss, [one for one in inputs if one.name not in ("density", "gain", "days")]
                       + [replace(one, low=one.typical, high=one.typical) for one in contents_inputs(model)])["loss"]  # fmt: skip
    if spread.value <= 0.0:
        return model
    found = weighed_lids(
        lids, figure(spread, "mass per day", "vapour that passes holes, rim and walls", least=0.0)
    )
    low, typical, high = (
        end / spread.value for end in (found.figure.low, found.figure.value, found.figure.high)
    )
    usual = model.outside.typical
    return replace(
        model,
        vents=model.vents.as_weighed(LikelyRange(low, typical, high)),
        outside=LikelyRange(usual, usual, usual),
        against=(found.against,),
    )


def weighed_vents(model: WaterModel | Unknown) -> BoxVents | None:
    """The vents of a box whose lid was weighed, for other gases; None where it was not."""
    if isinstance(model, Unknown) or not model.against:
        return None
    leak = next(one for one in model.vents.inputs if one.name == LEAK_NAME)
    known = tuple(one for one in model.vents.inputs if one.name != LEAK_NAME)
    wide = math.hypot(math.log(leak.high / leak.typical), NORMAL * OTHER_GAS)
    usual = LikelyRange(leak.typical * math.exp(-wide), leak.typical, leak.typical * math.exp(wide))
    return replace(model.vents, inputs=known).as_weighed(usual)


def lower_limit(model: WaterModel) -> float | Unknown:
    """The driest water content [kg/kg] that every species in the box bears; known for vermiculite alone."""
    if not model.contents.medium.has_retention_curve:
        return Unknown(
            f"no measured curve for {model.contents.medium.material} was found, so that nobody knows how dry is too dry: weigh the box, and put back what it loses"
        )
    band = model.load.water_band
    return band if isinstance(band, Unknown) else band.low


def lasts_figure(model: WaterModel, spreads: Mapping[str, Spread]) -> Result:
    """The day on which the water falls below that limit, from the spread "lasts" that `course` gave for it."""
    limit = lower_limit(model)
    if isinstance(limit, Unknown):
        return limit
    basis = "first day below the species' water band, or hatching"
    return figure(spreads["lasts"], "days", basis, steps_of, least=0.0)


def dated(top_ups: Iterable[WaterDose], laid: datetime.date | None) -> tuple[TopUpForecast, ...]:
    """The top-ups with their dates, where the laying day is known."""
    return tuple(
        TopUpForecast(one.day, laid + datetime.timedelta(days=one.day) if laid else None, one.water)
        for one in top_ups
    )


def uncertain_inputs(model: WaterModel) -> tuple[Uncertainty, ...]:
    """Everything that is not known exactly about the box's water."""
    return (
        *model.vents.inputs,
        *contents_inputs(model),
        Uncertainty("outside", model.outside.typical, model.outside.low, model.outside.high, HYGROMETER),
    )


def contents_inputs(model: WaterModel) -> tuple[Uncertainty, ...]:
    """What is not known exactly about medium and eggs; it stays so when the lid has been measured by weighing."""

    def uncertain(name: str, band: LikelyRange, find_out: str) -> Uncertainty:
        return Uncertainty(name, band.typical, band.low, band.high, find_out)

    return (
        uncertain("density", model.contents.medium.bulk_density, WEIGH_A_LITRE),
        uncertain("gain", model.load.gain, WEIGH_EGGS),
        uncertain("days", model.load.days, "the day of hatching: nobody knows it before"),
    )


def typical_values(inputs: Sequence[Uncertainty]) -> dict[str, float]:
    """The typical value of every input."""
    return {entry.name: entry.typical for entry in inputs}


def water_box(model: WaterModel, values: Mapping[str, float]) -> WaterBox:
    """The box with its uncertain inputs at given values."""
    contents, load = model.contents, model.load
    dry = contents.volume * values["density"]
    temperature = load.temperature
    conductance = model.vents.flow(values, vapour_diffusivity(temperature, model.vents.pressure))
    return WaterBox(
        medium=contents.medium,
        dry_medium=dry,
        start_water=dry * content_at(contents.mix, values["density"]),
        egg_count=load.eggs,
        egg_mass=load.egg_mass,
        gain_at_hatching=values["gain"],
        incubation_days=values["days"],
        temperature=temperature,
        outside_temperature=temperature,
        outside_relative_humidity=values["outside"],
        vapour_conductance=conductance,
        wall_permeance=model.vents.wall_permeance * values.get(LEAK_NAME, 1.0),
        opening_loss=model.opening_loss,
    )


def _room_or_moist(room: Range, humidity: Range, temperature: float) -> LikelyRange:
    """Relative humidity between the room's driest air and a moist box; a room in frost counts as 0 °C."""
    full = saturation_pressure(temperature)
    usual = humidity.middle * saturation_pressure(max(room.middle, 0.0)) / full
    driest = humidity.low * saturation_pressure(max(room.low, 0.0)) / full
    usual = min(usual, 1.0)
    return LikelyRange(min(driest, usual), usual, max(BOX_AIR_HUMIDITY, usual))


def leakier(box: WaterBox, factor: float) -> WaterBox:
    """The same box with all its vapour losses times a factor [-]; 0 shuts it."""
    return replace(
        box,
        vapour_conductance=box.vapour_conductance * factor,
        wall_permeance=box.wall_permeance * factor,
        opening_loss=box.opening_loss * factor,
    )


def course(
    box: WaterBox, start: WaterState, last_day: float, limits: Mapping[str, float], shown: Sequence[int] = ()
) -> dict[str, float]:
    """What becomes of the water from a state on, without top-ups.

    "end": water content on the last day [kg/kg]; under the name of each limit [kg/kg] the first day below it, or the
    last day; "mass 7" and "water content 7" on the shown days, here day 7.
    """
    state, found, later = start, {}, steps_of(box)
    crossed = {name: start.day for name, limit in limits.items() if water_content(box, start) < limit}
    for mark in sorted({last_day, *map(float, shown)}):
        while mark - state.day > 1e-6:
            before, day = water_content(box, state), state.day
            state = later(state, min(COARSE_STEP, mark - day))
            now = water_content(box, state)
            for name, limit in limits.items():
                if name not in crossed and now < limit:
                    crossed[name] = day + (before - limit) / (before - now) * (state.day - day)
        if mark == last_day:
            found["end"] = water_content(box, state)
        if mark in shown:
            found[f"mass {mark:.0f}"] = box_mass(box, state)
            found[f"water content {mark:.0f}"] = water_content(box, state)
    return found | {name: min(crossed.get(name, last_day), last_day) for name in limits}
