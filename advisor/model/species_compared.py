"""Whether several species can share one outer box: shared bands, what to expect there, the split into boxes."""

from msgspec import Struct

from advisor.model.box_shared import BoxGroup
from advisor.model.curves import ExpectedAt
from advisor.model.plan import Range
from advisor.model.species import Species


class Comparison(Struct, frozen=True):
    """The answer for some species.

    `usual` and `tolerated` are the bands [°C] that all share, None when there is none or it is too narrow to hold;
    `expected` is what each species gives at the ends and the middle of the better of the two, a row a set point;
    `without_band` are species whose bands are not known, left out of all else; `split` holds one group a box, the
    coolest first, `split_expected` what each species of it gives there.
    """

    species: tuple[Species, ...]
    without_band: tuple[Species, ...]
    usual: Range | None
    tolerated: Range | None
    expected: tuple[tuple[ExpectedAt, ...], ...]
    split: tuple[BoxGroup, ...]
    split_expected: tuple[tuple[ExpectedAt, ...], ...]
