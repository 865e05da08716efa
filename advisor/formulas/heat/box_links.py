"""From a box set-up to its heat network: which node exchanges how much heat with which.

Nodes: layers of air from the floor up, a strip of wall beside each, bare ceiling and floor, the heater, and
of each tier: lid and the foam on it, sides of the headspace, surface, base and sides of the medium; in moist air its dew point.
A bulb or ceramic emitter has no node: its radiation falls on what it sees, its warm air rises. The rules for still air
under a lid, narrow gaps and currents over a heater are those closest to finite-volume models; see docs/limits.md.
"""

from collections.abc import Iterator

from advisor.formulas.heat.box_builder import (
    LEVEL_GOOD,
    UPRIGHT,
    Builder,
    add_gap,
    gap_between,
    gap_over_lids,
    gap_under_base,
)
from advisor.formulas.heat.box_faces import TierPlace, inner_perimeter, is_sheet
from advisor.formulas.heat.box_geometry import Geometry, geometry_of
from advisor.formulas.heat.box_setup import BoxSetup, EggBoxes, check_setup
from advisor.formulas.heat.box_vapour import vapour_leak, vapour_paths
from advisor.formulas.heat.box_walls import link_walls
from advisor.formulas.heat.convection import AIR_CONDUCTIVITY, AIR_HEAT_PER_VOLUME, FAVOURABLE_EXPONENT
from advisor.formulas.heat.headspace import Headspace
from advisor.formulas.heat.heat_balance import AirLayers, Film, HeatNetwork, Plume

_RISE = 300.0  # W/(m2 K), air heated from below mixes: any large number
_TOUCHING_AIR = 0.012  # m, base above a floor heater that is heated by conduction; fitted in two dimensions
_HINDERED = 0.7  # [-], film of a floor heater under such a base (0.5 to 1); fitted in two dimensions
# W/(m2 K), that hold the open side of a tray at the temperature of its medium: any large number
_AT_ONE = 300.0


def _heater(net: Builder) -> None:
    """The heater's edge and its air: still above, rising from floor and sides."""
    setup = net.setup
    if not is_sheet(setup):
        return
    long, wide = net.geometry.heater_sides
    lc = wide / 2.0 if setup.endless else long * wide / (2.0 * (long + wide))
    spreading = net.known.edge * net.wall.conductivity
    edge = 2.0 * long if setup.endless or setup.heat_place == "all sides" else 2.0 * (long + wide)
    if net.lid_heat:
        net.link("heater", "ceiling", spreading * edge)
        _heater_under_lid(net, lc)
    elif net.floor_heat:
        net.link("heater", "floor", spreading * edge)
        _heater_on_floor(net, lc)
    else:
        for number, share in enumerate(net.geometry.heater_on):
            if share > 0.0:
                net.link("heater", f"wall {number}", spreading * edge * share)
                _heater_on_wall(net, number, share)


def _heater_under_lid(net: Builder, lc: float) -> None:
    geometry = net.geometry
    gap = gap_over_lids(net)
    clear = max(gap - net.setup.heater_thickness, 0.001)
    lids = geometry.tiers[-1].roof
    over_rim = geometry.heater_over_lids - geometry.core_over_lids
    for (part, share), over in zip(net.heater_parts, (over_rim, geometry.core_over_lids), strict=True):
        if gap:
            add_gap(net, lids, part, over, clear)
        bare = geometry.heater * share - (over if gap else 0.0)
        net.level_film(part, net.layers - 1, bare, lc, False)
    if gap:
        add_gap(net, lids, "ceiling", geometry.over_lids, gap)


def _heater_on_floor(net: Builder, lc: float) -> None:
    geometry, known = net.geometry, net.known
    clear = geometry.tiers[0].bottom - net.setup.heater_thickness
    under, open_area = geometry.heater_under_base, geometry.heater
    if geometry.tiers[0].bottom == 0.0:
        open_area -= under
    elif clear < _TOUCHING_AIR and not known.air_speed:
        add_gap(net, "heater", f"{geometry.tiers[0].name} base", under, max(clear, 0.001))
        open_area -= (1.0 - _HINDERED) * under
    film = known.swept * known.convection_factor * AIR_CONDUCTIVITY
    _plume(
        net, 0, max(open_area, 1e-6), 0.0, max(2.0 * AIR_CONDUCTIVITY / geometry.depths[0], net.stirred(4.0 * lc)),
        film * LEVEL_GOOD * lc ** (3.0 * FAVOURABLE_EXPONENT - 1.0), FAVOURABLE_EXPONENT,
    )  # fmt: skip


