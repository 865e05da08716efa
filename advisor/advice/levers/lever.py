"""What a lever is: an entry of the plan that advice may change, with the values to try, least change first."""

import re
from collections.abc import Callable, Iterable, Iterator
from typing import Any

from msgspec import Struct

from advisor.model.changes import SETTING, Change, Setting
from advisor.model.measured import Measured
from advisor.rules.engine import Case

MEASURE_AGAIN = "Take out what was measured before that, and measure again."
_INDEX = re.compile(r"\[\d+\]")
_WATTS = ("heater_on", "energy", "heater_face", "outer_humidity")
_TIMES = ("switched_off", "warm_up", "swing")
# What was measured in the box, by the entries that it rests on.
_RESTS_ON = {
    "outer_box": (*_WATTS, *_TIMES, "boxes"),
    "heat": (*_WATTS, *_TIMES, "boxes"),
    "power_cut": _TIMES,
    "control.set_to": ("boxes",),
    "control.programme": ("boxes",),
    "control.thermostat": ("boxes", "swing", "offsets"),
    "control.switching_band": ("swing",),
    "control.probe": ("boxes", "swing"),
    "egg_boxes": (*_TIMES, "boxes", "lids", "outer_humidity"),
    "egg_boxes.medium.material": ("medium_holds",),
    "egg_boxes.medium.grade": ("medium_holds",),
    "egg_boxes.medium.mixed_with": ("medium_holds",),
}


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
    """A change of entries written from the rule's point of view, "__" for a dot: box__lid__fit="clip".

    What was measured before holds no longer for the changed box: it is taken out of the plan.
    """
    settings = tuple(Setting(case.path(entry.replace("__", ".")), value) for entry, value in entries.items())
    old = outdated(case.plan.measured, [setting.path for setting in settings])
    if old:
        words = f"{words} {MEASURE_AGAIN}"
    return Change((*settings, *(Setting(f"measured.{entry}", None) for entry in old)), words, cost)


def outdated(measured: Measured, paths: Iterable[str]) -> tuple[str, ...]:
    """What was measured that no longer holds once the entries at these paths are changed."""
    changed = [_INDEX.sub("", path) for path in paths]
    gone = {
        entry
        for start, entries in _RESTS_ON.items()
        if any(path == start or path.startswith(f"{start}.") for path in changed)
        for entry in entries
    }
    return tuple(entry for entry in measured.__struct_fields__ if entry in gone and getattr(measured, entry))


def ladder(changes: Iterable[Change], steady: bool = False) -> Iterator[Ladder]:
    """These changes as one ladder; none where there is nothing to try."""
    steps = tuple(changes)
    if steps:
        yield Ladder(steps, steady)


def one_of(*changes: Change) -> Iterator[Ladder]:
    """A ladder of words or of single values, tried in turn."""
    return ladder(changes)


def always(words: str, cost: str = SETTING, **entries: Any) -> Values:
    """The one change of a lever, whatever else the plan tells."""
    return lambda case: one_of(change(case, words, cost, **entries))
