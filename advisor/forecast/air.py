"""Air in one egg box: oxygen and carbon dioxide at the end, when the eggs breathe most, and holes that are enough."""

from collections.abc import Mapping

from advisor.eggs.oxygen import (
    air_by_day,
    box_air,
    clutch_oxygen_use,
    holes_enough,
    oxygen_limits,
    peak_factors,
)
from advisor.forecast.load import BoxLoad
from advisor.forecast.ranges import Uncertainty, figure, propagate
from advisor.forecast.vents_of import DRAUGHT_NAME, GAP_NAME, BoxVents, vents_of
from advisor.frozen import dataclass
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.plan import Plan
from advisor.physics.vents import Vents as RimOnly
from advisor.physics.vents import carbon_dioxide_diffusivity, oxygen_diffusivity, vents_conductance

LATEST = 1.0  # stage at which the eggs breathe most: hatching


@dataclass(frozen=True, slots=True)
class AirResults:
    """The air forecast of one egg box."""

    oxygen_lowest: Result
    oxygen_lowest_day: Result
    carbon_dioxide_highest: Result
    holes_enough: Result
    oxygen_by_day: tuple[tuple[int, float], ...] = ()


def forecast_air(plan: Plan, index: int, load: BoxLoad | Unknown) -> AirResults:
    """The air forecast for the egg box at a place in the plan."""
    vents = vents_of(plan.egg_boxes[index], f"egg_boxes[{index}]")
    unknown = [part for part in (load, vents) if isinstance(part, Unknown)]
    dead_end = next((part for part in unknown if not part.needs), None)
    if dead_end is not None:
        return AirResults(*(dead_end,) * 4)
    if unknown:
        needs = tuple(dict.fromkeys(need for part in unknown for need in part.needs))
        return AirResults(*(Unknown(unknown[0].reason, needs),) * 4)
    assert isinstance(load, BoxLoad) and isinstance(vents, BoxVents)
    try:
        return _results(load, vents)
    except ValueError as error:
        return AirResults(*(Unknown(str(error)),) * 4)


def _results(load: BoxLoad, vents: BoxVents) -> AirResults:
    factors = peak_factors(load.egg_mass)
    inputs = (
        *vents.inputs,
        Uncertainty(
            "demand",
            factors.typical,
            factors.low,
            factors.high,
            "how much the eggs breathe: nobody can tell before",
        ),
    )
    oxygen, carbon = oxygen_diffusivity(load.temperature), carbon_dioxide_diffusivity(load.temperature)
    least = oxygen_limits(load.temperature, LATEST).warn

    def model(values: Mapping[str, float]) -> dict[str, float]:
        draught = max(values[DRAUGHT_NAME], 1.0)
        gap = vents.at(values)
        use = clutch_oxygen_use(
            load.eggs, load.egg_mass, load.temperature, LATEST, load.shape, values["demand"]
        )
        air = box_air(
            use,
            load.temperature,
            vents_conductance(gap, oxygen, draught),
            vents_conductance(gap, carbon, draught),
        )
        return {"oxygen": air.oxygen, "carbon dioxide": air.carbon_dioxide}

    spreads = propagate(model, inputs)
    typical = {entry.name: entry.typical for entry in inputs}
    gap = vents.at(typical)
    course = air_by_day(
        load.eggs,
        load.egg_mass,
        load.temperature,
        load.days.typical,
        load.shape,
        vents_conductance(gap, oxygen),
        vents_conductance(gap, carbon),
    )
    basis = "the air that comes in through lid and holes against what the eggs breathe at hatching"
    return AirResults(
        oxygen_lowest=figure(spreads["oxygen"], "gas share", basis, least=0.0),
        oxygen_lowest_day=Figure(
            load.days.typical, load.days.low, load.days.high, "days", "demand is highest at hatching"
        ),
        carbon_dioxide_highest=figure(spreads["carbon dioxide"], "gas share", basis, least=0.0),
        holes_enough=_holes(load, vents, oxygen, least),
        oxygen_by_day=tuple((day.day, day.air.oxygen) for day in course),
    )


def _holes(load: BoxLoad, vents: BoxVents, diffusivity: float, least: float) -> Figure:
    """Holes of the planned size that keep oxygen at the late limit; the range is that of the eggs' demand."""
    factors = peak_factors(load.egg_mass)
    gap = next(entry for entry in vents.inputs if entry.name == GAP_NAME)
    typical = {entry.name: entry.typical for entry in vents.inputs}

    def enough(factor: float, rim_gap: float) -> int:
        use = clutch_oxygen_use(load.eggs, load.egg_mass, load.temperature, LATEST, load.shape, factor)
        rim = vents.at({**typical, GAP_NAME: rim_gap})
        alone = RimOnly(
            0, rim.hole_diameter, rim.lid_thickness, rim.rim_gap, rim.rim_perimeter, rim.rim_depth
        )
        return holes_enough(
            use,
            load.temperature,
            least,
            vents.hole_diameter,
            vents.lid_thickness,
            diffusivity,
            vents_conductance(alone, diffusivity),
        )

    return Figure(
        enough(factors.typical, gap.typical),
        enough(factors.low, gap.high),
        enough(factors.high, gap.low),
        "count",
        f"the air that comes in through lid and holes, oxygen at {least * 100:g} % or more at hatching",
        "how much the eggs breathe: nobody can tell before",
    )
