"""Tiers of egg boxes in the steady network: lid against medium, condensation, spread, offsets from the probe; with what the
network leaves open however well its inputs are known."""

import math
from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from advisor.forecast.heat.setup import BOTH_TIERS, FIND_OUT, UNDER_LID, HeatSetup
from advisor.forecast.heat.structure import Structure, structure_of
from advisor.forecast.ranges import Spread, Uncertainty, asking, combined, figure, opened
from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.heat.box_network import BoxState, moved_states, state_at_set_point
from advisor.formulas.heat.box_setup import BoxSetup, EggBoxes
from advisor.formulas.heat.convection import layer_condensation
from advisor.model.figures import Figure, Formula, Result, Unknown
from advisor.model.forecast import EggBoxHeat

WATER_FACTOR = 2.0  # on condensation with a computed lid temperature: fair to rough; judgement
# K between boxes of one tier, corners coldest; common practice, no source
SIDE_TO_SIDE = (0.0, 0.4, 1.0)
# Share of the lid that the mat of the compared box covers at least: the area moves the mat's own temperature, hardly
# the egg boxes, and a small one gets too hot in a thin-walled box. Judgement.
TWIN_COVER = 0.5
PROBE_TIER = "probe_tier"  # the input that stands for a probe in either tier
RESOLVED = ("contact", "air_speed")  # inputs whose range is too wide for a straight line: solved again
NO_LID = Unknown("an open tray has no lid")
BASIS = "heat balance of box, layers of air, lids and medium in the coldest room"


class TierOffsets(Struct, frozen=True):
    """Mean of the medium of each tier minus the set point [K], the lower first: probe in the lower or the upper tier.

    probe_upper is empty for one tier. The error of thermostat and sensor is not in them.
    """

    probe_lower: tuple[Result, ...]
    probe_upper: tuple[Result, ...]


def network_results(state: BoxState) -> dict[str, float]:
    """All that is forecast from one solution, by name."""
    results = {"power": state.power, "heater": state.heater}
    for name, tier in (("lower", state.lower), ("upper", state.upper)):
        if tier is not None:
            results[f"{name} medium"] = tier.medium
            results[f"{name} lid"] = tier.lid_minus_medium
            results[f"{name} water"] = tier.condensation_per_box
            results[f"{name} beside"] = tier.medium - tier.beside
            results[f"{name} over water"] = tier.medium - state.heater
    if state.spread is not None:
        results["spread"] = state.spread
    # How much each watt lifts the heater over the warmest eggs: nearly the same at any power.
    results["heater step"] = (state.heater - hottest(state)[0]) / state.power if state.power > 0.0 else 0.0
    return results


def solve(setup: HeatSetup, values: Mapping[str, float]) -> BoxState:
    """The steady box in the coldest room at given inputs; raises NoSteadyState or ValueError."""
    return state_at_set_point(setup.at(values, setup.room_low))


Ends = tuple[tuple[Uncertainty, tuple[Mapping[str, float], ...]], ...]


def moved_results(setup: HeatSetup, typical: BoxState) -> Ends:
    """Results with each input at its low and its high, from the slopes of the one solution."""
    base = setup.at({}, setup.room_low)
    cases: list[tuple[int, BoxSetup]] = []
    again: list[tuple[int, BoxState]] = []
    for number, entry in enumerate(setup.inputs):
        for value in (entry.low, entry.high):
            if value == entry.typical:
                continue
            case = setup.at({entry.name: value}, setup.room_low)
            if entry.name in RESOLVED:
                try:
                    again.append((number, state_at_set_point(case, typical)))
                except NoSolution:
                    continue
            else:
                cases.append((number, case))
    found = zip(
        (number for number, _ in cases), moved_states(base, typical, [case for _, case in cases]), strict=True
    )
    ends: list[list[Mapping[str, float]]] = [[] for _ in setup.inputs]
    for number, state in (*found, *again):
        ends[number].append(network_results(state))
    return tuple((entry, tuple(results)) for entry, results in zip(setup.inputs, ends, strict=True))


def spreads_of(setup: HeatSetup, typical: BoxState, ends: Ends) -> dict[str, Spread]:
    """Likely ranges of all results: inputs and what the network leaves open, in quadrature.

    Where the plan does not tell which tier the probe stands in, each holds for one of two boxes: the range spans both.
    """
    structure, room = structure_of(setup.base), setup.room_low
    rise = setup.base.set_point - room
    middle = network_results(typical)
    spreads = combined(middle, [end for end in ends if end[0].name != PROBE_TIER])
    power = spreads["power"]
    found = {
        "power": opened(power, structure.watts, *2 * (structure.watts_error * structure.watts * power.value,))
    }
    heater = spreads["heater"]
    above_room = replace(heater, value=heater.value - room, low=heater.low - room, high=heater.high - room)
    size = structure.watts * above_room.value
    above_room = opened(
        above_room, structure.watts, structure.surface_down * size, structure.surface_up * size
    )
    found["heater"] = replace(
        above_room, value=above_room.value + room, low=above_room.low + room, high=above_room.high + room
    )
    for name, spread in spreads.items():
        if name == "spread" or name.endswith(" lid"):
            found[name] = _left_open(spread, structure, rise, name == "upper lid")
        elif name not in found:
            found[name] = spread
    for entry, results in ends:
        if entry.name == PROBE_TIER:
            for name, spread in found.items():
                factor = _factor(structure, name)
                found[name] = _or_moved(spread, factor * (results[0][name] - middle[name]), entry.find_out)
    return found


