"""What the eggs in a plan bear: for weeks, the first limit on either side; for hours, what a short exposure takes."""

from collections.abc import Iterable

from msgspec import Struct

from advisor.formulas.heat.short_exposures import RESTING_LIMIT, Bearing, hot_at_once
from advisor.model.species import Species, Support

# K past the tolerated band where weeks do harm, if no profile tells: median gap of the profiles that know both (24 on the
# hot side, 0 to 6 K; 20 on the cold side, 1 to 4 K); judgement.
PAST_TOLERATED_HOT, PAST_TOLERATED_COLD = 2.0, 3.0
TENDER_GROUPS = ("turtle", "tortoise")


class EggLimit(Struct, frozen=True):
    """A temperature [°C]; `harm` is True where harm is known, False where only the tolerated band ends."""

    temperature: float
    species: Species
    harm: bool


def hot_from(profile: Species) -> float:
    """The temperature [°C] from which heat counts: what harms over weeks, or where that is not known what harms at once."""
    eggs = bearing_of(profile)
    return hot_at_once(eggs) if eggs.hot is None else eggs.hot


def harmed_from(profile: Species) -> float:
    """The temperature [°C] from which a box does certain harm: the harmful limit, or where none is known what harms at once."""
    harmful = profile.harmful
    return hot_at_once(bearing_of(profile)) if harmful is None or harmful.above is None else harmful.above


def below_their_hot_limit(set_to: float | None, profiles: Iterable[Species]) -> tuple[Species, ...]:
    """The profiles that a set point [°C] does not harm by itself: what a stuck heater adds counts for them alone."""
    return tuple(profile for profile in profiles if set_to is None or set_to < hot_from(profile))


def hot_limit_above(set_to: float | None, profiles: Iterable[Species]) -> float | None:
    """The lowest temperature [°C] from which heat counts, for the species that the set point [°C] itself does not harm."""
    return min((hot_from(profile) for profile in below_their_hot_limit(set_to, profiles)), default=None)


def cold_limit(profiles: Iterable[Species]) -> EggLimit | None:
    """The highest temperature that is too cold over weeks for some species of the plan; None when no profile tells one."""
    limits = [found for profile in profiles if (found := _cold(profile)) is not None]
    return max(limits, key=lambda limit: limit.temperature, default=None)


def without_hot_limit(profiles: Iterable[Species]) -> tuple[str, ...]:
    """Profile entries that would tell how hot is too hot, of the species whose profile tells nothing about it."""
    return _without(profiles, hot=True)


def without_cold_limit(profiles: Iterable[Species]) -> tuple[str, ...]:
    """Profile entries that would tell how cold is too cold, of the species whose profile tells nothing about it."""
    return _without(profiles, hot=False)


def bearing_of(profile: Species, resting: bool = False) -> Bearing:
    """What eggs of a species bear for hours; `resting`: in the cool period or the pause of their profile.

    Eggs of an unknown climate bear no more cold than tropical ones.
    """
    harmful, tolerated = profile.harmful, profile.tolerated
    hot = harmful.above if harmful is not None else None
    cold = harmful.below if harmful is not None else None
    if tolerated is not None:
        hot = tolerated.high + PAST_TOLERATED_HOT if hot is None else hot
        cold = tolerated.low - PAST_TOLERATED_COLD if cold is None else cold
    if resting and cold is not None:
        cold = min(cold, RESTING_LIMIT)
    temperate = profile.climate is not None and profile.climate.kind == "temperate"
    return Bearing(hot, cold, temperate, profile.group in TENDER_GROUPS)


def limit_support(profile: Species, hot: bool) -> Support | None:
    """What the limit of `bearing_of` rests on; None where the profile tells nothing."""
    harmful, tolerated = profile.harmful, profile.tolerated
    if harmful is not None and (harmful.above if hot else harmful.below) is not None:
        return harmful.support
    return tolerated.support if tolerated is not None else None


def _without(profiles: Iterable[Species], hot: bool) -> tuple[str, ...]:
    return tuple(
        f"species/{profile.id}.yaml: tolerated" for profile in profiles if limit_support(profile, hot) is None
    )


def _cold(profile: Species) -> EggLimit | None:
    harmful, tolerated = profile.harmful, profile.tolerated
    if harmful is not None and harmful.below is not None:
        return EggLimit(harmful.below, profile, True)
    return EggLimit(tolerated.low, profile, False) if tolerated is not None else None
