"""A remedy as data: the entries of the plan to change, the words for it, what it costs."""

from typing import Any

from msgspec import Struct

SETTING, PURCHASE, REBUILD, ROOM = "setting", "purchase", "rebuild", "room"
COSTS = (SETTING, PURCHASE, REBUILD, ROOM)  # cheapest first


class Setting(Struct, frozen=True):
    """One entry of the plan, by its path, and what a keeper would write there; None removes the entry."""

    path: str
    value: Any


class Change(Struct, frozen=True):
    """A remedy that the plan can hold: what to set, the words that tell a person what to do, one of `COSTS`.

    `clears` and `brings` are known once it was tried: whether its finding is gone, and the rules that find something which
    they did not before: at stop or fix, or for what is only to be watched at watch.
    """

    settings: tuple[Setting, ...]
    words: str
    cost: str = SETTING
    clears: bool = False
    brings: tuple[str, ...] = ()

    @property
    def works(self) -> bool:
        """Whether it was tried, clears its finding and brings nothing."""
        return self.clears and not self.brings

    @property
    def paths(self) -> frozenset[str]:
        """The entries that it sets."""
        return frozenset(setting.path for setting in self.settings)