def _factor(structure: Structure, name: str) -> float:
    if name in ("power", "heater"):
        return structure.watts
    return structure.difference if name == "spread" or name.endswith(" lid") else 1.0


def _or_moved(spread: Spread, step: float, find_out: str) -> Spread:
    """What holds as it is or moved by a step: half-way, with the range of both.

    Far apart, each outer end is passed from one side only, and the end of 95 % then lies at 1.645 standard deviations in
    place of 1.96 (normal distribution).
    """
    half = (spread.high - spread.low) / 2.0
    kept = 1.0 - (1.0 - 1.645 / 1.96) * min(abs(step) / half, 1.0) if half > 0.0 else 1.0
    return Spread(
        spread.value + step / 2.0,
        spread.value - kept * (spread.value - spread.low) + min(step, 0.0),
        spread.value + kept * (spread.high - spread.value) + max(step, 0.0),
        find_out if abs(step) > half else spread.matters_most,
    )


def _left_open(spread: Spread, structure: Structure, rise: float, upper_lid: bool) -> Spread:
    size = abs(structure.difference * spread.value)
    more, less = structure.up * size, structure.down * size
    below, above = (less, more) if spread.value >= 0 else (more, less)
    least = structure.least * rise
    lid_up = structure.lid_up * rise if upper_lid else 0.0
    return opened(spread, structure.difference, max(below, least), max(above, least, lid_up))


def layer_forecast(
    spreads: Mapping[str, Spread],
    name: str,
    setup: HeatSetup,
    offset: Result,
    twin: Mapping[str, float] | None,
    planned: Spread | None = None,
) -> EggBoxHeat:
    """One tier ("lower" or "upper") from the spreads, its offset from the set point, and the lid-heated twin.

    planned: where a lid of it was measured, that lid minus medium [K] without it; what settles moves with the lid.
    """
    boxes = setup.base.upper if name == "upper" else setup.base.lower
    assert boxes is not None and isinstance(offset, Figure)
    lid = spreads[f"{name} lid"]
    set_point = setup.base.set_point
    medium = replace(offset.moved(lambda step: set_point + step, "temperature"), basis=BASIS)
    if boxes.is_open:
        return EggBoxHeat(NO_LID, NO_LID, NO_LID, medium)
    if twin is None:
        lid_heated: Result = Unknown("the heat comes from the lid already")
    elif f"{name} water" in twin:
        mean = Spread(*3 * (twin[f"{name} water"],), "")
        lid_heated = _water(mean, "the same box heated from the lid", state_at_set_point)
    else:
        lid_heated = Unknown("the same box heated from the lid has no steady state")
    settles = spreads[f"{name} water"]
    if planned is not None:
        settles = _by_lid(boxes, set_point + offset.value, (planned, lid), settles)
    water = _water(settles, BASIS, layer_condensation)
    if lid.low < 0.0 <= lid.high:  # the sign is open: from none to what the coldest likely lid collects
        most = _condensation(boxes, set_point + offset.value, lid.low)
        water = replace(water, low=0.0, high=max(water.high, most))
    if water.high == 0.0:  # the lid is the warmer one
        water = replace(water, formulas=(state_at_set_point,))
    return EggBoxHeat(
        figure(asking(lid, UNDER_LID), "step", BASIS, state_at_set_point), water, lid_heated, medium
    )


def _by_lid(boxes: EggBoxes, medium: float, lids: tuple[Spread, Spread], forecast: Spread) -> Spread:
    """What settles on a measured lid: moves with it, and is as much less open as it is; lids before and after."""
    before, after = lids
    try:
        value, least, most = (
            _condensation(boxes, medium, step) for step in (after.value, after.high, after.low)
        )
        usual = _condensation(boxes, medium, before.value)
    except NoSolution:  # a lid colder than the formulas hold for
        return forecast
    if forecast.value <= 0.0 or usual <= 0.0:
        return Spread(value, least, most, "")
    moved = value / usual
    share = moved * (after.high - after.low) / (before.high - before.low)
    below, above = share * (forecast.value - forecast.low), share * (forecast.high - forecast.value)
    return Spread(moved * forecast.value, moved * forecast.value - below, moved * forecast.value + above, "")


def _water(spread: Spread, basis: str, formula: Formula) -> Figure:
    value = spread.value
    wide = opened(spread, 1.0, value - value / WATER_FACTOR, value * WATER_FACTOR - value)
    return figure(asking(wide, UNDER_LID), "mass per day", basis, formula, least=0.0)


