"""The medium round the eggs: how much water a mix holds, how hard it holds it, and how much a box takes.

The water content w is kg of water for each kg of dry medium. It is the main quantity here: water potential
follows from it only roughly, because laboratories do not agree on the curve. Vermiculite has pores inside its
flakes, so that the water of a usual mix goes into them and the mix takes up the space of the dry medium
(common practice, no source).
"""

import math
from collections.abc import Callable

from msgspec import Struct
from msgspec.structs import astuple, replace

from advisor.constants import WATER_DENSITY
from advisor.formulas.air.moist_air import NoSolution, check_range
from advisor.formulas.air.vents import LikelyRange

# Exponential retention curve of vermiculite: least squares on ln(-potential) through nine points of 0.1 to 3
# kg/kg from the open data of Bell et al. 2025, J Exp Biol, doi 10.1242/jeb.249960 (points seen, fit derived).
_CURVE_POTENTIAL = -1160.0e3  # Pa
_CURVE_SLOPE = 2.17  # kg/kg
_CURVE_DRIEST = 0.05  # kg/kg; measured from 0.1, carried a little further
_CURVE_WETTEST = 3.8  # kg/kg; measured to 3.0, carried on to the most that vermiculite was seen to hold

# How far other readings lie from that curve, as a factor on the potential (derived from the points named).
_SAME_CURVE_FACTOR = 1.6  # worst of the nine points
_OTHER_CURVE_FACTOR = 1.7  # drier: 1.0 kg/kg at -220 kPa, Ji and co-workers (from memory)
_DRIEST_CURVE_FACTOR = 5.5  # drier: 1.73 kg/kg at -150 kPa, one anole laboratory's protocol (common practice)


class KnownMedium(Struct, frozen=True):
    """What is known of one medium.

    bulk_density [kg/m3] of the loose dry medium; drained_by_mass [kg/kg] or drained_by_volume [m3/m3], the
    water it holds after draining, whichever was measured; heat_capacity [J/(kg K)] of the dry medium;
    has_retention_curve tells whether a water potential can be given; source and known say where the figures
    come from and how well they are known.
    """

    material: str
    grade: str | None
    bulk_density: LikelyRange
    drained_by_mass: LikelyRange | None
    drained_by_volume: LikelyRange | None
    heat_capacity: float
    has_retention_curve: bool
    source: str
    known: str


def _only(value: float) -> LikelyRange:
    """A single value, whose spread nobody tells."""
    return LikelyRange(value, value, value)


# Low: one data sheet; high: Blatchford c.1995, Lacerta 53(5), on the coarse grade (both seen). Typical: the 3
# to 4 of keepers (common practice, no source).
_VERMICULITE_HOLDS = LikelyRange(2.4, 3.5, 3.8)
# Between 840 of one data sheet and 1340 of ASHRAE Fundamentals (both seen); judgement.
_VERMICULITE_HEAT = 1000.0
_GRADE_SHEETS = "two producers' general grade sheets (seen)"


def _vermiculite(
    grade: str | None,
    bulk_density: LikelyRange,
    drained: LikelyRange = _VERMICULITE_HOLDS,
    source: str = _GRADE_SHEETS,
) -> KnownMedium:
    return KnownMedium(
        "vermiculite", grade, bulk_density, drained, None, _VERMICULITE_HEAT, True, source, "published"
    )


