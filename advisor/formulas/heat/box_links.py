"""From a box set-up to its heat network: which node exchanges how much heat with which.

Nodes: layers of air from the floor up, a strip of wall beside each, bare ceiling and floor, the heater, and
of each tier: lid and the foam on it, sides of the headspace, surface, base and sides of the medium; in moist air its dew point.
A bulb or ceramic emitter has no node: its radiation falls on what it sees, its warm air rises. The rules for still air
under a lid, narrow gaps and currents over a heater are those closest to finite-volume models; see docs/limits.md.
"""

from collections.abc import Iterator

from advisor.formulas.heat.box_faces import TierPlace, heats_floor, heats_lid, inner_perimeter, is_sheet
from advisor.formulas.heat.box_geometry import Geometry, geometry_of, on_wall
from advisor.formulas.heat.box_setup import BoxSetup, EggBoxes, check_setup
from advisor.formulas.heat.box_vapour import vapour_leak, vapour_paths
from advisor.formulas.heat.convection import (
    AIR_CONDUCTIVITY,
    AIR_PRANDTL,
    FAVOURABLE_EXPONENT,
    FAVOURABLE_FACTOR,
    RAYLEIGH_PER_KELVIN,
    UNFAVOURABLE_EXPONENT,
    UNFAVOURABLE_FACTOR,
    laminar_plate_factor,
)
from advisor.formulas.heat.headspace import Headspace
from advisor.formulas.heat.heat_balance import AirLayers, Film, Gap, HeatNetwork, Plume
from advisor.formulas.heat.insulated_box import (
    POOR_LID_FACTOR,
    BoxWall,
    box_conductance,
    leakage_conductance,
    level_conductance,
    strip_conductances,
)

_NO_AREA = 1e-9  # m2, rounding of areas that cancel
_RISE = 300.0  # W/(m2 K), air heated from below mixes: any large number
_NARROW = 0.03  # m, gaps under lid heat that only conduct; computed profiles are straight
_TOUCHING_AIR = 0.012  # m, base above a floor heater that is heated by conduction; fitted in two dimensions
_GAP_SHARE = 0.95  # [-], of a gap's area; fitted in two dimensions
_HINDERED = 0.7  # [-], film of a floor heater under such a base (0.5 to 1); fitted in two dimensions
_AT_ONE = (
    300.0  # W/(m2 K), that hold the open side of a tray at the temperature of its medium: any large number
)

_LEVEL_GOOD = FAVOURABLE_FACTOR * RAYLEIGH_PER_KELVIN**FAVOURABLE_EXPONENT
_LEVEL_BAD = UNFAVOURABLE_FACTOR * RAYLEIGH_PER_KELVIN**UNFAVOURABLE_EXPONENT
_UPRIGHT = laminar_plate_factor(AIR_PRANDTL) * RAYLEIGH_PER_KELVIN**0.25


