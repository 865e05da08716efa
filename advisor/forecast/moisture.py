"""Water in one egg box from laying to hatching: how long the mix lasts, what to add, what the scale reads."""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass

from advisor.eggs.medium import drained_capacity, free_water, water_potential
from advisor.eggs.water import (
    WaterBox,
    WaterState,
    box_mass,
    daily_vapour_loss,
    plan_top_ups,
    run,
    start_state,
    step,
    water_content,
)
from advisor.forecast.contents import BoxContents, contents_of
from advisor.forecast.load import BoxLoad
from advisor.forecast.ranges import Spread, Uncertainty, figure, propagate
from advisor.forecast.vents_of import DRAUGHT_NAME, BoxVents, vents_of
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import TopUpForecast
from advisor.model.plan import Plan, Range
from advisor.physics.moist_air import (
    saturation_pressure,
    saturation_vapour_density,
    vapour_density,
    vapour_diffusivity,
    virtual_temperature,
)
from advisor.physics.vents import (
    air_share_exchanged,
    opening_exchange_flow,
    reduced_gravity,
    vents_conductance,
    water_lost_at_opening,
)

BOX_AIR_HUMIDITY = (
    0.60  # [-], of the outer box's air at its own temperature when the egg boxes moisten it; judgement
)
COARSE_STEP = 3.0  # days, in runs that only serve the range
WEIGHING_DAYS = 7  # days between weighings when the plan has no checks; common practice, no source
TOP_UP_BAND = 0.15  # share of the first water content that top-ups keep; common practice, no source


@dataclass(frozen=True, slots=True)
class MoistureResults:
    """The water forecast of one egg box."""

    water_per_dry_mass: Result
    water_potential: Result
    free_water: Result
    water_loss: Result
    lasts_until_day: Result
    water_at_hatching: Result
    opening_loss: Result
    top_ups: tuple[TopUpForecast, ...] = ()
    mass_by_day: tuple[tuple[int, Figure], ...] = ()
    water_by_day: tuple[tuple[int, Figure], ...] = ()


def forecast_moisture(
    plan: Plan, index: int, load: BoxLoad | Unknown, check_days: tuple[int, ...], laid: datetime.date | None
) -> MoistureResults:
    """The water forecast for the egg box at a place in the plan; `laid` is the laying day when it is known."""
    box, path = plan.egg_boxes[index], f"egg_boxes[{index}]"
    contents = contents_of(box, path)
    if isinstance(contents, Unknown):
        return MoistureResults(*(contents,) * 7)
    content, potential, free = _at_the_start(contents)
    setting = _setting(plan, index, load)
    if isinstance(setting, Unknown) or isinstance(load, Unknown):
        why = setting if isinstance(setting, Unknown) else load
        assert isinstance(why, Unknown)
        return MoistureResults(content, potential, free, why, why, why, why)
    vents, room = setting
    model = _Model(contents, load, vents, room)
    days = round(load.days.typical)
    weighings = tuple(day for day in check_days if 0 < day < days) or tuple(
        range(WEIGHING_DAYS, days, WEIGHING_DAYS)
    )
    try:
        spreads = propagate(lambda values: model.results(values, weighings), model.inputs)
        typical = model.water_box(model.typical)
        top_ups = _top_ups(plan, index, typical, spreads, load, days, weighings)
        states = run(typical, days, {day: water for day, water in top_ups})
        opening = _opening_loss(plan, index, load, room)
    except ValueError as error:
        why = Unknown(str(error))
        return MoistureResults(content, potential, free, why, why, why, why)
    return MoistureResults(
        water_per_dry_mass=content,
        water_potential=potential,
        free_water=free,
        water_loss=figure(
            spreads["loss"], "mass per day", "diffusion through holes, rim and walls", least=0.0
        ),
        lasts_until_day=_lasts(spreads, load),
        water_at_hatching=figure(spreads["end"], "water content", "water budget without top-ups", least=0.0),
        opening_loss=opening,
        top_ups=tuple(
            TopUpForecast(day, laid + datetime.timedelta(days=day) if laid else None, water)
            for day, water in top_ups
        ),
        mass_by_day=_by_day(typical, states, spreads, (0, *weighings, days), "mass"),
        water_by_day=_by_day(typical, states, spreads, (0, *weighings, days), "water content"),
    )


