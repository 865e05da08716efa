"""The temperature past which eggs in a plan suffer first, on the hot and on the cold side."""

from collections.abc import Callable, Iterable

from advisor.frozen import dataclass
from advisor.model.species import Species, Support


@dataclass(frozen=True, slots=True)
class EggLimit:
    """A temperature [°C]; `harm` is True where harm is known, False where only the tolerated band ends."""

    temperature: float
    species: Species
    harm: bool
    support: Support

    @property
    def words(self) -> str:
        """What the limit is, in words."""
        if self.harm:
            return f"harmful to {self.species.name} eggs"
        return f"the end of what {self.species.name} eggs tolerate"


def hot_limit(profiles: Iterable[Species]) -> EggLimit | None:
    """The lowest temperature that is too hot for some species of the plan; None when no profile tells one."""
    return min(_limits(profiles, _hot), key=lambda limit: limit.temperature, default=None)


def below_their_hot_limit(set_to: float | None, profiles: Iterable[Species]) -> list[Species]:
    """The profiles that a set point [°C] does not harm by itself: what a stuck heater adds counts for them alone."""
    return [
        profile
        for profile in profiles
        if set_to is None or (own := _hot(profile)) is None or set_to < own.temperature
    ]


def hot_limit_above(set_to: float | None, profiles: Iterable[Species]) -> EggLimit | None:
    """The lowest temperature that is too hot for some species, of those that the set point [°C] itself does not harm."""
    return hot_limit(below_their_hot_limit(set_to, profiles))


def cold_limit(profiles: Iterable[Species]) -> EggLimit | None:
    """The highest temperature that is too cold for some species of the plan; None when no profile tells one."""
    return max(_limits(profiles, _cold), key=lambda limit: limit.temperature, default=None)


def without_hot_limit(profiles: Iterable[Species]) -> tuple[str, ...]:
    """Profile entries that would tell how hot is too hot, of the species whose profile tells nothing about it."""
    return tuple(f"species/{profile.id}.yaml: tolerated" for profile in profiles if _hot(profile) is None)


def without_cold_limit(profiles: Iterable[Species]) -> tuple[str, ...]:
    """Profile entries that would tell how cold is too cold, of the species whose profile tells nothing about it."""
    return tuple(f"species/{profile.id}.yaml: tolerated" for profile in profiles if _cold(profile) is None)


def _limits(profiles: Iterable[Species], limit: Callable[[Species], EggLimit | None]) -> list[EggLimit]:
    return [found for profile in profiles if (found := limit(profile)) is not None]


def _hot(profile: Species) -> EggLimit | None:
    harmful, tolerated = profile.harmful, profile.tolerated
    if harmful is not None and harmful.above is not None:
        return EggLimit(harmful.above, profile, True, harmful.support)
    return EggLimit(tolerated.high, profile, False, tolerated.support) if tolerated is not None else None


def _cold(profile: Species) -> EggLimit | None:
    harmful, tolerated = profile.harmful, profile.tolerated
    if harmful is not None and harmful.below is not None:
        return EggLimit(harmful.below, profile, True, harmful.support)
    return EggLimit(tolerated.low, profile, False, tolerated.support) if tolerated is not None else None