class _Builder:
    """Collects the links of one box."""

    def __init__(self, setup: BoxSetup, geometry: Geometry) -> None:
        self.setup, self.geometry, self.known = setup, geometry, setup.uncertain
        self.place = {name: number for number, name in enumerate(geometry.names)}
        size = len(geometry.names)
        self.matrix = [[0.0] * size for _ in range(size)]
        self.to_room = [0.0] * size
        self.films: list[Film] = []
        self.gaps: list[Gap] = []
        self.plumes: list[Plume] = []
        self.layers = len(geometry.bounds) - 1
        self.wall = BoxWall(
            setup.wall_thickness * self.known.thickness_factor,
            setup.wall_conductivity * self.known.conductivity_factor,
            setup.stands_on,
            self.known.surface_resistance_factor,
        )
        self.lid_heat = heats_lid(setup)
        self.floor_heat = heats_floor(setup)
        rim = 1.0 - geometry.core / geometry.heater if geometry.heater else 0.0
        self.heater_parts = [
            (part, share) for part, share in (("heater", rim), ("heater core", 1.0 - rim)) if share
        ]
        self.tiers = list(
            zip(geometry.tiers, [b for b in (setup.lower, setup.upper) if b is not None], strict=True)
        )

    def link(self, one: str, other: str, conductance: float) -> None:
        i, j = self.place[one], self.place[other]
        self.matrix[i][i] += conductance
        self.matrix[j][j] += conductance
        self.matrix[i][j] -= conductance
        self.matrix[j][i] -= conductance

    def lose(self, node: str, conductance: float) -> None:
        self.matrix[self.place[node]][self.place[node]] += conductance
        self.to_room[self.place[node]] += conductance

    def level_film(
        self,
        surface: str,
        layer: int,
        area: float,
        length: float,
        faces_up: bool,
        *,
        still: bool = False,
        extra: float = 1.0,
        wall: float = 0.0,
    ) -> None:
        """A level face and the air next to it; still: the air above it is stable, whichever is warmer."""
        if area <= _NO_AREA:
            return
        factor = extra * self.known.convection_factor * AIR_CONDUCTIVITY
        good = factor * _LEVEL_GOOD * length ** (3.0 * FAVOURABLE_EXPONENT - 1.0)
        bad = factor * _LEVEL_BAD * length ** (3.0 * UNFAVOURABLE_EXPONENT - 1.0)
        warm, cold = (good, FAVOURABLE_EXPONENT), (bad, UNFAVOURABLE_EXPONENT)
        if not faces_up:
            warm, cold = cold, warm
        if still:
            warm = cold = (bad, UNFAVOURABLE_EXPONENT)
        least = 2.0 * AIR_CONDUCTIVITY / self.geometry.depths[layer]
        self.films.append(
            Film(self.place[surface], self.place[f"air {layer}"], area, 0.0, least, *warm, *cold, wall)
        )

    def upright_film(self, surface: str, layer: int, area: float, height: float, wall: float = 0.0) -> None:
        if area <= _NO_AREA:
            return
        scale = self.known.convection_factor * AIR_CONDUCTIVITY
        still, moving = 0.68 * scale / height, scale * _UPRIGHT * height**-0.25
        air = self.place[f"air {layer}"]
        self.films.append(Film(self.place[surface], air, area, still, 0.0, moving, 0.25, moving, 0.25, wall))


def _walls(net: _Builder) -> None:
    """Conduction through and along the walls, leaks, and films of walls, ceiling and floor."""
    setup, geometry, known = net.setup, net.geometry, net.known
    length, width, height = geometry.size
    flat = length * width
    lost = [*strip_conductances(geometry.size, geometry.bounds, net.wall, setup.endless)]
    flats = {
        face: level_conductance(geometry.size, net.wall, face, setup.endless) for face in ("ceiling", "floor")
    }
    around = (2.0 * length) if setup.endless else 2.0 * (length + width)
    depths = geometry.depths
    for number, (loss, bare) in enumerate(zip(lost, geometry.strips, strict=True)):
        whole = around * depths[number]
        share = min(bare / whole, 1.0)
        net.lose(f"wall {number}", loss * share)
        if share < 1.0 and is_sheet(setup) and on_wall(setup):
            net.lose("heater", loss * (1.0 - share))
        net.upright_film(f"wall {number}", number, bare, height)
        if number:
            distance = (depths[number - 1] + depths[number]) / 2.0
            along = net.wall.conductivity * net.wall.thickness * around / distance
            net.link(f"wall {number - 1}", f"wall {number}", along)
    covered = geometry.heater / flat if (net.lid_heat or net.floor_heat) else 0.0
    for face, hot in (("ceiling", net.lid_heat), ("floor", net.floor_heat)):
        net.lose(face, flats[face] * (1.0 - covered if hot else 1.0))
        for part, share in net.heater_parts if hot else ():
            net.lose(part, flats[face] * covered * share)
    volume = flat * height
    for number, depth in enumerate(depths):
        net.lose(f"air {number}", leakage_conductance(volume, known.air_changes) * depth / height)
    if setup.lid_fits == "poorly":
        # The gap is under the lid, so the highest air pays for it (judgement).
        wall = net.wall
        whole_box = box_conductance(setup.inside, wall.thickness, wall.conductivity, setup.stands_on)
        net.lose(f"air {net.layers - 1}", (POOR_LID_FACTOR - 1.0) * whole_box)
    lc = width / 2.0 if setup.endless else flat / (2.0 * (length + width))
    over, under = _gap_over_lids(net), _gap_under_base(net)
    ceiling = geometry.ceiling - (geometry.over_lids if over else 0.0)
    net.level_film(
        "ceiling", net.layers - 1, ceiling, lc, False, extra=known.swept if net.floor_heat else 1.0
    )
    standing = geometry.tiers[0].bottom == 0.0
    floor = geometry.floor - (geometry.under_base if under or standing else 0.0)
    net.level_film("floor", 0, floor, lc, True)


