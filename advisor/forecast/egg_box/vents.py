"""The ways out of one egg box for air and vapour, from the plan's words, with what is uncertain about them."""

import math
from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from advisor.forecast.edge import untold
from advisor.forecast.ranges import Uncertainty
from advisor.formulas.air.moist_air import air_pressure, vapour_diffusivity
from advisor.formulas.air.vents import (
    PLASTIC_VAPOUR_RESISTANCE,
    RIM_CONTACT_DEPTH,
    LikelyRange,
    Vents,
    hole_exchange_flow,
    lid_fit,
    vents_conductance,
    wall_vapour_permeance,
)
from advisor.formulas.heat.convection import vapour_transfer_coefficient
from advisor.model.figures import Unknown
from advisor.model.plan import EggBox, Plan

# factor on all vents; still air in a closed box, x1 to x3 with a fan or draught; judgement
DRAUGHT = (1.0, 1.0, 1.5)
WALL_THICKNESS = 0.001  # m, of the egg box; judgement
USUAL_HOLE = 0.002  # m, of holes to come in a lid that has none; common practice, no source
USUAL_LID = 0.001  # m, of a lid without holes: counts only for holes to come; judgement
# m/s2, lightness of the damp air in the box against the air round it. Saturated at 29 °C against air with the vapour
# of a room at 20 °C and 50 % it is 3 K lighter (17 g of water in each kg, 0.61 of that, times 302 K): 0.1. None where
# the heat comes from a warmer lid; twice as much where the medium is 3 K warmer than the air above. Derived.
LIGHTNESS = (0.0, 0.1, 0.2)
# m, where the plan tells no altitude; up to 500 m it costs a point of oxygen at most (ISO 2533)
SEA_LEVEL = 0.0
GAP_NAME, DEPTH_NAME, DRAUGHT_NAME = "rim gap", "rim depth", "draught"
HOLE_FLOW_NAME = "hole flow"
WEIGH_TWICE = "in the trial run weigh the closed box with its wet medium twice, a week apart, and write what it lost at `measured.lids`"
FILM_NAME = "film"
FILM_AT = 30.0  # °C, of the air for which the film's speed holds
# W/(m2 K), natural convection over the medium of an open tray, of which the rim shelters some; judgement
OPEN_FILM = (0.5, 1.5, 3.0)
# The same under a fan: 2.2 to 7 along 0.3 m in air of 0.1 to 1 m/s, as for the air of the outer box; less in a rim
STIRRED_FILM = (0.5, 4.0, 7.0)
WEIGH_TRAY = "in the trial run weigh the tray with its wet medium twice, a day apart, and write what it lost at `measured.lids`"
LEAK_NAME = "leak"  # factor on all vents and walls of a box that was weighed


class BoxVents(Struct, frozen=True):
    """Holes and rim of one egg box, pressure of the air [Pa]; `inputs` are the uncertain parts, by the names above.

    open_area [m2]: of an open tray, which has no other way out; 0 with a lid.
    """

    hole_count: int
    hole_diameter: float
    lid_thickness: float
    perimeter: float
    wall_area: float
    pressure: float
    inputs: tuple[Uncertainty, ...]
    open_area: float = 0.0

    def at(self, values: Mapping[str, float]) -> Vents:
        """The vents with the uncertain inputs at given values."""
        return Vents(
            self.hole_count,
            self.hole_diameter,
            self.lid_thickness,
            values[GAP_NAME],
            self.perimeter,
            values[DEPTH_NAME],
            values[HOLE_FLOW_NAME],
        )

    def flow(self, values: Mapping[str, float], diffusivity: float) -> float:
        """Conductance of all vents [m3/s] for a gas of a diffusivity [m2/s], its uncertain inputs at given values."""
        if self.open_area:
            # The film's speed goes with D^(2/3); Chilton & Colburn 1934, Incropera eq. 6.60.
            faster = math.pow(diffusivity / vapour_diffusivity(FILM_AT, self.pressure), 2 / 3)
            through = self.open_area * vapour_transfer_coefficient(values[FILM_NAME]) * faster
        else:
            through = vents_conductance(self.at(values), diffusivity, max(values[DRAUGHT_NAME], 1.0))
        return through * values.get(LEAK_NAME, 1.0)

    def as_weighed(self, leak: LikelyRange) -> "BoxVents":
        """The same vents where a weighing told how much they let through, as a factor on the forecast [-]."""
        known = (replace(one, low=one.typical, high=one.typical) for one in self.inputs)
        return replace(self, inputs=(*known, Uncertainty(LEAK_NAME, leak.typical, leak.low, leak.high, "")))

    @property
    def wall_permeance(self) -> float:
        """Vapour permeance of the box's plastic walls and lid [kg/(s Pa)]."""
        return wall_vapour_permeance(self.wall_area / WALL_THICKNESS, PLASTIC_VAPOUR_RESISTANCE)


