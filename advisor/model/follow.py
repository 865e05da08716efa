"""What a log tells of the eggs in the box: development so far, hatching, sexes, what happened to them."""

import datetime

from msgspec import Struct

from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import Window
from advisor.model.water_answers import WeighingAnswer

LID, CUT, OVERSHOOT, GAP, MOVED = "lid opened", "power cut", "overshoot", "gap", "sensor moved"
# harm: certain enough to act on, open, within what is not known
LIKELY, POSSIBLE, NEAR = ("likely", "possible", "near")

HARM_WORDS = {
    LIKELY: "harm is likely",
    POSSIBLE: "harm is possible",
    NEAR: "harm can't be ruled out",
    "": "no harm expected",
}


class Happening(Struct, frozen=True):
    """What the keeper wrote down: day, what (a word of docs/happened-format.md), place of the clutch in the plan, words.

    `eggs` are those candled that grow, or those removed or hatched; `males` and `females` of those hatched. `box` is the
    place of the egg box in the plan and its number among its kind; `mass` [kg] of that box, or of the water added to it;
    `egg_mass` [kg] of one egg.
    """

    on: datetime.date
    what: str
    clutch: int | None = None
    eggs: int | None = None
    says: str = ""
    males: int | None = None
    females: int | None = None
    box: tuple[int, int] | None = None
    mass: float | None = None
    egg_mass: float | None = None


class Event(Struct, frozen=True):
    """One event: kind, sensor, from, to [s since 1970], `extreme` reading [°C; None in a gap], how far it moved [K].

    `delay` of the eggs [days; below 0: hastened], the most of all clutches; `harm` is LIKELY, POSSIBLE, NEAR or "".
    """

    kind: str
    sensor: str
    begin: float
    end: float
    extreme: float | None
    moved: float
    delay: float | None = None
    harm: str = ""


class Spell(Struct, frozen=True):
    """Time past a limit for weeks: side ("hot" or "cold"), from, to [s since 1970], hours past it, extreme [°C], harm.

    `daily`: it comes and goes with the day, and the worst day alone is judged.
    """

    side: str
    begin: float
    end: float
    hours: float
    extreme: float
    harm: str
    daily: bool


class Outside(Struct, frozen=True):
    """Minutes outside a band, below and above, of those that were logged; `now`: the last hours lie outside."""

    below: float
    above: float
    logged: float
    now: bool


class Unlogged(Struct, frozen=True):
    """A time without readings: from, to [s since 1970]; share of the development that it holds, low to high."""

    begin: float
    end: float
    low: float
    high: float
    sensitive: bool


class ForecastAndCount(Struct, frozen=True):
    """One forecast beside what came: name, forecast, found with its range; whether they agree, None without a forecast."""

    what: str
    forecast: Result
    found: Figure
    agree: bool | None


class Record(Struct, frozen=True):
    """A clutch as a profile can learn from it: mean temperature [°C] and its daily swing [K; None when steady].

    `days` from laying, the mean of the young; `hatched` and `counted` eggs; `males` of `sexed` at the mean of the time
    that sets the sex [°C; None where none was told].
    """

    at: float
    swing: float | None
    days: float
    hatched: int
    counted: int | None
    sexed_at: float | None
    males: int
    sexed: int


class Outcome(Struct, frozen=True):
    """A clutch that has hatched: first and last day, young, how good the forecasts were, the record or why there is none."""

    first: datetime.date
    last: datetime.date
    hatched: int
    compared: tuple[ForecastAndCount, ...]
    record: Record | Unknown


class ClutchFollowed(Struct, frozen=True):
    """One clutch at the end of the log, or on the mean day of its hatching. `day` counts from laying; `sensitive` is the time in which temperature sets the sex.

    `hatch_window` comes from the log, `planned_window` from the plan for the same laying day. `undecided`: which mean of
    the temperatures counts decides about the sexes; it holds the lowest and the highest share. `growing` are the eggs left
    that still grow: of those candled, without those taken out since.
    """

    species: str
    laid: datetime.date | None
    day: float
    eggs_left: int | None
    growing: int | None
    mean: Result
    developed: Result
    days_to_go: Result
    days: Result
    planned_days: Result
    hatch_window: Window | None
    planned_window: Window | None
    male_share: Result
    undecided: Figure | None
    sensitive: tuple[datetime.date, datetime.date] | None
    settled: bool
    aim: Outside | Unknown
    tolerated: Outside | Unknown
    spells: tuple[Spell, ...] | Unknown
    gaps: tuple[Unlogged, ...] | Unknown
    outcome: Outcome | None = None


class Followed(Struct, frozen=True):
    """The log of a box with eggs: a clutch each, events in order, kinds that can't be seen.

    `weighed` are the egg boxes that were put on the scale, by name, with what it tells; `oxygen` is the least
    in each egg box with the eggs that still grow, none where they are as many as planned.
    """

    clutches: tuple[ClutchFollowed, ...]
    events: tuple[Event, ...]
    not_seen: tuple[str, ...]
    weighed: tuple[tuple[str, WeighingAnswer | Unknown], ...] = ()
    oxygen: tuple[tuple[str, Result], ...] = ()
