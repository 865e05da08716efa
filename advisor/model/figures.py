"""A computed figure with its likely range, or the reason why there is none."""

from collections.abc import Callable
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

Formula = Callable[..., Any]


class Figure(Struct, frozen=True):
    """A typical value with its likely range (about 95 %), in SI units of its `quantity`.

    `quantity` is a key of `units.QUANTITIES`. `basis` says in one sentence where the figure comes from;
    `matters_most` names the input that widens the range most and how to find it out. `formulas` are the functions of
    `advisor.formulas` that made it, whose docstrings tell how; none for a guess or for the plan's own numbers.
    """

    value: float
    low: float
    high: float
    quantity: str
    basis: str = ""
    matters_most: str = ""
    formulas: tuple[Formula, ...] = ()

    def moved(self, change: Callable[[float], float], quantity: str = "") -> "Figure":
        """The figure with its value and both ends changed by a rising function; `quantity` is that of the result, if another."""
        value, low, high = map(change, (self.value, self.low, self.high))
        return replace(self, value=value, low=low, high=high, quantity=quantity or self.quantity)


class Unknown(Struct, frozen=True):
    """No figure: why, and which plan or profile entries would allow one."""

    reason: str
    needs: tuple[str, ...] = ()


Result = Figure | Unknown


def formula_name(formula: Formula) -> str:
    """The name by which docs/formulas.md lists a formula: its module there and the function."""
    return f"{formula.__module__.removeprefix('advisor.')}.{formula.__name__}"
