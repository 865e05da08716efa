"""Heat forecast of one plan: heat loss, power, temperatures of boxes and lids, swing, stuck heater, power cut."""

import math
from collections.abc import Mapping
from functools import lru_cache

from msgspec import Struct
from msgspec.structs import replace

from advisor.forecast.edge import reason_of
from advisor.forecast.heat.loss import forecast_conductance, stuck_on_by_loss
from advisor.forecast.heat.outer_air import forecast_outer_air
from advisor.forecast.heat.parts import at_full_power
from advisor.forecast.heat.power_cut import forecast_power_cut
from advisor.forecast.heat.real_box import as_measured, by_loss, without_network
from advisor.forecast.heat.setup import TAPE_IT, WATCH_IT, HeatSetup, heat_setup
from advisor.forecast.heat.structure import Structure, structure_of
from advisor.forecast.heat.tiers import (
    BASIS,
    PROBE_TIER,
    Ends,
    TierOffsets,
    both_probes,
    forecast_spread,
    hottest,
    layer_forecast,
    lid_heated_twin,
    moved_results,
    offsets_of,
    solve,
    spreads_of,
)
from advisor.forecast.heat.times import forecast_swing, forecast_warm_up
from advisor.forecast.measured.tiers import measured_spreads
from advisor.forecast.ranges import Spread, asking, figure, opened
from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.heat.box_network import HOTTEST, BoxState, state_at_power, state_at_set_point
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import EggBoxHeat, HeatForecast, nothing_known
from advisor.model.plan import EggBox, Plan
from advisor.model.species import Species

HOT = 95.0  # °C; where some part is expected above this, a box without steady state is too hot, not badly solved; judgement
STUCK_BASIS = "heat balance, heater on for good in the warmest room"


class HeatResults(Struct, frozen=True):
    """The heat forecast with its tiers; `upper` is None when the boxes stand in one tier."""

    heat: HeatForecast
    lower: EggBoxHeat
    upper: EggBoxHeat | None
    tier_offsets: TierOffsets


def forecast_heat(plan: Plan, species: Mapping[str, Species]) -> HeatResults:
    """The heat forecast for a plan; what cannot be computed is an `Unknown` with its reason."""
    conductance = forecast_conductance(plan)
    setup = heat_setup(plan)
    if isinstance(setup, Unknown):
        return _without_network(plan, species, conductance, setup)
    structure = structure_of(setup.base)
    try:
        typical, ends = _solved(setup)
    except NoSolution as error:
        return _without_network(plan, species, conductance, Unknown(reason_of(error)))
    scale = _colder(plan, setup)
    planned = spreads_of(setup, typical, ends)
    spreads, tiers_against = measured_spreads(plan, planned, scale)
    # Where the probe sits moves the power that is needed, not what a given power does.
    fixed = tuple(end for end in ends if end[0].name != PROBE_TIER)
    of_box = spreads
    if len(fixed) < len(ends):
        of_box, _ = measured_spreads(plan, spreads_of(setup, typical, fixed), scale)
    by_power = of_box["power"]
    stuck = _stuck_state(plan, setup, typical, structure)
    heat = HeatForecast(
        conductance=conductance,
        watts_needed=figure(
            asking(spreads["power"], WATCH_IT), "power", BASIS, state_at_set_point, least=0.0
        ),
        power_share=_power_share(plan, spreads["power"]),
        stuck_on_temperature=_stuck_on(setup, stuck, by_power, structure),
        heater_surface=figure(asking(spreads["heater"], TAPE_IT), "temperature", BASIS, state_at_set_point),
        heater_surface_full=_full_power_surface(setup, stuck, of_box, structure),
        spread=forecast_spread(spreads),
        swing=forecast_swing(plan, conductance),
        warm_up_hours=forecast_warm_up(plan, spreads["power"], setup),
        against=tiers_against,
        **forecast_outer_air(plan, setup, typical),
        **forecast_power_cut(plan, species, conductance),
    )
    lid = _lid_over(stuck, setup, structure)
    heat = as_measured(plan, species, setup, heat, _mean_medium(typical) - setup.room_low, lid)
    twin = lid_heated_twin(setup)
    offsets = offsets_of(of_box, setup, typical)
    known = None if any(entry.name == PROBE_TIER for entry in setup.inputs) else setup.base.probe_tier
    here = both_probes(offsets, known)
    lids = {
        one.what.removesuffix(" lid"): planned[one.what]
        for one in tiers_against
        if one.what in planned and "lid" in one.what
    }
    lower = layer_forecast(spreads, "lower", setup, here[0], twin, lids.get("lower"))
    upper = None
    if typical.upper is not None:
        upper = layer_forecast(spreads, "upper", setup, here[1], twin, lids.get("upper"))
    return HeatResults(heat, lower, upper, offsets)


