"""What one planned set-up will do: plain results, filled by the modules of `advisor.forecast`."""

import datetime
from typing import TypeVar

from msgspec import Struct
from msgspec.structs import fields

from advisor.model.figures import Figure, Result, Unknown

F = TypeVar("F", bound=Struct)
Window = tuple[datetime.date, datetime.date]


class MeasuredAgainst(Struct, frozen=True):
    """A measured figure beside what was forecast without it.

    `path` is the plan entry of the measurement, `what` it is of, a key of the rule that tells disagreement; `apart` is how
    far the two differ, in combined standard deviations.
    """

    path: str
    what: str
    measured: Figure
    forecast: Figure
    apart: float


class MeasuredWay(Figure, frozen=True):
    """Medium minus set point [K]; `thermostat` [K] is the standard deviation of a thermostat that was measured."""

    thermostat: float = 0.0


class EggWarmth(Struct, frozen=True):
    """Medium round the eggs minus the set point [K], one figure for each way that the plan leaves open.

    The likeliest stands first; the `basis` of each names it. None where there is no heat forecast. `missing` are the plan
    entries that would leave one way.
    """

    ways: tuple[Figure, ...] = ()
    missing: tuple[str, ...] = ()
    against: tuple[MeasuredAgainst, ...] = ()


class EggStep(Struct, frozen=True):
    """What the eggs of a clutch go through in one step of a programme: first day and the day it ends on (None: to hatching),
    mean, coldest and warmest of the medium [°C].
    """

    first: float
    until: float | None
    mean: float
    coldest: float
    warmest: float


class EggHarm(Struct, frozen=True):
    """What hours past a limit for weeks do: side ("hot" or "cold"), harm (a word of `model.follow`), extreme [°C], hours past it;
    `daily` where they come with each day or night.
    """

    side: str
    harm: str
    extreme: float
    hours: float
    daily: bool


class EggProgramme(Struct, frozen=True):
    """A programme as one clutch goes through it: its steps, the constant temperature [°C] that gives the same sexes (None where
    chromosomes alone set them), harms.
    """

    steps: tuple[EggStep, ...]
    sexes_as_at: Result | None
    harms: tuple[EggHarm, ...]


class ClutchForecast(Struct, frozen=True):
    """One clutch: incubation length [days], share of males, dates; a window is first and last likely day.

    `programme` is told where the set point changes on purpose. `check_days` are days of incubation up to the likely hatching, `late_check_days` those after it if nothing has
    hatched, up to the last day of the hatch window; `ready_by` is the last day on which everything must stand ready; `warmth` is
    what days and sexes were told for.
    """

    species: str
    incubation_days: Result
    male_share: Result
    laying_window: Window | None
    hatch_window: Window | None
    ready_by: datetime.date | None
    check_days: tuple[int, ...]
    warmth: EggWarmth = EggWarmth()
    late_check_days: tuple[int, ...] = ()
    programme: EggProgramme | None = None

    @property
    def laid(self) -> datetime.date | None:
        """The laying day, where one alone is likely."""
        window = self.laying_window
        return window[0] if window and window[0] == window[1] else None


class HeatForecast(Struct, frozen=True):
    """The outer box: heat loss, heater, temperatures, times; every field a figure or the reason why there is none.

    `night_reached` and `day_reached` are told for cooler nights alone: the medium at the end of the night and of the day.
    """

    conductance: Result
    watts_needed: Result
    power_share: Result
    stuck_on_temperature: Result
    heater_surface: Result
    heater_surface_full: Result
    spread: Result
    outer_humidity: Result
    outer_condensation: Result
    swing: Result
    hours_to_harm: Result
    hours_to_lose_3_K: Result
    medium_after_12_h: Result
    warm_up_hours: Result
    night_reached: Result | None = None
    day_reached: Result | None = None
    against: tuple[MeasuredAgainst, ...] = ()


