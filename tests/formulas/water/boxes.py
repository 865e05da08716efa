"""Egg boxes whose water is worked out: of a colubrid, of a chameleon, one worked by hand."""

import math
from collections.abc import Sequence
from typing import Any

from msgspec.structs import replace

from advisor.formulas.air.moist_air import vapour_diffusivity
from advisor.formulas.air.vents import (
    PLASTIC_VAPOUR_RESISTANCE,
    Vents,
    lid_fit,
    vents_conductance,
    wall_vapour_permeance,
)
from advisor.formulas.water.egg_box_water import (
    WaterBox,
    WaterState,
    egg_kind,
    water_content,
)
from advisor.formulas.water.medium import (
    KnownMedium,
    water_content_from_volume_mix,
)
from tests.formulas.water.test_medium import medium_named

GRAM = 1e-3
MM = 1e-3
KPA = 1e3
MEDIUM_GRADE = medium_named("vermiculite", "medium")


def first_day_below(box: WaterBox, states: Sequence[WaterState], limit: float) -> float | None:
    return next((state.day for state in states if water_content(box, state) < limit), None)


def vermiculite_water_content(potential: float) -> float:
    """The curve -1160 kPa exp(-2.17 w) turned round [kg/kg]."""
    return math.log(-1160.0 * KPA / potential) / 2.17


def lidded_box(
    medium: KnownMedium,
    content: float,
    eggs: int,
    egg_mass: float,
    gain: float,
    incubation: float,
    vents: Vents,
    **changes: Any,
) -> WaterBox:
    """A box of 20 x 14 cm with 5 cm of medium at 29 °C, in air as moist as a room of 22 °C and 50 %."""
    dry = 0.20 * 0.14 * 0.05 * medium.bulk_density.typical
    temperature = changes.get("temperature", 29.0)
    box = WaterBox(
        medium=medium,
        dry_medium=dry,
        start_water=dry * content,
        egg_count=eggs,
        egg_mass=egg_mass,
        gain_at_hatching=gain,
        incubation_days=incubation,
        temperature=temperature,
        outside_temperature=22.0,
        outside_relative_humidity=0.5,
        vapour_conductance=vents_conductance(vents, vapour_diffusivity(temperature)),
        # Lid, base and the walls above the medium, 1 mm of a plastic that is not known.
        wall_permeance=wall_vapour_permeance((0.20 * 0.14 + 0.68 * 0.04) / MM, PLASTIC_VAPOUR_RESISTANCE),
    )
    return replace(box, **changes)


def five_holes(gap: float, depth: float = 5 * MM) -> Vents:
    return Vents(5, 2 * MM, 1 * MM, gap, 0.68, depth)


CLIP = lid_fit("clip").gap


def colubrid_box(**changes: Any) -> WaterBox:
    """The usual box: 4:1 by volume of medium grade, 14 eggs of 11 g, clip lid with five holes of 2 mm."""
    content = water_content_from_volume_mix(4, 1, MEDIUM_GRADE.bulk_density.typical)
    gain = egg_kind("parchment", "snake", 11 * GRAM).gain_at_hatching.typical
    return lidded_box(MEDIUM_GRADE, content, 14, 11 * GRAM, gain, 60.0, five_holes(CLIP.typical), **changes)


# t11: 35 eggs (Myhrvold 2015, species mean) of 1.35 g (a relative's, Diaz-Paniagua & Cuadrado 2003) for 227
# days at 28 °C and 253 at 25 °C (Ballen et al. 2015, via Noble 2018).
CHAMELEON_GAIN = egg_kind("parchment", "lizard", 1.35 * GRAM).gain_at_hatching
LOWER_LIMIT = 0.6  # kg/kg, the profiles' lower limit for flexible eggs (judgement)


def chameleon_box(
    parts: float,
    temperature: float,
    days: int,
    gap: float,
    gain: float,
    depth: float = 5 * MM,
    **changes: Any,
) -> WaterBox:
    content = water_content_from_volume_mix(parts, 1, MEDIUM_GRADE.bulk_density.typical)
    return lidded_box(
        MEDIUM_GRADE,
        content,
        35,
        1.35 * GRAM,
        gain,
        days,
        five_holes(gap, depth),
        temperature=temperature,
        **changes,
    )


def worked_budget_box(**changes: Any) -> WaterBox:
    """The worked box: 200 g of vermiculite at w = 1, 15 eggs of 12 g, five holes, 1 m of rim at 0.05 mm."""
    vents = Vents(5, 2 * MM, 1 * MM, 0.05 * MM, 1.0, 5 * MM)
    box = WaterBox(
        medium=MEDIUM_GRADE,
        dry_medium=0.2,
        start_water=0.2,
        egg_count=15,
        egg_mass=12 * GRAM,
        gain_at_hatching=0.4,
        incubation_days=60.0,
        temperature=30.0,
        outside_temperature=30.0,
        outside_relative_humidity=0.6,
        vapour_conductance=vents_conductance(vents, 2.6e-5),  # the handbook's diffusivity
    )
    return replace(box, **changes)
