"""A computed figure with its likely range, or the reason why there is none."""

from msgspec import Struct


class Figure(Struct, frozen=True):
    """A typical value with its likely range (about 95 %), in SI units of its `quantity`.

    `quantity` is a key of `units.QUANTITIES`. `basis` says in one sentence where the figure comes from;
    `matters_most` names the input that widens the range most and how to find it out.
    """

    value: float
    low: float
    high: float
    quantity: str
    basis: str = ""
    matters_most: str = ""


class Unknown(Struct, frozen=True):
    """No figure: why, and which plan or profile entries would allow one."""

    reason: str
    needs: tuple[str, ...] = ()


Result = Figure | Unknown
