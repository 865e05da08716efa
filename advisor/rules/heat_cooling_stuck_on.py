"""What the eggs get when the cooling never switches off, until somebody comes."""

from collections.abc import Iterator

from advisor.forecast.heat.egg_limits import bearing_of, limit_support, without_cold_limit
from advisor.forecast.heat.parts import fan_always
from advisor.forecast.heat.stuck_heater import unattended, warming
from advisor.formulas.heat.short_exposures import FACTOR, allowed_cold, dose
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, WATCH, Finding, NotJudged
from advisor.model.species import Species
from advisor.rules.engine import PLAN, Case, Lacking, Rule
from advisor.rules.shared import BOX

RULE = Rule(
    id="heat-cooling-stuck-on",
    title="If the cooling never switches off, the eggs get too cold",
    explanation=(
        "What switches the cooling may stick as well as what switches the heater, and a compressor goes on for as long as "
        "it has power. The box then falls below the room, within hours, until as much heat comes in as the cooling takes "
        "out. Eggs in the cold slow down, and in days the embryos die. A cooling no stronger than the warmest day needs "
        "does the least harm."
    ),
    remedy="Have an alarm call you when the box gets cold, or use a weaker cooling that still holds the warmest room.",
    sources=("judgement",),
    about=PLAN,
    levers=("cooling.power", "watching.alarm"),
    good=BOX + "cooling: {power: 3 W}\nwatching: {alarm: yes}",
    bad=BOX + "cooling: {power: 60 W}\nwatching: {alarm: no}\nchecks: {rhythm: thirds}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """The dose of cold until somebody comes, the heater off and the room at its coldest."""
    plan, loss = case.plan, case.forecast.heat.conductance
    if plan.cooling is None:
        return
    room, set_to = plan.room.temperature, plan.control.coldest
    wanted = {"room.temperature": room, "control.set_to": set_to, "watching.alarm": plan.watching.alarm}
    missing = tuple(entry for entry, value in wanted.items() if value is None)
    if isinstance(loss, Unknown):
        missing += loss.needs or (loss.reason,)
    if missing:
        raise Lacking(*dict.fromkeys(missing))
    assert room is not None and isinstance(loss, Figure)
    taken = max(plan.cooling.power - fan_always(plan), 0.0)
    typical, worst = (room.low - taken / one for one in (loss.value, loss.low))
    severity, first = _graded(case, loss, typical, worst)
    if severity is not None and first is not None:
        support, show = limit_support(first, hot=False), case.show
        yield Finding(
            severity,
            f"With the cooling on for good in a room of {show.temperature(room.low)}, the box gets down to "
            f"{show.about_temperature(typical, worst, room.low - taken / loss.high)}. Eggs of {first.name} may come to harm "
            "before anybody comes.",
            "cooling.power",
            figures=(("conductance", loss),),
            sources=tuple(dict.fromkeys((*RULE.sources, *(support.sources if support else ())))),
            evidence="common practice",  # the hours are judgement, however well the limit is known
        )
    elif without := without_cold_limit(case.situation.species.values()):
        yield NotJudged(without)


def _graded(case: Case, loss: Figure, typical: float, worst: float) -> tuple[str | None, Species | None]:
    """Fix where harm is possible before somebody comes, watch where it is at the bad end; for the species harmed most."""
    hours = unattended(case.plan)
    typical_course, worst_course = (warming(case.plan, loss, settled) for settled in (typical, worst))
    found = [
        (dose(typical_course, allowed, hours), dose(worst_course, allowed, hours), one)
        for one in case.situation.species.values()
        if (allowed := allowed_cold(bearing_of(one))) is not None
    ]
    if not found:
        return None, None
    usual, most, first = max(found, key=lambda entry: entry[:2])
    return (FIX if usual >= 1.0 else WATCH if most * FACTOR > 1.0 else None), first
