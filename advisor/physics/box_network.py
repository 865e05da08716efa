"""Steady temperatures in a heated box with egg boxes: heater, surfaces, air, and each tier's medium and lid.

The network was never checked against a real box. Rely on the sign of lid minus medium; take its size, and the
spread between tiers, as good to 40 %; let the keeper measure. Differences along the box (left to right,
corners) are not resolved: allow 0.3 to 0.5 K (practice).
"""

from typing import Literal

from advisor.frozen import dataclass
from advisor.physics.box_links import build_network
from advisor.physics.box_setup import POINT_SOURCES, BoxSetup, EggBoxes, Uncertain
from advisor.physics.convection import AIR_CONDUCTIVITY, STEFAN_BOLTZMANN
from advisor.physics.heat_balance import (
    HeatNetwork,
    NoSteadyState,
    headspace_condensation,
    headspace_heat,
    solve_balance,
    vapour_flow,
)
from advisor.physics.moist_air import ZERO_CELSIUS, check_range

__all__ = [
    "BoxSetup", "BoxState", "EggBoxes", "Losses", "NoSteadyState", "TierState", "Uncertain",
    "grams_per_day", "state_at_power", "state_at_set_point",
]  # fmt: skip

_EMITTER_EMISSIVITY = 0.9  # [-], ceramic and glass; from memory
_HOTTEST = 200.0  # °C, above this neither the box nor the formulas last; judgement


@dataclass(frozen=True, slots=True)
class TierState:
    """One tier: temperatures [°C], lid minus medium [K], water condensing under one lid [kg/s].

    lid_minus_medium is against the mean of the medium; lid_minus_surface against its surface, nearer to zero,
    with the same sign.
    """

    medium: float
    lid: float
    lid_minus_medium: float
    lid_minus_surface: float
    condensation_per_box: float


@dataclass(frozen=True, slots=True)
class Losses:
    """Heat [W] that leaves by each way; heater_backing goes straight through the wall behind the heater."""

    ceiling: float
    sides: float
    floor: float
    heater_backing: float
    leaks: float


@dataclass(frozen=True, slots=True)
class BoxState:
    """Steady state of a box: power [W], temperatures [°C], and what follows from them.

    spread [K]: upper minus lower medium, None for one tier. heater: mean surface, of a bulb or emitter a
    rough estimate. floor and ceiling are the bare parts. wall_condensation [kg/s] settles outside the egg
    boxes over a water bath. energy_residual [W]: power and egg heat less all losses. reliability: "fair",
    "rough" or "roughest"; where it is not "fair" the sign of lid minus medium is uncertain too. temperatures:
    of all nodes, a start for the next solution.
    """

    power: float
    heater: float
    ceiling: float
    upper_sides: float
    lower_sides: float
    floor: float
    upper_air: float
    lower_air: float
    lower: TierState
    upper: TierState | None
    spread: float | None
    wall_condensation: float
    losses: Losses
    energy_residual: float
    reliability: Literal["fair", "rough", "roughest"]
    temperatures: tuple[float, ...]


def grams_per_day(flow: float) -> float:
    """A flow of water in the unit keepers weigh in. flow [kg/s]. Result [g/day]. Reference: 86400 s a day."""
    return flow * 86400e3


def _reliability(setup: BoxSetup) -> Literal["fair", "rough", "roughest"]:
    if setup.heat_source in POINT_SOURCES or setup.heat_place == "in water":
        return "roughest"
    return "rough" if setup.heat_place in ("one side", "all sides") else "fair"


# First guesses as multiples of (set point - room), from the reference solutions of lid and floor heat.
_GUESS_LID = {
    "heater": 1.25, "ceiling": 0.0, "floor": -0.04, "upper sides": 0.09, "lower sides": -0.08,
    "upper lid": 0.30, "upper medium": 0.18, "lower lid": 0.04, "lower medium": 0.0,
    "upper air": 0.25, "lower air": 0.03, "dew point": 0.0,
}  # fmt: skip
_GUESS_FLOOR = {
    "heater": 0.64, "ceiling": -0.21, "floor": -0.24, "upper sides": -0.23, "lower sides": -0.15,
    "upper lid": -0.14, "upper medium": -0.11, "lower lid": -0.04, "lower medium": 0.0,
    "upper air": -0.08, "lower air": -0.02, "dew point": -0.05,
}  # fmt: skip


def _first_guess(setup: BoxSetup, network: HeatNetwork, level: float, start: BoxState | None) -> list[float]:
    if start is not None and len(start.temperatures) == len(network.names):
        return list(start.temperatures)
    shape = _GUESS_FLOOR if setup.heat_place in ("floor", "in water") else _GUESS_LID
    return [level + shape[name] * (level - setup.room) for name in network.names]


