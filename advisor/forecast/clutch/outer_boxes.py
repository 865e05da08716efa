"""The fewest outer boxes for a season: which clutches share one, and the usual band that they share.

The clutches of one entry stay together. Two entries part where their usual bands do not meet while both lie in; entries that
follow one another can share a box that is set anew between them, each with a plan of its own.
"""

import datetime
from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from advisor.forecast.clutch.cool_period import with_cool_period
from advisor.forecast.clutch.dates import hatch_window
from advisor.forecast.clutch.days_and_sexes import incubation_days
from advisor.forecast.edge import in_range
from advisor.formulas.numerics.intervals import ROUNDING, fewest_lines
from advisor.model.figures import Result
from advisor.model.forecast import ClutchForecast, Forecast
from advisor.model.plan import Clutch, Plan, Range
from advisor.model.species import Species

ALWAYS = (0, datetime.date.max.toordinal())
ANY_BAND = (-273.0, 1000.0)  # °C, of a species whose bands nobody knows


class PlannedBox(Struct, frozen=True):
    """One plan of a season: the outer box it is for, from 1; the entries that stay in it; the usual band of all [°C]."""

    box: int
    entries: tuple[int, ...]
    band: Range


def boxes_of(plan: Plan, species: Mapping[str, Species], forecast: Forecast) -> tuple[PlannedBox, ...]:
    """The plans of a season in the fewest outer boxes, the boxes in the order of their first eggs."""
    entries = list(dict.fromkeys(clutch.entry for clutch in plan.clutches))
    bands = [_band(plan, species, entry) for entry in entries]
    stays = [_stay(plan, species, forecast, entry, band) for entry, band in zip(entries, bands, strict=True)]
    lines = fewest_lines(stays, bands)
    found: list[tuple[list[int], Range]] = []
    for line in sorted(
        set(lines), key=lambda line: min(stays[at] for at, on in enumerate(lines) if on == line)
    ):
        found += _plans([at for at, on in enumerate(lines) if on == line], stays, bands)
    return tuple(
        PlannedBox(
            1 + list(dict.fromkeys(lines[group[0]] for group, _ in found)).index(lines[places[0]]),
            tuple(entries[at] for at in sorted(places)),
            band,
        )
        for places, band in found
    )


def _plans(
    places: Sequence[int], stays: Sequence[tuple[int, int]], bands: Sequence[tuple[float, float]]
) -> Iterator[tuple[list[int], Range]]:
    """The plans of one box: stays that are chained in time stay together, and others join where they share a set point.

    Bands in the order of their warm ends, each to the plan before while it fits: the fewest for intervals.
    """
    runs: list[list[int]] = []
    end = -1
    for at in sorted(places, key=lambda at: stays[at]):
        if stays[at][0] > end:
            runs.append([])
        runs[-1].append(at)
        end = max(end, stays[at][1])
    shared = [(run, max(bands[at][0] for at in run), min(bands[at][1] for at in run)) for run in runs]
    plans: list[tuple[list[int], float, float]] = []
    for inside, low, high in sorted(shared, key=lambda run: run[2]):
        if plans and low <= plans[-1][2] + ROUNDING:
            before = plans.pop()
            plans.append((before[0] + inside, max(before[1], low), before[2]))
        else:
            plans.append((inside, low, high))
    for inside, low, high in sorted(plans, key=lambda plan: min(stays[at] for at in plan[0])):
        yield inside, Range(min(low, high), high)


def _band(plan: Plan, species: Mapping[str, Species], entry: int) -> tuple[float, float]:
    """The usual band of an entry's species [°C], or the tolerated one."""
    one = species[plan.clutches[plan.first_of(entry)].species]
    band = one.aim or one.tolerated
    return (band.low, band.high) if band else ANY_BAND


def _stay(
    plan: Plan, species: Mapping[str, Species], forecast: Forecast, entry: int, band: tuple[float, float]
) -> tuple[int, int]:
    """First and last day of an entry's clutches anywhere in their band, as numbers; at any time where that is not known."""
    windows = [
        (
            found.laying_window[0],
            hatch_window(found.laying_window, _days(plan, clutch, species, found, set_to)),
        )
        for clutch, found in zip(plan.clutches, forecast.clutches, strict=True)
        for set_to in (band[0], (band[0] + band[1]) / 2, band[1])
        if clutch.entry == entry and found.laying_window
    ]
    hatching = [window[1] for _, window in windows if window]
    return (min(first for first, _ in windows).toordinal(), max(hatching).toordinal()) if hatching else ALWAYS


def _days(
    plan: Plan, clutch: Clutch, species: Mapping[str, Species], found: ClutchForecast, set_to: float
) -> Result:
    """Days to hatching at a set point [°C], with the cool period of the plan."""
    one, control = species[clutch.species], replace(plan.control, set_to=set_to)
    return in_range(
        lambda: with_cool_period(
            incubation_days(control, one, warmth=found.warmth), clutch.cool_period, one, set_to
        )
    )