MEDIA = (
    # The saturation of Blatchford c.1995 was measured on this grade, so it is its typical value too.
    _vermiculite("coarse", LikelyRange(60.0, 68.0, 80.0), LikelyRange(2.4, 3.8, 3.8)),
    _vermiculite("medium", LikelyRange(70.0, 78.0, 90.0)),
    _vermiculite("fine", LikelyRange(75.0, 85.0, 112.0)),
    _vermiculite("superfine", LikelyRange(85.0, 100.0, 125.0)),
    # Ends: the lightest and heaviest any producer gives. Typical: that of the medium grade, judgement.
    _vermiculite(
        None,
        LikelyRange(60.0, 78.0, 160.0),
        source="grade sheets and an industry note (seen); weigh one litre to know better",
    ),
    KnownMedium(
        "perlite",
        None,
        LikelyRange(30.0, 100.0, 150.0),
        None,
        _only(0.28),
        1090.0,
        False,
        "density: Korean J Soil Sci Fert 2021 54:276 (range seen, typical from memory); "
        "water: one amateur drain test; heat: ASHRAE Fundamentals (from memory)",
        "common practice",
    ),
    KnownMedium(
        "sphagnum",
        None,
        LikelyRange(10.0, 40.0, 75.0),
        # High: a popular text (seen). Low and typical: judgement.
        LikelyRange(10.0, 15.0, 20.0),
        None,
        1930.0,
        False,
        "density: Boelter 1968 on undecomposed moss (from memory); water: a popular text; "
        "heat: de Vries 1963, 2.51 MJ/(m3 K) over 1300 kg/m3 (from memory)",
        "common practice",
    ),
    KnownMedium(
        "peat",
        None,
        # Low and high: the fibric and sapric limits of Boelter 1969; typical: judgement.
        LikelyRange(75.0, 110.0, 195.0),
        None,
        _only(0.58),
        1930.0,
        False,
        "density: Boelter 1969 (from memory); water: one amateur drain test; "
        "heat: de Vries 1963, 2.51 MJ/(m3 K) over 1300 kg/m3 (from memory)",
        "common practice",
    ),
    KnownMedium(
        "sand",
        None,
        # Typical: Incropera, table A.3. Ends: judgement, loose and packed.
        LikelyRange(1400.0, 1515.0, 1700.0),
        None,
        _only(0.28),
        800.0,
        False,
        "density and heat: Incropera, table A.3 (from memory); water: one amateur drain test",
        "common practice",
    ),
    KnownMedium(
        "soil",
        None,
        LikelyRange(1100.0, 1300.0, 1600.0),
        None,
        # Field capacity of sandy loam, loam and clay loam.
        LikelyRange(0.18, 0.28, 0.36),
        730.0,
        False,
        "density: judgement; water: Saxton & Rawls 2006, table 3 (from memory); "
        "heat: de Vries 1963, 1.93 MJ/(m3 K) over 2650 kg/m3 (from memory)",
        "from memory",
    ),
)


# A mixture is at most so much denser than its parts by volume: fine grains settle between coarse ones; judgement.
_SETTLES = 1.1


def mixture(first: KnownMedium, second: KnownMedium, share: float) -> KnownMedium:
    """Two dry media as one, with their properties by volume.

    Arguments: first; second; share [-] of the second in the dry volume, 0 to 1. Result: a KnownMedium whose density,
    and the water that a volume of it holds, are means by volume; its heat capacity is one by mass. It has no retention
    curve: none of a mixture was found. Errors: ValueError out of range. Reference: volumes add up (derived).
    """
    check_range("share of the second medium", share, 0.0, 1.0, "(share)")
    parts = ((first, 1.0 - share), (second, share))

    def mean(of: Callable[[KnownMedium], LikelyRange]) -> LikelyRange:
        ends = zip(*(astuple(of(medium)) for medium, _ in parts), strict=True)
        return LikelyRange(
            *(sum(part * end for (_, part), end in zip(parts, two, strict=True)) for two in ends)
        )

    density = mean(lambda medium: medium.bulk_density)
    heat = sum(
        part * medium.bulk_density.typical / density.typical * medium.heat_capacity for medium, part in parts
    )
    return KnownMedium(
        material=f"{first.material} with {second.material}",
        grade=first.grade or second.grade,
        bulk_density=replace(density, high=density.high * _SETTLES),
        drained_by_mass=None,
        drained_by_volume=mean(_drained_by_volume),
        heat_capacity=heat,
        has_retention_curve=False,
        source=f"by volume of both. {first.material}: {first.source}. {second.material}: {second.source}",
        known="common practice" if "common practice" in (first.known, second.known) else "from memory",
    )


