"""From a box set-up to its heat network: which node exchanges how much heat with which.

Nodes: heater, bare ceiling, upper and lower half of the side walls, bare floor, upper and lower air, medium
and egg-box lid of each tier; over a water bath also the dew point of the air. The headspace of an egg box
lies inside the link from medium to lid. A bulb or ceramic emitter has no node: its radiation and its warm air
are given to surfaces and air directly, shared out like those of a mat in the same place, which is rough.
"""

from collections.abc import Iterator, Mapping

from advisor.physics.box_setup import BoxSetup, check_setup, is_water_bath
from advisor.physics.box_surfaces import (
    Areas,
    Surfaces,
    areas_of,
    base_area,
    lid_share_in_upper_air,
    node_names,
    side_area,
    sources_of,
    surfaces_of,
)
from advisor.physics.convection import (
    AIR_CONDUCTIVITY,
    AIR_PRANDTL,
    FAVOURABLE_EXPONENT,
    FAVOURABLE_FACTOR,
    RADIATION_COEFFICIENT,
    RAYLEIGH_PER_KELVIN,
    UNFAVOURABLE_EXPONENT,
    UNFAVOURABLE_FACTOR,
    laminar_plate_factor,
    vapour_transfer_coefficient,
)
from advisor.physics.foam_box import (
    POOR_LID_FACTOR,
    box_conductance,
    face_conductances,
    leakage_conductance,
)
from advisor.physics.heat_balance import AirLayers, Film, Headspace, HeatNetwork, VapourPath

ROOM = "room"

# Upper and lower half of the side walls see each other with 0.20, and a heated part of a wall sees the walls
# across at its own height with 0.25. Judgement; 0.20 was chosen so that the temperatures come close to those
# of an earlier calculation of the same box with the same nodes.
_WALL_TO_WALL, _WALL_ACROSS = 0.20, 0.25
_SIDE_TO_WALL = 0.5  # [-], side of an egg box to the side walls; the rest sees other boxes; judgement
_BASE_TO_LID = 0.6  # [-], base of an upper box to the lid below; judgement
_HEADSPACE_RADIATION = 5.3  # W/(m2 K), medium to lid, emissivity about 0.92 at 30 °C; derived
_RISE = 12.5  # W/(m2 K) of floor area, air heated from below (3 W/K over 0.24 m2); judgement
_WATER_BATH_FILM = 2.5  # W/(m2 K), convection that carries the vapour over a water bath; judgement

_Link = tuple[str, str, float]  # two nodes, or a node and ROOM, and the conductance between them [W/K]


def _outer_links(setup: BoxSetup, areas: Areas, surfaces: Surfaces) -> Iterator[_Link]:
    """Conduction to the room, leakage, and radiation among the surfaces of the outer box."""
    known, box = setup.uncertain, setup.inside
    wall = (
        box,
        setup.wall_thickness * known.thickness_factor,
        setup.wall_conductivity * known.conductivity_factor,
        setup.stands_on,
    )
    faces = face_conductances(*wall, known.surface_resistance_factor)
    covered = areas.heater / areas.flat
    on_ceiling = covered if setup.heat_place == "lid" else 0.0
    on_floor = covered - on_ceiling
    yield "ceiling", ROOM, faces.ceiling * (1.0 - on_ceiling)
    yield "floor", ROOM, faces.floor * (1.0 - on_floor)
    if covered > 0.0:
        yield "heater", ROOM, faces.ceiling * on_ceiling + faces.floor * on_floor
    for patches, conductance in (
        (surfaces.upper_sides, faces.upper_sides),
        (surfaces.lower_sides, faces.lower_sides),
    ):
        for patch, share in patches.items():
            yield patch, ROOM, conductance * share
    yield "lower air", ROOM, leakage_conductance(box.length * box.width * box.height, known.air_changes)
    if setup.lid_fits == "poorly":
        # The gap is under the lid, so the upper air pays for it (judgement).
        yield "upper air", ROOM, (POOR_LID_FACTOR - 1.0) * box_conductance(*wall)

    sides = {"upper sides": surfaces.upper_sides, "lower sides": surfaces.lower_sides}
    for patches, view in ((surfaces.ceiling, surfaces.from_ceiling), (surfaces.floor, surfaces.from_floor)):
        for patch, area in patches.items():
            for seen, share in view.items():
                for target, part in sides.get(seen, {seen: 1.0}).items():
                    yield patch, target, RADIATION_COEFFICIENT * area * share * part
    for patch, area in surfaces.ceiling.items():
        for target, other_area in surfaces.floor.items():
            yield patch, target, RADIATION_COEFFICIENT * area * other_area / areas.flat * surfaces.opposite
    walls = RADIATION_COEFFICIENT * areas.half_walls
    for patch, share in surfaces.upper_sides.items():
        for target, part in surfaces.lower_sides.items():
            yield patch, target, walls * _WALL_TO_WALL * share * part
    if "heater" in surfaces.upper_sides:
        for level in sides:
            yield "heater", level, walls * _WALL_ACROSS * areas.cover * (1.0 - areas.cover)


