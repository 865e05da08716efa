"""How long the eggs of a plan bear some temperatures outside their limits, for the sheet beside the box."""

from collections.abc import Iterable

from advisor.forecast.heat.egg_limits import bearing_of, below_their_hot_limit
from advisor.formulas.heat.short_exposures import allowed_cold, allowed_heat, hot_at_once
from advisor.model.papers import Exposure
from advisor.model.species import Species

ABOVE = (1.0, 3.0)  # K above the first limit; what people read off a thermometer in a hurry; judgement
COLD = (15.0, 10.0, 5.0)  # °C; judgement


def heat_exposures(profiles: Iterable[Species], set_to: float | None, stage: int) -> tuple[Exposure, ...]:
    """Hours of heat, halved `stage` times, that all the eggs bear, up to what harms some of them at once; without eggs that the set point harms."""
    eggs = [bearing_of(profile) for profile in below_their_hot_limit(set_to, profiles)]
    limits = [one.hot for one in eggs if one.hot is not None]
    if not eggs:
        return ()
    at_once = min(hot_at_once(one) for one in eggs)
    steps = [min(limits) + above for above in ABOVE] if limits else []
    return (
        *(
            Exposure(step, 3600 * min(allowed_heat(one, halvings=stage)(step) for one in eggs))
            for step in steps
            if step < at_once
        ),
        Exposure(at_once, 0.0),
    )


def cold_exposures(profiles: Iterable[Species], set_to: float | None) -> tuple[Exposure, ...]:
    """Hours of cold that all the eggs bear, of those whose limit is known and that the set point does not harm."""
    eggs = [bearing_of(profile) for profile in profiles]
    known = [
        allowed
        for one in eggs
        if one.cold is not None and (set_to is None or set_to > one.cold)
        if (allowed := allowed_cold(one)) is not None
    ]
    times = {step: min((allowed(step) for allowed in known), default=None) for step in COLD}
    return tuple(
        Exposure(step, 3600 * hours) for step, hours in times.items() if hours is not None and hours < 1e6
    )
