"""Forecasts without what was kept of the ones before, so that a benchmark measures the work and not the memory."""

from advisor import forecast
from advisor.forecast.egg_box import water
from advisor.forecast.heat import steady
from advisor.formulas.heat.warming_and_cooling import medium_course
from advisor.model.forecast import Forecast
from advisor.rules.engine import Situation


def forget() -> None:
    """Drops all forecasts that were kept."""
    forecast._heat.cache_clear()
    water._results.cache_clear()
    medium_course.cache_clear()
    steady._solved.cache_clear()


def fresh_forecast(situation: Situation) -> Forecast:
    """A forecast that nothing was kept for."""
    forget()
    return forecast.forecast_plan(situation.plan, situation.species)
