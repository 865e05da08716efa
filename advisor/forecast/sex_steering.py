"""Steering the sexes by temperature: what a box can miss the set point by, what that does, which set point is best."""

from dataclasses import replace
from functools import lru_cache
from itertools import product

from advisor.eggs.no_data import NoData
from advisor.eggs.sex import SetPoint, male_share_at, set_point_for_share
from advisor.forecast.egg_warmth import ends_of
from advisor.forecast.evidence import share_model
from advisor.forecast.hatching import LARGEST_ERROR, UNREAD, error_of, thermostat_error
from advisor.model.figures import Figure
from advisor.model.forecast import EggWarmth
from advisor.model.plan import Control
from advisor.model.species import Species

WANTED_SHARE = {"females": 0.0, "males": 1.0, "both": 0.5}  # share of males aimed at [0 to 1]
TWO_SIGMA = 2.0  # standard deviations that hold 95 % of a normal error (derived)
# Medium round the eggs minus the set point where the plan does not tell [K]: as warm, up to 1 K either way; judgement.
UNTOLD_WAYS = (Figure(0.0, 0.0, 0.0, "step", "not told"), Figure(0.0, -1.0, 1.0, "step", "not told"))
STEP = 0.1  # K between the temperatures looked at: finer than any thermostat is set; judgement

Setting = tuple[Control, Figure]


def possible_settings(control: Control, warmth: EggWarmth) -> tuple[Setting, ...]:
    """The control and each way the eggs may differ from the set point; what the plan leaves out, at best and at worst."""
    checked = (control.checked_against,) if control.checked_against else ("ice point", "nothing")
    return tuple(
        (replace(control, checked_against=how), way)
        for how, way in product(checked, warmth.ways or UNTOLD_WAYS)
    )


def untold(control: Control, warmth: EggWarmth) -> tuple[str, ...]:
    """Entries of the plan that would tell the thermostat's error and how warm the eggs lie."""
    return (() if control.checked_against else ("control.checked_against",)) + warmth.untold


def egg_temperatures(temperature: float, setting: Setting) -> tuple[float, float]:
    """Likely lowest and highest temperature [°C] of the eggs at a set point [°C].

    The thermostat's error counts with two standard deviations; it and the way's range are combined in quadrature
    (JCGM 100).
    """
    control, way = setting
    return ends_of(temperature, thermostat_error(control), way)


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

    It keeps the eggs, which may be warmer than the set point, an error away from the known limits of harm. Among equals
    it is the one nearest to the planned set point; None without a band or without data in it.
    """
    control, way = setting
    error = min(error_of(control, way), LARGEST_ERROR)
    bounds = _safe_band(species, TWO_SIGMA * error)
    if bounds is None:
        return None
    near = None if control.set_to is None else control.set_to + way.value
    found = set_point_for_share(share_model(species), WANTED_SHARE[wanted], *bounds, near, error)
    if isinstance(found, NoData) or found.male_share.basis == UNREAD:
        return None
    return replace(found, temperature=found.temperature - way.value)


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