def _tier_links(setup: BoxSetup, areas: Areas, surfaces: Surfaces) -> Iterator[_Link]:
    """Contact and radiation of the egg boxes."""
    lid_up = 0.0 if setup.upper is not None else lid_share_in_upper_air(setup)
    tiers = [("lower", setup.lower, surfaces.lower_sides, lid_up)]
    if setup.upper is not None:
        tiers.append(("upper", setup.upper, surfaces.upper_sides, 1.0))
        touching = min(base_area(setup.lower), base_area(setup.upper))
        yield "upper medium", "lower lid", RADIATION_COEFFICIENT * touching * _BASE_TO_LID
    for tier, boxes, own_sides, share_up in tiers:
        beside_medium = RADIATION_COEFFICIENT * _SIDE_TO_WALL * side_area(boxes, boxes.medium_depth)
        for patch, part in own_sides.items():
            yield f"{tier} medium", patch, beside_medium * part
        # The headspace half of the sides that belongs to the lid; the other half is taken to follow the air
        # inside.
        beside_lid = (
            RADIATION_COEFFICIENT * _SIDE_TO_WALL * side_area(boxes, boxes.height - boxes.medium_depth) / 2.0
        )
        for patches, share in ((surfaces.upper_sides, share_up), (surfaces.lower_sides, 1.0 - share_up)):
            for patch, part in patches.items():
                yield f"{tier} lid", patch, beside_lid * share * part
    if areas.contact_heater > 0.0:
        yield "lower medium", "heater", setup.uncertain.contact * areas.contact_heater
    if areas.contact_floor > 0.0:
        yield "lower medium", "floor", setup.uncertain.contact * areas.contact_floor


def _level_film(
    place: Mapping[str, int],
    surface: str,
    air: str,
    area: float,
    length: float,
    faces_up: bool,
    factor: float,
    wall: float,
) -> Film:
    scale = factor * AIR_CONDUCTIVITY / length
    rayleigh = RAYLEIGH_PER_KELVIN * length**3
    good = scale * FAVOURABLE_FACTOR * rayleigh**FAVOURABLE_EXPONENT
    bad = scale * UNFAVOURABLE_FACTOR * rayleigh**UNFAVOURABLE_EXPONENT
    if faces_up:
        warm, warm_exponent, cold, cold_exponent = good, FAVOURABLE_EXPONENT, bad, UNFAVOURABLE_EXPONENT
    else:
        warm, warm_exponent, cold, cold_exponent = bad, UNFAVOURABLE_EXPONENT, good, FAVOURABLE_EXPONENT
    return Film(place[surface], place[air], area, 0.0, warm, warm_exponent, cold, cold_exponent, wall)


def _upright_film(
    place: Mapping[str, int], surface: str, air: str, area: float, height: float, factor: float, wall: float
) -> Film:
    scale = factor * AIR_CONDUCTIVITY / height
    moving = scale * laminar_plate_factor(AIR_PRANDTL) * (RAYLEIGH_PER_KELVIN * height**3) ** 0.25
    return Film(place[surface], place[air], area, 0.68 * scale, moving, 0.25, moving, 0.25, wall)


def _films(setup: BoxSetup, areas: Areas, surfaces: Surfaces, place: Mapping[str, int]) -> Iterator[Film]:
    box, factor = setup.inside, setup.uncertain.convection_factor
    length = box.length * box.width / (2.0 * (box.length + box.width))
    for patch, area in surfaces.ceiling.items():
        yield _level_film(place, patch, "upper air", area, length, False, factor, 0.0)
    for patch, area in surfaces.floor.items():
        yield _level_film(place, patch, "lower air", area, length, True, factor, 0.0)
    for patches, air in ((surfaces.upper_sides, "upper air"), (surfaces.lower_sides, "lower air")):
        for patch, share in patches.items():
            yield _upright_film(place, patch, air, areas.half_walls * share, box.height, factor, 0.0)

    lid_up = 0.0 if setup.upper is not None else lid_share_in_upper_air(setup)
    tiers = [("lower", setup.lower, {"upper air": lid_up, "lower air": 1.0 - lid_up})]
    if setup.upper is not None:
        tiers.append(("upper", setup.upper, {"upper air": 1.0}))
    for tier, boxes, lid_air in tiers:
        wall = boxes.lid_thickness / boxes.wall_conductivity
        medium, lid, own_air = f"{tier} medium", f"{tier} lid", f"{tier} air"
        depth, headspace = boxes.medium_depth, boxes.height - boxes.medium_depth
        base_length = boxes.length * boxes.width / (2.0 * (boxes.length + boxes.width))
        base = base_area(boxes) - (areas.contact_floor + areas.contact_heater if tier == "lower" else 0.0)
        yield _upright_film(place, medium, own_air, side_area(boxes, depth), depth, factor, wall)
        # The base of either tier hangs in the lower air: an upper box stands at half height.
        yield _level_film(place, medium, "lower air", base, base_length, False, factor, wall)
        for air, share in lid_air.items():
            if share > 0.0:
                lid_area, side = share * base_area(boxes), share * side_area(boxes, headspace) / 2.0
                yield _level_film(place, lid, air, lid_area, base_length, True, factor, wall)
                yield _upright_film(place, lid, air, side, headspace, factor, wall)


