"""Steady heat balance of nodes joined by heat links: Newton's method with exact slopes.

Every link but the sinking flow of a plume carries heat as a rising function of a temperature difference, and
that flow only brings each layer the temperature of the one above. So the matrix of slopes has positive
diagonals and negative entries beside them, outweighed by the diagonal (an M-matrix): it can be solved without
exchanging rows. Once solved, its slopes also tell how every temperature moves with every input.
"""

import math
from collections.abc import Sequence
from operator import mul
from typing import NamedTuple

from msgspec import Struct

from advisor.formulas.air.moist_air import (
    ZERO_CELSIUS,
    NoSolution,
    saturation_vapour_density,
    saturation_vapour_density_slope,
)
from advisor.formulas.heat.box_geometry import Geometry
from advisor.formulas.heat.convection import CRITICAL_RAYLEIGH, RAYLEIGH_PER_KELVIN, STEFAN_BOLTZMANN
from advisor.formulas.heat.headspace import Headspace, headspace_flows
from advisor.formulas.numerics.matrices import Matrix, eliminate

_MOST_STEPS = 60
_TOLERANCE = 1e-11  # [-], largest imbalance of a node, as a share of the power
_LEAST_POWER = 0.1  # W, below which the imbalance is held to 1e-12 W, safely above rounding
_LATENT_HEAT = 1e3 * (2500.9 - 2.361 * 30.0)  # J/kg, of the vapour in the outer box; straight line at 30 °C


class NoSteadyState(NoSolution):
    """The set-up has no steady temperatures to report; the message says why in plain words."""


class Film(NamedTuple):
    """A surface and its air: h = still + factor x |dT|^exponent, not below least [W/(m2 K)]; then a thin wall.

    The factor and the exponent depend on which side is warmer. area [m2], series_resistance [m2 K/W].
    """

    node: int
    other: int
    area: float
    still: float
    least: float
    warm_factor: float
    warm_exponent: float
    cold_factor: float
    cold_exponent: float
    series_resistance: float


class Gap(NamedTuple):
    """A narrow gap of air [m] between two level faces: conductance at rest [W/K], more where cells turn."""

    lower: int
    upper: int
    conductance: float
    gap: float


class AirLayers(NamedTuple):
    """Two neighbouring layers of air: exchange [W/K] while the lower is the warmer, and while the upper is."""

    lower: int
    upper: int
    rise: float
    fall: float


class Plume(NamedTuple):
    """Air that rises from a heater: its heat goes to the top, and a flow sinks back layer by layer.

    heater; layer: the air it starts from; layers: from that one up to the highest; film as in `Film`:
    conductance area x (still + factor x dT^exponent); excess [-]: warmth of the current over that of the
    heater.
    """

    heater: int
    layers: tuple[int, ...]
    area: float
    still: float
    least: float
    factor: float
    exponent: float
    excess: float


class VapourPath(NamedTuple):
    """Vapour that leaves a wet surface or settles on a cool one; the air's own node is at its dew point.

    speed [m/s], area [m2]. Without `both_ways` vapour only goes from `node` to `other`.
    """

    node: int
    other: int
    area: float
    speed: float
    both_ways: bool


class VapourLeak(NamedTuple):
    """Vapour that the moist air of the box loses to the room: node of its dew point, exchange [m3/s], vapour of the room [kg/m3]."""

    node: int
    exchange: float
    room_density: float


class HeatNetwork(Struct, frozen=True):
    """Nodes and links: constant conductances [W/K] as a matrix, to the room as a list, and links that vary.

    exchange [m2]: of radiation, rows of zeros for nodes that do not radiate; sources [-]: shares of the
    heater's power; given [W]: heat of each node besides, as from a fan; geometry: of the box.
    """

    names: tuple[str, ...]
    matrix: tuple[tuple[float, ...], ...]
    exchange: tuple[tuple[float, ...], ...]
    to_room: tuple[float, ...]
    sources: tuple[float, ...]
    given: tuple[float, ...]
    films: tuple[Film, ...]
    gaps: tuple[Gap, ...]
    air_layers: tuple[AirLayers, ...]
    plumes: tuple[Plume, ...]
    headspaces: tuple[Headspace, ...]
    vapour_paths: tuple[VapourPath, ...]
    geometry: Geometry
    vapour_leak: VapourLeak | None = None


