"""Heat forecast of one plan: heat loss, power, temperatures of boxes and lids, swing, stuck heater, power cut."""

from collections.abc import Mapping
from dataclasses import replace

from advisor.forecast.edge import reason_of
from advisor.forecast.heat_layers import (
    BASIS,
    TierForecast,
    forecast_spread,
    layer_forecast,
    lid_heated_twin,
    network_results,
)
from advisor.forecast.heat_loss import POWER_ERROR, forecast_conductance, forecast_stuck_on
from advisor.forecast.heat_setup import HeatSetup, heat_setup
from advisor.forecast.heat_times import forecast_swing, forecast_warm_up
from advisor.forecast.power_cut import forecast_power_cut
from advisor.forecast.ranges import Spread, figure, propagate, widened
from advisor.frozen import dataclass
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import HeatForecast, unknown_fields
from advisor.model.plan import EggBox, Plan
from advisor.model.species import Species
from advisor.physics.box_network import BoxState, NoSteadyState, state_at_power, state_at_set_point

__all__ = ["HeatResults", "TierForecast", "forecast_conductance", "forecast_heat", "tier_of"]

HOTTEST = 200.0  # °C; above this the formulas of the network end
HOT = 95.0  # °C; where some part is expected above this, a box without steady state is too hot, not badly solved


@dataclass(frozen=True, slots=True)
class HeatResults:
    """The heat forecast with its layers; `upper` is None when the boxes stand in one layer."""

    heat: HeatForecast
    lower: TierForecast
    upper: TierForecast | None


def forecast_heat(plan: Plan, species: Mapping[str, Species]) -> HeatResults:
    """The heat forecast for a plan; what cannot be computed is an `Unknown` with its reason."""
    conductance = forecast_conductance(plan)
    setup = heat_setup(plan)
    if isinstance(setup, Unknown):
        return _without_network(plan, species, conductance, setup)
    try:
        typical = state_at_set_point(setup.at({}, setup.room_low))
        spreads = propagate(lambda values: network_results(setup, values), setup.inputs)
    except (NoSteadyState, ValueError) as error:
        return _without_network(plan, species, conductance, Unknown(reason_of(error)))
    open_end = POWER_ERROR * spreads["power"].value
    power = widened(spreads["power"], open_end, open_end)
    stuck = _stuck_state(plan, setup, typical)
    heat = HeatForecast(
        conductance=conductance,
        watts_needed=figure(power, "power", BASIS, least=0.0),
        power_share=_power_share(plan, power),
        stuck_on_temperature=forecast_stuck_on(plan, conductance, _hottest_medium(stuck)),
        heater_surface=figure(spreads["heater"], "temperature", BASIS),
        heater_surface_full=_full_power_surface(plan, setup, stuck),
        spread=forecast_spread(spreads, typical),
        swing=forecast_swing(plan, conductance),
        warm_up_hours=forecast_warm_up(plan, power, setup),
        **forecast_power_cut(plan, species, conductance),
    )
    twin = lid_heated_twin(setup)
    lower = layer_forecast(spreads, "lower", setup, typical, twin)
    upper = layer_forecast(spreads, "upper", setup, typical, twin) if typical.upper is not None else None
    return HeatResults(heat, lower, upper)


def tier_of(box: EggBox, results: HeatResults) -> TierForecast:
    """What holds for a kind of egg box: of boxes in two layers, the layer whose lids are the colder ones.

    The medium temperature then spans both layers.
    """
    lower, upper = results.lower, results.upper
    if box.tier == "upper" and upper is not None:
        return upper
    if box.tier != "two" or upper is None:
        return lower
    ours, theirs = lower.lid_minus_medium, upper.lid_minus_medium
    warm, cool = upper.medium_temperature, lower.medium_temperature
    if not (isinstance(ours, Figure) and isinstance(theirs, Figure)):
        return lower
    assert isinstance(warm, Figure) and isinstance(cool, Figure)
    wetter = lower if ours.value <= theirs.value else upper
    both = Figure(
        (warm.value + cool.value) / 2,
        min(warm.low, cool.low),
        max(warm.high, cool.high),
        warm.quantity,
        f"{BASIS}, mean of both layers",
        warm.matters_most,
    )
    return TierForecast(wetter.lid_minus_medium, wetter.condensation, wetter.condensation_if_lid_heated, both)


def _without_network(
    plan: Plan, species: Mapping[str, Species], conductance: Result, why: Unknown
) -> HeatResults:
    fields = unknown_fields(HeatForecast, why)
    fields["conductance"] = conductance
    fields["stuck_on_temperature"] = forecast_stuck_on(plan, conductance, None)
    fields["swing"] = forecast_swing(plan, conductance)
    fields |= forecast_power_cut(plan, species, conductance)
    return HeatResults(HeatForecast(**fields), TierForecast(why, why, why, why), None)


def _power_share(plan: Plan, power: Spread) -> Result:
    if plan.heat.power is None:
        return Unknown("the heater's power is not told", ("heat.power",))
    has = plan.heat.power
    share = Spread(power.value / has, power.low / has, power.high / has, power.matters_most)
    return figure(share, "share", "power needed in the coldest room over the heater's power", least=0.0)


def _stuck_state(plan: Plan, setup: HeatSetup, typical: BoxState) -> BoxState | Unknown | None:
    """The box with its heater on for good in the warmest room; None where it gets hotter than the formulas reach.

    Starts from the steady box with all rises above the room scaled by the power: wide of the mark by little, so that
    a failure there means heat, not a bad start.
    """
    power = plan.heat.power
    if power is None:
        return Unknown("the heater's power is not told", ("heat.power",))
    scale = power / typical.power if typical.power > 0 else 1.0
    expected = [setup.room_high + scale * (node - setup.room_low) for node in typical.temperatures]
    start = replace(typical, power=power, temperatures=tuple(min(node, HOT) for node in expected))
    try:
        return state_at_power(setup.at({}, setup.room_high), power, start)
    except (NoSteadyState, ValueError) as error:
        return None if max(expected) > HOT else Unknown(reason_of(error))


def _hottest_medium(stuck: BoxState | Unknown | None) -> float | None:
    if not isinstance(stuck, BoxState):
        return None
    return max(tier.medium for tier in (stuck.lower, stuck.upper) if tier is not None)


def _full_power_surface(plan: Plan, setup: HeatSetup, stuck: BoxState | Unknown | None) -> Result:
    basis = "heat balance, heater on for good in the warmest room"
    if stuck is None:
        return Figure(HOTTEST, HOTTEST, HOTTEST, "temperature", f"{basis}: hotter than the formulas reach")
    if isinstance(stuck, Unknown):
        return stuck
    error = POWER_ERROR * (stuck.heater - setup.room_high)
    return figure(
        widened(Spread(stuck.heater, stuck.heater, stuck.heater, ""), error, error), "temperature", basis
    )
