"""Steering the sexes by temperature: what a box can miss the set point by, what that does, which set point is best."""

import math
from dataclasses import replace
from functools import lru_cache
from itertools import product

from advisor.eggs.no_data import NoData
from advisor.eggs.sex import SetPoint, male_share_at, set_point_for_share
from advisor.forecast.evidence import share_model
from advisor.forecast.hatching import RANGE_TO_SD, UNREAD, thermostat_error
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.plan import Control
from advisor.model.species import Species

WANTED_SHARE = {"females": 0.0, "males": 1.0, "both": 0.5}  # share of males aimed at [0 to 1]
TWO_SIGMA = 2.0  # standard deviations that hold 95 % of a normal error (derived)
# Between the warmest and the coolest egg box where the plan does not tell [K]: none, up to two tiers under a heated lid
# (about 1.2 K, at most 1.7 K in a heat balance of such boxes; derived).
UNTOLD_SPREADS = (0.0, 2.0)
STEP = 0.1  # K between the temperatures looked at: finer than any thermostat is set; judgement

Setting = tuple[Control, Result]


def possible_settings(control: Control, spread: Result) -> tuple[Setting, ...]:
    """The control and the spread between boxes [K] as told; where the plan leaves them out, the best and the worst case."""
    checked = (control.checked_against,) if control.checked_against else ("ice point", "nothing")
    spreads: tuple[Result, ...] = (spread,)
    if isinstance(spread, Unknown):
        spreads = tuple(Figure(value, value, value, "step", "not told") for value in UNTOLD_SPREADS)
    return tuple(
        (replace(control, checked_against=how), between) for how, between in product(checked, spreads)
    )


def untold(control: Control, spread: Result) -> tuple[str, ...]:
    """Entries of the plan that would tell the thermostat's error and the spread between boxes."""
    how = () if control.checked_against else ("control.checked_against",)
    return how + (spread.needs if isinstance(spread, Unknown) else ())


def egg_temperatures(temperature: float, setting: Setting) -> tuple[float, float]:
    """Lowest and highest temperature [°C] of the eggs at a set point [°C]: thermostat's error and half the spread.

    The error counts with two standard deviations; both are combined in quadrature (JCGM 100).
    """
    control, spread = setting
    half = spread.value / 2 if isinstance(spread, Figure) else 0.0
    reach = math.hypot(TWO_SIGMA * thermostat_error(control), half)
    return temperature - reach, temperature + reach


@lru_cache(maxsize=256)  # asked again for each plan that a lesson tries
def shares_between(species: Species, low: float, high: float) -> tuple[float, float] | None:
    """Least and greatest typical share of males [0 to 1] between two temperatures [°C]; None when none has data."""
    model = share_model(species)
    steps = max(1, round((high - low) / STEP))
    shares = [
        found.share
        for number in range(steps + 1)
        if not isinstance(found := male_share_at(model, low + (high - low) * number / steps), NoData)
        and found.basis != UNREAD
    ]
    return (min(shares), max(shares)) if shares else None


@lru_cache(maxsize=256)
def best_set_point(species: Species, wanted: str, setting: Setting) -> SetPoint | None:
    """The tolerated set point whose share of males comes nearest to what is wanted (a key of `WANTED_SHARE`).

    It keeps the thermostat's error away from the known limits of harm. Among equals it is the one nearest to the
    planned set point; None without a band or without data in it.
    """
    control, spread = setting
    error = thermostat_error(control)
    bounds = _safe_band(species, TWO_SIGMA * error)
    if bounds is None:
        return None
    between = spread.value * RANGE_TO_SD if isinstance(spread, Figure) else 0.0
    found = set_point_for_share(
        share_model(species), WANTED_SHARE[wanted], *bounds, control.set_to, error, min(between, 5.0)
    )
    return None if isinstance(found, NoData) or found.male_share.basis == UNREAD else found


def _safe_band(species: Species, error: float) -> tuple[float, float] | None:
    """Lowest and highest set point [°C]: tolerated, and an error [K] short of the limits of harm."""
    band, harmful = species.tolerated or species.aim, species.harmful
    if band is None:
        return None
    low, high = band.low, band.high
    if harmful is not None and harmful.below is not None:
        low = max(low, harmful.below + error)
    if harmful is not None and harmful.above is not None:
        high = min(high, harmful.above - error)
    return (low, high) if low <= high else None