def _condensation(boxes: EggBoxes, medium: float, lid_minus_medium: float) -> float:
    """Water [kg/s] that settles on the lid of one box of the tier at a lid that much warmer than the medium."""
    gap = boxes.height - boxes.medium_depth
    rate = layer_condensation(medium, medium + min(lid_minus_medium, 0.0), gap, boxes.water_potential)
    return rate * boxes.length * boxes.width


def forecast_spread(spreads: Mapping[str, Spread]) -> Result:
    """Between the tiers when there are two; side to side within one tier, which the network does not resolve."""
    low, middle, high = SIDE_TO_SIDE
    if "spread" not in spreads:
        basis = "boxes in one layer: corners run colder (common practice, no source)"
        return Figure(middle, low, high, "step", basis)
    found = spreads["spread"]
    if found.value < 0:
        found = replace(found, value=-found.value, low=-found.high, high=-found.low)
    basis = "heat balance, upper against lower layer, coldest room"
    return figure(asking(found, BOTH_TIERS), "step", basis, state_at_set_point, least=0.0)


def offsets_of(spreads: Mapping[str, Spread], setup: HeatSetup, typical: BoxState) -> TierOffsets:
    """How far the medium of each tier is from the set point, with the probe in either."""
    set_point, rise = setup.base.set_point, setup.base.set_point - setup.room_low
    apart = {"air": "beside", "water": "over water"}.get(setup.base.probe)
    # In air or water the probe differs from the medium: that difference scales with the rise.
    beside = {
        name: (network_results(typical)[f"{name} {apart}"] if apart else 0.0)
        for name, tier in (("lower", typical.lower), ("upper", typical.upper))
        if tier is not None
    }
    open_ = structure_of(setup.base)

    def figure_at(offset: Spread) -> Figure:
        return figure(
            asking(offset, BOTH_TIERS), "step", f"{BASIS}, against the set point", state_at_set_point
        )

    def near(name: str) -> Spread:
        if apart is None:
            return Spread(0.0, 0.0, 0.0, "")
        size = open_.up * abs(beside[name]) * open_.difference
        return opened(spreads[f"{name} {apart}"], open_.difference, size, size)

    if typical.upper is None:
        return TierOffsets((figure_at(near("lower")),), ())
    spread = spreads["spread"]
    lower_rise = typical.lower.medium - setup.room_low
    here = (set_point - setup.room_low) / lower_rise if lower_rise > 0 else 1.0
    there = rise / max(typical.upper.medium - setup.room_low, 1e-6)

    def away(name: str, scale: float) -> Spread:
        start = near(name)
        ends = (scale * spread.low, scale * spread.high)
        value = start.value + scale * spread.value
        below = math.hypot(scale * spread.value - min(ends), start.value - start.low)
        above = math.hypot(max(ends) - scale * spread.value, start.high - start.value)
        return Spread(value, value - below, value + above, spread.matters_most)

    return TierOffsets(
        (figure_at(near("lower")), figure_at(away("lower", here))),
        (figure_at(away("upper", -there)), figure_at(near("upper"))),
    )


def both_probes(offsets: TierOffsets, tier: str | None) -> tuple[Result, ...]:
    """The offsets of each tier with the probe in the named tier; unknown, the hull of both."""
    if tier == "lower" or not offsets.probe_upper:
        return offsets.probe_lower
    if tier == "upper":
        return offsets.probe_upper
    return tuple(_hull(a, b) for a, b in zip(offsets.probe_lower, offsets.probe_upper, strict=True))


def _hull(one: Result, other: Result) -> Result:
    if not (isinstance(one, Figure) and isinstance(other, Figure)):
        return one
    low, high = min(one.low, other.low), max(one.high, other.high)
    return replace(
        one, value=(one.value + other.value) / 2.0, low=low, high=high,
        matters_most=FIND_OUT[PROBE_TIER],
    )  # fmt: skip


def lid_heated_twin(setup: HeatSetup) -> dict[str, float] | None:
    """Condensation in the same box with a mat of at least the same area on its lid and the boxes on a rack.

    None when the heat comes from the lid already, empty when that box has no steady state.
    """
    if setup.base.heat_place == "lid" and not setup.base.floor_share:
        return None
    lid = setup.base.inside.length * setup.base.inside.width
    area = min(max(setup.base.heater_area, TWIN_COVER * lid), lid)
    base = replace(
        setup.base,
        heat_place="lid",
        heat_source="mat",
        boxes_stand="on a rack",
        heater_area=area,
        heater_length=None,
        floor_share=0.0,
        probe="medium" if setup.base.probe == "water" else setup.base.probe,
    )
    try:
        state = state_at_set_point(replace(base, room=setup.room_low))
    except NoSolution:
        return {}
    return {name: value for name, value in network_results(state).items() if name.endswith("water")}


def hottest(state: BoxState) -> tuple[float, float]:
    """Mean medium and lid [°C] of the warmest tier of egg boxes."""
    tiers = (state.lower, state.upper)
    warmest = max((tier for tier in tiers if tier is not None), key=lambda tier: tier.medium)
    return warmest.medium, warmest.lid
