"""What one planned set-up will do: each module turns a plan and its species into frozen figures."""

from collections.abc import Mapping
from functools import lru_cache, partial

from msgspec.structs import replace

from advisor.forecast.clutch.days_and_sexes import clutch_forecast, steady_forecast, thermostat_error
from advisor.forecast.edge import in_range, whole
from advisor.forecast.egg_box.air import forecast_air
from advisor.forecast.egg_box.eggs import BoxLoad, load_of
from advisor.forecast.egg_box.room_for_eggs import forecast_places, forecast_shopping
from advisor.forecast.egg_box.use import box_use
from advisor.forecast.egg_box.water import forecast_water
from advisor.forecast.egg_box.water_inputs import water_model, weighed_vents
from advisor.forecast.heat.egg_heat import with_late_heat
from advisor.forecast.heat.egg_warmth import egg_warmth, medium_temperature
from advisor.forecast.heat.night_drop import cooler_nights, with_night_drop
from advisor.forecast.heat.steady import HeatResults, forecast_heat, tier_of
from advisor.forecast.heat.tiers import TierOffsets
from advisor.model.care import Checks, People, TrialRun, Watching
from advisor.model.figures import Figure, Unknown
from advisor.model.forecast import (
    AirForecast,
    ClutchForecast,
    EggBoxForecast,
    EggBoxHeat,
    EggWarmth,
    Forecast,
    HeatForecast,
    Shopping,
    WaterForecast,
    nothing_known,
)
from advisor.model.plan import Clutch, EggBox, Plan
from advisor.model.species import Species
from advisor.show import Show

KEPT = 128  # forecasts of the heat that are kept, for plans that differ in other entries


def forecast_plan(plan: Plan, species: Mapping[str, Species]) -> Forecast:
    """The whole forecast for a plan; what cannot be computed is an `Unknown` with its reason."""
    heat = _heat(without_care(plan), tuple(species.values()))
    clutches = tuple(_clutch(plan, index, species, heat) for index in range(len(plan.clutches)))
    return forecast_with(plan, species, clutches)


def forecast_with(
    plan: Plan, species: Mapping[str, Species], clutches: tuple[ClutchForecast, ...]
) -> Forecast:
    """The forecast for a plan whose clutches take the days that are given."""
    heat = _heat(without_care(plan), tuple(species.values()))
    uses = tuple(
        in_range(partial(box_use, plan, index, species, clutches)) for index in range(len(plan.egg_boxes))
    )
    loads = tuple(
        in_range(partial(load_of, plan, index, species, clutches)) for index in range(len(plan.egg_boxes))
    )
    return Forecast(
        heat=heat.heat,
        egg_boxes=tuple(_egg_box(plan, index, species, loads, heat) for index in range(len(plan.egg_boxes))),
        clutches=clutches,
        shopping=whole(Shopping, lambda: forecast_shopping(plan, uses)),
        box_use=uses,
    )


def without_care(plan: Plan) -> Plan:
    """The plan without what people do and when: the heat of the box does not depend on it."""
    clutches = tuple(
        Clutch(clutch.species, clutch.eggs, clutch.egg_mass, clutch.box, nth=clutch.nth)
        for clutch in plan.clutches
    )
    return replace(
        plan,
        clutches=clutches,
        title="",
        watching=Watching(),
        checks=Checks(),
        trial_run=TrialRun(),
        people=People(),
        accept=(),
    )


@lru_cache(maxsize=KEPT)
def _heat(plan: Plan, species: tuple[Species, ...]) -> HeatResults:
    found = in_range(lambda: forecast_heat(plan, {entry.id: entry for entry in species}))
    if isinstance(found, Unknown):
        heat, tier = nothing_known(HeatForecast, found), nothing_known(EggBoxHeat, found)
        if cooler_nights(plan) is not None:
            heat = replace(heat, night_reached=found, day_reached=found)
        return HeatResults(heat, tier, None, TierOffsets((found,), ()))
    return replace(found, heat=with_night_drop(plan, found.heat))


def _clutch(plan: Plan, index: int, species: Mapping[str, Species], heat: HeatResults) -> ClutchForecast:
    clutch = plan.clutches[index]
    box = next((box for box in plan.egg_boxes if box.name == clutch.box), None)
    warmth = _warmth(plan, box, heat)
    if plan.control.programme:
        # Opened here alone: it brings all that follows a log, and most plans have no programme.
        from advisor.forecast.programme import programme_forecast

        eggs = programme_forecast(plan, index, species, warmth, heat.heat.conductance)
    else:
        eggs = steady_forecast(plan.control, species[clutch.species], warmth, Show(plan.units))
    found = clutch_forecast(plan, clutch, species[clutch.species], eggs.days, eggs.males, warmth)
    return replace(found, programme=eggs.programme)


def _egg_box(
    plan: Plan,
    index: int,
    species: Mapping[str, Species],
    loads: tuple[BoxLoad | Unknown, ...],
    heat: HeatResults,
) -> EggBoxForecast:
    box, humidity = plan.egg_boxes[index], heat.heat.outer_humidity
    load = loads[index]
    weighed = weighed_vents(water_model(plan, index, load, humidity)) if plan.measured.lids else None
    return EggBoxForecast(
        name=box.name,
        heat=_box_heat(plan, box, load, heat),
        water=whole(WaterForecast, lambda: forecast_water(plan, index, load, humidity)),
        air=whole(AirForecast, lambda: forecast_air(plan, index, loads, weighed)),
        places_for_eggs=in_range(lambda: forecast_places(plan, index, species)),
    )


def _warmth(plan: Plan, box: EggBox | None, heat: HeatResults) -> EggWarmth:
    return egg_warmth(plan, box, heat, thermostat_error(plan.control))


def _box_heat(plan: Plan, box: EggBox, load: BoxLoad | Unknown, heat: HeatResults) -> EggBoxHeat:
    """The tier of the egg box, its medium as warm as probe, thermostat and late eggs make it."""
    tier, warmth, show = tier_of(box, heat), _warmth(plan, box, heat), Show(plan.units)
    medium = tier.medium_temperature
    if isinstance(medium, Figure) and warmth.ways and plan.control.set_to is not None:
        medium = medium_temperature(plan.control.set_to, thermostat_error(plan.control), warmth, show)
    return replace(tier, medium_temperature=with_late_heat(medium, plan, box, load, show))
