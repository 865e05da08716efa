"""What one planned set-up will do: each module turns a plan and its species into frozen figures."""

from collections.abc import Mapping

from advisor.forecast.hatching import clutch_forecast
from advisor.model.figures import Unknown
from advisor.model.forecast import EggBoxForecast, Forecast, HeatForecast, Shopping, unknown_fields
from advisor.model.plan import Plan
from advisor.model.species import Species

LATER = Unknown("this version does not compute it")


def forecast_plan(plan: Plan, species: Mapping[str, Species]) -> Forecast:
    """The whole forecast for a plan; what cannot be computed is an `Unknown` with its reason."""
    return Forecast(
        heat=HeatForecast(**unknown_fields(HeatForecast, LATER)),
        egg_boxes=tuple(
            EggBoxForecast(name=box.name, **unknown_fields(EggBoxForecast, LATER)) for box in plan.egg_boxes
        ),
        clutches=tuple(clutch_forecast(plan, clutch, species[clutch.species]) for clutch in plan.clutches),
        shopping=Shopping(**unknown_fields(Shopping, LATER)),
    )
