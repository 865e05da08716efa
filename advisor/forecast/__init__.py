"""What one planned set-up will do: each module turns a plan and its species into frozen figures."""

from collections.abc import Mapping

from advisor.forecast.hatching import clutch_forecast
from advisor.forecast.heat import HeatResults, forecast_heat
from advisor.model.figures import Unknown
from advisor.model.forecast import EggBoxForecast, Forecast, Shopping, unknown_fields
from advisor.model.plan import EggBox, Plan
from advisor.model.species import Species

LATER = Unknown("this version does not compute it")


def forecast_plan(plan: Plan, species: Mapping[str, Species]) -> Forecast:
    """The whole forecast for a plan; what cannot be computed is an `Unknown` with its reason."""
    heat = forecast_heat(plan, species)
    return Forecast(
        heat=heat.heat,
        egg_boxes=tuple(_egg_box(box, heat) for box in plan.egg_boxes),
        clutches=tuple(clutch_forecast(plan, clutch, species[clutch.species]) for clutch in plan.clutches),
        shopping=Shopping(**unknown_fields(Shopping, LATER)),
    )


def _egg_box(box: EggBox, heat: HeatResults) -> EggBoxForecast:
    tier = heat.upper if box.tier == "two" and heat.upper is not None else heat.lower
    fields = unknown_fields(EggBoxForecast, LATER)
    fields.update(
        lid_minus_medium=tier.lid_minus_medium,
        condensation=tier.condensation,
        condensation_if_lid_heated=tier.condensation_if_lid_heated,
        medium_temperature=tier.medium_temperature,
    )
    return EggBoxForecast(name=box.name, **fields)