def _heater_on_wall(net: Builder, layer: int, share: float) -> None:
    """What of it lies beside one layer of air."""
    wide = net.geometry.heater_sides[1]
    scale = net.known.convection_factor * AIR_CONDUCTIVITY
    area = net.geometry.heater * share
    _plume(net, layer, area, 0.68 * scale / wide, net.stirred(wide), scale * UPRIGHT * wide**-0.25, 0.25)


def _plume(
    net: Builder, layer: int, area: float, still: float, least: float, factor: float, exponent: float
) -> None:
    layers = tuple(net.place[f"air {k}"] for k in range(layer, net.layers))
    net.plumes.append(
        Plume(net.place["heater"], layers, area, still, least, factor, exponent, net.known.excess)
    )


def _egg_boxes(net: Builder, tier: TierPlace, boxes: EggBoxes) -> None:
    """Conduction in the medium, films and gaps of one tier."""
    setup, geometry, name = net.setup, net.geometry, tier.name
    endless, wall = setup.endless, boxes.lid_thickness / boxes.wall_conductivity
    headspace, flat = boxes.height - boxes.medium_depth, boxes.count * boxes.length * boxes.width
    conductivity = boxes.medium_conductivity * net.known.medium_factor
    beside = boxes.count * inner_perimeter(boxes, endless) * boxes.medium_depth
    net.link(f"{name} surface", f"{name} base", conductivity * flat / boxes.medium_depth)
    shorter = boxes.width if endless else min(boxes.length, boxes.width)
    to_side = beside / (shorter / (6.0 * conductivity) + wall)
    net.link(f"{name} surface", f"{name} medium sides", to_side / 2.0)
    net.link(f"{name} base", f"{name} medium sides", to_side / 2.0)

    long = boxes.length + (0.0 if endless else 2.0 * boxes.lid_thickness)
    wide = boxes.width + 2.0 * boxes.lid_thickness
    outer = boxes.count * long * wide
    perimeter = boxes.count * (2.0 * long if endless else 2.0 * (long + wide))
    lc = wide / 2.0 if endless else long * wide / (2.0 * (long + wide))
    height = tier.top - tier.bottom
    net.upright_film(
        f"{name} medium sides", tier.beside_medium, perimeter * (tier.surface - tier.bottom), height
    )
    net.upright_film(
        f"{name} sides", tier.beside_headspace, perimeter * (tier.top - tier.surface), height, wall
    )
    first, last = tier is geometry.tiers[0], tier is geometry.tiers[-1]
    gap, taken = gap_between(net), 0.0
    if last:
        taken = geometry.over_lids + geometry.heater_over_lids if gap_over_lids(net) else 0.0
    elif gap:
        taken = geometry.between_tiers
        add_gap(net, tier.roof, "upper base", geometry.between_tiers, gap)
    if boxes.lid_foam:
        net.link(f"{name} lid", tier.roof, outer / boxes.lid_resistance)
    film_wall = 0.0 if boxes.lid_foam or boxes.is_open else wall
    net.level_film(tier.roof, tier.above, outer - taken, lc, True, still=net.lid_heat, wall=film_wall)
    taken = geometry.between_tiers if gap and not first else 0.0
    if first:
        if below := gap_under_base(net):
            taken = geometry.under_base
            add_gap(net, "floor", f"{name} base", geometry.under_base, below)
        elif tier.bottom == 0.0:
            taken = outer
            net.link(f"{name} base", "floor", net.known.contact * geometry.under_base)
            if geometry.heater_under_base:
                net.link(f"{name} base", "heater", net.known.contact * geometry.heater_under_base)
        elif (
            net.floor_heat
            and not net.known.air_speed
            and tier.bottom - setup.heater_thickness < _TOUCHING_AIR
        ):
            taken = geometry.heater_under_base
    net.level_film(f"{name} base", tier.below, outer - taken, lc, False, wall=wall)
    inside = net.known.headspace_factor * AIR_CONDUCTIVITY
    still, moving = 0.68 * inside / headspace, inside * UPRIGHT * headspace**-0.25
    half = boxes.count * inner_perimeter(boxes, endless) * headspace / 2.0
    for end in ("surface", "lid"):
        ends = net.place[f"{name} sides"], net.place[f"{name} {end}"]
        net.films.append(Film(*ends, half, still, 0.0, moving, 0.25, moving, 0.25, 0.0))


