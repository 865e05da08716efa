"""Steering the sexes by temperature: what a box can miss the set point by, what that does, which set point is best."""

import math
from functools import lru_cache
from itertools import product

from msgspec.structs import replace

from advisor.forecast.clutch.days_and_sexes import LARGEST_ERROR, UNREAD, error_of, thermostat_error
from advisor.forecast.clutch.evidence import share_model
from advisor.forecast.heat.egg_warmth import egg_temperatures
from advisor.formulas.numerics.no_data import NoData
from advisor.formulas.sexes.male_share import MaleShare, SetPoint, set_point_for_share, typical_share_at
from advisor.model.figures import Figure
from advisor.model.forecast import EggWarmth
from advisor.model.plan import Control
from advisor.model.species import Band, Species

WANTED_SHARE = {"females": 0.0, "males": 1.0, "both": 0.5}  # share of males aimed at [0 to 1]
# Medium round the eggs minus the set point where the plan does not tell [K]: as warm, up to 1 K either way; judgement.
POSSIBLE_WAYS = (Figure(0.0, 0.0, 0.0, "step", "not told"), Figure(0.0, -1.0, 1.0, "step", "not told"))
STEP = 0.1  # K between the temperatures looked at; judgement
ROUNDING = 1e-6  # so that a temperature on a step counts as on it
ENOUGH = 0.7  # share of the wanted sex [0-1] that counts as what was wanted; judgement
BOTH = (0.2, 0.8)  # share of males [0-1] within which both sexes will hatch; judgement
# K that advised set points stay away from limits of harm, whatever the thermostat; judgement
LEAST_MARGIN = 1.0

Setting = tuple[Control, Figure]


def possible_settings(control: Control, warmth: EggWarmth) -> tuple[Setting, ...]:
    """The control and each way the eggs may differ from the set point; what the plan leaves out, at best and at worst."""
    told = control.checked_against or ("ice point" if warmth.against else None)
    checked = (told,) if told else ("ice point", "nothing")
    return tuple(
        (replace(control, checked_against=how), way)
        for how, way in product(checked, warmth.ways or POSSIBLE_WAYS)
    )


def entries_missing(control: Control, warmth: EggWarmth) -> tuple[str, ...]:
    """Entries of the plan that would tell the thermostat's error and how warm the eggs lie."""
    told = control.checked_against or warmth.against
    return (() if told else ("control.checked_against",)) + warmth.missing


def temperatures_with(setting: Setting, set_to: float) -> tuple[float, float]:
    """Likely lowest and highest temperature [°C] of the eggs at a set point [°C]."""
    control, way = setting
    return egg_temperatures(set_to, thermostat_error(control), (way,))


@lru_cache(maxsize=256)  # asked again for each plan that a lesson tries
def shares_between(species: Species, low: float, high: float) -> tuple[float, float] | None:
    """Least and greatest typical share of males [0 to 1] between two temperatures [°C]; None when none has data."""
    model = share_model(species)
    steps = max(1, round((high - low) / STEP))
    shares = [
        found[0]
        for number in range(steps + 1)
        if (found := typical_share_at(model, low + (high - low) * number / steps)) is not None
        and found[1] != UNREAD
    ]
    return (min(shares), max(shares)) if shares else None


def meets(share: MaleShare | NoData, wanted: str) -> bool:
    """Whether the typical share gives enough of the wanted sex, or a mix where both are wanted; never without data."""
    if isinstance(share, NoData) or share.basis == UNREAD:
        return False
    if wanted == "both":
        return BOTH[0] <= share.share <= BOTH[1]
    return wanted_share(share.share, wanted) >= ENOUGH


def wanted_share(male_share: float, wanted: str) -> float:
    """Share [0 to 1] of the wanted sex, "males" or "females"."""
    return male_share if wanted == "males" else 1 - male_share


@lru_cache(maxsize=256)
def best_set_point(species: Species, wanted: str, setting: Setting, step: float) -> SetPoint | None:
    """The set point in the usual band whose share of males comes nearest to what is wanted (a key of `WANTED_SHARE`).

    Among equals it is the one nearest to the planned set point; None without a band or without data in it. It lies on
    whole steps [K] from 0 °C, so that it can be shown and set without rounding.
    """
    control, way = setting
    bounds = advised_band(species, setting, step)
    if bounds is None:
        return None
    near = None if control.set_to is None else control.set_to + way.value
    error = min(error_of(control, way), LARGEST_ERROR)
    eggs = (bounds[0] + way.value, bounds[1] + way.value)
    found = set_point_for_share(share_model(species), WANTED_SHARE[wanted], *eggs, near, error, step=step)
    if isinstance(found, NoData) or found.male_share.basis == UNREAD:
        return None
    return replace(found, temperature=round(found.temperature - way.value, 6))


def usual_band(species: Species) -> Band | None:
    """The usual band, or where the profile has none the tolerated one."""
    return species.aim or species.tolerated


def advised_band(species: Species, setting: Setting, step: float) -> tuple[float, float] | None:
    """Lowest and highest set point [°C] that may be advised, on whole steps [K] from 0 °C.

    Set point and eggs stay in the usual band, `LEAST_MARGIN` or what the eggs' temperature leaves open, if that is
    more, away from the known limits of harm.
    """
    band, harmful, warmer = usual_band(species), species.harmful, setting[1].value
    if band is None:
        return None
    low, high = band.low + max(0.0, -warmer), band.high - max(0.0, warmer)
    coolest, warmest = temperatures_with(setting, 0.0)
    if harmful is not None and harmful.below is not None:
        low = max(low, harmful.below + max(LEAST_MARGIN + max(0.0, -warmer), -coolest))
    if harmful is not None and harmful.above is not None:
        high = min(high, harmful.above - max(LEAST_MARGIN + max(0.0, warmer), warmest))
    # Inward to the step, so that a rounded set point never leaves the band; 0 °C and 0 °F both lie on whole °F.
    low, high = math.ceil(low / step - ROUNDING) * step, math.floor(high / step + ROUNDING) * step
    return (low, high) if low <= high + ROUNDING else None