def _held(temperature: float) -> float:
    return min(max(temperature, 0.0), 100.0)


def _gap_heat(gap: Gap, difference: float) -> tuple[float, float]:
    """Heat [W] upwards through a gap and its slope [W/K]; difference [K], lower minus upper. Hollands 1976."""
    rayleigh = RAYLEIGH_PER_KELVIN * difference * gap.gap**3
    if rayleigh <= CRITICAL_RAYLEIGH:
        return gap.conductance * difference, gap.conductance
    cells = 1.0 + 1.44 * (1.0 - CRITICAL_RAYLEIGH / rayleigh)
    slope = 1.0 + 1.44  # of Nu x dT: the 1708/Ra part is constant
    if rayleigh > 5830.0:
        root = math.cbrt(rayleigh / 5830.0)
        cells += root - 1.0
        slope += 4.0 / 3.0 * root - 1.0
    return gap.conductance * cells * difference, gap.conductance * slope


def balance(network: HeatNetwork, room: float, temperatures: Sequence[float]) -> tuple[list[float], Matrix]:
    """Heat that leaves each node by its links: its heater power in a steady state.

    network: nodes and links; room [°C]; temperatures [°C] of the nodes. Result: outflow [W] of each node, and
    its slopes [W/K] against the temperature of every node. Reference: energy balance.
    """
    steeper = [4.0 * STEFAN_BOLTZMANN * (value + ZERO_CELSIUS) ** 3 for value in temperatures]
    slopes = [
        [g + k * s for g, k, s in zip(row, sight, steeper, strict=True)] if sight else list(row)
        for row, sight in zip(network.matrix, network.exchange, strict=True)
    ]
    return _outflows(network, room, temperatures, slopes), slopes


def _outflows(network: HeatNetwork, room: float, t: Sequence[float], slopes: Matrix) -> list[float]:
    """The outflows [W] alone; to the slopes it adds those of all but constant links and radiation."""
    emitted = [STEFAN_BOLTZMANN * (value + ZERO_CELSIUS) ** 4 for value in t]
    flows = [
        sum(map(mul, row, t)) - out * room - heat + (sum(map(mul, sight, emitted)) if sight else 0.0)
        for row, sight, out, heat in zip(
            network.matrix, network.exchange, network.to_room, network.given, strict=True
        )
    ]
    _add_films(network, t, flows, slopes)
    for plume in network.plumes:
        _add_plume(plume, t, flows, slopes)
    for space in network.headspaces:
        headspace_flows(space, t, flows, slopes)
    for path in network.vapour_paths:
        flow, slope_i, slope_j = _vapour_heat(path, t[path.node], t[path.other])
        _add(path.node, path.other, flow, slope_i, slope_j, flows, slopes)
    if (leak := network.vapour_leak) is not None:
        flows[leak.node] += vapour_heat_lost(network, t)
        slope = saturation_vapour_density_slope(_held(t[leak.node]))
        slopes[leak.node][leak.node] += _LATENT_HEAT * leak.exchange * slope
    return flows


def _add(
    i: int, j: int, flow: float, slope_i: float, slope_j: float, flows: list[float], slopes: Matrix
) -> None:
    flows[i] += flow
    flows[j] -= flow
    slopes[i][i] += slope_i
    slopes[i][j] -= slope_j
    slopes[j][i] -= slope_i
    slopes[j][j] += slope_j