def state_at_set_point(setup: BoxSetup, start: BoxState | None = None) -> BoxState:
    """Steady state with the probe held at the set point: the power is found.

    setup: the box; start: a solution of a similar box, which saves time, or None. Result: the state.
    Proportional control, or the mean of on-off control. Heater of any power: compare the result with what it
    has.
    Raises NoSteadyState when the room is warmer than the set point, when eggs alone keep the probe above it,
    when a part would pass 200 °C or no solution is found; ValueError when the set-up is out of range.
    Reference: energy balance of every node; see `box_links` and `heat_balance`.
    """
    network = build_network(setup)
    own_heat = sum(network.own_heat)
    if setup.room > setup.set_point:
        raise NoSteadyState(
            f"The room is at {setup.room:.1f} °C and the set point is {setup.set_point:.1f} °C. "
            "The box can only heat, not cool: it cannot be colder than its room."
        )
    if setup.room == setup.set_point and own_heat == 0.0:
        return _state(setup, network, [setup.room] * len(network.names), 0.0)
    name = f"{setup.probe_tier} {setup.probe}"
    guess = _first_guess(setup, network, setup.set_point, start)
    temperatures, power = solve_balance(
        network,
        setup.room,
        guess,
        start.power if start is not None else setup.set_point - setup.room,
        network.names.index(name),
        setup.set_point,
    )
    if power < 0.0:
        raise NoSteadyState(
            f"The room at {setup.room:.1f} °C and the warmth of the eggs keep the probe above the set point "
            f"of {setup.set_point:.1f} °C, even with the heater off."
        )
    return _state(setup, network, temperatures, power)


def state_at_power(setup: BoxSetup, power: float, start: BoxState | None = None) -> BoxState:
    """Steady state with the heater always on, as when a controller sticks; set point and probe do not matter.

    setup: the box; power [W], 0 to 2000; start: a solution of a similar box, or None. Result: the state.
    Films and radiation are those at about 30 °C: a box at 60 °C loses somewhat more, so hot results err to
    the hot side.
    Raises NoSteadyState when any part but a bulb passes 200 °C or no solution is found; ValueError when out
    of range.
    Reference: as `state_at_set_point`.
    """
    check_range("power", power, 0.0, 2000.0, "W")
    network = build_network(setup)
    if power == 0.0 and sum(network.own_heat) == 0.0:
        return _state(setup, network, [setup.room] * len(network.names), 0.0)
    guess = _first_guess(setup, network, setup.room + power, start)
    temperatures, _ = solve_balance(network, setup.room, guess, power)
    return _state(setup, network, temperatures, power)


def _tier(boxes: EggBoxes, network: HeatNetwork, number: int, t: list[float]) -> TierState:
    space = network.headspaces[number]
    medium, lid = t[space.medium], t[space.lid]
    difference = lid - medium
    # Half of the medium's depth lies between its mean and its surface, in series with the headspace.
    per_degree = (
        abs(headspace_heat(space, medium, lid) / (space.area * difference))
        if difference != 0.0
        else space.radiation + AIR_CONDUCTIVITY / space.gap
    )
    resistance = boxes.medium_depth / 2.0 / boxes.medium_conductivity
    return TierState(
        medium=medium,
        lid=lid,
        lid_minus_medium=difference,
        lid_minus_surface=difference / (1.0 + per_degree * resistance),
        condensation_per_box=headspace_condensation(space, medium, lid) / boxes.count,
    )


def _emitter_temperature(setup: BoxSetup, power: float, surroundings: float) -> float:
    """Surface of a bulb or emitter that radiates its share of the power; grey body, Stefan-Boltzmann law."""
    flux = (
        setup.uncertain.radiant_share * power / (setup.heater_area * _EMITTER_EMISSIVITY * STEFAN_BOLTZMANN)
    )
    return float((flux + (surroundings + ZERO_CELSIUS) ** 4) ** 0.25 - ZERO_CELSIUS)


def _state(setup: BoxSetup, network: HeatNetwork, t: list[float], power: float) -> BoxState:
    if max(t) > _HOTTEST:
        raise NoSteadyState(
            f"At {power:.0f} W, parts of this box would pass {_HOTTEST:.0f} °C: more than the box or "
            "this forecast bears."
        )
    at = dict(zip(network.names, t, strict=True))
    loss = {
        name: conductance * (value - setup.room)
        for name, conductance, value in zip(network.names, network.to_room, t, strict=True)
    }
    losses = Losses(
        ceiling=loss["ceiling"],
        sides=loss["upper sides"] + loss["lower sides"],
        floor=loss["floor"],
        heater_backing=loss.get("heater", 0.0),
        leaks=loss["upper air"] + loss["lower air"],
    )
    lower = _tier(setup.lower, network, 0, t)
    upper = _tier(setup.upper, network, 1, t) if setup.upper is not None else None
    settled = sum(
        vapour_flow(path, t[path.node], t[path.other]) for path in network.vapour_paths if not path.both_ways
    )
    return BoxState(
        power=power,
        heater=at["heater"] if "heater" in at else _emitter_temperature(setup, power, at["upper air"]),
        ceiling=at["ceiling"],
        upper_sides=at["upper sides"],
        lower_sides=at["lower sides"],
        floor=at["floor"],
        upper_air=at["upper air"],
        lower_air=at["lower air"],
        lower=lower,
        upper=upper,
        spread=upper.medium - lower.medium if upper is not None else None,
        wall_condensation=settled,
        losses=losses,
        energy_residual=power + sum(network.own_heat) - sum(loss.values()),
        reliability=_reliability(setup),
        temperatures=tuple(t),
    )
