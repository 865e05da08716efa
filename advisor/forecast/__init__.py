"""What one planned set-up will do: each module turns a plan and its species into frozen figures."""

from collections.abc import Mapping

from advisor.forecast.clutch.days_and_sexes import clutch_forecast, thermostat_error
from advisor.forecast.edge import in_range
from advisor.forecast.egg_box.air import AirResults, forecast_air
from advisor.forecast.egg_box.eggs import BoxLoad, load_of
from advisor.forecast.egg_box.room_for_eggs import forecast_places, forecast_shopping
from advisor.forecast.egg_box.water import MoistureResults, forecast_moisture
from advisor.forecast.heat.egg_heat import with_late_heat
from advisor.forecast.heat.egg_warmth import egg_warmth, medium_temperature
from advisor.forecast.heat.layers import TierOffsets
from advisor.forecast.heat.steady import HeatResults, TierForecast, forecast_heat, tier_of
from advisor.model.figures import Unknown
from advisor.model.forecast import (
    ClutchForecast,
    EggBoxForecast,
    Forecast,
    HeatForecast,
    Shopping,
    unknown_fields,
)
from advisor.model.plan import Plan
from advisor.model.species import Species
from advisor.show import Show


def forecast_plan(plan: Plan, species: Mapping[str, Species]) -> Forecast:
    """The whole forecast for a plan; what cannot be computed is an `Unknown` with its reason."""
    heat = _heat(plan, species)
    boxes = {box.name: box for box in plan.egg_boxes}
    clutches = tuple(
        clutch_forecast(
            plan, clutch, species[clutch.species], egg_warmth(plan, boxes.get(clutch.box or ""), heat)
        )
        for clutch in plan.clutches
    )
    shopping = in_range(lambda: forecast_shopping(plan))
    if isinstance(shopping, Unknown):
        shopping = Shopping(**unknown_fields(Shopping, shopping))
    return Forecast(
        heat=heat.heat,
        egg_boxes=tuple(
            _egg_box(plan, index, species, clutches, heat) for index in range(len(plan.egg_boxes))
        ),
        clutches=clutches,
        shopping=shopping,
    )


def _heat(plan: Plan, species: Mapping[str, Species]) -> HeatResults:
    found = in_range(lambda: forecast_heat(plan, species))
    if isinstance(found, Unknown):
        return HeatResults(
            HeatForecast(**unknown_fields(HeatForecast, found)),
            TierForecast(**unknown_fields(TierForecast, found)),
            None,
            TierOffsets((found,), ()),
        )
    return found


def _egg_box(
    plan: Plan,
    index: int,
    species: Mapping[str, Species],
    clutches: tuple[ClutchForecast, ...],
    heat: HeatResults,
) -> EggBoxForecast:
    box = plan.egg_boxes[index]
    tier, warmth = tier_of(box, heat), egg_warmth(plan, box, heat)
    medium = tier.medium_temperature
    if warmth.ways and plan.control.set_to is not None:
        medium = medium_temperature(
            plan.control.set_to, thermostat_error(plan.control), warmth, Show(plan.units)
        )
    load = in_range(lambda: load_of(plan, index, species, clutches))
    medium = with_late_heat(medium, plan, box, load, Show(plan.units))
    first = clutches[load.clutch_indexes[0]] if isinstance(load, BoxLoad) else None
    laid = (
        first.laying_window[0]
        if first and first.laying_window and len(set(first.laying_window)) == 1
        else None
    )
    check_days = first.check_days if first else ()
    moisture = in_range(
        lambda: forecast_moisture(plan, index, load, check_days, laid, heat.heat.outer_humidity)
    )
    if isinstance(moisture, Unknown):
        moisture = MoistureResults(**unknown_fields(MoistureResults, moisture))
    air = in_range(lambda: forecast_air(plan, index, load))
    if isinstance(air, Unknown):
        air = AirResults(**unknown_fields(AirResults, air))
    return EggBoxForecast(
        name=box.name,
        lid_minus_medium=tier.lid_minus_medium,
        condensation=tier.condensation,
        condensation_if_lid_heated=tier.condensation_if_lid_heated,
        medium_temperature=medium,
        water_per_dry_mass=moisture.water_per_dry_mass,
        water_potential=moisture.water_potential,
        free_water=moisture.free_water,
        water_loss=moisture.water_loss,
        lasts_until_day=moisture.lasts_until_day,
        water_at_hatching=moisture.water_at_hatching,
        water_if_kept_at_weight=moisture.water_if_kept_at_weight,
        first_top_up_day=moisture.first_top_up_day,
        opening_loss=moisture.opening_loss,
        oxygen_lowest=air.oxygen_lowest,
        oxygen_lowest_day=air.oxygen_lowest_day,
        carbon_dioxide_highest=air.carbon_dioxide_highest,
        holes_enough=air.holes_enough,
        holes_to_make=air.holes_to_make,
        places_for_eggs=in_range(lambda: forecast_places(plan, index, species)),
        top_ups=moisture.top_ups,
        mass_by_day=moisture.mass_by_day,
        water_by_day=moisture.water_by_day,
        oxygen_by_day=air.oxygen_by_day,
    )