def _at_the_start(contents: BoxContents) -> tuple[Figure, Result, Result]:
    known = contents.water_content
    content = Figure(
        known.typical,
        known.low,
        known.high,
        "water content",
        "the mix and the density of the medium",
        "the density of your medium: weigh one litre of it, dry" if known.low < known.high else "",
    )
    middle = water_potential(contents.medium, known.typical)
    if middle.typical is None:
        potential: Result = Unknown(middle.reason or "no water-holding curve is known for this medium")
    else:
        ends = [water_potential(contents.medium, end) for end in (known.low, known.high)]
        low = min(end.low for end in ends if end.low is not None)
        high = max(end.high for end in ends if end.high is not None)
        potential = Figure(
            middle.typical, low, high, "water potential", "curve for vermiculite; laboratories differ"
        )
    mass, capacity = contents.dry_mass, drained_capacity(contents.medium)
    least = free_water(known.low * mass.typical, mass.typical, capacity.high)
    usual = free_water(known.typical * mass.typical, mass.typical, capacity.typical)
    most = free_water(known.high * mass.typical, mass.typical, capacity.low)
    return (
        content,
        potential,
        Figure(usual, least, most, "mass", "water beyond what the drained medium holds"),
    )


def _setting(plan: Plan, index: int, load: BoxLoad | Unknown) -> tuple[BoxVents, "_Air"] | Unknown:
    vents = vents_of(plan.egg_boxes[index], f"egg_boxes[{index}]")
    room, humidity = plan.room.temperature, plan.room.humidity
    missing = [
        entry for entry, value in (("room.temperature", room), ("room.humidity", humidity)) if value is None
    ]
    for part in (vents, load):
        if isinstance(part, Unknown):
            missing = [*part.needs, *missing]
    unknown = next((part for part in (vents, load) if isinstance(part, Unknown)), None)
    if missing or unknown is not None:
        reason = unknown.reason if unknown is not None else "the room is not told"
        return Unknown(reason, tuple(dict.fromkeys(missing)))
    assert isinstance(vents, BoxVents) and room is not None and humidity is not None
    return vents, _Air(room, humidity)


@dataclass(frozen=True, slots=True)
class _Air:
    """The room's temperature [°C] and humidity [-] ranges."""

    temperature: Range
    humidity: Range


@dataclass(frozen=True, slots=True)
class _Model:
    """The water budget of one box as a function of its uncertain inputs."""

    contents: BoxContents
    load: BoxLoad
    vents: BoxVents
    room: _Air

    @property
    def inputs(self) -> tuple[Uncertainty, ...]:
        """Everything that is not known exactly about the box's water."""
        density, gain, days = self.contents.medium.bulk_density, self.load.gain, self.load.days
        weigh = "the density of your medium: weigh one litre of it, dry"
        return (
            *self.vents.inputs,
            Uncertainty("density", density.typical, density.low, density.high, weigh),
            Uncertainty(
                "gain",
                gain.typical,
                gain.low,
                gain.high,
                "what the eggs drink: weigh two or three marked eggs",
            ),
            Uncertainty(
                "days", days.typical, days.low, days.high, "the day of hatching: nobody knows it before"
            ),
            Uncertainty(
                "dryness", 1.0, 0.0, 1.5, "the air round the egg boxes: put a hygrometer into the outer box"
            ),
        )

    @property
    def typical(self) -> dict[str, float]:
        """The typical value of every input."""
        return {entry.name: entry.typical for entry in self.inputs}

    def water_box(self, values: Mapping[str, float]) -> WaterBox:
        """The box at given values. "dryness" runs from the moist air of a full box (0) over the room's usual air (1)."""
        contents, load = self.contents, self.load
        share = values["density"] / contents.medium.bulk_density.typical
        dry = contents.dry_mass.typical * share
        fixed = contents.water_content.low == contents.water_content.high  # by mass, or a weighed litre
        content = contents.water_content.typical if fixed else contents.water_content.typical / share
        temperature = load.temperature
        room = self.room.temperature.middle
        usual = self.room.humidity.middle * saturation_pressure(room)
        moist = BOX_AIR_HUMIDITY * saturation_pressure(temperature)
        driest = self.room.humidity.low * saturation_pressure(self.room.temperature.low)
        if values["dryness"] <= 1.0:
            pressure = moist + (usual - moist) * values["dryness"]
        else:
            pressure = usual + (driest - usual) * (values["dryness"] - 1.0) / 0.5
        conductance = vents_conductance(
            self.vents.at(values), vapour_diffusivity(temperature), max(values[DRAUGHT_NAME], 1.0)
        )
        return WaterBox(
            medium=contents.medium,
            dry_medium=dry,
            start_water=dry * content,
            egg_count=load.eggs,
            egg_mass=load.egg_mass,
            gain_at_hatching=values["gain"],
            incubation_days=values["days"],
            temperature=temperature,
            outside_temperature=temperature,
            outside_relative_humidity=min(pressure / saturation_pressure(temperature), 1.0),
            vapour_conductance=conductance,
            wall_permeance=self.vents.wall_permeance,
        )

    def results(self, values: Mapping[str, float], weighings: tuple[int, ...]) -> dict[str, float]:
        """Water content at hatching, its first day out of the band, loss a day, masses and contents at the weighings."""
        box = self.water_box(values)
        state = start_state(box)
        limit = self.load.water_band.low if self.load.water_band is not None else None
        last_day, end = values["days"], None
        results = {"loss": daily_vapour_loss(box, water_content(box, state)) / 86400.0}
        limit_day = None
        shown = sorted({*weighings, round(self.load.days.typical)})
        results |= _shown(box, state, 0)
        while state.day < last_day - 1e-9 or shown:
            target = min(
                [state.day + COARSE_STEP, last_day if state.day < last_day - 1e-9 else 1e9, *shown[:1]]
            )
            before = water_content(box, state)
            after = step(box, state, target - state.day)
            now = water_content(box, after)
            if limit is not None and limit_day is None and now < limit:
                crossed = (before - limit) / (before - now) if before > now else 0.0
                limit_day = state.day + max(crossed, 0.0) * (after.day - state.day)
            state = after
            if abs(state.day - last_day) < 1e-9:
                end = now
            if shown and abs(state.day - shown[0]) < 1e-9:
                results |= _shown(box, state, shown.pop(0))
        results["end"] = end if end is not None else water_content(box, state)
        if limit is not None:
            results["lasts"] = min(limit_day, last_day) if limit_day is not None else last_day
        return results