def _gap_over_lids(net: _Builder) -> float:
    """The narrow gap between highest lids and ceiling under lid heat [m], or 0."""
    gap = max(net.geometry.size[2] - net.geometry.tiers[-1].top - net.tiers[-1][1].lid_foam, 0.001)
    return gap if net.lid_heat and gap - net.setup.heater_thickness < _NARROW - 1e-9 else 0.0


def _gap_under_base(net: _Builder) -> float:
    gap = net.geometry.tiers[0].bottom
    return gap if net.lid_heat and 0.0 < gap < _NARROW else 0.0


def _gap_between(net: _Builder) -> float:
    tiers = net.geometry.tiers
    gap = max(tiers[-1].bottom - tiers[0].top - net.setup.lower.lid_foam, 0.001)
    return gap if net.lid_heat and len(tiers) > 1 and gap < _NARROW else 0.0


def _gap(net: _Builder, lower: str, upper: str, area: float, gap: float) -> None:
    if area > _NO_AREA:
        conductance = _GAP_SHARE * area * AIR_CONDUCTIVITY / gap
        net.gaps.append(Gap(net.place[lower], net.place[upper], conductance, gap))


def _heater(net: _Builder) -> None:
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


def _heater_under_lid(net: _Builder, lc: float) -> None:
    geometry = net.geometry
    gap = _gap_over_lids(net)
    clear = max(gap - net.setup.heater_thickness, 0.001)
    lids = geometry.tiers[-1].roof
    over_rim = geometry.heater_over_lids - geometry.core_over_lids
    for (part, share), over in zip(net.heater_parts, (over_rim, geometry.core_over_lids), strict=True):
        if gap:
            _gap(net, lids, part, over, clear)
        bare = geometry.heater * share - (over if gap else 0.0)
        net.level_film(part, net.layers - 1, bare, lc, False)
    if gap:
        _gap(net, lids, "ceiling", geometry.over_lids, gap)


def _heater_on_floor(net: _Builder, lc: float) -> None:
    geometry, known = net.geometry, net.known
    clear = geometry.tiers[0].bottom - net.setup.heater_thickness
    under, open_area = geometry.heater_under_base, geometry.heater
    if geometry.tiers[0].bottom == 0.0:
        open_area -= under
    elif clear < _TOUCHING_AIR:
        _gap(net, "heater", f"{geometry.tiers[0].name} base", under, max(clear, 0.001))
        open_area -= (1.0 - _HINDERED) * under
    film = known.swept * known.convection_factor * AIR_CONDUCTIVITY
    _plume(
        net, 0, max(open_area, 1e-6), 0.0, 2.0 * AIR_CONDUCTIVITY / geometry.depths[0],
        film * _LEVEL_GOOD * lc ** (3.0 * FAVOURABLE_EXPONENT - 1.0), FAVOURABLE_EXPONENT,
    )  # fmt: skip


def _heater_on_wall(net: _Builder, layer: int, share: float) -> None:
    """What of it lies beside one layer of air."""
    wide = net.geometry.heater_sides[1]
    scale = net.known.convection_factor * AIR_CONDUCTIVITY
    area = net.geometry.heater * share
    _plume(net, layer, area, 0.68 * scale / wide, 0.0, scale * _UPRIGHT * wide**-0.25, 0.25)


