"""What the keeper does beside the set-up: watches, checks, tries, and prepares for; words and SI units as in `model.plan`."""

from datetime import date

from msgspec import Struct


class Watching(Struct, frozen=True):
    """Thermometers besides the probe, logger, alarm; place of each sensor of the logger: (name in the log, place)."""

    thermometers: int | None = None
    logger: bool | None = None
    alarm: bool | None = None
    sensors: tuple[tuple[str, str], ...] | None = None


class PowerCut(Struct, frozen=True):
    """What is prepared for a power cut; water in bottles [m3]."""

    prepared: str | None = None
    water: float | None = None


class RhythmStep(Struct, frozen=True):
    """Checks at an interval [s] up to a day of incubation (None: to the end)."""

    every: float
    to_day: int | None = None


class Checks(Struct, frozen=True):
    """Looks at the eggs: what is opened, for how long [s], and the rhythm; an empty tuple means "thirds"."""

    opens: str | None = None
    lasting: float | None = None
    rhythm: tuple[RhythmStep, ...] | None = None


class TrialRun(Struct, frozen=True):
    """The run before the eggs: first day, number of days."""

    from_: date | None = None
    days: float | None = None


class People(Struct, frozen=True):
    """Safety of the people in the home."""

    residual_current_device: bool | None = None
    drip_loop: bool | None = None
    children_under_five: bool | None = None