def _drained_by_volume(medium: KnownMedium) -> LikelyRange:
    if medium.drained_by_volume is not None:
        return medium.drained_by_volume
    held, usual = drained_capacity(medium), medium.bulk_density.typical / WATER_DENSITY
    return LikelyRange(held.low * usual, held.typical * usual, held.high * usual)


class WaterPotential(Struct, frozen=True):
    """How hard the medium holds its water, or why that cannot be said; potentials in Pa, 0 or below.

    low (drier) and high (wetter) bound the usual laboratories; driest is what one laboratory's curve would
    give. `reason` says why a figure is missing, or what weakens it.
    """

    typical: float | None
    low: float | None
    high: float | None
    driest: float | None
    reason: str | None


def with_measured_bulk_density(medium: KnownMedium, bulk_density: float) -> KnownMedium:
    """The same medium with the density a keeper measured by weighing one litre of it, dry.

    Arguments: medium; bulk_density [kg/m3], 5 to 2500, which is the same number as grams in a litre.
    Result: a Medium whose density has no spread left.
    Errors: ValueError out of range.
    Reference: judgement; a weighed litre beats any table.
    """
    check_range("bulk density", bulk_density, 5.0, 2500.0, "kg/m3")
    return replace(medium, bulk_density=_only(bulk_density))


def drained_capacity(medium: KnownMedium) -> LikelyRange:
    """The most water a medium holds before some stands free at the bottom of the box.

    Arguments: medium. Result: water content w, low, typical and high [kg/kg].
    Assumes a shallow box. A capacity measured by volume is divided by the density (derived).
    Errors: ValueError when the medium has no capacity at all.
    Reference: Medium.source of each entry.
    """
    if medium.drained_by_mass is not None:
        return medium.drained_by_mass
    if medium.drained_by_volume is None:
        raise NoSolution(f"no drained capacity is known for {medium.material}")
    share, density = medium.drained_by_volume, medium.bulk_density
    return LikelyRange(
        share.low * WATER_DENSITY / density.high,
        share.typical * WATER_DENSITY / density.typical,
        share.high * WATER_DENSITY / density.low,
    )


def free_water(water_mass: float, dry_medium_mass: float, drained_water_content: float) -> float:
    """The water that the medium cannot hold and that stands at the bottom of the box.

    Arguments: water_mass [kg], 0 or more; dry_medium_mass [kg], above 0; drained_water_content [kg/kg], from
    `drained_capacity`. Result: mass [kg], 0 when the medium holds everything.
    Errors: ValueError out of range. Reference: derived (mass balance).
    """
    check_range("water mass", water_mass, 0.0, 1000.0, "kg")
    check_range("dry medium mass", dry_medium_mass, 1e-6, 1000.0, "kg")
    return max(0.0, water_mass - drained_water_content * dry_medium_mass)


def water_content_from_volume_mix(medium_parts: float, water_parts: float, bulk_density: float) -> float:
    """Water content of a mix measured out by volume.

    Arguments: medium_parts, above 0, and water_parts, 0 or more [same unit of volume]; bulk_density [kg/m3]
    of the loose dry medium, 5 to 2500. Result: w [kg/kg].
    Assumes bone-dry medium; vermiculite from a paper bag already holds 0.02 to 0.06 kg/kg (common practice).
    Errors: ValueError out of range. Reference: w = 1000 / (r rho) for r parts of medium to one of water
    (derived).
    """
    check_range("parts of medium", medium_parts, 1e-6, 1e6, "")
    check_range("parts of water", water_parts, 0.0, 1e6, "")
    check_range("bulk density", bulk_density, 5.0, 2500.0, "kg/m3")
    return WATER_DENSITY * water_parts / (bulk_density * medium_parts)


