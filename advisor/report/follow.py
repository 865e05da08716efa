"""A judged log with eggs inside on the screen and as JSON: findings, each clutch now, what happened."""

from collections.abc import Iterable, Iterator
from operator import itemgetter
from typing import Any

from advisor.assess_log import FollowAssessment
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.findings import FIX, STOP
from advisor.model.follow import (
    CUT,
    GAP,
    HARM_WORDS,
    LID,
    MOVED,
    OVERSHOOT,
    ClutchFollowed,
    Event,
    Happening,
    Outside,
)
from advisor.model.logs import clock_time
from advisor.report.json_report import results
from advisor.report.logs import log_data, log_head, verdict_lines
from advisor.report.outcome import outcome_data, outcome_words, record_lines
from advisor.report.screen import WIDTH, Line, judged_lines, wrapped
from advisor.report.weighing import weighing_data, weighing_lines
from advisor.rules.engine import Situation
from advisor.show import Show, counted
from advisor.wording import clutch_names

VERDICTS = {
    STOP: "STOP: act now; eggs are probably harmed.",
    FIX: "FIX: put these right now, the eggs are in the box.",
}
SHORT = 0.1  # days of delay that are told; judgement
NOT_SEEN = {
    LID: "Opened lids can't be seen: that takes a sensor in the air, read every 10 minutes or oftener, and air that the heater leaves steady.",
    MOVED: "A moved sensor can't be seen: that takes a second one in the box.",
}


NOT_LAID = "Nothing to tell yet. Once it is laid write the day into the plan: laying: {laid_on: 2027-05-11}."


def follow_lines(assessed: FollowAssessment, width: int = WIDTH, plot: Iterable[str] = ()) -> Iterator[Line]:
    """The report for the screen, the picture `plot` below its head, the verdict last."""
    assessment, followed = assessed.assessment, assessed.followed
    situation = assessment.situation
    yield from log_head("Eggs in", assessment, assessed.log, width, plot)
    yield from judged_lines(assessment, width)
    for name, clutch in zip(
        clutch_names(situation.plan.clutches, situation.species), followed.clutches, strict=True
    ):
        when = f"{'hatched on ' if clutch.outcome else ''}day {clutch.day:.0f}" if clutch.laid else "not laid"
        yield from wrapped(f"{name}, {when}", width, "head", 2)
        for text in _clutch_words(clutch, situation.show):
            yield from wrapped(f"  {text}", width, "", 4)
        yield from _outcome(clutch, situation, width)
        yield Line("")
    yield from _boxes(assessed, width)
    yield Line("What happened", "head")
    for text in _happened_words(assessed, situation.show):
        yield from wrapped(f"  {text}", width, "", 4)
    for kind in followed.not_seen:
        yield from wrapped(f"  {NOT_SEEN[kind]}", width, "quiet", 4)
    yield Line("")
    yield from verdict_lines(assessment.report, VERDICTS, width)


def _outcome(clutch: ClutchFollowed, situation: Situation, width: int) -> Iterator[Line]:
    """What came of a clutch, and its record for the profile."""
    if clutch.outcome is None:
        return
    for text in outcome_words(clutch.outcome, situation.show):
        yield from wrapped(f"  {text}", width, "", 4)
    record = clutch.outcome.record
    if isinstance(record, Unknown):
        yield from wrapped(f"  No record for the profile: {record.reason}.", width, "", 4)
        return
    into = f"species/{clutch.species}.yaml"
    yield from wrapped(f"  Record for {into} (add the lines to its lists, then run advisor species check):", width, "", 4)  # fmt: skip
    for line in record_lines(clutch, record, situation.plan.title):
        yield Line(f"    {line}", "code")  # to be copied as it stands


def _boxes(assessed: FollowAssessment, width: int) -> Iterator[Line]:
    """What the scale tells of each egg box, and the air for the eggs that are left."""
    show = assessed.assessment.situation.show
    for name, oxygen in assessed.followed.oxygen:
        told = f"Egg box '{name}': oxygen at its lowest, before hatching, with the eggs that grow: {_told(oxygen, show)}"
        yield from (*wrapped(told, width, "", 2), Line(""))
    for name, answer in assessed.followed.weighed:
        if isinstance(answer, Unknown):
            needs = f" ({', '.join(answer.needs)})" if answer.needs else ""
            yield from wrapped(
                f"Egg box '{name}': the weighings cannot be read, {answer.reason}{needs}.", width, "", 2
            )
        else:
            yield from weighing_lines(answer, show, width, name, options=False)
        yield Line("")


def _clutch_words(clutch: ClutchFollowed, show: Show) -> Iterator[str]:
    """What the log says of one clutch, a sentence each."""
    if clutch.laid is None:
        yield NOT_LAID
        return
    if clutch.eggs_left is not None:
        growing = "" if clutch.growing == clutch.eggs_left else f", {clutch.growing} of them growing"
        yield f"Eggs left: {clutch.eggs_left}{growing}"
    hatched = clutch.outcome is not None
    ahead = () if hatched else (("Days to go", clutch.days_to_go),)
    named = (("Developed", clutch.developed), *ahead, ("Males", clutch.male_share))
    for name, result in (("Mean temperature since laying", clutch.mean), *named):
        yield f"{name}: {_told(result, show)}"
    if clutch.hatch_window is not None and not hatched:
        planned = f"; by the plan {clutch.planned_window[0]} to {clutch.planned_window[1]}" if clutch.planned_window else ""  # fmt: skip
        yield f"Hatching: {clutch.hatch_window[0]} to {clutch.hatch_window[1]}{planned}"
    if clutch.sensitive is not None and isinstance(clutch.male_share, Figure):
        over = (
            "over: the sexes are settled"
            if clutch.settled
            else "what is still to come counts as the last days"
        )
        yield f"Time that sets the sex: {clutch.sensitive[0]} to {clutch.sensitive[1]}, {over}"
    for name, band in (("usual", clutch.aim), ("tolerated", clutch.tolerated)):
        if isinstance(band, Outside):
            yield f"Outside the {name} band: {show.hours(60 * (band.below + band.above))} of {show.hours(60 * band.logged)} (below {show.hours(60 * band.below)}, above {show.hours(60 * band.above)})"  # fmt: skip
        else:
            yield f"Outside the {name} band: not told, {band.reason}"


