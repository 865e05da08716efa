"""A heater that never switches off: how the eggs warm, who notices when, what a cut-out may be set to."""

import math
from collections.abc import Iterable

from advisor.forecast.clutch.dates import THIRDS
from advisor.forecast.heat.egg_limits import bearing_of
from advisor.forecast.heat.times import TO_BOTTLE, TO_EGG_BOX, heat_capacity, untold_bath
from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.heat.short_exposures import allowed_heat, dose, hours_to_dose
from advisor.formulas.heat.warming_and_cooling import Course, medium_course
from advisor.model.figures import Figure, Unknown
from advisor.model.forecast import Forecast
from advisor.model.plan import Plan
from advisor.model.species import Species

ALARM_ABOVE = 1.0  # K above the set point at which an alarm sounds; judgement
ALARM_HEARD = 1.0  # h from the alarm until somebody has pulled the plug; judgement
NIGHT = 12.0  # h that nobody may come, alarm or not, over which a cut-out has to keep the eggs; judgement
STAGE = 1  # halvings: a fault may come in the weeks in which eggs bear half as long
LOW_OXYGEN = 0.17  # share of the air under which heat kills sooner (Smith et al. 2015, Biol Lett 11:20150113; the limit is judgement)
AT_ONCE: Course = ((0.0, 0.0),)  # where the plan does not tell what stores heat: no time is counted on

Warming = tuple[tuple[float, float], ...]


def warming(plan: Plan, conductance: Figure, settled: float, cut: float = math.inf) -> Warming:
    """Hours and temperatures [°C] of the eggs once the heater is stuck on, up to what a cut-out cuts at.

    conductance [W/K]; settled [°C], where the box would end; cut [°C], infinite without a cut-out. From the set point of the
    plan; where that is not told, no time is counted on.
    """
    start = plan.control.set_to
    if start is None:
        return ((0.0, min(settled, cut)),)
    return tuple(
        (hours, min(settled + (start - settled) * share, cut)) for hours, share in _course(plan, conductance)
    )


def _course(plan: Plan, conductance: Figure) -> Course:
    capacity = heat_capacity(plan)
    if isinstance(capacity, Unknown) or untold_bath(plan):
        return AT_ONCE
    values = {
        "conductance": conductance.value,
        "capacity": 1.0,
        "egg_box": TO_EGG_BOX[1],
        "bottle": TO_BOTTLE[1],
    }
    try:
        return medium_course(capacity.lumps(values))
    except NoSolution:
        return AT_ONCE


def check_interval(plan: Plan) -> float | None:
    """The longest time [h] between two checks of the plan; None where its rhythm is not told."""
    rhythm = plan.checks.rhythm
    if rhythm is None:
        return None
    return max((step.every / 3600 for step in rhythm), default=24.0 * max(THIRDS))


def stage_of(forecast: Forecast) -> int:
    """How often the hours of heat are halved that eggs bear at worst: once more where they get short of oxygen at the end."""
    lowest = (box.air.oxygen_lowest for box in forecast.egg_boxes)
    return STAGE + any(isinstance(oxygen, Figure) and oxygen.value < LOW_OXYGEN for oxygen in lowest)


def heat_dose(trace: Warming, profiles: Iterable[Species], until: float, stage: int = STAGE) -> float:
    """The largest dose of heat that eggs of any of the species get in some hours [h]: harm is possible from 1 on."""
    return max(dose(trace, allowed_heat(bearing_of(one), halvings=stage), until) for one in profiles)


def hours_to_heat_harm(
    trace: Warming, profiles: Iterable[Species], likely: bool = False, stage: int = STAGE
) -> tuple[float, Species]:
    """Hours until harm is possible, or likely, infinite where it never is, and the species that comes to it first."""
    return min(
        ((hours_to_dose(trace, allowed_heat(bearing_of(one), likely, stage)), one) for one in profiles),
        key=lambda found: found[0],
    )


def unattended(plan: Plan) -> float:
    """Hours that a cut-out has to keep the eggs: a night, or without an alarm until the next check."""
    if plan.watching.alarm:
        return NIGHT
    interval = check_interval(plan)
    return math.inf if interval is None else max(interval, NIGHT)


def hours_to_alarm(trace: Warming, set_to: float) -> float:
    """Hours until an alarm has been heard and the plug pulled; infinite where the eggs do not get that warm."""
    passed = next((hours for hours, temperature in trace if temperature >= set_to + ALARM_ABOVE), math.inf)
    return passed + ALARM_HEARD
