"""Curves of one species over temperature, with the points behind them: days to hatching, share of males."""

from msgspec import Struct

from advisor.model.figures import Result


class CurvePoint(Struct, frozen=True):
    """A value at a temperature [°C] with its likely range (days, or a share from 0 to 1)."""

    temperature: float
    value: float
    low: float
    high: float


class CurvePiece(Struct, frozen=True):
    """A stretch of a curve without gaps; `known` is how the weakest point behind it is known."""

    points: tuple[CurvePoint, ...]
    known: str


class ObservedPoint(Struct, frozen=True):
    """What a source counted at a temperature [°C]: value (low and high differ for a stated range), eggs, how known."""

    temperature: float
    low: float
    high: float
    eggs: int | None
    known: str


class Curve(Struct, frozen=True):
    """Pieces with gaps where nothing can be told, and the points, both from cold to warm."""

    pieces: tuple[CurvePiece, ...]
    observed: tuple[ObservedPoint, ...]


class ExpectedAt(Struct, frozen=True):
    """What to expect at one set point [°C]: days to hatching and share of males, or why there is no figure."""

    temperature: float
    days: Result
    male_share: Result