@lru_cache(
    maxsize=64
)  # plans that differ in the heater's power alone, or in holes, share one box at its set point
def _solved(setup: HeatSetup) -> tuple[BoxState, Ends]:
    typical = solve(setup, {})
    return typical, moved_results(setup, typical)


def tier_of(box: EggBox, results: HeatResults) -> EggBoxHeat:
    """What holds for a kind of egg box: of boxes in two tiers, the tier whose lids are the colder ones.

    The medium temperature then spans both tiers.
    """
    lower, upper = results.lower, results.upper
    if box.tier == "upper" and upper is not None:
        return upper
    if box.tier != "two" or upper is None:
        return lower
    ours, theirs = lower.lid_minus_medium, upper.lid_minus_medium
    warm, cool = upper.medium_temperature, lower.medium_temperature
    if not (isinstance(warm, Figure) and isinstance(cool, Figure)):
        return lower
    wetter = lower
    if isinstance(ours, Figure) and isinstance(theirs, Figure) and ours.value > theirs.value:
        wetter = upper
    both = replace(
        warm,
        value=(warm.value + cool.value) / 2,
        low=min(warm.low, cool.low),
        high=max(warm.high, cool.high),
        basis=f"{BASIS}, mean of both layers",
    )
    return replace(wetter, medium_temperature=both)


def _without_network(
    plan: Plan, species: Mapping[str, Species], conductance: Result, why: Unknown
) -> HeatResults:
    stuck = stuck_on_by_loss(plan, conductance)
    watts: Result = why
    share: Result = why
    if plan.outer_box.ready_built:
        conductance, watts, share = by_loss(plan, conductance)
    heat = replace(
        nothing_known(HeatForecast, why),
        conductance=conductance,
        watts_needed=watts,
        power_share=share,
        stuck_on_temperature=stuck,
        swing=forecast_swing(plan, conductance),
        **forecast_power_cut(plan, species, conductance),
    )
    heat = without_network(plan, heat)
    return HeatResults(heat, nothing_known(EggBoxHeat, why), None, TierOffsets((why, why), (why, why)))


def _power_share(plan: Plan, power: Spread) -> Result:
    if plan.heat.power is None:
        return Unknown("the heater's power is not told", ("heat.power",))
    has = plan.heat.power
    share = Spread(power.value / has, power.low / has, power.high / has, asking(power, WATCH_IT).matters_most)
    basis = "power needed in the coldest room over the heater's power"
    return figure(share, "share", basis, state_at_set_point, least=0.0)


def _stuck_state(
    plan: Plan, setup: HeatSetup, typical: BoxState, structure: Structure
) -> BoxState | Unknown | None:
    """The box with its heater on for good in the warmest room; None where it gets hotter than the formulas reach.

    Starts from the steady box with all rises above the room scaled by the power: wide of the mark by little, so that
    a failure there means heat, not a bad start. The network needs too few watts, so here it gets as many fewer.
    """
    if plan.heat.power is None:
        return Unknown("the heater's power is not told", ("heat.power",))
    power = plan.heat.power / structure.watts
    scale = power / typical.power if typical.power > 0 else 1.0
    expected = [setup.room_high + scale * (node - setup.room_low) for node in typical.temperatures]
    start = replace(typical, power=power, temperatures=tuple(min(node, HOT) for node in expected))
    try:
        return state_at_power(setup.at(at_full_power(plan), setup.room_high), power, start)
    except NoSolution as error:
        return None if max(expected) > HOT else Unknown(reason_of(error))


