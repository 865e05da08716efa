"""Steady temperatures in a heated box with egg boxes: heater, surfaces, layers of air, and each tier's medium and lid.

The network was held against finite-volume models of whole boxes (tests/referees), never against a real box.
Differences along the box (left to right, corners) are not resolved: allow 0.3 to 0.5 K (practice).
"""

from collections.abc import Sequence

from msgspec import Struct

from advisor.formulas.air.moist_air import ZERO_CELSIUS, check_range
from advisor.formulas.heat.box_faces import is_sheet
from advisor.formulas.heat.box_geometry import Geometry
from advisor.formulas.heat.box_links import build_network
from advisor.formulas.heat.box_setup import BoxSetup
from advisor.formulas.heat.convection import STEFAN_BOLTZMANN
from advisor.formulas.heat.headspace import lid_condensation
from advisor.formulas.heat.heat_balance import (
    HeatNetwork,
    HeldProbe,
    NoSteadyState,
    sensitivities,
    solve_balance,
)
from advisor.formulas.heat.insulated_box import box_conductance

_EMITTER_EMISSIVITY = 0.9  # [-], ceramic and glass; from memory
HOTTEST = 200.0  # °C, above this neither the box nor the formulas last; judgement


class TierState(Struct, frozen=True):
    """One tier: temperatures [°C], lid minus medium [K], water condensing in one box [kg/s].

    medium: mean of surface and base, exact for a straight profile. lid_minus_medium is against that mean,
    lid_minus_surface against the surface. condensation_per_box: on the lid; beside: the air that a probe beside the egg boxes feels.
    """

    medium: float
    surface: float
    base: float
    lid: float
    sides: float
    beside: float
    condensation_per_box: float

    @property
    def lid_minus_medium(self) -> float:
        """Lid minus mean of the medium [K]."""
        return self.lid - self.medium

    @property
    def lid_minus_surface(self) -> float:
        """Lid minus surface of the medium [K]: its sign decides whether the lid gets wet."""
        return self.lid - self.surface


class BoxState(Struct, frozen=True):
    """Steady state of a box: power [W], temperatures [°C], and what follows from them.

    spread [K]: upper minus lower medium, None for one tier. heater: mean surface, of a bulb or emitter a
    rough estimate. ceiling and floor: the bare parts; air: its layers, from below. temperatures: of all nodes, a start
    for the next solution.
    """

    power: float
    heater: float
    ceiling: float
    floor: float
    air: tuple[float, ...]
    lower: TierState
    upper: TierState | None
    spread: float | None
    temperatures: tuple[float, ...]


def probe_of(setup: BoxSetup, geometry: Geometry) -> HeldProbe:
    """What the probe feels: surface and base of the medium alike, or the air beside that tier.

    setup: the box; its geometry. Result: nodes with their weights, and the set point. In a bath: its water.
    """
    if setup.probe == "water":
        return HeldProbe(((geometry.names.index("heater"), 1.0),), setup.set_point)
    tier = geometry.tiers[0 if setup.probe_tier == "lower" else 1]
    if setup.probe == "medium":
        felt = (f"{tier.name} surface", f"{tier.name} base")
    else:
        felt = (f"air {tier.beside_medium}", f"air {tier.beside_headspace}")
    return HeldProbe(tuple((geometry.names.index(name), 0.5) for name in felt), setup.set_point)


# Rise of a node over the room, per rise of the probe and per relative height above it: first guesses.
_TILT = {"lid": 0.45, "floor": -0.05, "in water": -0.02, "one side": 0.2, "all sides": 0.2}


