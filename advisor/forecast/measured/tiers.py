"""Layers of egg boxes as thermometers in their medium and under their lids found them."""

import math
from collections.abc import Mapping

from advisor.forecast.measured.joining import CHECKED_SENSOR, SENSOR, Estimate, Narrowed, by_step
from advisor.forecast.ranges import Spread
from advisor.model.figures import Figure, Result
from advisor.model.forecast import MeasuredAgainst
from advisor.model.measured import MeasuredMedium
from advisor.model.plan import Plan

PLACES = 0.2  # K, of a spread, for what lies where no thermometer was; judgement
PATH = "measured.boxes"
Against = tuple[MeasuredAgainst, ...]


def corrected(plan: Plan, one: MeasuredMedium) -> Estimate:
    """The medium of one egg box [°C], with what its thermometer showed in ice taken off."""
    shown = plan.measured.at_ice_point(one.thermometer)
    return Estimate(one.medium, SENSOR) if shown is None else Estimate(one.medium - shown, CHECKED_SENSOR)


def layer_of(plan: Plan, one: MeasuredMedium) -> str:
    """The layer of the measured box: "lower" or "upper"."""
    above = any(box.name == one.box and box.tier == "upper" for box in plan.egg_boxes)
    return one.tier or ("upper" if above else "lower")


def measured_spreads(
    plan: Plan, spreads: Mapping[str, Spread], scale: float
) -> tuple[dict[str, Spread], Against]:
    """Upper minus lower layer and lid minus medium, joined with what was measured.

    scale: differences in the coldest room over those in the room in which they were measured [-].
    """
    found, told = dict(spreads), []
    steps = {"spread": _upper_over_lower(plan)}
    steps |= {f"{layer} lid": _lid_over_medium(plan, layer) for layer in ("lower", "upper")}
    for name, step in steps.items():
        if step is None or name not in spreads:
            continue
        there = Estimate(scale * step.value, scale * step.error)
        narrowed = by_step(_figure(spreads[name]), there, PATH, name)
        found[name] = Spread(narrowed.figure.value, narrowed.figure.low, narrowed.figure.high, "")
        told.append(narrowed.against)
    return found, tuple(told)


def side_to_side(plan: Plan, forecast: Result) -> Narrowed | None:
    """Warmest minus coolest box of one layer; None where fewer than two were measured."""
    found = [corrected(plan, one) for one in plan.measured.boxes]
    if len(found) < 2 or not isinstance(forecast, Figure):
        return None
    apart = max(one.value for one in found) - min(one.value for one in found)
    error = math.hypot(max(one.error for one in found) * math.sqrt(2.0), PLACES)
    return by_step(forecast, Estimate(apart, error), PATH, "spread")


def _figure(spread: Spread) -> Figure:
    return Figure(spread.value, spread.low, spread.high, "step")


def _upper_over_lower(plan: Plan) -> Estimate | None:
    lower, upper = (_mean(plan, layer) for layer in ("lower", "upper"))
    if lower is None or upper is None:
        return None
    return Estimate(upper.value - lower.value, math.hypot(lower.error, upper.error, PLACES))


def _mean(plan: Plan, layer: str) -> Estimate | None:
    found = [corrected(plan, one) for one in plan.measured.boxes if layer_of(plan, one) == layer]
    if not found:
        return None
    mean = sum(one.value for one in found) / len(found)
    return Estimate(mean, math.sqrt(sum(one.error**2 for one in found)) / len(found))


def _lid_over_medium(plan: Plan, layer: str) -> Estimate | None:
    steps = [
        one.lid - one.medium
        for one in plan.measured.boxes
        if one.lid is not None and layer_of(plan, one) == layer
    ]
    return Estimate(sum(steps) / len(steps), math.hypot(SENSOR, SENSOR)) if steps else None
