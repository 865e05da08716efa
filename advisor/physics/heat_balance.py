"""Steady heat balance of a few nodes joined by heat links: Newton's method with exact slopes.

Every link carries heat from one node to another as a rising function of their temperature difference. So the
matrix of slopes has positive diagonals and negative entries beside them, outweighed by the diagonal (an
M-matrix): it can be solved without exchanging rows, and more heat never cools a node. That makes the method
safe and fast.
"""

import math
from collections.abc import Sequence

from advisor.frozen import dataclass
from advisor.physics.convection import (
    AIR_CONDUCTIVITY,
    CRITICAL_RAYLEIGH,
    RAYLEIGH_PER_KELVIN,
    layer_condensation,
    layer_nusselt,
    rayleigh_number,
)
from advisor.physics.moist_air import (
    saturation_pressure,
    saturation_vapour_density,
    saturation_vapour_density_slope,
    virtual_temperature,
)

_MOST_STEPS = 60
_TOLERANCE = 1e-9  # [-], largest imbalance of a node, as a share of the power
_LEAST_POWER = 0.01  # W, below which the imbalance is held to 1e-11 W, safely above rounding
_SLOPE_STEP = 1e-4  # K, for the numerical slopes of the headspace


class NoSteadyState(Exception):
    """The set-up has no steady temperatures to report; the message says why in plain words."""


@dataclass(frozen=True, slots=True)
class Film:
    """A surface and its air: h = still + factor x |dT|^exponent [W/(m2 K)], in series with a thin wall.

    The factor and the exponent depend on which side is warmer. area [m2], series_resistance [m2 K/W].
    """

    node: int
    other: int
    area: float
    still: float
    warm_factor: float
    warm_exponent: float
    cold_factor: float
    cold_exponent: float
    series_resistance: float


@dataclass(frozen=True, slots=True)
class AirLayers:
    """Lower and upper air over area [m2], each depth [m] high.

    rise [W/K]: least exchange while the lower air is warmer; fall [W/K]: exchange while the upper is; factor
    [-] on the convection cells.
    """

    lower: int
    upper: int
    area: float
    depth: float
    factor: float
    rise: float
    fall: float


@dataclass(frozen=True, slots=True)
class Headspace:
    """Medium and lid of the egg boxes of a tier, with the air layer between them.

    area [m2], gap [m], radiation [W/(m2 K)], water_potential [Pa] of the medium, factor [-] on the layer.
    """

    medium: int
    lid: int
    area: float
    gap: float
    radiation: float
    water_potential: float
    factor: float


@dataclass(frozen=True, slots=True)
class VapourPath:
    """Vapour that leaves a wet surface or settles on a cool one; the air's own node is at its dew point.

    speed [m/s], area [m2]. Without `both_ways` vapour only goes from `node` to `other`.
    """

    node: int
    other: int
    area: float
    speed: float
    both_ways: bool


@dataclass(frozen=True, slots=True)
class HeatNetwork:
    """Nodes and links: constant conductances [W/K] as a matrix, to the room as a list, and links that vary.

    sources [-]: shares of the heater's power; own_heat [W]: heat of the eggs.
    """

    names: tuple[str, ...]
    matrix: tuple[tuple[float, ...], ...]
    to_room: tuple[float, ...]
    sources: tuple[float, ...]
    own_heat: tuple[float, ...]
    films: tuple[Film, ...]
    air_layers: AirLayers
    headspaces: tuple[Headspace, ...]
    vapour_paths: tuple[VapourPath, ...]


def _latent_heat(temperature: float) -> float:
    """As `moist_air.latent_heat`, also outside its range: steps of the iteration may pass it."""
    return 1e3 * (2500.9 - 2.361 * temperature)


def _in_range(temperature: float) -> float:
    return min(max(temperature, 0.0), 100.0)


def headspace_condensation(space: Headspace, medium: float, lid: float) -> float:
    """Water that condenses on the lids of a tier.

    space: the headspace; medium, lid [°C], held to 0 to 100 °C. Result [kg/s] for all boxes of the tier.
    Reference: `convection.layer_condensation`.
    """
    if lid >= medium:
        return 0.0
    rate = layer_condensation(
        _in_range(medium), _in_range(lid), space.gap, space.water_potential, space.factor
    )
    return space.area * rate


