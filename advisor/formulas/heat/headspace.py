"""The air inside closed egg boxes between medium and lid: heat and dew on the lid and on the sides."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

from advisor.formulas.air.moist_air import (
    relative_humidity_over_medium,
    saturation_pressure,
    saturation_vapour_density,
    vapour_diffusivity,
    virtual_temperature,
)
from advisor.formulas.heat.convection import (
    AIR_CONDUCTIVITY,
    AIR_PRANDTL,
    RAYLEIGH_PER_KELVIN,
    laminar_plate_factor,
    layer_condensation,
    layer_nusselt,
    layer_sherwood,
    rayleigh_number,
    vapour_transfer_coefficient,
)

_SLOPE_STEP = 1e-4  # K, for the numerical slopes
_UPRIGHT = laminar_plate_factor(AIR_PRANDTL)


class Headspace(NamedTuple):
    """Nodes of surface of the medium, lid, sides and sides of the medium of the egg boxes of a tier.

    area, side_area [m2], gap [m], water_potential [Pa] of the medium, factor [-] on the layer, 0 for open trays.
    """

    surface: int
    lid: int
    sides: int
    medium_sides: int
    area: float
    side_area: float
    gap: float
    water_potential: float
    factor: float


def _latent_heat(temperature: float) -> float:
    """Heat that evaporates water [J/kg]: straight line through CoolProp's values, within 2 kJ/kg from 0 to 60 °C; derived."""
    return 1e3 * (2500.9 - 2.361 * temperature)


def _held(temperature: float) -> float:
    """Below boiling, where nothing but vapour would be left: steps of the iteration may pass it."""
    return min(max(temperature, 0.0), 99.0)


def _saturated_virtual(temperature: float) -> float:
    held = _held(temperature)
    return virtual_temperature(held, saturation_pressure(held))


def _nusselt(space: Headspace, surface: float, lid: float) -> float:
    """Of the layer between them, on virtual temperatures; 1 when the lid is the warmer one."""
    if lid >= surface:
        return 1.0
    drive = _saturated_virtual(surface) - _saturated_virtual(lid)
    return layer_nusselt(min(rayleigh_number(max(drive, 0.0), space.gap), 1e8))


def lid_condensation(space: Headspace, surface: float, lid: float) -> float:
    """Water that condenses on the lids of a tier.

    space: the headspace; surface, lid [°C], held to 0 to 99 °C. Result [kg/s] for all boxes of the tier.
    Reference: `convection.layer_condensation`.
    """
    if lid >= surface or space.factor == 0.0:
        return 0.0
    rate = layer_condensation(_held(surface), _held(lid), space.gap, space.water_potential, space.factor)
    return space.area * rate


def side_condensation(
    space: Headspace, surface: float, lid: float, sides: float, medium_sides: float
) -> float:
    """Water that condenses on the sides of the headspaces of a tier.

    space: the headspace; surface, lid, sides, medium_sides [°C], held to 0 to 99 °C. Result [kg/s] for all
    boxes of the tier, within a factor of 2.5. The upper half of a side is taken at its mean, the lower one a
    third of the way to the side of the medium.
    Reference: diffusion across the headspace in series with the film on the side (Churchill & Chu 1975,
    Chilton-Colburn); halves derived from a calculation in two dimensions.
    """
    lower = (2.0 * sides + medium_sides) / 3.0
    if min(sides, lower) >= surface:
        return 0.0
    wet = _held(surface)
    source = relative_humidity_over_medium(space.water_potential, wet) * saturation_vapour_density(wet)
    crossing = (
        space.area * layer_sherwood(_nusselt(space, surface, lid)) * vapour_diffusivity(wet) / space.gap
    )
    total = 0.0
    for half in (sides, lower):
        surplus = source - saturation_vapour_density(_held(half))
        if surplus > 0.0:
            film = vapour_transfer_coefficient(min(_side_film(space, abs(surface - sides)), 100.0))
            total += space.factor * surplus / (1.0 / crossing + 2.0 / (space.side_area * film))
    return total


def _side_film(space: Headspace, difference: float) -> float:
    rayleigh = RAYLEIGH_PER_KELVIN * difference * space.gap**3
    nusselt = 0.68 + _UPRIGHT * rayleigh**0.25
    return float(AIR_CONDUCTIVITY / space.gap * nusselt)


def layer_heat(space: Headspace, surface: float, lid: float) -> float:
    """Heat from the medium to the lids of a tier by the air between them and by dew; radiation is apart.

    space: the headspace; surface, lid [°C]. Result [W]. A layer heated from above stands still (Nu = 1).
    Reference: Hollands et al. 1976 on virtual temperatures; see `convection.layer_condensation`.
    """
    layer = space.factor * _nusselt(space, surface, lid) * AIR_CONDUCTIVITY / space.gap
    dew = lid_condensation(space, surface, lid)
    return space.area * layer * (surface - lid) + dew * _latent_heat(0.5 * (surface + lid))


def _dew_heat(space: Headspace, surface: float, lid: float, sides: float, medium_sides: float) -> float:
    return side_condensation(space, surface, lid, sides, medium_sides) * _latent_heat(surface)


def headspace_flows(
    space: Headspace, t: Sequence[float], flows: list[float], slopes: list[list[float]]
) -> None:
    """Adds the heat that leaves the nodes of a headspace [W] and its slopes [W/K]; t [°C] of all nodes."""
    surface, lid, sides = space.surface, space.lid, space.sides
    if space.factor == 0.0:
        return
    if t[lid] >= t[surface]:
        slope = space.area * space.factor * AIR_CONDUCTIVITY / space.gap
        _put((surface, lid), slope * (t[surface] - t[lid]), ((surface, slope), (lid, -slope)), flows, slopes)
    else:
        _numerical(layer_heat, space, (surface, lid), lid, t, flows, slopes)
    if min(t[sides], t[space.medium_sides]) < t[surface]:
        inputs = (surface, lid, sides, space.medium_sides)
        _numerical(_dew_heat, space, inputs, sides, t, flows, slopes)


def _numerical(
    heat: Callable[..., float],
    space: Headspace,
    inputs: tuple[int, ...],
    into: int,
    t: Sequence[float],
    flows: list[float],
    slopes: list[list[float]],
) -> None:
    at = [t[node] for node in inputs]
    flow = heat(space, *at)
    if flow == 0.0:
        return
    found = []
    for number, node in enumerate(inputs):
        moved = list(at)
        moved[number] += _SLOPE_STEP
        found.append((node, (heat(space, *moved) - flow) / _SLOPE_STEP))
    _put((inputs[0], into), flow, tuple(found), flows, slopes)


def _put(
    ends: tuple[int, int],
    flow: float,
    by: tuple[tuple[int, float], ...],
    flows: list[float],
    slopes: list[list[float]],
) -> None:
    for node, sign in zip(ends, (1.0, -1.0), strict=True):
        flows[node] += sign * flow
        row = slopes[node]
        for input_node, slope in by:
            row[input_node] += sign * slope