def _plume(
    net: _Builder, layer: int, area: float, still: float, least: float, factor: float, exponent: float
) -> None:
    layers = tuple(net.place[f"air {k}"] for k in range(layer, net.layers))
    net.plumes.append(
        Plume(net.place["heater"], layers, area, still, least, factor, exponent, net.known.excess)
    )


def _egg_boxes(net: _Builder, tier: TierPlace, boxes: EggBoxes) -> None:
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
    gap, taken = _gap_between(net), 0.0
    if last:
        taken = geometry.over_lids + geometry.heater_over_lids if _gap_over_lids(net) else 0.0
    elif gap:
        taken = geometry.between_tiers
        _gap(net, tier.roof, "upper base", geometry.between_tiers, gap)
    if boxes.lid_foam:
        net.link(f"{name} lid", tier.roof, outer / boxes.lid_resistance)
    film_wall = 0.0 if boxes.lid_foam or boxes.is_open else wall
    net.level_film(tier.roof, tier.above, outer - taken, lc, True, still=net.lid_heat, wall=film_wall)
    taken = geometry.between_tiers if gap and not first else 0.0
    if first:
        if below := _gap_under_base(net):
            taken = geometry.under_base
            _gap(net, "floor", f"{name} base", geometry.under_base, below)
        elif tier.bottom == 0.0:
            taken = outer
            net.link(f"{name} base", "floor", net.known.contact * geometry.under_base)
            if geometry.heater_under_base:
                net.link(f"{name} base", "heater", net.known.contact * geometry.heater_under_base)
        elif net.floor_heat and tier.bottom - setup.heater_thickness < _TOUCHING_AIR:
            taken = geometry.heater_under_base
    net.level_film(f"{name} base", tier.below, outer - taken, lc, False, wall=wall)
    inside = net.known.headspace_factor * AIR_CONDUCTIVITY
    still, moving = 0.68 * inside / headspace, inside * _UPRIGHT * headspace**-0.25
    half = boxes.count * inner_perimeter(boxes, endless) * headspace / 2.0
    for end in ("surface", "lid"):
        ends = net.place[f"{name} sides"], net.place[f"{name} {end}"]
        net.films.append(Film(*ends, half, still, 0.0, moving, 0.25, moving, 0.25, 0.0))


def _air_layers(net: _Builder) -> Iterator[AirLayers]:
    depths, known = net.geometry.depths, net.known
    for number, free in enumerate(net.geometry.free):
        distance = (depths[number] + depths[number + 1]) / 2.0
        fall = free * (known.mixing * AIR_CONDUCTIVITY / distance + known.stirring)
        yield AirLayers(
            net.place[f"air {number}"], net.place[f"air {number + 1}"], max(free * _RISE, fall), fall
        )


def _headspaces(net: _Builder) -> Iterator[Headspace]:
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


def _sources(net: _Builder) -> list[float]:
    """Share of the power that each node receives; what a bulb does not radiate rises to the highest air.

    A second heater on the floor is one with the whole floor.
    """
    shares = [0.0] * len(net.place)
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


def build_network(setup: BoxSetup, geometry: Geometry | None = None) -> HeatNetwork:
    """The heat network of a box.

    setup: the box; geometry: of the same box, where it is at hand. Result: nodes, constant links, and links that depend on temperatures; see `heat_balance`.
    Raises ValueError when the set-up is out of range.
    Reference: conduction Langmuir, Adams & Meikle 1913; films Churchill & Chu 1975, McAdams, Incropera;
    layers Hollands et al. 1976; radiation of a grey enclosure; currents by the profiles of Squire & Eckert.
    """
    check_setup(setup)
    geometry = geometry or geometry_of(setup)
    net = _Builder(setup, geometry)
    _walls(net)
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
        films=tuple(net.films),
        gaps=tuple(net.gaps),
        air_layers=tuple(_air_layers(net)),
        plumes=tuple(net.plumes),
        headspaces=tuple(_headspaces(net)),
        vapour_paths=tuple(vapour_paths(setup, geometry)),
        vapour_leak=vapour_leak(setup, geometry),
        geometry=geometry,
    )