def water_content_from_mass_mix(medium_parts: float, water_parts: float) -> float:
    """Water content of a mix weighed out.

    Arguments: medium_parts, above 0, and water_parts, 0 or more [same unit of mass]. Result: w [kg/kg].
    Errors: ValueError out of range. Reference: definition of w.
    """
    check_range("parts of medium", medium_parts, 1e-6, 1e6, "")
    check_range("parts of water", water_parts, 0.0, 1e6, "")
    return water_parts / medium_parts


def medium_parts_by_volume(water_content: float, bulk_density: float) -> float:
    """Parts of medium to one part of water by volume that give a water content.

    Arguments: water_content w [kg/kg], 0.001 to 50; bulk_density [kg/m3], 5 to 2500. Result: parts [-].
    Errors: ValueError out of range. Reference: r = 1000 / (w rho) (derived).
    """
    check_range("water content", water_content, 1e-3, 50.0, "kg/kg")
    check_range("bulk density", bulk_density, 5.0, 2500.0, "kg/m3")
    return WATER_DENSITY / (water_content * bulk_density)


def medium_parts_by_mass(water_content: float) -> float:
    """Parts of medium to one part of water by mass that give a water content.

    Arguments: water_content w [kg/kg], 0.001 to 50. Result: parts [-].
    Errors: ValueError out of range. Reference: definition of w.
    """
    check_range("water content", water_content, 1e-3, 50.0, "kg/kg")
    return 1.0 / water_content


def vermiculite_potential(water_content: float) -> float:
    """Water potential of vermiculite from its water content.

    Arguments: water_content w [kg/kg], 0.05 to 3.8. Result: potential [Pa], below 0.
    Assumes an average grade; measured from 0.1 to 3 kg/kg, worst point a factor of 1.6 off.
    Errors: ValueError out of range. Reference: psi = -1160 kPa exp(-2.17 w), fit to nine points in the open
    data of Bell et al. 2025 (points seen, fit derived).
    """
    check_range("water content", water_content, _CURVE_DRIEST, _CURVE_WETTEST, "kg/kg")
    return _CURVE_POTENTIAL * math.exp(-_CURVE_SLOPE * water_content)


def typical_potential(medium: KnownMedium, water_content: float) -> float | None:
    """The typical water potential [Pa] alone, as `water_potential` gives it; None where that cannot be said."""
    if water_content > drained_capacity(medium).typical:
        return 0.0
    if not medium.has_retention_curve or water_content < _CURVE_DRIEST:
        return None
    return vermiculite_potential(water_content)


def water_potential(medium: KnownMedium, water_content: float) -> WaterPotential:
    """Water potential of a medium with its honest band, or the reason why none can be given.

    Arguments: medium; water_content w [kg/kg], 0 or more. Result: a WaterPotential [Pa].
    Assumes the band of the published points: a factor of 1.6 wetter on the same curve, 1.7 drier on the
    curves of other laboratories, and 5.5 drier by one laboratory's protocol of unknown grade.
    Errors: ValueError below 0. Reference: `vermiculite_potential`; the factors are derived.
    """
    check_range("water content", water_content, 0.0, 1e6, "kg/kg")
    typical = typical_potential(medium, water_content)
    if typical is None:
        curve = medium.has_retention_curve
        why = (
            "drier than any measured point" if curve else f"no measured curve for {medium.material} was found"
        )
        return WaterPotential(None, None, None, None, why)
    if typical == 0.0:
        return WaterPotential(0.0, 0.0, 0.0, 0.0, "the medium is full: water stands free")
    outside_the_points = not 0.1 <= water_content <= 3.0
    return WaterPotential(
        typical,
        typical * _OTHER_CURVE_FACTOR,
        typical / _SAME_CURVE_FACTOR,
        typical * _DRIEST_CURVE_FACTOR,
        "a little outside the measured points" if outside_the_points else None,
    )
