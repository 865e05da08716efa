"""Heated boxes computed in two dimensions: a finite-volume model of one metre of an endless box without end walls.

The model: Boussinesq air (virtual temperature), laminar, on a staggered grid of 5 mm (O, Ac, S3l, S3f: 10 mm), limited
upwind convection; foam, medium and plastic by conduction; radiation face to face with ray-traced views, emissivity 0.9
everywhere; saturated vapour at the medium, diffusing and carried inside the headspace, dew with its latent heat.
Outside films 0.10, 0.13, 0.17 m2 K/W on top, sides and bottom. The heater's watts are given; temperatures are those at
which loss and watts agree. Checked on the heated square cavity (mean Nusselt number, de Vahl Davis 1983: 2.245 for
2.243, 4.508 for 4.519) and on exact views and plates. No run was measured in a real box.

Geometry, complete: foam 0.037 W/(m K) (H: 0.13). The mat is centred on ceiling, floor or one side wall. Egg boxes: inner
height 9 cm, medium 4 cm deep at 0.2 W/(m K) (A2k: 3), saturated, plastic 0.22 W/(m K) of 1 mm, in the grid 5 mm of the
same resistance, so outside 10 cm high and 1 cm wider than the inner width; lower base 2 cm above the floor, the next
tier 1 cm above the lid below; boxes of a tier evenly spaced, same gap at the walls. O: 12 cm boxes, medium 5 cm, outside
14 cm and 2 cm wider, tiers 2 cm apart. Ac, S3l, S3f: outside 11 cm, 2 cm wider, tiers 2 cm apart, mat 1 cm thick, else
5 mm. No leak, eggs give no heat.
"""

from msgspec import Struct
from msgspec.structs import replace

from advisor.formulas.heat.box_setup import BoxSetup, EggBoxes, HeatPlace, Uncertain
from advisor.formulas.heat.insulated_box import BoxSize


class Strip(Struct, frozen=True):
    """One run: heat place, width of the mat [m]; box inside width, height, wall [m]; tiers, boxes a tier, their width [m];
    room [°C], watts [W/m]; then what was computed: mean of the lower medium [°C], lid minus mean of the lower medium, upper
    minus lower medium, lid minus mean of the upper medium [K], heater [°C], dew in a lower and an upper box on the lid
    and in all [g/day per metre]. fitted: used to choose a constant or a rule of the network."""

    name: str
    place: HeatPlace
    mat: float
    width: float
    height: float
    wall: float
    tiers: int
    boxes: int
    box: float
    room: float
    watts: float
    medium: float
    lid: float
    spread: float | None
    upper_lid: float | None
    heater: float
    dew: tuple[float, float]
    upper_dew: tuple[float, float] | None
    fitted: bool