class TopUpForecast(Struct, frozen=True):
    """One top-up of one box: day of incubation, date when the laying day is known, water to add [kg]."""

    day: int
    date: datetime.date | None
    water: float


class EggBoxHeat(Struct, frozen=True):
    """One layer of egg boxes: lid minus medium [K], condensation [kg/s a box], medium temperature [°C]."""

    lid_minus_medium: Result
    condensation: Result
    condensation_if_lid_heated: Result
    medium_temperature: Result


class WaterForecast(Struct, frozen=True):
    """Water in one egg box; masses and losses are those of one box.

    `mass_by_day` is what stands in the box (medium, water and eggs; the box itself not counted), with the top-ups, and
    `mass_if_none_added` the same when no water is ever added;
    `opening_loss` is the water that one check costs. `water_if_kept_at_weight` is the water content at hatching of a box
    topped up to its first weight; `first_top_up_day` the day it is 15 % drier than at the start.
    """

    water_per_dry_mass: Result
    water_potential: Result
    free_water: Result
    water_loss: Result
    lasts_until_day: Result
    water_at_hatching: Result
    water_if_kept_at_weight: Result
    first_top_up_day: Result
    opening_loss: Result
    top_ups: tuple[TopUpForecast, ...] = ()
    mass_by_day: tuple[tuple[int, Figure], ...] = ()
    water_by_day: tuple[tuple[int, Figure], ...] = ()
    mass_if_none_added: tuple[tuple[int, Figure], ...] = ()
    water_if_none_added: tuple[tuple[int, Figure], ...] = ()
    against: tuple[MeasuredAgainst, ...] = ()


class AirForecast(Struct, frozen=True):
    """Air in one egg box; shares of oxygen count as at sea level."""

    oxygen_lowest: Result
    oxygen_lowest_day: Result
    carbon_dioxide_highest: Result
    holes_enough: Result


class EggBoxForecast(Struct, frozen=True):
    """One kind of egg box: lid, condensation, water, air, room."""

    name: str
    heat: EggBoxHeat
    water: WaterForecast
    air: AirForecast
    places_for_eggs: Result


class Stay(Struct, frozen=True):
    """One clutch in its egg boxes: its place in the plan; the first and last day if all goes as likely; the numbers of its
    boxes among those of the kind, from 1.
    """

    clutch: int
    days: Window
    boxes: tuple[int, ...]


class BoxUse(Struct, frozen=True):
    """The boxes of one kind over the season: which clutch lies in which when, if all goes as likely.

    `needed` is how many are in use at one time at worst, by the clutches `together`; `short` the first and last day on
    which there may be too few. `by_turns`: clutches follow one another, each in boxes of its own.
    """

    stays: tuple[Stay, ...]
    needed: int
    together: tuple[int, ...]
    short: Window | None
    by_turns: bool


class Shopping(Struct, frozen=True):
    """What to buy for all boxes, with some to spare: dry medium by volume [m3] and mass [kg], water to mix in [m3]."""

    medium: Result
    medium_mass: Result
    water: Result


class Forecast(Struct, frozen=True):
    """Everything computed for one plan; clutches, egg boxes and their use stand in the order of the plan."""

    heat: HeatForecast
    egg_boxes: tuple[EggBoxForecast, ...]
    clutches: tuple[ClutchForecast, ...]
    shopping: Shopping
    box_use: tuple[BoxUse | Unknown, ...] = ()


def nothing_known(kind: type[F], why: Unknown) -> F:
    """A part of a forecast with the same reason in place of every figure."""
    return kind(**{entry.name: why for entry in fields(kind) if entry.type == Result})


def results_in(part: Struct) -> dict[str, Result]:
    """All figures of a part of the forecast, and of the parts in it, by their own names: no two are named alike."""
    found: dict[str, Result] = {}
    for entry in fields(part):
        value = getattr(part, entry.name)
        if isinstance(value, Figure | Unknown):
            found[entry.name] = value
        elif isinstance(value, Struct):
            found |= results_in(value)
    return found