def _shown(box: WaterBox, state: WaterState, day: int) -> dict[str, float]:
    return {f"mass {day}": box_mass(box, state, 0.0), f"water content {day}": water_content(box, state)}


def _lasts(spreads: Mapping[str, Spread], load: BoxLoad) -> Result:
    if "lasts" not in spreads:
        return Unknown("the species' profile gives no water band")
    return figure(spreads["lasts"], "days", "first day below the species' water band, or hatching", least=0.0)


def _top_ups(
    plan: Plan,
    index: int,
    box: WaterBox,
    spreads: Mapping[str, Spread],
    load: BoxLoad,
    days: int,
    weighings: tuple[int, ...],
) -> tuple[tuple[int, float], ...]:
    """Top-ups that keep the water within 15 % of its start: as planned, or when the mix may not last without."""
    planned = plan.egg_boxes[index].top_up
    band = load.water_band
    lasts = band is not None and spreads["end"].low >= band.low
    if (planned is None or planned.way == "none") and lasts:
        return ()
    if planned is not None and planned.way == "every" and planned.every is not None:
        every = planned.every / 86400.0
        weighings = tuple(round(every * number) for number in range(1, int(days / every) + 1))
    return tuple((top_up.day, top_up.water) for top_up in plan_top_ups(box, days, weighings, TOP_UP_BAND))


def _by_day(
    box: WaterBox,
    states: tuple[WaterState, ...],
    spreads: Mapping[str, Spread],
    days: tuple[int, ...],
    what: str,
) -> tuple[tuple[int, Figure], ...]:
    """Figures at the days, with top-ups; the range is that of the same day without them."""
    found = []
    for day in days:
        spread = spreads[f"{what} {day}"]
        value = box_mass(box, states[day], 0.0) if what == "mass" else water_content(box, states[day])
        low, high = value - (spread.value - spread.low), value + (spread.high - spread.value)
        found.append((day, Figure(value, max(low, 0.0), high, "mass" if what == "mass" else "water content")))
    return tuple(found)


def _opening_loss(plan: Plan, index: int, load: BoxLoad, room: _Air) -> Result:
    """Water that one opening of the egg box costs [kg]; nothing when checks leave it shut."""
    if plan.checks.opens is None or plan.checks.lasting is None:
        missing = [
            entry
            for entry, value in (("checks.opens", plan.checks.opens), ("checks.lasting", plan.checks.lasting))
            if value is None
        ]
        return Unknown("the checks are not told", tuple(missing))
    size = plan.egg_boxes[index].inside
    depth = plan.egg_boxes[index].medium.depth or 0.0
    assert size is not None
    if plan.checks.opens == "outer lid":
        return Figure(0.0, 0.0, 0.0, "mass", "the egg boxes stay shut")
    temperature, outside = load.temperature, room.temperature.middle
    pressure = room.humidity.middle * saturation_pressure(outside)
    buoyancy = reduced_gravity(
        virtual_temperature(temperature, saturation_pressure(temperature)),
        virtual_temperature(outside, pressure),
    )
    volume = max(size.length * size.width * (size.height - depth), 1e-5)
    share = air_share_exchanged(
        opening_exchange_flow(size.length, size.width, buoyancy), volume, plan.checks.lasting
    )
    lost = water_lost_at_opening(
        volume, share, saturation_vapour_density(temperature), vapour_density(pressure, outside)
    )
    # The exchange is known to a factor of 2 and cannot pass a full change of air.
    full = lost / share if share > 0 else 0.0
    return Figure(
        lost, lost / 2, min(lost * 2, full), "mass", "exchange of warm and cool air over the open box"
    )
