"""What a lever is: an entry of the plan that advice may change, with the values to try, least change first."""

from collections.abc import Callable, Iterator
from typing import Any

from msgspec import Struct

from advisor.model.changes import SETTING, Change, Setting
from advisor.rules.engine import Case


class Ladder(Struct, frozen=True):
    """Values of one lever to try, least change first.

    `steady`: what clears a fault at one step clears it at every later one, so that the first that does can be found by
    halving; else the steps are tried in turn.
    """

    changes: tuple[Change, ...]
    steady: bool = False


Values = Callable[[Case], Iterator[Ladder]]


class Lever(Struct, frozen=True):
    """An entry that advice may change: its path without indexes ("egg_boxes[].lid.holes"), and the values to try.

    `values` is asked for one plan; of an entry in a list the case has the index. Where the entry is missing, the first
    value is the one to propose, and `because` says why in a few words.
    """

    entry: str
    values: Values
    because: str


def change(case: Case, words: str, cost: str = SETTING, **entries: Any) -> Change:
    """A change of entries written from the rule's point of view, "__" for a dot: box__lid__fit="clip"."""
    settings = tuple(Setting(case.path(entry.replace("__", ".")), value) for entry, value in entries.items())
    return Change(settings, words, cost)


def one_of(*changes: Change) -> Iterator[Ladder]:
    """A ladder of words or of single values, tried in turn; none where there is nothing to try."""
    if changes:
        yield Ladder(changes)
