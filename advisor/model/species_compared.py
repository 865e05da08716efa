"""Whether several species can share one outer box: shared bands, what to expect there, the split into boxes."""

from msgspec import Struct

from advisor.model.box_shared import BoxGroup
from advisor.model.curves import ExpectedAt
from advisor.model.plan import Range
from advisor.model.species import Species


class SharedSetPoint(Struct, frozen=True):
    """One set point [°C] with what each species gives there, in the order of the comparison."""

    temperature: float
    expected: tuple[ExpectedAt, ...]


class Comparison(Struct, frozen=True):
    """The answer for some species.

    `usual` and `tolerated` are the bands [°C] that all share, None when there is none or it is too narrow to hold;
    `set_points` lie in the better of the two; `without_band` are species whose bands are not known, left out of all
    else; `split` holds one group a box, the coolest first.
    """

    species: tuple[Species, ...]
    without_band: tuple[Species, ...]
    usual: Range | None
    tolerated: Range | None
    set_points: tuple[SharedSetPoint, ...]
    split: tuple[BoxGroup, ...]
    split_expected: tuple[tuple[ExpectedAt, ...], ...]
