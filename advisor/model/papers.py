"""Figures that only the papers need: what to mix, what bottles add, limits of the eggs, curves to draw."""

import datetime

from msgspec import Struct

from advisor.model.curves import Curve
from advisor.model.figures import Figure, Result, Unknown


class MixAmounts(Struct, frozen=True):
    """What goes into egg boxes of a kind: volume of dry medium [m3], masses of dry medium, water and both [kg].

    `water_volume` [m3] is the typical one.
    """

    volume: float
    water_volume: float
    dry: Figure
    water: Figure
    wet: Figure


class Exposure(Struct, frozen=True):
    """A temperature [°C] and the time [s] at it after which harm to some eggs of the plan is possible; 0: at once."""

    temperature: float
    time: float


class ScaleReading(Struct, frozen=True):
    """What stands in one egg box on a day of incubation [kg]; the date where the laying day is known.

    `mass` is what the scale reads before water is added that day, `added` the water [kg] and `after` what it reads
    then; both are None on a day without a top-up.
    """

    day: int
    date: datetime.date | None
    mass: Figure
    added: float | None = None
    after: Figure | None = None


# length and width [m] of an egg of each clutch; None: not known
EggSizes = tuple[tuple[float, float] | None, ...]


class PaperFigures(Struct, frozen=True):
    """All of them for one plan; `mixes` (for one box), `mixes_in_all` (for all boxes of the kind), `readings` and
    `water_courses` stand in the order of the egg boxes.

    Readings and courses are those of the plan: with the top-ups that it makes, or without any. The `other` ones are
    without those that it makes, or with those that it would need; empty where there are none.
    A course of the water holds the day and the water content [kg/kg], twice on a day with a top-up: before and after.

    `litre_adds` is what one more litre of bottled water adds to the time until harm [s]; `cooling` is the medium [°C] by hours
    without power; `cold` and `heat` tell how long
    the eggs bear some temperatures outside their limits; `eggs_between` are the
    lowest and highest temperature [°C] that the eggs see at the set point, thermostat error and boxes together; `held` what
    they are held at: the coldest and the warmest set point, or over a bath whose water the probe reads what that leaves them;
    `share_curves` holds one entry a species, in the order of the clutches.
    """

    mixes: tuple[MixAmounts | Unknown, ...]
    mixes_in_all: tuple[MixAmounts | Unknown, ...]
    readings: tuple[tuple[ScaleReading, ...], ...]
    water_courses: tuple[tuple[tuple[int, Figure], ...], ...]
    other_courses: tuple[tuple[tuple[int, Figure], ...], ...]
    other_masses: tuple[tuple[tuple[int, Figure], ...], ...]
    litre_adds: Result
    cooling: tuple[tuple[float, Figure], ...] | Unknown
    cold: tuple[Exposure, ...]
    heat: tuple[Exposure, ...]
    held: tuple[float, float] | None
    eggs_between: tuple[float, float] | None
    share_curves: tuple[Curve | Unknown, ...]
    egg_sizes: EggSizes
