"""What a trial run's log tells of the box: figures with their ranges, or the reason why the log can't tell."""

from msgspec import Struct

from advisor.model.figures import Figure, Result, Unknown


class SensorTold(Struct, frozen=True):
    """One sensor over the settled time: mean, lowest and highest reading [°C; 0-1 or W], and when [s since 1970]."""

    name: str
    place: str
    mean: float
    lowest: float
    highest: float
    lowest_at: float
    highest_at: float


class StuckSensor(Struct, frozen=True):
    """A sensor that told one value for some hours while another moved: value [°C], since [s], hours, the other's name and move [K]."""

    name: str
    value: float
    since: float
    hours: float
    other: str
    moved: float


class Stuck(Struct, frozen=True):
    """The sensors that could be compared with another, and those of them that are stuck."""

    sensors: tuple[StuckSensor, ...]


class Extreme(Struct, frozen=True):
    """A highest or lowest mean: figure [°C] and the middle of its time [s since 1970]."""

    figure: Figure
    at: float


class Trial(Struct, frozen=True):
    """The whole log: times [s since 1970], and each figure or why not.

    `settled_after` is the time from the start of the log, unknown also where the medium `never_settles`; `steady` the length of the settled part, from which all means
    are. `coldest` and `warmest` are 3-h means of the medium; `room_coldest` and `room_warmest` of the room.
    """

    start: float
    end: float
    steady: Figure
    settled_after: Result
    never_settles: bool
    sensors: tuple[SensorTold, ...]
    medium: Result
    coldest: Extreme | Unknown
    warmest: Extreme | Unknown
    swing: Result
    daily_swing: Result
    spread: Result
    drift: Result
    overshoot: Extreme | Unknown
    warm_up: Result
    room: Result
    room_coldest: Result
    room_warmest: Result
    stuck: Stuck | Unknown
    on_share: Result
    power_for_each_kelvin: Result
    conductance: Result
    stuck_on_rise: Result
    time_constant: Result
    hours_to_lose_3_K: Result
