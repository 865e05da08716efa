"""The edge of what is known: a number outside the range of a formula becomes a reason, worded for keepers.

Schemas allow all that may stand in a plan; formulas hold for less. What lies between is not judged, and no crash.
"""

from collections.abc import Callable
from typing import TypeVar

from advisor.model.figures import Unknown
from advisor.physics.moist_air import NoSolution, OutOfRange
from advisor.units import number

R = TypeVar("R")


def in_range(compute: Callable[[], R]) -> R | Unknown:
    """What `compute` gives, or the reason why not where a number leaves the range of a formula.

    Any other error is a mistake of the program and goes on.
    """
    try:
        return compute()
    except NoSolution as error:
        return Unknown(reason_of(error))


def reason_of(error: Exception) -> str:
    """Why there is no figure, in words for keepers: first letter small, no full stop."""
    if isinstance(error, OutOfRange):
        unit = f" {error.unit}" if error.unit else ""
        computed = f"{number(error.lowest)} to {number(error.highest)}{unit}"
        return f"the {error.name} is {number(error.value)}{unit}; it can be computed only for {computed}"
    text = str(error)
    return text[:1].lower() + text[1:].rstrip(".")
