"""Incubation length and dates of one clutch at the planned set point."""

import datetime

from advisor.forecast.schedule import check_days, hatch_window, laying_window
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import ClutchForecast
from advisor.model.plan import Clutch, Plan
from advisor.model.species import Species

REACH = 1.5  # K; how far from the set point a point of the profile still tells; judgement


def clutch_forecast(plan: Plan, clutch: Clutch, species: Species) -> ClutchForecast:
    """The forecast for one clutch."""
    days = incubation_days(plan.control.set_to, species)
    laying = laying_window(clutch.laying, species)
    return ClutchForecast(
        species=species.id,
        incubation_days=days,
        male_share=Unknown("this version does not compute it"),
        laying_window=laying,
        hatch_window=hatch_window(laying, days),
        ready_by=laying[0] - datetime.timedelta(days=1) if laying else None,
        check_days=check_days(plan.checks, days),
    )


def incubation_days(set_to: float | None, species: Species) -> Result:
    """Days from laying to hatching at a set point [°C], from the profile's points near it."""
    if set_to is None:
        return Unknown("the plan has no set point", ("control.set_to",))
    near = [point for point in species.duration if abs(point.at.middle - set_to) <= REACH and not point.swing]
    if not near:
        return Unknown(
            f"no data at this temperature for {species.name}", (f"species/{species.id}.yaml: duration",)
        )
    low, high = min(point.value.low for point in near), max(point.value.high for point in near)
    return Figure(
        (low + high) / 2, low, high, "days", f"points within {REACH} °C in the profile of {species.name}"
    )