def _first_guess(setup: BoxSetup, geometry: Geometry, rise: float) -> tuple[list[float], float]:
    """Temperatures [°C] and power [W] for a rise of the probe [K], by height."""
    wall = setup.wall_thickness, setup.wall_conductivity
    power = rise * 1.15 * box_conductance(setup.inside, *wall, setup.stands_on)
    if setup.endless:
        power *= 0.6
    tilt, height = _TILT[setup.heat_place], geometry.size[2]
    tiers = {tier.name: tier for tier in geometry.tiers}
    level = tiers[setup.probe_tier].surface / height
    middles = [(low + high) / 2.0 for low, high in zip(geometry.bounds, geometry.bounds[1:], strict=False)]

    def share(name: str) -> float:
        kind, _, part = name.partition(" ")
        if kind in tiers:
            tier = tiers[kind]
            at = {"lid": tier.top, "sides": (tier.surface + tier.top) / 2.0, "base": tier.bottom}
            return 1.0 + tilt * (at.get(part, tier.surface) / height - level)
        if kind in ("air", "wall"):
            return (1.0 if kind == "air" else 0.95) + tilt * (middles[int(part)] / height - level)
        return {"ceiling": 1.0 + tilt * (1.0 - level), "floor": 0.9 - tilt * level}.get(name, 1.0)

    temperatures = [setup.room + rise * share(name) for name in geometry.names]
    if is_sheet(setup):
        for node in range(geometry.names.index("heater"), len(temperatures)):
            temperatures[node] = setup.room + rise + power / (7.0 * max(geometry.heater, 1e-4))
    return temperatures, power


def state_at_set_point(setup: BoxSetup, start: BoxState | None = None) -> BoxState:
    """Steady state with the probe held at the set point: the power is found.

    setup: the box; start: a solution of a similar box, which saves time, or None. Result: the state.
    Proportional control, or the mean of on-off control. Heater of any power: compare the result with what it
    has.
    Raises NoSteadyState when the room is warmer than the set point, when a part would pass 200 °C or no
    solution is found; ValueError when the set-up is out of range.
    Reference: energy balance of every node; see `box_links` and `heat_balance`.
    """
    network = build_network(setup)
    if setup.room > setup.set_point:
        raise NoSteadyState(
            f"The room is at {setup.room:.1f} °C and the set point is {setup.set_point:.1f} °C. "
            "The box can only heat, not cool: it cannot be colder than its room."
        )
    if setup.room == setup.set_point and not setup.fan_power:
        return _state(setup, network, [setup.room] * len(network.names), 0.0)
    geometry = network.geometry
    guess = _first_guess(setup, geometry, setup.set_point - setup.room)
    if start is not None and len(start.temperatures) == len(network.names):
        guess = list(start.temperatures), start.power
    temperatures, power = solve_balance(network, setup.room, *guess, probe_of(setup, geometry))
    if power < 0.0:
        raise NoSteadyState("The heat of the fan alone keeps this box above its set point.")
    return _state(setup, network, temperatures, power)


def moved_states(setup: BoxSetup, state: BoxState, changed: Sequence[BoxSetup]) -> list[BoxState]:
    """States of boxes that differ from a solved one in some input, to first order, without solving again.

    setup, state: the solved box, held at its set point; changed: the same nodes with other inputs, room or
    probe. Result: their states; the balance of each is left with what is of second order.
    Raises ValueError when a set-up is out of range. Reference: `heat_balance.sensitivities`.
    """
    network = build_network(setup)
    networks = [build_network(other, network.geometry) for other in changed]
    steps = sensitivities(
        network,
        setup.room,
        (state.temperatures, state.power),
        [
            (its_network, other.room, probe_of(other, network.geometry))
            for its_network, other in zip(networks, changed, strict=True)
        ],
    )
    return [
        _state(
            other,
            its_network,
            [t + step for t, step in zip(state.temperatures, moved, strict=True)],
            state.power + more,
        )
        for other, its_network, (moved, more) in zip(changed, networks, steps, strict=True)
    ]