def _risen(room: float, temperature: float, power: Spread) -> tuple[float, float]:
    """Range of a temperature that a fixed power makes: the rise goes with one over the power that a rise needs."""
    rise = temperature - room
    if power.low <= 0.0:
        return room, temperature + 2.0 * abs(rise)
    return room + rise * power.value / power.high, room + rise * power.value / power.low


def _too_hot() -> Figure:
    basis = f"{STUCK_BASIS}: hotter than the formulas reach"
    return Figure(HOTTEST, HOTTEST, HOTTEST, "temperature", basis, formulas=(state_at_power,))


def _stuck_on(
    setup: HeatSetup, stuck: BoxState | Unknown | None, power: Spread, structure: Structure
) -> Result:
    """The warmest tier of egg boxes; the high end is not below its lid."""
    if stuck is None:
        return _too_hot()
    if isinstance(stuck, Unknown):
        return stuck
    medium, lid = hottest(stuck)
    low, high = _risen(setup.room_high, medium, power)
    high = max(high, medium + structure.difference * (lid - medium))
    basis = "heat balance: the warmest layer of egg boxes in the warmest room"
    matters = asking(power, WATCH_IT).matters_most
    return Figure(medium, low, high, "temperature", basis, matters, (state_at_power,))


def _lid_over(stuck: BoxState | Unknown | None, setup: HeatSetup, structure: Structure) -> float:
    """How much further over the room than the medium a lid lies while the heater is stuck on, as a share of the rise."""
    if not isinstance(stuck, BoxState):
        return 0.0
    medium, lid = hottest(stuck)
    rise = medium - setup.room_high
    return max(structure.difference * (lid - medium) / rise, 0.0) if rise > 0.0 else 0.0


def _colder(plan: Plan, setup: HeatSetup) -> float:
    """Differences in the coldest room over those in the usual one, in which they are measured [-]."""
    room, set_to = plan.room.temperature, setup.base.set_point
    usual = set_to - (setup.room_low if room is None else room.middle)
    return max((set_to - setup.room_low) / usual, 1.0) if usual > 1.0 else 1.0


def _mean_medium(state: BoxState) -> float:
    """Mean medium of the layers [°C]."""
    tiers = [tier.medium for tier in (state.lower, state.upper) if tier is not None]
    return sum(tiers) / len(tiers)


def _full_power_surface(
    setup: HeatSetup, stuck: BoxState | Unknown | None, spreads: Mapping[str, Spread], structure: Structure
) -> Result:
    """The range of the medium, that of the heater's step over it, and what the network leaves open of its whole rise."""
    if stuck is None:
        return _too_hot()
    if isinstance(stuck, Unknown):
        return stuck
    power, step = spreads["power"], spreads["heater step"]
    medium, _ = hottest(stuck)
    low, high = _risen(setup.room_high, medium, power)
    # At the told power the heater of the network is right: it was given as many fewer watts as it misses.
    rise = structure.watts * (stuck.heater - setup.room_high)
    heater = setup.room_high + rise
    watts = structure.watts * stuck.power
    below = math.hypot(medium - low, watts * (step.value - step.low))
    above = math.hypot(high - medium, watts * (step.high - step.value))
    surface = asking(Spread(heater, heater - below, heater + above, power.matters_most), WATCH_IT)
    wide = opened(surface, 1.0, structure.surface_down * rise, structure.surface_up * rise)
    return figure(wide, "temperature", STUCK_BASIS, state_at_power)
