"""Air in one egg box: oxygen and carbon dioxide at the end, when the eggs breathe most, and holes that are enough."""

import math
from bisect import bisect_left
from collections.abc import Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from advisor.forecast.edge import dead_end_or_together
from advisor.forecast.egg_box.eggs import BoxLoad
from advisor.forecast.egg_box.fresh_air import fresh_air_of
from advisor.forecast.egg_box.vents import BoxVents, vents_of
from advisor.forecast.ranges import Spread, Uncertainty, figure, propagate
from advisor.formulas.air.oxygen import (
    CARBON_DIOXIDE_IN_AIR,
    OXYGEN_IN_AIR,
    BoxAir,
    box_air,
    holes_enough,
    oxygen_limits,
    sea_level_share,
)
from advisor.formulas.air.vents import carbon_dioxide_diffusivity, oxygen_diffusivity, vents_conductance
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import AirForecast
from advisor.model.plan import Plan, Size

LATEST = 1.0  # stage at which the eggs breathe most: hatching
# Share of oxygen by which the air in the box may lie below fresh air where that is thin itself; judgement.
BELOW_FRESH = 0.01
MOST_HOLES = 1000  # that a plan can tell
MOST_DRILLED = 20  # holes that anyone drills into one box; judgement
APART = 10.0  # diameters from hole to hole, so that each lets in as much as if it were alone; common practice, no source
ROUNDING = 1e-9  # so that 18 % counts as 18 %


class _Breathing(Struct, frozen=True):
    """One egg box as its air sees it; `fresh`: flows of room air into the outer box, none where the plan does not
    tell; `together`: oxygen that the eggs of all boxes use, over that of this box [-].
    """

    load: BoxLoad
    vents: BoxVents
    fresh: tuple[Uncertainty, ...]
    together: float


def forecast_air(
    plan: Plan, index: int, loads: Sequence[BoxLoad | Unknown], weighed: BoxVents | None = None
) -> AirForecast | Unknown:
    """The air forecast for the egg box at a place in the plan.

    loads: eggs of every kind of box; `weighed`: its vents where a weighing told how leaky it is.
    """
    load, vents = loads[index], vents_of(plan, index)
    lacking = dead_end_or_together(load, vents)
    if lacking is not None:
        return lacking
    assert isinstance(load, BoxLoad) and isinstance(vents, BoxVents)
    if isinstance(load.peak_oxygen, Unknown):
        return load.peak_oxygen
    together = _used_together(plan, loads) / load.peak_oxygen.typical
    box = _Breathing(load, vents, fresh_air_of(plan), together)
    return _results(box, weighed, plan.room.altitude is None)


def _used_together(plan: Plan, loads: Sequence[BoxLoad | Unknown]) -> float:
    """Oxygen that all eggs use if all hatch at one time [m3/s STPD]; boxes whose eggs are not told are left out."""
    return sum(
        load.peak_oxygen.typical * (box.count or 1)
        for box, load in zip(plan.egg_boxes, loads, strict=True)
        if isinstance(load, BoxLoad) and not isinstance(load.peak_oxygen, Unknown)
    )


def fresh_oxygen(temperature: float, pressure: float) -> float:
    """The share of oxygen in fresh air of a pressure [Pa] and box temperature [°C], counted as at sea level."""
    return sea_level_share(OXYGEN_IN_AIR, temperature, pressure)


def least_oxygen(temperature: float, pressure: float) -> float:
    """The share of oxygen [0 to 1] to keep at hatching, counted as at sea level.

    The late limit; where fresh air of that pressure [Pa] hardly holds as much, a point less than fresh air.
    """
    limit = oxygen_limits(temperature, LATEST).warn
    return min(limit, fresh_oxygen(temperature, pressure) - BELOW_FRESH)


def _inputs(box: _Breathing) -> tuple[Uncertainty, ...]:
    peak = box.load.peak_oxygen
    assert not isinstance(peak, Unknown)
    breathing = "how much the eggs breathe: nobody can tell before"
    demand = Uncertainty("demand", peak.typical, peak.low, peak.high, breathing)
    return (*box.vents.inputs, demand, *box.fresh)


def _round_the_boxes(box: _Breathing, values: Mapping[str, float]) -> BoxAir:
    """The air of the outer box: as fresh as that of the room where the plan does not tell how it is changed."""
    if not box.fresh:
        return BoxAir(OXYGEN_IN_AIR, CARBON_DIOXIDE_IN_AIR)
    fresh, used = sum(values[one.name] for one in box.fresh), values["demand"] * box.together
    return box_air(used, box.load.temperature, fresh, fresh, pressure=box.vents.pressure)