def _told(result: Result, show: Show) -> str:
    if isinstance(result, Unknown):
        return f"not told, {show.own_units(result.reason)}"
    return show.figure(result)


def _happened_words(assessed: FollowAssessment, show: Show) -> list[str]:
    """Events of the log and notes of the keeper, in order of time."""
    situation = assessed.assessment.situation
    names = clutch_names(situation.plan.clutches, situation.species)
    told = [(clock_time(event.begin), event_words(event, show)) for event in assessed.followed.events]
    for one in assessed.happened:
        which = f" ({names[one.clutch]})" if one.clutch is not None and len(names) > 1 else ""
        told.append((one.on.isoformat(), f"you noted: {_noted(one, show)}{which}"))
    return [f"{when} {words}" for when, words in sorted(told, key=itemgetter(0))] or [
        "Nothing: no event is seen in the log."
    ]


def _noted(one: Happening, show: Show) -> str:
    of_egg = " growing" if one.what == "candled" else ""
    eggs = f" {counted(one.eggs, 'egg')}{of_egg}" if one.eggs is not None else ""
    mass = f" {show.mass(one.mass)}" if one.mass is not None else ""
    what = "" if one.what == "noted" and one.says else f"{one.what}{eggs}{mass}"
    sexes = " and ".join(
        counted(number, word[:-1])
        for word in ("males", "females")
        if (number := getattr(one, word)) is not None
    )
    return ", ".join(filter(None, (what, sexes, one.says)))


def event_words(event: Event, show: Show) -> str:
    """One event: kind, how long, how far, what it likely did."""
    return f"{event.kind} ({event.sensor}), {show.hours(event.end - event.begin)}: {_course(event, show)}; {judgement(event)}"  # fmt: skip


def _course(event: Event, show: Show) -> str:
    if event.extreme is None:
        return "no readings"
    way = {LID: "air down by", CUT: "fell by", OVERSHOOT: "over by"}.get(event.kind, "stepped up by" if event.moved > 0 else "stepped down by")  # fmt: skip
    return f"{way} {show.step(abs(event.moved))} to {show.temperature(event.extreme)}"


def judgement(event: Event) -> str:
    """What an event likely did to the eggs."""
    if event.kind == GAP:
        return "colder after it: the power was probably off" if event.moved < 0 else "as warm after it as before: the logger stopped"  # fmt: skip
    if event.kind == MOVED:
        return "the sensor tells of another place from here on"
    if event.kind == LID:
        return "the medium stayed: nothing to the eggs"
    delay = event.delay or 0.0
    moved = f"{'delays' if delay > 0 else 'hastens'} hatching by about {abs(delay):.1f} days" if abs(delay) >= SHORT else "no delay to speak of"  # fmt: skip
    return f"{HARM_WORDS[event.harm]}, {moved}"


def follow_marks(assessed: FollowAssessment) -> list[tuple[float, str]]:
    """The events, for the picture."""
    return [(event.begin, event.kind) for event in assessed.followed.events]


def follow_data(assessed: FollowAssessment) -> dict[str, Any]:
    """The whole report as plain data."""
    return {
        **log_data(assessed.assessment, assessed.log),
        "clutches": [
            _clutch_data(clutch, assessed.assessment.situation.plan.title)
            for clutch in assessed.followed.clutches
        ],
        "events": [
            {
                "kind": event.kind,
                "sensor": event.sensor,
                "from": clock_time(event.begin),
                "to": clock_time(event.end),
                "extreme": None if event.extreme is None else round(event.extreme, 3),
                "judgement": judgement(event),
            }
            for event in assessed.followed.events
        ],
        "not_seen": list(assessed.followed.not_seen),
        "happened": [
            {"on": one.on.isoformat(), "what": one.what, "eggs": one.eggs, "says": one.says}
            for one in assessed.happened
        ],
        "oxygen_lowest": results(dict(assessed.followed.oxygen)),
        "weighed": [
            {"name": name, "reason": answer.reason}
            if isinstance(answer, Unknown)
            else {"name": name, **weighing_data(answer)}
            for name, answer in assessed.followed.weighed
        ],
    }


def _clutch_data(clutch: ClutchFollowed, title: str) -> dict[str, Any]:
    windows = {"hatch_window": clutch.hatch_window, "planned_window": clutch.planned_window, "sensitive": clutch.sensitive}  # fmt: skip
    minutes = {"aim": clutch.aim, "tolerated": clutch.tolerated}
    return {
        "species": clutch.species,
        "laid": clutch.laid.isoformat() if clutch.laid else None,
        "eggs_left": clutch.eggs_left,
        "growing": clutch.growing,
        **results({
            "mean_temperature": clutch.mean,
            "developed": clutch.developed,
            "days_to_go": clutch.days_to_go,
            "male_share": clutch.male_share,
        }),
        **{name: [day.isoformat() for day in window] if window else None for name, window in windows.items()},
        "minutes_outside": {
            name: round(band.below + band.above) if isinstance(band, Outside) else None
            for name, band in minutes.items()
        },
        "sexes_settled": clutch.settled,
        "outcome": outcome_data(clutch, title),
    }  # fmt: skip
