"""Links of the outer box itself: through and along its walls, doors and windows, leaks and vents."""

from msgspec.structs import replace

from advisor.formulas.heat.box_builder import Builder, gap_over_lids, gap_under_base
from advisor.formulas.heat.box_faces import is_sheet
from advisor.formulas.heat.box_geometry import on_wall
from advisor.formulas.heat.convection import AIR_HEAT_PER_VOLUME
from advisor.formulas.heat.fresh_air import fresh_air
from advisor.formulas.heat.insulated_box import (
    POOR_LID_FACTOR,
    box_conductance,
    leakage_conductance,
    level_conductance,
    strip_conductances,
    with_panes,
)


def link_walls(net: Builder) -> None:
    """Conduction through and along the walls, leaks, and films of walls, ceiling and floor."""
    setup, geometry, known = net.setup, net.geometry, net.known
    length, width, height = geometry.size
    flat = length * width
    around = (2.0 * length) if setup.endless else 2.0 * (length + width)
    depths = geometry.depths
    lost = _strips(net, around)
    flats = {
        face: level_conductance(geometry.size, net.wall, face, setup.endless) for face in ("ceiling", "floor")
    }
    above = [pane for pane in setup.panes if pane.in_ceiling]
    flats["ceiling"] = with_panes(flats["ceiling"], flat, above, known.surface_resistance_factor)
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
    _vents(net)
    if setup.lid_fits == "poorly":
        # The gap is under the lid, so the highest air pays for it (judgement).
        wall = net.wall
        whole_box = box_conductance(
            setup.inside, wall.thickness, wall.conductivity, setup.stands_on, panes=setup.panes
        )
        net.lose(f"air {net.layers - 1}", (POOR_LID_FACTOR - 1.0) * whole_box)
    lc = width / 2.0 if setup.endless else flat / (2.0 * (length + width))
    over, under = gap_over_lids(net), gap_under_base(net)
    ceiling = geometry.ceiling - (geometry.over_lids if over else 0.0)
    net.level_film(
        "ceiling", net.layers - 1, ceiling, lc, False, extra=known.swept if net.floor_heat else 1.0
    )
    standing = geometry.tiers[0].bottom == 0.0
    floor = geometry.floor - (geometry.under_base if under or standing else 0.0)
    net.level_film("floor", 0, floor, lc, True)


def _strips(net: Builder, around: float) -> list[float]:
    """Conductance of each strip of wall to the room [W/K], doors and windows shared out by height."""
    setup, geometry = net.setup, net.geometry
    height = geometry.size[2]
    plain = strip_conductances(geometry.size, geometry.bounds, net.wall, setup.endless)
    sides = [pane for pane in setup.panes if not pane.in_ceiling]
    return [
        with_panes(
            loss, around * depth,
            [replace(pane, area=pane.area * depth / height) for pane in sides], net.known.surface_resistance_factor,
        )
        for loss, depth in zip(plain, geometry.depths, strict=True)
    ]  # fmt: skip


def _vents(net: Builder) -> None:
    """Room air through vents: at two heights in below, up from layer to layer and out above; else at the height of the holes."""
    setup = net.setup
    if setup.vents is None:
        return
    carried = AIR_HEAT_PER_VOLUME * fresh_air(setup)
    net.lose(f"air {net.layers - 1 if setup.vents.where == 'lid' else 0}", carried)
    if setup.vents.where == "high and low":
        for number in range(1, net.layers):
            here, below = net.place[f"air {number}"], net.place[f"air {number - 1}"]
            net.matrix[here][here] += carried
            net.matrix[here][below] -= carried
