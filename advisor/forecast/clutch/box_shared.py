"""Species in one outer box: which bands they share, and the split into the fewest boxes when they do not."""

from collections.abc import Sequence
from typing import Literal

from advisor.model.box_shared import BoxGroup
from advisor.model.plan import Range
from advisor.model.species import Band, Species

LEAST_SHARED = 1.0  # K; a box is not known, and not held, closer than about 0.5 K either way; judgement
ROUNDING = 1e-6  # K; so that °F entries do not miss a limit by the last decimal
SET_POINT_STEP = 0.5  # K; set points are named to half a degree where the band leaves room; judgement

Conflict = Literal["usual bands apart", "tolerated bands apart", "harm"]


def aim_of(species: Species) -> Band:
    """The usual band; for species that have one."""
    assert species.aim is not None
    return species.aim


def tolerated_of(species: Species) -> Band:
    """The tolerated band; for species that have one."""
    assert species.tolerated is not None
    return species.tolerated


def tolerated_middle(species: Species) -> float:
    """Middle of the tolerated band [°C], which tells the cooler of two species."""
    band = tolerated_of(species)
    return (band.low + band.high) / 2


def shared_width(one: Species, other: Species) -> float:
    """Width of the band that both tolerate [K]; negative when there is a gap."""
    first, second = tolerated_of(one), tolerated_of(other)
    return min(first.high, second.high) - max(first.low, second.low)


def conflict(one: Species, other: Species) -> Conflict | None:
    """What keeps two species from one set point; None when their usual bands meet."""
    widths = [tolerated_of(species).high - tolerated_of(species).low for species in (one, other)]
    if shared_width(one, other) < min(LEAST_SHARED, *widths) - ROUNDING:
        return "harm" if harmed(one, other) or harmed(other, one) else "tolerated bands apart"
    first, second = aim_of(one), aim_of(other)
    meet = max(first.low, second.low) <= min(first.high, second.high) + ROUNDING
    return None if meet else "usual bands apart"


def harmed(one: Species, by: Species) -> bool:
    """Whether every temperature that the other species tolerates is known to harm this one."""
    if one.harmful is None:
        return False
    above, below = one.harmful.above, one.harmful.below
    too_warm = above is not None and tolerated_of(by).low >= above - ROUNDING
    too_cool = below is not None and tolerated_of(by).high <= below + ROUNDING
    return too_warm or too_cool


def meeting(bands: Sequence[Band]) -> Range | None:
    """Temperatures [°C] that lie in all bands, or None."""
    low, high = max(band.low for band in bands), min(band.high for band in bands)
    return Range(min(low, high), high) if low <= high + ROUNDING else None


def set_point_in(band: Range) -> float:
    """A set point [°C] in the middle of a band, to half a degree where that lies inside."""
    rounded = round(band.middle / SET_POINT_STEP) * SET_POINT_STEP
    return rounded if band.low <= rounded <= band.high else band.middle


def split(species: Sequence[Species]) -> tuple[BoxGroup, ...]:
    """The fewest boxes in which all usual bands meet, the coolest first; for species with both bands.

    Bands in the order of their warm ends, each into the last box while it fits: the fewest for intervals (a usual
    argument of exchange; derived).
    """
    groups: list[list[Species]] = []
    for one in sorted(species, key=lambda candidate: aim_of(candidate).high):
        if groups and not any(conflict(one, member) for member in groups[-1]):
            groups[-1].append(one)
        else:
            groups.append([one])
    found = []
    for group in groups:
        band = meeting([aim_of(member) for member in group])
        assert band is not None  # pairs that meet all meet in one place (intervals)
        found.append(BoxGroup(tuple(group), band, set_point_in(band)))
    return tuple(found)
