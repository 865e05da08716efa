"""What the eggs get when the thermostat sticks with the heater on, until somebody comes."""

from collections.abc import Iterator
from math import inf, isinf

from msgspec import Struct
from msgspec.structs import replace

from advisor.forecast.heat.egg_limits import (
    below_their_hot_limit,
    hot_limit_above,
    limit_support,
    without_hot_limit,
)
from advisor.forecast.heat.egg_warmth import eggs_held_at
from advisor.forecast.heat.stuck_heater import (
    NIGHT,
    Warming,
    check_interval,
    heat_dose,
    hours_to_alarm,
    hours_to_heat_harm,
    stage_of,
    unattended,
    warming,
)
from advisor.formulas.heat.short_exposures import FACTOR
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, NOTE, WATCH, Finding, NotJudged
from advisor.model.species import Species
from advisor.rules.engine import PLAN, Case, Lacking, Rule
from advisor.rules.shared import BOX, STRETCHED, about_time

RULE = Rule(
    id="heat-stuck-on-harms-eggs",
    title="If the thermostat sticks, the heater harms the eggs",
    explanation=(
        "Thermostats fail with the heater on: a contact welds, or the probe slips out. The box then warms up until it "
        "loses as much heat as the heater gives, within a few hours. A heater that is just strong enough cannot harm "
        "the eggs. A stronger one may: how long eggs bear heat falls tenfold for each 4 °C (7 °F) above what harms them "
        "over weeks. So the hours count until an alarm calls you or you look at the box."
    ),
    remedy="Fit an independent cut-out 1.5 to 2 °C (3 to 4 °F) above the set point, or use a weaker heater.",
    sources=("practice", "judgement"),
    about=PLAN,
    needs=("forecast.heat.stuck_on_temperature",),
    levers=("control.cut_out", "heat.power", "watching.alarm", "control.set_to", "room.temperature"),
    good=BOX.replace("set_to: 28 °C", "set_to: 28 °C, cut_out: {set_to: 30 °C}")
    + "heat: {source: mat, place: lid, power: 20 W, size: 40 x 30 cm}",
    bad=BOX.replace("set_to: 28 °C", "set_to: 28 °C, cut_out: none")
    + "heat: {source: mat, place: lid, power: 20 W, size: 40 x 30 cm}\nwatching: {alarm: no}\nchecks: {rhythm: thirds}",
)


class Course(Struct, frozen=True):
    """How the eggs warm: typically, and at the warm end of the forecast; how often the hours that they bear are halved."""

    typical: Warming
    worst: Warming
    stage: int


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """The dose of heat until somebody comes, and what a cut-out changes."""
    stuck, cut_out = case.forecast.heat.stuck_on_temperature, case.plan.control.cut_out
    profiles = below_their_hot_limit(_held(case), case.situation.species.values())
    assert isinstance(stuck, Figure)
    limit = hot_limit_above(_held(case), profiles)
    missing = without_hot_limit(profiles)
    if limit is None or stuck.high < limit:
        if missing:
            yield NotJudged(missing)
        return
    if cut_out is None:
        raise Lacking("control.cut_out")
    cut = inf if cut_out.set_to is None else cut_out.set_to
    course = _course(case, stuck, cut)
    severities = {_severity(case, profiles, course, cut, alarm) for alarm in _alarms(case)}
    if len(severities) > 1 and None in severities:
        raise Lacking("watching.alarm")
    severity = FIX if FIX in severities else severities.pop()
    if severity is None:
        yield from _guarded(case, stuck, limit)
        if missing:
            yield NotJudged(missing)
        return
    yield _finding(case, stuck, course, severity)


def _held(case: Case) -> float | None:
    """The set point [°C], or the warmest that eggs have over a bath whose water the probe reads."""
    control = case.plan.control
    held = [eggs_held_at(control, clutch.warmth) for clutch in case.forecast.clutches]
    return max((at for at in held if at is not None), default=control.set_to)


def _finding(case: Case, stuck: Figure, course: Course, severity: str) -> Finding:
    plan, show = case.plan, case.show
    profiles = below_their_hot_limit(_held(case), case.situation.species.values())
    trace = course.typical if not isinf(hours_to_heat_harm(course.typical, profiles)[0]) else course.worst
    possible, first = hours_to_heat_harm(trace, profiles, stage=course.stage)
    likely, _ = hours_to_heat_harm(trace, profiles, True, course.stage)
    cut = plan.control.cut_out.set_to if plan.control.cut_out else None
    late = f" The cut-out at {show.temperature(cut)} comes too late." if cut is not None else ""
    support = limit_support(first, hot=True)
    return Finding(
        severity,
        f"With the heater stuck on, the box gets to {case.show.figure(stuck)} in a room of {_room(case)}.{late} "
        f"Harm to {first.name} eggs is possible {_when(case, possible)}{_and_likely(case, likely)}.{_noticed(case)}",
        "control.cut_out.set_to" if late else "control.cut_out",
        figures=(("stuck_on_temperature", stuck),),
        sources=tuple(dict.fromkeys((*RULE.sources, *(support.sources if support else ())))),
        evidence="common practice",  # the hours are judgement, however well the limit is known
    )


