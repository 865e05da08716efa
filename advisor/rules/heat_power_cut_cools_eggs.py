"""How many hours the eggs have when the power fails on the coldest day."""

import math
from collections.abc import Iterator

from advisor.forecast.egg_limits import EggLimit, cold_limit, without_cold_limit
from advisor.forecast.heat_setup import outer_inside
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, NOTE, WATCH, Finding, NotJudged
from advisor.physics.transient import time_constant_hours_per_litre
from advisor.rules.engine import PLAN, Case, Rule
from advisor.rules.shared import BOX
from advisor.units import UNITS

# Hours of warmth that last through a short cut, a long evening, a night without power; judgement.
SHORT, EVENING, NIGHT = 2 * 3600.0, 6 * 3600.0, 8 * 3600.0
HAIR = 1e-9  # so that a whole number of halves is not rounded up
MOST_BOTTLES = 0.15  # share of the box that bottles may fill, beside the egg boxes; judgement

RULE = Rule(
    id="heat-power-cut-cools-eggs",
    title="In a power cut the eggs cool down within hours",
    explanation=(
        "Without power the box cools toward the room, fast at first. Foam slows the loss, and only what stores heat buys "
        "hours: wet medium and bottles of water. A short cool spell slows the embryo down. Below what the species "
        "bears, it weakens or dies, near hatching soonest."
    ),
    remedy="Stand full water bottles in the box from the first day, so that they are as warm as the eggs.",
    sources=("judgement",),
    about=PLAN,
    needs=(),
    good="power_cut: {prepared: battery supply}",
    bad=BOX + "power_cut: {prepared: nothing}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Grades the forecast hours until the first limit of the eggs in the plan; less strictly where no harm is known."""
    plan, show, profiles = case.plan, case.show, tuple(case.situation.species.values())
    if plan.power_cut.prepared in ("battery supply", "generator"):
        return
    hours, loss, limit = (
        case.forecast.heat.hours_to_harm,
        case.forecast.heat.conductance,
        cold_limit(profiles),
    )
    if isinstance(hours, Unknown):
        yield NotJudged(hours.needs or (hours.reason,))
        return
    room, set_to = plan.room.temperature, plan.control.set_to
    assert limit is not None and isinstance(loss, Figure) and room is not None and set_to is not None
    severity = _severity(hours.value, limit.harm)
    if set_to <= limit.temperature or severity is None:
        if missing := without_cold_limit(profiles):
            yield NotJudged(missing)
        return
    added = time_constant_hours_per_litre(loss.value) * math.log(
        (set_to - room.low) / (limit.temperature - room.low)
    )
    yield Finding(
        severity,
        f"Without power in a room of {show.temperature(room.low)} the eggs cool to {_limit_in_words(case, limit)} in "
        f"{show.about_hours(hours.value, hours.low, hours.high)}.",
        "power_cut.water" if plan.power_cut.prepared == "water bottles" else "power_cut.prepared",
        _remedy(case, hours, 3600 * added),
        figures=(("hours_to_harm", hours),),
        sources=tuple(dict.fromkeys((*RULE.sources, *limit.support.sources))),
        evidence=limit.support.known,
    )


def _severity(seconds: float, harm: bool) -> str | None:
    """Grades the time; where only the tolerated band ends there, a grade lower."""
    grades = (FIX, WATCH, NOTE) if harm else (WATCH, NOTE, None)
    return next(
        (grade for grade, end in zip(grades, (SHORT, EVENING, NIGHT), strict=True) if seconds < end), None
    )


def _limit_in_words(case: Case, limit: EggLimit) -> str:
    at = case.show.temperature(limit.temperature)
    return f"{at}, {limit.words},"


def _remedy(case: Case, hours: Figure, per_litre: float) -> str:
    """Bottles for the next longer cut, as far as they fit: an evening or else a short cut, or the night."""
    show, size = case.show, outer_inside(case.plan)
    assert not isinstance(size, Unknown)
    room_for = MOST_BOTTLES * size.length * size.width * size.height * 1000 - _litres(case)
    measure, litre = ("quart", 1000 * UNITS["volume"]["quart"].factor) if show.us else ("litre", 1.0)
    each = f"each {measure} adds about {show.roughly(per_litre * litre)}"
    for end in (NIGHT,) if hours.value >= EVENING else (EVENING, SHORT):
        litres = (end - hours.value) / per_litre
        if 0 < litres <= room_for:
            more = " more" if _litres(case) else ""
            measures = (
                math.ceil(2 * litres / litre - HAIR) / 2
            )  # the next half: the hours are known to a quarter
            words = (
                f"{measures:g} {measure}{'' if measures == 1 else 's'}"
                if measures >= 1
                else f"half a {measure}"
            )
            return (
                f"Stand {words}{more} of water in bottles in the box from the first day: {each}, "
                f"and that makes about {show.hours(end)}."
            )
    return (
        f"Keep a battery supply ready: in water bottles {each}, and this box has no room for enough of them."
    )


def _litres(case: Case) -> float:
    return (case.plan.power_cut.water or 0.0) * 1000
