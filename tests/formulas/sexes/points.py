"""Counts of males as the formulas take them."""

from collections.abc import Callable
from typing import Any

from advisor.formulas.sexes.counts import SexPoint
from advisor.formulas.sexes.fit import Slope
from tests.formulas.sexes.data_sex import ROWS

FALLING: tuple[Slope, ...] = ("falling",)
BOTH: tuple[Slope, ...] = ("rising", "falling")


def points(species: str, keep: Callable[[Any], object] = lambda row: True) -> list[SexPoint]:
    return [SexPoint(t, share, n, study) for t, share, n, study, *_ in filter(keep, ROWS[species])]


def slider() -> list[SexPoint]:
    # Trachemys scripta of the USA; Les et al. 2007 (J Exp Zool 307A:274) adds 0.97 of 55 at 28.5 °C.
    usa = points("Trachemys scripta", lambda row: not row[3].startswith("vogt-1992"))
    return [*usa, SexPoint(28.5, 0.97, 55, "les-2007")]


def painted() -> list[SexPoint]:
    # Chrysemys picta, medium not drier than -650 kPa; two more groups: 0.62 of 186 at 28 °C (McGaugh et al.
    # 2011, J Evol Biol 24:784) and 24 of 24 at 27 °C (Paitz et al. 2010, Can J Zool 88:479).
    wet = points("Chrysemys picta", lambda row: row[4] is None or row[4] >= -650)
    return [*wet, SexPoint(28, 0.62, 186, "mcgaugh-2011"), SexPoint(27, 1.0, 24, "paitz-2010")]