def _course(case: Case, stuck: Figure, cut: float) -> Course:
    loss = case.forecast.heat.conductance
    assert isinstance(loss, Figure)  # the box with its heater stuck on rests on it
    plan = replace(case.plan, control=replace(case.plan.control, set_to=_held(case)))
    typical, worst = (warming(plan, loss, settled, cut) for settled in (stuck.value, stuck.high))
    return Course(typical, worst, stage_of(case.forecast))


def _alarms(case: Case) -> tuple[bool, ...]:
    """Whether an alarm calls the keeper; both where that is not told."""
    alarm = case.plan.watching.alarm
    return (True, False) if alarm is None else (alarm,)


def _severity(
    case: Case, profiles: tuple[Species, ...], course: Course, cut: float, alarm: bool
) -> str | None:
    """Fix where harm is possible before somebody comes; watch where it is at the bad end, or an alarm alone prevents it."""
    set_to = _held(case)
    interval = check_interval(case.plan)
    hours = NIGHT if alarm else inf if interval is None else max(interval, NIGHT)
    over_night = _grade(profiles, course, hours, hours)
    if not alarm or not isinf(cut) or set_to is None:
        return over_night
    typical, worst = (hours_to_alarm(trace, set_to) for trace in (course.typical, course.worst))
    return FIX if _grade(profiles, course, typical, worst) else WATCH if over_night else None


def _grade(profiles: tuple[Species, ...], course: Course, typical: float, worst: float) -> str | None:
    if heat_dose(course.typical, profiles, typical, course.stage) >= 1.0:
        return FIX
    return WATCH if heat_dose(course.worst, profiles, worst, course.stage) * FACTOR > 1.0 + 1e-9 else None


def _guarded(case: Case, stuck: Figure, limit: float) -> Iterator[Finding | NotJudged]:
    """With a cut-out in time, worth a note only when a weaker heater would do without harm."""
    need = case.forecast.heat.watts_needed
    if isinstance(need, Unknown):
        yield NotJudged(need.needs or (need.reason,))
        return
    if not _weaker_would_do(case, stuck, limit, need):
        return
    show = case.show
    known = any(
        profile.harmful is not None and profile.harmful.above == limit
        for profile in case.situation.species.values()
    )
    yield Finding(
        NOTE,
        f"If the thermostat sticks, only the cut-out keeps the box below {case.show.figure(stuck)}. "
        f"Weeks from {show.temperature(limit)} up {'harm' if known else 'are taken to harm'} the eggs.",
        "heat.power",
        "A weaker heater can hold the set point here and yet be too weak to harm the eggs.",
        figures=(("stuck_on_temperature", stuck), ("watts_needed", need)),
    )


def _weaker_would_do(case: Case, stuck: Figure, limit: float, need: Figure) -> bool:
    """Whether some power holds the coldest room and, stuck on in the warmest, stays below the limit: the rise goes with power."""
    power, room = case.plan.heat.power, case.plan.room.temperature
    assert power is not None and room is not None
    harmless = power * (limit - room.high) / (stuck.high - room.high)
    return max(need.value / STRETCHED, need.high) < harmless


def _room(case: Case) -> str:
    assert case.plan.room.temperature is not None
    return case.show.temperature(case.plan.room.temperature.high)


def _when(case: Case, hours: float) -> str:
    if hours <= 0.0:
        return "at once"
    seconds = 3600.0 * hours
    return f"after {about_time(case.show, Figure(seconds, seconds / FACTOR, seconds * FACTOR, 'hours'))}"


def _and_likely(case: Case, hours: float) -> str:
    if isinf(hours) or hours <= 0.0:
        return ""
    seconds = 3600.0 * hours
    return f", likely after {about_time(case.show, Figure(seconds, seconds, seconds, 'hours'))}"


def _noticed(case: Case) -> str:
    """How long nobody may come."""
    if case.plan.watching.alarm:
        return " Only an alarm that somebody hears is in time."
    hours = unattended(case.plan)
    if isinf(hours):
        return ""
    away = case.show.days(hours / 24) if hours >= 48 else case.show.hours(3600 * hours)
    return f" Nothing calls you, and the next check may be {away} away."