def vents_of(plan: Plan, index: int) -> BoxVents | Unknown:
    """The vents of the egg box at a place in the plan, or what is missing to tell."""
    box, path = plan.egg_boxes[index], f"egg_boxes[{index}]"
    lid = box.lid
    pressure = air_pressure(SEA_LEVEL if plan.room.altitude is None else plan.room.altitude)
    if not lid.fitted:
        return _open_tray(box, path, pressure, OPEN_FILM if plan.fan is None else STIRRED_FILM)
    wanted: dict[str, object] = {
        f"{path}.inside": box.inside,
        f"{path}.lid.fit": lid.fit,
        f"{path}.lid.holes": lid.holes,
    }
    if lid.holes is not None and lid.holes.count:
        wanted[f"{path}.lid.thickness"] = lid.thickness
    if lacking := untold("lid or size of the egg box is not told", wanted):
        return lacking
    assert box.inside is not None and lid.fit is not None and lid.holes is not None
    size = box.inside
    gap = lid_fit(lid.fit).gap
    diameter, thickness = lid.holes.diameter or USUAL_HOLE, lid.thickness or USUAL_LID
    weigh = f"the fit of the lid of box '{box.name}': {WEIGH_TWICE}"
    inputs = (
        Uncertainty(GAP_NAME, gap.typical, gap.low, gap.high, weigh),
        Uncertainty(
            DEPTH_NAME, RIM_CONTACT_DEPTH.typical, RIM_CONTACT_DEPTH.low, RIM_CONTACT_DEPTH.high, weigh
        ),
        Uncertainty(DRAUGHT_NAME, DRAUGHT[1], DRAUGHT[0], DRAUGHT[2], weigh),
        _hole_flow(diameter, thickness),
    )
    return BoxVents(
        hole_count=lid.holes.count,
        hole_diameter=diameter,
        lid_thickness=thickness,
        perimeter=size.around,
        wall_area=size.floor + size.around * size.height,
        pressure=pressure,
        inputs=inputs,
    )


def _open_tray(
    box: EggBox, path: str, pressure: float, over: tuple[float, float, float]
) -> BoxVents | Unknown:
    """All that lies open; its walls let nothing through that counts."""
    if box.inside is None:
        return Unknown("the size of the tray is not told", (f"{path}.inside",))
    low, usual, high = over
    film = Uncertainty(FILM_NAME, usual, low, high, f"how the air moves over tray '{box.name}': {WEIGH_TRAY}")
    return BoxVents(0, USUAL_HOLE, USUAL_LID, 0.0, 0.0, pressure, (film,), open_area=box.inside.floor)


def _hole_flow(diameter: float, thickness: float) -> Uncertainty:
    """Air that rises through one hole [m3/s]: level in the lid, as most are; at most as much as through a wall."""
    none, usual, most = LIGHTNESS
    return Uncertainty(
        HOLE_FLOW_NAME,
        hole_exchange_flow(diameter, thickness, usual),
        hole_exchange_flow(diameter, thickness, none),
        hole_exchange_flow(diameter, thickness, most, in_wall=True),
        f"how the air moves in holes this wide: {WEIGH_TWICE}",
    )