def _air(box: _Breathing, values: Mapping[str, float]) -> BoxAir:
    load, vents, around = box.load, box.vents, _round_the_boxes(box, values)
    air = box_air(
        values["demand"],
        load.temperature,
        vents.flow(values, oxygen_diffusivity(load.temperature, vents.pressure)),
        vents.flow(values, carbon_dioxide_diffusivity(load.temperature, vents.pressure)),
        outside_oxygen=around.oxygen,
        outside_carbon_dioxide=around.carbon_dioxide,
        pressure=vents.pressure,
    )
    return replace(air, oxygen=sea_level_share(air.oxygen, load.temperature, vents.pressure))


def _at_hatching(box: _Breathing) -> dict[str, Spread]:
    def model(values: Mapping[str, float]) -> dict[str, float]:
        air = _air(box, values)
        return {"oxygen": air.oxygen, "carbon dioxide": air.carbon_dioxide}

    return propagate(model, _inputs(box))


def _results(box: _Breathing, weighed: BoxVents | None, sea_level: bool) -> AirForecast:
    spreads = _at_hatching(replace(box, vents=weighed or box.vents))
    days = box.load.days
    way = "over the open medium" if box.vents.open_area else "through lid and holes"
    from_where = "the outer box" if box.fresh else "the room, since the outer box is not told,"
    basis = f"the air that comes from {from_where} {way} against what the eggs breathe at hatching"
    at = "for a room at most 500 m above the sea" if sea_level else "counted as at sea level"
    return AirForecast(
        oxygen_lowest=figure(spreads["oxygen"], "gas share", f"{basis}, {at}", box_air, least=0.0),
        oxygen_lowest_day=Figure(
            days.typical, days.low, days.high, "days", "demand is highest at hatching", "", box.load.days_by
        ),
        carbon_dioxide_highest=figure(spreads["carbon dioxide"], "gas share", basis, box_air, least=0.0),
        holes_enough=_holes(box),
    )


def _holes(box: _Breathing) -> Result:
    """Holes of the planned size that keep the oxygen needed, its likely low end counted.

    That one number is what to make; the low end of its range would do if all turned out as is typical.
    """
    load, vents = box.load, box.vents
    assert not isinstance(load.peak_oxygen, Unknown)
    if vents.open_area:
        return Unknown("an open tray needs no holes")
    least = least_oxygen(load.temperature, vents.pressure)
    values = {entry.name: entry.typical for entry in _inputs(box)}
    diffusivity = oxygen_diffusivity(load.temperature, vents.pressure)
    none, one = (
        vents_conductance(replace(vents, hole_count=count).at(values), diffusivity) for count in (0, 1)
    )
    around, needed = (
        _round_the_boxes(box, values).oxygen,
        least * OXYGEN_IN_AIR / fresh_oxygen(load.temperature, vents.pressure),
    )
    if around <= needed:
        return Unknown(
            "no number of holes is enough, for the air of the outer box itself gets as thin: it needs vents"
        )
    usual = holes_enough(
        load.peak_oxygen.typical,
        load.temperature,
        needed,
        one - none,
        none,
        outside_oxygen=around,
        pressure=vents.pressure,
    )

    def low_end_is_enough(count: int) -> bool:
        made = replace(box, vents=replace(vents, hole_count=count))
        return _at_hatching(made)["oxygen"].low >= least - ROUNDING

    short, safe = usual - 1, usual
    while safe <= MOST_HOLES and not low_end_is_enough(safe):  # doubled until it is enough, then halved in
        short, safe = safe, 2 * max(safe, 1)
    counts = range(short + 1, min(safe, MOST_HOLES) + 1)
    found = bisect_left(counts, True, key=low_end_is_enough)
    if found == len(counts):
        return Unknown(f"not even {MOST_HOLES} holes of this size give enough air to be sure")
    return Figure(
        counts[found],
        usual,
        counts[found],
        "count",
        f"oxygen at {least * 100:.3g} % or more at hatching, also if the eggs breathe a lot and the lid is tight",
        "how much the eggs breathe: nobody can tell before",
        (holes_enough,),
    )


def room_for_holes(inside: Size, diameter: float) -> int:
    """Holes of a diameter [m] that find room in the lid and in one row high in the walls, and that anyone would drill."""
    step = APART * diameter
    in_lid = math.floor(inside.length / step) * math.floor(inside.width / step)
    in_walls = 2 * (math.floor(inside.length / step) + math.floor(inside.width / step))
    return min(MOST_DRILLED, in_lid + in_walls)