def _air_layers(net: Builder) -> Iterator[AirLayers]:
    depths, known = net.geometry.depths, net.known
    # A fan's air rises over half of the section and sinks over the other half (judgement).
    stirring = known.stirring + AIR_HEAT_PER_VOLUME * known.air_speed / 2.0
    for number, free in enumerate(net.geometry.free):
        distance = (depths[number] + depths[number + 1]) / 2.0
        fall = free * (known.mixing * AIR_CONDUCTIVITY / distance + stirring)
        yield AirLayers(
            net.place[f"air {number}"], net.place[f"air {number + 1}"], max(free * _RISE, fall), fall
        )


def _headspaces(net: Builder) -> Iterator[Headspace]:
    for tier, boxes in net.tiers:
        gap = boxes.height - boxes.medium_depth
        surface, lid, sides, medium_sides = (
            net.place[f"{tier.name} {part}"] for part in ("surface", "lid", "sides", "medium sides")
        )
        flat = boxes.count * boxes.length * boxes.width
        around = boxes.count * inner_perimeter(boxes, net.setup.endless) * gap
        yield Headspace(
            surface, lid, sides, medium_sides, flat, around, gap, boxes.water_potential,
            0.0 if boxes.is_open else net.known.headspace_factor,
        )  # fmt: skip


def _sources(net: Builder) -> list[float]:
    """Share of the heater's power that each node receives, with that of a fan that runs with it; what a bulb does not
    radiate rises to the highest air.

    A second heater on the floor is one with the whole floor.
    """
    shares = _to_air(net, net.setup.fan_share)
    above = 1.0 - net.setup.floor_share
    shares[net.place["floor"]] = net.setup.floor_share
    if is_sheet(net.setup):
        for part, share in net.heater_parts:
            shares[net.place[part]] = above * share
        return shares
    radiant = net.known.radiant_share * above
    seen = net.geometry.point_views
    shares = [mine + radiant * view / sum(seen) for mine, view in zip(shares, seen, strict=True)]
    shares[net.place[f"air {net.layers - 1}"]] += above - radiant
    return shares


def _to_air(net: Builder, heat: float) -> list[float]:
    """Heat shared out to the layers of air by their depth."""
    depths = net.geometry.depths
    found = [0.0] * len(net.place)
    whole = sum(depths)
    for number, depth in enumerate(depths):
        found[net.place[f"air {number}"]] = heat * depth / whole
    return found


def build_network(setup: BoxSetup, geometry: Geometry | None = None) -> HeatNetwork:
    """The heat network of a box.

    setup: the box; geometry: of the same box, where it is at hand. Result: nodes, constant links, and links that depend on temperatures; see `heat_balance`.
    Raises ValueError when the set-up is out of range.
    Reference: conduction Langmuir, Adams & Meikle 1913; films Churchill & Chu 1975, McAdams, Incropera;
    layers Hollands et al. 1976; radiation of a grey enclosure; currents by the profiles of Squire & Eckert.
    """
    check_setup(setup)
    geometry = geometry or geometry_of(setup)
    net = Builder(setup, geometry)
    link_walls(net)
    _heater(net)
    for tier, boxes in net.tiers:
        _egg_boxes(net, tier, boxes)
        if boxes.is_open:  # nothing lies between its medium and its open side, the node of the lid
            flat = boxes.count * boxes.length * boxes.width
            net.link(f"{tier.name} surface", f"{tier.name} lid", _AT_ONE * flat)
    return HeatNetwork(
        names=geometry.names,
        matrix=tuple(tuple(row) for row in net.matrix),
        exchange=geometry.exchange,
        to_room=tuple(net.to_room),
        sources=tuple(_sources(net)),
        given=tuple(_to_air(net, setup.fan_power)),
        films=tuple(net.films),
        gaps=tuple(net.gaps),
        air_layers=tuple(_air_layers(net)),
        plumes=tuple(net.plumes),
        headspaces=tuple(_headspaces(net)),
        vapour_paths=tuple(vapour_paths(setup, geometry)),
        vapour_leak=vapour_leak(setup, geometry),
        geometry=geometry,
    )