def state_at_power(setup: BoxSetup, power: float, start: BoxState | None = None) -> BoxState:
    """Steady state with the heater always on, as when a controller sticks; set point and probe do not matter.

    setup: the box; power [W], 0 to 2000; start: a solution of a similar box, or None. Result: the state.
    Air properties are those at about 30 °C: a box at 60 °C loses somewhat more by its films, so hot results
    err to the hot side.
    Raises NoSteadyState when any part but a bulb passes 200 °C or no solution is found; ValueError when out
    of range.
    Reference: as `state_at_set_point`.
    """
    check_range("power", power, 0.0, 2000.0, "W")
    network = build_network(setup)
    if power == 0.0 and not setup.fan_power:
        return _state(setup, network, [setup.room] * len(network.names), 0.0)
    if start is not None and len(start.temperatures) == len(network.names):
        guess = list(start.temperatures)
    else:
        guess, expected = _first_guess(setup, network.geometry, 10.0)
        guess = [setup.room + (value - setup.room) * power / expected for value in guess]
    temperatures, _ = solve_balance(network, setup.room, guess, power)
    return _state(setup, network, temperatures, power)


def _emitter_temperature(setup: BoxSetup, power: float, surroundings: float) -> float:
    """Surface of a bulb or emitter that radiates its share of the power; grey body, Stefan-Boltzmann law."""
    flux = (
        setup.uncertain.radiant_share
        * (1.0 - setup.floor_share)
        * power
        / (setup.heater_area * _EMITTER_EMISSIVITY * STEFAN_BOLTZMANN)
    )
    return float((flux + (surroundings + ZERO_CELSIUS) ** 4) ** 0.25 - ZERO_CELSIUS)


def _heater_temperature(setup: BoxSetup, network: HeatNetwork, t: Sequence[float]) -> float:
    """Mean face of a sheet; of one in the lid and one on the floor the hotter.

    The network warms the floor as one: over the air, a sheet that covers a part of it is as much warmer as its watts are denser.
    """
    above = 1.0 - setup.floor_share
    parts = [
        (network.sources[node], t[node])
        for node, name in enumerate(network.names)
        if name.startswith("heater")
    ]
    face = sum(share * value for share, value in parts) / above
    if not setup.floor_share:
        return face
    floor, air = (t[network.names.index(name)] for name in ("floor", "air 0"))
    denser = network.geometry.size[0] * network.geometry.size[1] / setup.floor_heater_area
    return max(face, air + (floor - air) * denser)


def _state(setup: BoxSetup, network: HeatNetwork, t: list[float], power: float) -> BoxState:
    if max(t) > HOTTEST:
        raise NoSteadyState(
            f"At {power:.0f} W, parts of this box would pass {HOTTEST:.0f} °C: more than the box or "
            "this forecast bears."
        )
    at = dict(zip(network.names, t, strict=True))
    tiers = []
    for space, place, boxes in zip(
        network.headspaces, network.geometry.tiers, (setup.lower, setup.upper), strict=False
    ):
        assert boxes is not None
        name = place.name
        surface, base, lid = (at[f"{name} {part}"] for part in ("surface", "base", "lid"))
        tiers.append(
            TierState(
                medium=(surface + base) / 2.0,
                surface=surface,
                base=base,
                lid=lid,
                sides=at[f"{name} sides"],
                beside=(at[f"air {place.beside_medium}"] + at[f"air {place.beside_headspace}"]) / 2.0,
                condensation_per_box=lid_condensation(space, surface, lid) / boxes.count,
            )
        )
    lower, upper = tiers[0], tiers[1] if len(tiers) > 1 else None
    air = tuple(at[f"air {number}"] for number in range(len(network.geometry.depths)))
    return BoxState(
        power=power,
        heater=_heater_temperature(setup, network, t)
        if "heater" in at
        else _emitter_temperature(setup, power, air[-1]),
        ceiling=at["ceiling"],
        floor=at["floor"],
        air=air,
        lower=lower,
        upper=upper,
        spread=upper.medium - lower.medium if upper is not None else None,
        temperatures=tuple(t),
    )