STRIPS = (
    Strip("A2", "lid", 0.28, 0.40, 0.25, 0.04, 1, 1, 0.20, 17, 14.2, 28.34, 2.32, None, None, 34.7, (0, 0.2), None, True),
    Strip("Ac", "lid", 0.28, 0.40, 0.25, 0.04, 1, 1, 0.20, 17, 14.2, 28.37, 2.46, None, None, 34.8, (0, 0.3), None, False),
    Strip("D", "floor", 0.28, 0.40, 0.25, 0.04, 1, 2, 0.15, 17, 12.1, 28.51, -0.55, None, None, 31.8, (11.4, 14.1), None, True),
    Strip("B", "lid", 0.30, 0.40, 0.25, 0.03, 2, 2, 0.15, 20, 16.0, 27.56, 2.36, 4.71, 4.46, 40.4, (0, 0), (0, 3.5), True),
    Strip("B2", "lid", 0.30, 0.40, 0.25, 0.03, 2, 1, 0.20, 20, 16.0, 28.53, 1.86, 3.77, 4.25, 38.9, (0, 0), (0, 13.3), True),
    Strip("C", "floor", 0.30, 0.40, 0.25, 0.03, 2, 2, 0.15, 20, 12.1, 29.25, -0.21, -0.45, 0.08, 32.0, (7.6, 13.2), (3.3, 6.9), True),
    Strip("C2", "floor", 0.30, 0.40, 0.25, 0.03, 2, 1, 0.20, 20, 12.1, 29.57, -0.78, -1.19, 0.01, 32.1, (12.8, 21.1), (4.9, 8.8), True),
    Strip("E", "one side", 0.15, 0.40, 0.25, 0.04, 1, 2, 0.15, 17, 13.0, 27.33, 1.68, None, None, 36.2, (0, 0), None, True),
    Strip("F", "lid", 0.08, 0.40, 0.25, 0.02, 1, 2, 0.15, 15, 33.0, 29.09, 5.57, None, None, 63.7, (0, 0.5), None, True),
    Strip("H", "lid", 0.30, 0.40, 0.25, 0.02, 1, 2, 0.15, 20, 52.0, 27.77, 5.52, None, None, 43.0, (0, 1.0), None, True),
    Strip("Astuck", "lid", 0.28, 0.40, 0.25, 0.04, 1, 2, 0.15, 17, 28.4, 39.19, 5.65, None, None, 53.2, (0, 0.1), None, True),
    Strip("A2k", "lid", 0.28, 0.40, 0.25, 0.04, 1, 1, 0.20, 17, 14.2, 28.29, 2.06, None, None, 34.7, (0, 0), None, True),
    Strip("K", "lid", 0.30, 0.40, 0.40, 0.03, 1, 2, 0.15, 20, 18.5, 28.59, 2.66, None, None, 36.9, (0, 0), None, False),
    Strip("L", "lid", 0.36, 0.50, 0.17, 0.03, 1, 2, 0.15, 20, 15.0, 29.30, 2.62, None, None, 35.1, (0, 0.9), None, False),
    Strip("M", "lid", 0.30, 0.40, 0.25, 0.03, 2, 1, 0.20, 26, 5.3, 28.84, 0.63, 1.29, 1.46, 32.4, (0, 0), (0, 3.7), False),
    Strip("N", "one side", 0.20, 0.40, 0.25, 0.03, 2, 1, 0.20, 20, 14.0, 28.43, 1.11, 1.67, 0.85, 35.8, (0.5, 3.6), (4.2, 12.4), False),
    Strip("O", "lid", 0.50, 0.80, 0.50, 0.05, 2, 4, 0.15, 20, 21.0, 27.99, 1.92, 3.86, 2.91, 39.0, (0, 0), (0, 0), False),
    Strip("Q", "lid", 0.30, 0.40, 0.40, 0.03, 2, 1, 0.20, 20, 18.5, 27.67, 1.39, 2.62, 2.24, 37.2, (0, 0), (0, 2.4), False),
    Strip("W", "lid", 0.10, 0.40, 0.25, 0.04, 2, 1, 0.20, 20, 13.5, 29.24, 2.04, 4.39, 6.28, 52.5, (0, 0.5), (0, 43.2), False),
    Strip("Cs", "floor", 0.30, 0.40, 0.25, 0.03, 1, 1, 0.20, 20, 24.2, 39.00, -2.22, None, None, 44.3, (46.9, 59.8), None, False),
    Strip("S3l", "lid", 0.30, 0.40, 0.30, 0.03, 2, 1, 0.20, 20, 17.5, 28.36, 1.80, 3.86, 3.70, 39.3, (0, 0), (0, 6.2), False),
    Strip("S3f", "floor", 0.30, 0.40, 0.30, 0.03, 2, 1, 0.20, 20, 13.2, 30.16, -1.20, -1.98, -0.18, 33.0, (22.5, 28.5), (4.5, 6.5), True),
)  # fmt: skip


def setup_of(strip: Strip) -> BoxSetup:
    """The strip as the product's physics takes it: one metre of an endless box."""
    coarse, large = strip.name in ("Ac", "S3l", "S3f"), strip.name == "O"
    plastic = 0.01 if coarse or large else 0.005
    boxes = EggBoxes(
        count=strip.boxes,
        length=1.0,
        width=strip.box,
        height=0.12 if large else 0.09,
        medium_depth=0.05 if large else 0.04,
        lid_thickness=plastic,
        wall_conductivity=0.22 * plastic / 0.001,
        medium_conductivity=3.0 if strip.name == "A2k" else 0.2,
    )
    return BoxSetup(
        inside=BoxSize(1.0, strip.width, strip.height),
        wall_thickness=strip.wall,
        wall_conductivity=0.13 if strip.name == "H" else 0.037,
        room=float(strip.room),
        set_point=strip.medium,
        heat_source="mat",
        heat_place=strip.place,
        heater_area=strip.mat,
        heater_thickness=0.01 if coarse else 0.005,
        lower=boxes,
        upper=boxes if strip.tiers == 2 else None,
        tier_gap=0.02 if coarse or large else 0.01,
        endless=True,
        uncertain=replace(Uncertain(), air_changes=0.0),
    )