def headspace_heat(space: Headspace, medium: float, lid: float) -> float:
    """Heat from the medium to the lids of a tier: air layer, radiation and dew.

    space: the headspace; medium, lid [°C]. Result [W]. A layer heated from above stands still (Nu = 1).
    Reference: Hollands et al. 1976 on virtual temperatures; see `convection.layer_condensation`.
    """
    difference = medium - lid
    nusselt = 1.0
    if difference > 0.0:
        drive = _saturated_virtual(medium) - _saturated_virtual(lid)
        nusselt = layer_nusselt(min(rayleigh_number(drive, space.gap), 1e8))
    layer = space.factor * nusselt * AIR_CONDUCTIVITY / space.gap
    dew = headspace_condensation(space, medium, lid)
    return space.area * (layer + space.radiation) * difference + dew * _latent_heat(0.5 * (medium + lid))


def _saturated_virtual(temperature: float) -> float:
    held = _in_range(temperature)
    return virtual_temperature(held, saturation_pressure(held))


def _air_layers_heat(layers: AirLayers, difference: float) -> tuple[float, float]:
    """Heat [W] from lower to upper air and its slope [W/K]; difference [K], lower minus upper."""
    if difference <= 0.0:
        return layers.fall * difference, layers.fall
    still = layers.factor * layers.area * AIR_CONDUCTIVITY / layers.depth
    rayleigh = RAYLEIGH_PER_KELVIN * difference * layers.depth**3
    conductance = still * layer_nusselt(min(rayleigh, 1e8))
    smallest = max(layers.rise, layers.fall)
    if conductance <= smallest:
        return smallest * difference, smallest
    # Slope of Nu x dT: 1.44 for the cells, whose 1708/Ra part is constant, and 4/3 of the cube root.
    slope = 1.0
    if rayleigh > CRITICAL_RAYLEIGH:
        slope += 1.44
    if rayleigh > 5830.0:
        slope += 4.0 / 3.0 * math.cbrt(rayleigh / 5830.0) - 1.0
    return conductance * difference, still * slope


def balance(
    network: HeatNetwork, room: float, temperatures: Sequence[float]
) -> tuple[list[float], list[list[float]]]:
    """Heat that leaves each node by its links, less its own heat: its heater power in a steady state.

    network: nodes and links; room [°C]; temperatures [°C] of the nodes. Result: outflow [W] of each node, and
    its slopes [W/K] against the temperature of every node. Reference: energy balance.
    """
    t = temperatures
    slopes = [list(row) for row in network.matrix]
    flows = [
        sum([g * v for g, v in zip(row, t, strict=True)]) - out * room - own
        for row, out, own in zip(network.matrix, network.to_room, network.own_heat, strict=True)
    ]

    def add(i: int, j: int, flow: float, slope_i: float, slope_j: float) -> None:
        flows[i] += flow
        flows[j] -= flow
        slopes[i][i] += slope_i
        slopes[i][j] -= slope_j
        slopes[j][i] -= slope_i
        slopes[j][j] += slope_j

    for film in network.films:
        i, j = film.node, film.other
        difference = t[i] - t[j]
        if difference >= 0.0:
            exponent = film.warm_exponent
            moving = film.warm_factor * difference**exponent
        else:
            exponent = film.cold_exponent
            moving = film.cold_factor * (-difference) ** exponent
        coefficient = film.still + moving
        softening = 1.0 / (1.0 + coefficient * film.series_resistance)
        conductance = film.area * coefficient * softening
        slope = conductance + film.area * exponent * moving * softening * softening
        add(i, j, conductance * difference, slope, slope)

    layers = network.air_layers
    flow, slope = _air_layers_heat(layers, t[layers.lower] - t[layers.upper])
    add(layers.lower, layers.upper, flow, slope, slope)

    for space in network.headspaces:
        medium, lid = t[space.medium], t[space.lid]
        if lid >= medium:
            slope = space.area * (space.factor * AIR_CONDUCTIVITY / space.gap + space.radiation)
            add(space.medium, space.lid, slope * (medium - lid), slope, slope)
        else:
            flow = headspace_heat(space, medium, lid)
            by_medium = (headspace_heat(space, medium + _SLOPE_STEP, lid) - flow) / _SLOPE_STEP
            by_lid = (headspace_heat(space, medium, lid - _SLOPE_STEP) - flow) / _SLOPE_STEP
            add(space.medium, space.lid, flow, by_medium, by_lid)

    for path in network.vapour_paths:
        flow, slope_i, slope_j = _vapour_heat(path, t[path.node], t[path.other])
        add(path.node, path.other, flow, slope_i, slope_j)
    return flows, slopes