def _vapour_paths(
    setup: BoxSetup, areas: Areas, surfaces: Surfaces, place: Mapping[str, int]
) -> Iterator[VapourPath]:
    """Over a water bath: from the water to the air, and from the air to every surface below its dew point."""
    if not is_water_bath(setup):
        return
    speed = setup.uncertain.convection_factor * vapour_transfer_coefficient(_WATER_BATH_FILM)
    dew = place["dew point"]
    yield VapourPath(place["heater"], dew, surfaces.floor["heater"], speed, True)
    wetted = {
        "ceiling": areas.flat,
        "upper sides": areas.half_walls,
        "lower sides": areas.half_walls,
        "floor": surfaces.floor["floor"],
    }
    for tier, boxes in (("lower", setup.lower), ("upper", setup.upper)):
        if boxes is not None:
            headspace = boxes.height - boxes.medium_depth
            wetted[f"{tier} lid"] = base_area(boxes) + side_area(boxes, headspace) / 2.0
            wetted[f"{tier} medium"] = side_area(boxes, boxes.medium_depth) + base_area(boxes)
    for surface, area in wetted.items():
        yield VapourPath(dew, place[surface], area, speed, False)


def _headspaces(setup: BoxSetup, place: Mapping[str, int]) -> Iterator[Headspace]:
    for tier, boxes in (("lower", setup.lower), ("upper", setup.upper)):
        if boxes is not None:
            yield Headspace(
                place[f"{tier} medium"],
                place[f"{tier} lid"],
                base_area(boxes),
                boxes.height - boxes.medium_depth,
                _HEADSPACE_RADIATION,
                boxes.water_potential,
                setup.uncertain.headspace_factor,
            )


def build_network(setup: BoxSetup) -> HeatNetwork:
    """The heat network of a box.

    setup: the box. Result: nodes, constant links, and links that depend on temperatures; see `heat_balance`.
    One temperature for each node; the medium is not resolved. Raises ValueError when the set-up is out of
    range.
    Reference: conduction Langmuir, Adams & Meikle 1913; films Churchill & Chu 1975, McAdams, Incropera;
    layers Hollands et al. 1976; radiation 5.1 W/(m2 K) times shares of view (judgement).
    """
    check_setup(setup)
    names = node_names(setup)
    place = {name: index for index, name in enumerate(names)}
    areas = areas_of(setup)
    surfaces = surfaces_of(setup, areas)
    matrix = [[0.0] * len(names) for _ in names]
    to_room = [0.0] * len(names)
    for links in (_outer_links(setup, areas, surfaces), _tier_links(setup, areas, surfaces)):
        for one, other, conductance in links:
            i = place[one]
            if other == ROOM:
                matrix[i][i] += conductance
                to_room[i] += conductance
            elif other != one:
                j = place[other]
                matrix[i][i] += conductance
                matrix[j][j] += conductance
                matrix[i][j] -= conductance
                matrix[j][i] -= conductance
    shares = sources_of(setup, surfaces)
    egg_heat = {"lower medium": setup.lower.egg_heat}
    if setup.upper is not None:
        egg_heat["upper medium"] = setup.upper.egg_heat
    mixing = setup.uncertain.stirring * areas.flat
    return HeatNetwork(
        names=names,
        matrix=tuple(tuple(row) for row in matrix),
        to_room=tuple(to_room),
        sources=tuple(shares.get(name, 0.0) for name in names),
        own_heat=tuple(egg_heat.get(name, 0.0) for name in names),
        films=tuple(_films(setup, areas, surfaces, place)),
        air_layers=AirLayers(
            place["lower air"],
            place["upper air"],
            areas.flat,
            setup.inside.height / 2.0,
            setup.uncertain.convection_factor,
            _RISE * areas.flat,
            mixing,
        ),
        headspaces=tuple(_headspaces(setup, place)),
        vapour_paths=tuple(_vapour_paths(setup, areas, surfaces, place)),
    )