def _add_films(network: HeatNetwork, t: Sequence[float], flows: list[float], slopes: Matrix) -> None:
    """Films, gaps and neighbouring layers of air: flows that depend on one difference."""
    found: list[tuple[int, int, float, float]] = []
    for i, j, area, still, least, warm, warm_power, cold, cold_power, series in network.films:
        difference = t[i] - t[j]
        if difference >= 0.0:
            moving, power = warm * difference**warm_power, warm_power
        else:
            moving, power = cold * (-difference) ** cold_power, cold_power
        film = still + moving
        if film < least:
            film, moving = least, 0.0
        softening = 1.0 / (1.0 + film * series)
        conductance = area * film * softening
        slope = conductance + area * power * moving * softening * softening
        found.append((i, j, conductance * difference, slope))
    for gap in network.gaps:
        flow, slope = _gap_heat(gap, t[gap.lower] - t[gap.upper])
        found.append((gap.lower, gap.upper, flow, slope))
    for i, j, rise, fall in network.air_layers:
        difference = t[i] - t[j]
        slope = rise if difference > 0.0 else fall
        found.append((i, j, slope * difference, slope))
    for i, j, flow, slope in found:
        flows[i] += flow
        flows[j] -= flow
        one, other = slopes[i], slopes[j]
        one[i] += slope
        one[j] -= slope
        other[i] -= slope
        other[j] += slope


def _add_plume(plume: Plume, t: Sequence[float], flows: list[float], slopes: Matrix) -> None:
    heater, first, top = plume.heater, plume.layers[0], plume.layers[-1]
    difference = t[heater] - t[first]
    moving = plume.area * plume.factor * max(difference, 0.0) ** plume.exponent
    conductance = plume.area * plume.still + moving
    if conductance < plume.area * plume.least:
        conductance, moving = plume.area * plume.least, 0.0
    flow, slope = conductance * difference, conductance + plume.exponent * moving
    if difference <= 0.0:
        _add(heater, first, flow, slope, slope, flows, slopes)
        return
    # The heat passes the air it starts from and reaches the highest layer.
    flows[heater] += flow
    flows[top] -= flow
    for node, sign in ((heater, 1.0), (top, -1.0)):
        slopes[node][heater] += sign * slope
        slopes[node][first] -= sign * slope
    # The current, as heat capacity [W/K], and how it grows with the difference.
    current = conductance / plume.excess
    growth = plume.exponent * moving / difference / plume.excess
    pairs = [(low, high) for low, high in zip(plume.layers, plume.layers[1:], strict=False)]
    for into, source in (*pairs, (top, first)):
        if into == source:
            continue
        step = t[into] - t[source]
        flows[into] += current * step
        row = slopes[into]
        row[into] += current
        row[source] -= current
        row[heater] += growth * step
        row[first] -= growth * step


def vapour_flow(path: VapourPath, node: float, other: float) -> float:
    """Vapour that moves along a path.

    path: the path; node, other [°C], held to 0 to 100 °C. Result [kg/s]. Reference: speed x vapour density
    difference.
    """
    surplus = saturation_vapour_density(_held(node)) - saturation_vapour_density(_held(other))
    return path.area * path.speed * (surplus if path.both_ways else max(surplus, 0.0))


def vapour_heat_lost(network: HeatNetwork, temperatures: Sequence[float]) -> float:
    """Heat that vapour carries into the room.

    network: nodes and links; temperatures [°C] of the nodes, held to 0 to 100 °C. Result [W], 0 without a leak.
    Reference: exchange of air x vapour density difference x latent heat.
    """
    leak = network.vapour_leak
    if leak is None:
        return 0.0
    surplus = saturation_vapour_density(_held(temperatures[leak.node])) - leak.room_density
    return _LATENT_HEAT * leak.exchange * surplus


def _vapour_heat(path: VapourPath, node: float, other: float) -> tuple[float, float, float]:
    # One latent heat for all paths: what the air's dew-point node takes in as heat it then gives off as well.
    if not path.both_ways and node <= other:
        return 0.0, 0.0, 0.0
    scale = _LATENT_HEAT * path.area * path.speed
    slope_i = scale * saturation_vapour_density_slope(_held(node))
    slope_j = scale * saturation_vapour_density_slope(_held(other))
    return _LATENT_HEAT * vapour_flow(path, node, other), slope_i, slope_j


class HeldProbe(Struct, frozen=True):
    """What the thermostat holds: weights of the nodes its probe feels, 1 in total, and the set point [°C]."""

    weights: tuple[tuple[int, float], ...]
    set_point: float

    def off_target(self, temperatures: Sequence[float]) -> float:
        """How far the probe is below the set point [K]. temperatures [°C] of the nodes."""
        return self.set_point - self.feels(temperatures)

    def feels(self, values: Sequence[float]) -> float:
        """Weighted mean of values of the nodes."""
        return sum(weight * values[node] for node, weight in self.weights)


