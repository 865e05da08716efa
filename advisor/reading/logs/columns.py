"""What the modules of a log's reading share: what was asked, readings as they come, what is left out."""

from array import array
from collections.abc import Callable, Mapping
from pathlib import Path

from msgspec import Struct, field

from advisor.model.logs import HEATER_ON, HEATER_POWER
from advisor.reading.problems import InputError, Problem


class Asked(Struct, frozen=True):
    """What the keeper says of a log: place of each sensor by its name, order of dates, unit where the log tells none.

    `starts` is when a log that counts from its start begins [s since 1970]. `must` are the names that have to be there. `progress` is called now and then with the number of rows read.
    """

    places: Mapping[str, str]
    must: frozenset[str] = frozenset()
    order: str | None = None
    degrees: str | None = None
    starts: float | None = None
    progress: Callable[[int], None] = lambda _: None


class Left:
    """Counts what is left out, by reason: how many, and the line of the first."""

    def __init__(self) -> None:
        """Nothing left out."""
        self.counts: dict[str, tuple[int, int]] = {}

    def add(self, why: str, line: int) -> None:
        """One more for this reason."""
        before, first = self.counts.get(why, (0, line))
        self.counts[why] = (before + 1, min(first, line))


class Column(Struct):
    """Readings of one sensor as they come: row and raw number of each, and how many rows had none."""

    name: str
    place: str
    unit: str | None
    rows: "array[int]" = field(default_factory=lambda: array("l"))
    values: "array[float]" = field(default_factory=lambda: array("d"))
    missing: int = 0
    no_number: str = ""  # the reason under which cells that are no number are counted

    @property
    def of_heater(self) -> bool:
        """Whether it tells of the heater's switch or watts, no temperature."""
        return self.place in (HEATER_ON, HEATER_POWER)


def problem(path: Path, line: int, message: str, hint: str, column: int = 1) -> InputError:
    """An error at one place of the log."""
    return InputError([Problem(str(path), line, column, message, hint)])
