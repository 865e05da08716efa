"""Collects the links of one heated box: constant conductances, films of its faces, narrow gaps that only conduct."""

from advisor.formulas.heat.box_faces import heats_floor, heats_lid
from advisor.formulas.heat.box_geometry import Geometry
from advisor.formulas.heat.box_setup import BoxSetup
from advisor.formulas.heat.convection import (
    AIR_CONDUCTIVITY,
    AIR_PRANDTL,
    FAVOURABLE_EXPONENT,
    FAVOURABLE_FACTOR,
    RAYLEIGH_PER_KELVIN,
    UNFAVOURABLE_EXPONENT,
    UNFAVOURABLE_FACTOR,
    forced_film,
    laminar_plate_factor,
)
from advisor.formulas.heat.heat_balance import Film, Gap, Plume
from advisor.formulas.heat.insulated_box import BoxWall

_NO_AREA = 1e-9  # m2, rounding of areas that cancel
_NARROW = 0.03  # m, gaps under lid heat that only conduct; computed profiles are straight
_GAP_SHARE = 0.95  # [-], of a gap's area; fitted in two dimensions

LEVEL_GOOD = FAVOURABLE_FACTOR * RAYLEIGH_PER_KELVIN**FAVOURABLE_EXPONENT
_LEVEL_BAD = UNFAVOURABLE_FACTOR * RAYLEIGH_PER_KELVIN**UNFAVOURABLE_EXPONENT
UPRIGHT = laminar_plate_factor(AIR_PRANDTL) * RAYLEIGH_PER_KELVIN**0.25


class Builder:
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
        self.still_lid = self.lid_heat and not self.known.air_speed
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
        good = factor * LEVEL_GOOD * length ** (3.0 * FAVOURABLE_EXPONENT - 1.0)
        bad = factor * _LEVEL_BAD * length ** (3.0 * UNFAVOURABLE_EXPONENT - 1.0)
        warm, cold = (good, FAVOURABLE_EXPONENT), (bad, UNFAVOURABLE_EXPONENT)
        if not faces_up:
            warm, cold = cold, warm
        if still:
            warm = cold = (bad, UNFAVOURABLE_EXPONENT)
        # A face of this area over perimeter is about four times as long.
        least = max(2.0 * AIR_CONDUCTIVITY / self.geometry.depths[layer], self.stirred(4.0 * length))
        self.films.append(
            Film(self.place[surface], self.place[f"air {layer}"], area, 0.0, least, *warm, *cold, wall)
        )

    def upright_film(self, surface: str, layer: int, area: float, height: float, wall: float = 0.0) -> None:
        if area <= _NO_AREA:
            return
        scale = self.known.convection_factor * AIR_CONDUCTIVITY
        still, moving = 0.68 * scale / height, scale * UPRIGHT * height**-0.25
        least, air = self.stirred(height), self.place[f"air {layer}"]
        self.films.append(
            Film(self.place[surface], air, area, still, least, moving, 0.25, moving, 0.25, wall)
        )

    def stirred(self, length: float) -> float:
        """Film [W/(m2 K)] that a fan's air makes at the least along a face of that length [m]."""
        if not self.known.air_speed:
            return 0.0
        return self.known.convection_factor * forced_film(self.known.air_speed, length)


def gap_over_lids(net: Builder) -> float:
    """The narrow gap between highest lids and ceiling under lid heat [m], or 0."""
    gap = max(net.geometry.size[2] - net.geometry.tiers[-1].top - net.tiers[-1][1].lid_foam, 0.001)
    return gap if net.still_lid and gap - net.setup.heater_thickness < _NARROW - 1e-9 else 0.0


def gap_under_base(net: Builder) -> float:
    gap = net.geometry.tiers[0].bottom
    return gap if net.still_lid and gap < _NARROW else 0.0


def gap_between(net: Builder) -> float:
    tiers = net.geometry.tiers
    gap = max(tiers[-1].bottom - tiers[0].top - net.setup.lower.lid_foam, 0.001)
    return gap if net.still_lid and len(tiers) > 1 and gap < _NARROW else 0.0


def add_gap(net: Builder, lower: str, upper: str, area: float, gap: float) -> None:
    if area > _NO_AREA:
        conductance = _GAP_SHARE * area * AIR_CONDUCTIVITY / gap
        net.gaps.append(Gap(net.place[lower], net.place[upper], conductance, gap))
