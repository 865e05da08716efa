"""Several species side by side: the set points they could share, and what each gives there."""

from collections.abc import Sequence
from itertools import combinations

from advisor.forecast.clutch.box_shared import aim_of, conflict, meeting, set_point_in, split, tolerated_of
from advisor.forecast.clutch.curves import expected_at
from advisor.model.plan import Range
from advisor.model.species import Species
from advisor.model.species_compared import Comparison


def compared(species: Sequence[Species]) -> Comparison:
    """At which set points species could share a box, what each gives there, and the split when there is none."""
    known = tuple(one for one in species if one.aim is not None and one.tolerated is not None)
    conflicts = {conflict(one, other) for one, other in combinations(known, 2)}
    usual = meeting([aim_of(one) for one in known]) if known and conflicts <= {None} else None
    tolerated = None
    if known and not conflicts & {"harm", "tolerated bands apart"}:
        tolerated = meeting([tolerated_of(one) for one in known])
    shared = usual or tolerated
    groups = split(known)
    return Comparison(
        species=known,
        without_band=tuple(one for one in species if one not in known),
        usual=usual,
        tolerated=tolerated,
        expected=tuple(tuple(expected_at(one, at) for one in known) for at in _set_points(shared)),
        split=groups,
        split_expected=tuple(
            tuple(expected_at(one, group.set_point) for one in group.species) for group in groups
        ),
    )


def _set_points(band: Range | None) -> tuple[float, ...]:
    """Both ends and the middle of a band [°C]."""
    return tuple(dict.fromkeys((band.low, set_point_in(band), band.high))) if band is not None else ()