def _bordered(
    rows: list[list[float]], size: int, probes: Sequence[HeldProbe | None], missing: Sequence[float]
) -> list[tuple[list[float], float]]:
    """Steps of temperatures and power for every column after the first, which is the effect of one watt."""
    eliminate(rows, size)
    watt = [row[size] for row in rows]
    found = []
    for column, (probe, lacks) in enumerate(zip(probes, missing, strict=True), start=size + 1):
        step = [row[column] for row in rows]
        power = 0.0
        if probe is not None:
            power = (lacks - probe.feels(step)) / probe.feels(watt)
            step = [s + power * w for s, w in zip(step, watt, strict=True)]
        found.append((step, power))
    return found


def solve_balance(
    network: HeatNetwork, room: float, start: Sequence[float], power: float, probe: HeldProbe | None = None
) -> tuple[list[float], float]:
    """Steady temperatures of a network, with the power known or with the probe held at its set point.

    network: nodes and links; room [°C]; start: first guess of the temperatures [°C]; power [W]: known, or a
    first guess when probe is given. Result: temperatures [°C] and power [W].
    Raises NoSteadyState when the steps do not settle. Reference: damped Newton's method.
    """
    size = len(network.names)
    sources = network.sources
    temperatures = list(start)

    def misfit(flows: list[float], heater: float) -> list[float]:
        return [flow - heater * share for flow, share in zip(flows, sources, strict=True)]

    flows, slopes = balance(network, room, temperatures)
    errors = misfit(flows, power)
    for _ in range(_MOST_STEPS):
        off_target = 0.0 if probe is None else probe.off_target(temperatures)
        if max(map(abs, errors)) <= _TOLERANCE * max(abs(power), _LEAST_POWER) and abs(off_target) < 1e-11:
            return temperatures, power
        rows = [[*row, share, -error] for row, error, share in zip(slopes, errors, sources, strict=True)]
        ((steps, more_power),) = _bordered(rows, size, [probe], [off_target])
        size_before = sum([e * e for e in errors])
        part = 1.0
        while True:
            trial = [t + part * step for t, step in zip(temperatures, steps, strict=True)]
            trial_power = power + part * more_power
            flows, slopes = balance(network, room, trial)
            errors = misfit(flows, trial_power)
            if part < 0.05 or sum([e * e for e in errors]) <= size_before:
                break
            part *= 0.5
        temperatures, power = trial, trial_power
    raise NoSteadyState(
        "The heat balance of this box could not be solved. Check the sizes of the box, the heater "
        "and the egg boxes."
    )


def sensitivities(
    network: HeatNetwork,
    room: float,
    solution: tuple[Sequence[float], float],
    changed: Sequence[tuple[HeatNetwork, float, HeldProbe | None]],
) -> list[tuple[list[float], float]]:
    """How a solution moves when its inputs change, to first order, without solving again.

    network, room [°C], solution: temperatures [°C] and power [W] of the solved box; changed: the same network
    with an input changed, its room and its probe, None for a fixed power. Result: for each, steps of
    temperatures [K] and power [W]. The slopes are factorised once.
    Reference: implicit function theorem, dT = -J^-1 dF; JCGM 100:2008, 5.1.3.
    """
    temperatures, power = solution
    _, slopes = balance(network, room, temperatures)
    columns, missing, unread = [], [], [row[:] for row in slopes]
    for other, its_room, probe in changed:
        flows = _outflows(other, its_room, temperatures, unread)
        columns.append([power * share - flow for flow, share in zip(flows, other.sources, strict=True)])
        missing.append(0.0 if probe is None else probe.off_target(temperatures))
    rows = [
        [*row, share, *(column[i] for column in columns)]
        for i, (row, share) in enumerate(zip(slopes, network.sources, strict=True))
    ]
    return _bordered(rows, len(network.names), [probe for _, _, probe in changed], missing)
