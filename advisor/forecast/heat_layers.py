"""Layers of egg boxes in the steady network: lid against medium, condensation, spread; with what the model leaves open."""

from collections.abc import Mapping
from dataclasses import replace

from advisor.forecast.heat_setup import HeatSetup
from advisor.forecast.ranges import Spread, figure, widened
from advisor.frozen import dataclass
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import ONE_LAYER
from advisor.physics.box_network import BoxState, NoSteadyState, state_at_set_point
from advisor.physics.box_setup import EggBoxes
from advisor.physics.convection import layer_condensation

# What the network leaves open, whatever its inputs (facts on heat, "solid, fair, rough").
DIFFERENCE_ERROR = 0.40  # share of lid minus medium, and of the spread between layers
WATER_FACTOR = 2.0  # on condensation with a computed lid temperature
# K, on lid minus medium and on the spread where the heat comes from the side, from water or from a bulb: there the sign may flip. Read
# off the extremes of 200 random boxes of each kind (side -0.56 to +0.09 K about -0.14, bath -0.28 to +0.02 about
# -0.06); that one figure stands for all three is judgement.
ROUGH_ERROR = 0.3
SIDE_TO_SIDE = (0.0, 0.4, 1.0)  # K between boxes of one layer, corners coldest; common practice, no source
# Share of the lid that the mat of the compared box covers at least: the area moves the mat's own temperature, hardly
# the egg boxes (heat facts 9), and a small one gets too hot in a thin-walled box. Judgement.
TWIN_COVER = 0.5
BASIS = "heat balance of box, air, lids and medium in the coldest room"


@dataclass(frozen=True, slots=True)
class TierForecast:
    """One layer of egg boxes: lid minus medium [K], condensation [kg/s a box], medium temperature [°C]."""

    lid_minus_medium: Result
    condensation: Result
    condensation_if_lid_heated: Result
    medium_temperature: Result


def network_results(setup: HeatSetup, values: Mapping[str, float]) -> dict[str, float]:
    """All that is forecast from one solution in the coldest room, by name; raises ValueError without a solution.

    Each solution starts afresh: starting from the typical one saves a step at best, and takes dozens when the probe
    is moved to the other layer (measured).
    """
    try:
        state = state_at_set_point(setup.at(values, setup.room_low))
    except NoSteadyState as error:
        raise ValueError(str(error)) from error
    results = {"power": state.power, "heater": state.heater}
    for name, tier in (("lower", state.lower), ("upper", state.upper)):
        if tier is not None:
            results[f"{name} medium"] = tier.medium
            results[f"{name} lid"] = tier.lid_minus_medium
            results[f"{name} water"] = tier.condensation_per_box
    if state.spread is not None:
        results["spread"] = state.spread
    return results


def layer_forecast(
    spreads: Mapping[str, Spread],
    name: str,
    setup: HeatSetup,
    typical: BoxState,
    twin: Mapping[str, float] | None,
) -> TierForecast:
    """One layer ("lower" or "upper") from the spreads of `network_results` and the lid-heated twin."""
    boxes = setup.base.upper if name == "upper" else setup.base.lower
    assert boxes is not None
    lid, medium = spreads[f"{name} lid"], spreads[f"{name} medium"]
    lid = _left_open(lid, typical)
    if twin is None:
        lid_heated: Result = Unknown("the heat comes from the lid already")
    elif f"{name} water" in twin:
        lid_heated = _water(Spread(*3 * (twin[f"{name} water"],), ""), "the same box heated from the lid")
    else:
        lid_heated = Unknown("the same box heated from the lid has no steady state")
    water = spreads[f"{name} water"]
    if lid.low < 0.0 <= lid.high:  # the sign is open: from none to what the coldest likely lid collects
        water = replace(water, low=0.0, high=max(water.high, _condensation(boxes, medium.value, lid.low)))
    return TierForecast(
        lid_minus_medium=figure(lid, "step", BASIS),
        condensation=_water(water, BASIS),
        condensation_if_lid_heated=lid_heated,
        medium_temperature=figure(medium, "temperature", BASIS),
    )


def _water(spread: Spread, basis: str) -> Figure:
    value = spread.value
    wide = widened(spread, value - value / WATER_FACTOR, value * WATER_FACTOR - value)
    return figure(wide, "mass per day", basis, least=0.0)


def _condensation(boxes: EggBoxes, medium: float, lid_minus_medium: float) -> float:
    """Water [kg/s] that settles on the lid of one box of the layer at a lid that much warmer than the medium."""
    gap = boxes.height - boxes.medium_depth
    rate = layer_condensation(medium, medium + min(lid_minus_medium, 0.0), gap, boxes.water_potential)
    return rate * boxes.length * boxes.width


def forecast_spread(spreads: Mapping[str, Spread], typical: BoxState) -> Result:
    """Between the layers when there are two; side to side within one layer, which the network does not resolve."""
    low, middle, high = SIDE_TO_SIDE
    if typical.spread is None:
        return Figure(middle, low, high, "step", ONE_LAYER)
    found = spreads["spread"]
    if found.value < 0:
        found = replace(found, value=-found.value, low=-found.high, high=-found.low)
    basis = "heat balance, upper against lower layer, coldest room"
    return figure(_left_open(found, typical), "step", basis, least=0.0)


def _left_open(difference: Spread, typical: BoxState) -> Spread:
    """A computed difference of temperatures with what the network leaves open."""
    rough = 0.0 if typical.reliability == "fair" else ROUGH_ERROR
    error = max(DIFFERENCE_ERROR * abs(difference.value), rough)
    return widened(difference, error, error)


def lid_heated_twin(setup: HeatSetup) -> dict[str, float] | None:
    """Condensation in the same box with a mat of at least the same area on its lid and the boxes on a rack.

    None when the heat comes from the lid already, empty when that box has no steady state.
    """
    if setup.base.heat_place == "lid":
        return None
    lid = setup.base.inside.length * setup.base.inside.width
    area = min(max(setup.base.heater_area, TWIN_COVER * lid), lid)
    base = replace(setup.base, heat_place="lid", heat_source="mat", boxes_stand="on a rack", heater_area=area)
    try:
        state = state_at_set_point(replace(base, room=setup.room_low))
    except (NoSteadyState, ValueError):
        return {}
    results = {"lower water": state.lower.condensation_per_box}
    if state.upper is not None:
        results["upper water"] = state.upper.condensation_per_box
    return results