def vapour_flow(path: VapourPath, node: float, other: float) -> float:
    """Vapour that moves along a path.

    path: the path; node, other [°C], held to 0 to 100 °C. Result [kg/s]. Reference: speed x vapour density
    difference.
    """
    surplus = saturation_vapour_density(_in_range(node)) - saturation_vapour_density(_in_range(other))
    return path.area * path.speed * (surplus if path.both_ways else max(surplus, 0.0))


def _vapour_heat(path: VapourPath, node: float, other: float) -> tuple[float, float, float]:
    # One latent heat for all paths: what the air's dew-point node takes in as heat it then gives off as well.
    heat = _latent_heat(30.0)
    if not path.both_ways and node <= other:
        return 0.0, 0.0, 0.0
    scale = heat * path.area * path.speed
    slope_i = scale * saturation_vapour_density_slope(_in_range(node))
    slope_j = scale * saturation_vapour_density_slope(_in_range(other))
    return heat * vapour_flow(path, node, other), slope_i, slope_j


def _eliminate(rows: list[list[float]], size: int) -> None:
    """Gauss elimination without exchanging rows: columns after `size` become solutions. Changes rows."""
    for k in range(size):
        pivot_row = rows[k]
        scale = 1.0 / pivot_row[k]
        tail = [v * scale for v in pivot_row[k + 1 :]]
        for i in range(k + 1, size):
            row = rows[i]
            factor = row[k]
            if factor != 0.0:
                row[k + 1 :] = [a - factor * b for a, b in zip(row[k + 1 :], tail, strict=True)]
        pivot_row[k + 1 :] = tail
    for k in range(size - 1, -1, -1):
        row = rows[k]
        for column in range(size, len(row)):
            row[column] -= sum([row[j] * rows[j][column] for j in range(k + 1, size)])


def solve_balance(
    network: HeatNetwork,
    room: float,
    start: Sequence[float],
    power: float,
    probe: int | None = None,
    set_point: float = 0.0,
) -> tuple[list[float], float]:
    """Steady temperatures of a network, with the power known or with one node held at the set point.

    network: nodes and links; room [°C]; start: first guess of the temperatures [°C]; power [W]: known, or a
    first guess when probe is given; probe: the node held at set_point [°C], or None. Result: temperatures
    [°C] and power [W].
    Raises NoSteadyState when the steps do not settle. Reference: damped Newton's method.
    """
    size = len(network.names)
    sources = network.sources
    temperatures = list(start)

    def misfit(flows: list[float], heater: float) -> list[float]:
        return [flow - heater * share for flow, share in zip(flows, sources, strict=True)]

    flows, slopes = balance(network, room, temperatures)
    errors = misfit(flows, power)
    off_target = set_point - temperatures[probe] if probe is not None else 0.0
    for _ in range(_MOST_STEPS):
        if max(map(abs, errors)) <= _TOLERANCE * max(abs(power), _LEAST_POWER) and abs(off_target) < 1e-11:
            return temperatures, power
        rows = [[*row, -error, share] for row, error, share in zip(slopes, errors, sources, strict=True)]
        _eliminate(rows, size)
        more_power = 0.0 if probe is None else (off_target - rows[probe][size]) / rows[probe][size + 1]
        steps = [row[size] + more_power * row[size + 1] for row in rows]
        size_before = sum([e * e for e in errors])
        part = 1.0
        while True:
            trial = [t + part * step for t, step in zip(temperatures, steps, strict=True)]
            trial_power = power + part * more_power
            if probe is not None and part == 1.0:
                trial[probe] = set_point
            flows, slopes = balance(network, room, trial)
            errors = misfit(flows, trial_power)
            if part < 0.05 or sum([e * e for e in errors]) <= size_before:
                break
            part *= 0.5
        temperatures, power = trial, trial_power
        off_target = set_point - temperatures[probe] if probe is not None else 0.0
    raise NoSteadyState(
        "The heat balance of this box could not be solved. Check the sizes of the box, the heater "
        "and the egg boxes."
    )
