"""The edge of what is known: a number outside the range of a formula becomes a reason, worded for keepers.

Schemas allow all that may stand in a plan; formulas hold for less. What lies between is not judged, and no crash.
"""

import re
from collections.abc import Callable, Mapping
from typing import TypeVar

from msgspec import Struct

from advisor.formulas.air.moist_air import NoSolution
from advisor.model.figures import Unknown
from advisor.model.forecast import nothing_known

R = TypeVar("R")
F = TypeVar("F", bound=Struct)
# What a formula says of an input out of its range: "gain at hatching is 9.14679 : must be from -0.9 to 4".
_REFUSED = re.compile(
    r"^(?:the |an? )?(?P<what>\w.*?)(?: is\b.*?| are\b.*?|:.*?)? must\b", re.IGNORECASE | re.DOTALL
)
_NUMBER = r"[-+]?\d[\d.]*(?:e[-+]?\d+)?"
_RANGE = re.compile(rf" is (?P<value>{_NUMBER})\b.*must be from {_NUMBER} to (?P<most>{_NUMBER})")
WORDS = {"gain at hatching": "what the eggs gain until they hatch", "half range": "half the daily swing"}


def in_range(compute: Callable[[], R]) -> R | Unknown:
    """What `compute` gives, or the reason why not where a number leaves the range of a formula.

    Any other error is a mistake of the program and goes on.
    """
    try:
        return compute()
    except NoSolution as error:
        return Unknown(reason_of(error))


def whole(kind: type[F], compute: Callable[[], F | Unknown]) -> F:
    """The part of the forecast that `compute` gives, or one that tells for each of its figures why there is none."""
    found = in_range(compute)
    return nothing_known(kind, found) if isinstance(found, Unknown) else found


def untold(reason: str, wanted: Mapping[str, object]) -> Unknown | None:
    """The reason with the entries of the plan that have no value; None when all are told."""
    missing = tuple(entry for entry, value in wanted.items() if value is None)
    return Unknown(reason, missing) if missing else None


def together(*results: object) -> Unknown | None:
    """One `Unknown` that names what all the unknown ones among the results need; None when all are known."""
    unknown = [result for result in results if isinstance(result, Unknown)]
    if not unknown:
        return None
    return Unknown(
        unknown[0].reason, tuple(dict.fromkeys(need for result in unknown for need in result.needs))
    )


def dead_end_or_together(*results: object) -> Unknown | None:
    """As `together`; but a reason that no entry of the plan mends stands alone."""
    ends = (result for result in results if isinstance(result, Unknown) and not result.needs)
    return next(ends, None) or together(*results)


def reason_of(error: Exception) -> str:
    """The words of an error as a reason: first letter small, no full stop; a refused number is told by its name."""
    text = str(error)
    refused, in_range = _REFUSED.match(text), _RANGE.search(text)
    if refused is None:
        return text[:1].lower() + text[1:].rstrip(".")
    what = WORDS.get(refused["what"].lower(), refused["what"])
    side = "outside what our formulas hold for"
    if in_range:
        large = float(in_range["value"]) > float(in_range["most"])
        side = f"too {'large' if large else 'small'} for our formulas"
    return f"{what[:1].lower()}{what[1:]}: {side}"
