"""What stands on the pages of the pack, as plain data; every figure and every answer comes from forecast and rules."""

import datetime
from collections.abc import Iterator
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from advisor import __version__
from advisor.assess import Assessment
from advisor.drawings.canvas import WIDTH, svg_of
from advisor.drawings.cross_section import cross_section
from advisor.drawings.egg_and_lead import drip_loop, egg_in_medium
from advisor.drawings.species_curve import PlanAt, curve_drawing
from advisor.lesson.description import PlanRow, described
from advisor.lesson.faults import SetUp, new_findings
from advisor.model.curves import ExpectedAt
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.findings import NOTE, Finding, Report
from advisor.model.forecast import EggBoxHeat, Forecast, HeatForecast, nothing_known
from advisor.model.papers import EggSizes, PaperFigures
from advisor.model.plan import Plan
from advisor.model.species import Species
from advisor.papers.entries import with_plain_entries
from advisor.report.screen import verdict_text
from advisor.rules import rule_by_id
from advisor.rules.engine import ENGINE_RULES
from advisor.show import Show
from advisor.wording import day_words, with_plain_dates

FOR_YOU = "it is for you to judge"


class Judged(Struct, frozen=True):
    """One judged plan with the figures that only papers show."""

    assessment: Assessment
    figures: PaperFigures


class Lesson(Struct, frozen=True):
    """Everything the pack is made of: the sound plan, the same with the heat from below, the four faulty set-ups.

    `expected` is what to expect at the set point and a little to either side of it; empty where temperature does not set the sex.
    `width` is that of the pictures [units].
    """

    species: Species
    show: Show
    seed: int
    today: datetime.date
    lid: Judged
    floor: Judged
    set_ups: tuple[tuple[SetUp, EggSizes], ...]
    expected: tuple[ExpectedAt, ...]
    width: float = WIDTH


class Answer(Struct, frozen=True):
    """One finding for the host: severity, what it is, what to do, why, how known."""

    severity: str
    message: str
    remedy: str
    title: str
    explanation: str


class Compared(Struct, frozen=True):
    """One row of the comparison: what, under lid heat, under floor heat."""

    what: str
    lid: str
    floor: str


class SetUpPage(Struct, frozen=True):
    """A set-up to judge (drawing and description) and its answers."""

    letter: str
    svg: str
    rows: tuple[PlanRow, ...]
    verdict: str
    answers: tuple[Answer, ...]


class SexesAt(Struct, frozen=True):
    """One row of the part on sexes: where the eggs are, how many males to expect, how many days."""

    at: str
    males: str
    days: str


class TalkPart(Struct, frozen=True):
    """One part of the talk: from which minute to which, what to do, what to say."""

    first: int
    last: int
    name: str
    do: str
    say: tuple[str, ...]


class Pack(Struct, frozen=True):
    """All pages; `title`, `printed_on` and `version` stand at the edges of each.

    `also` is what the check of a plan needs besides, when the profile is the host's own.
    """

    title: str
    printed_on: str
    version: str
    name: str
    seed: int
    talk: tuple[TalkPart, ...]
    compared: tuple[Compared, ...]
    compared_answers: tuple[Answer, ...]
    lid_svg: str
    floor_svg: str
    sexes_svg: str
    sexes: tuple[SexesAt, ...]
    set_ups: tuple[SetUpPage, ...]
    usual: tuple[Answer, ...]
    also: str


def about_the_box(report: Report) -> Report:
    """The report without what the engine says of the plan as a text: the host leaves nothing out, a thin profile does."""
    told = {rule.id for rule in ENGINE_RULES}
    return replace(report, findings=tuple(finding for finding in report.findings if finding.rule not in told))


def pack_of(lesson: Lesson) -> Pack:
    """The whole pack as plain data."""
    usual = frozenset(finding.rule for finding in lesson.lid.assessment.report.findings)
    compared = tuple(_compared(lesson))
    floor = _answers(new_findings(lesson.floor.assessment, usual), lesson.show)
    return Pack(
        title=f"Club night, {lesson.species.name}",
        printed_on=day_words(lesson.today),
        version=__version__,
        name=lesson.species.name,
        seed=lesson.seed,
        talk=talk(lesson, compared),
        compared=compared,
        compared_answers=floor,
        lid_svg=_drawn(lesson.lid, lesson, "lid-heat", "Heat from the lid"),
        floor_svg=_drawn(lesson.floor, lesson, "floor-heat", "Heat from the floor"),
        sexes_svg=_sexes_svg(lesson),
        sexes=_sexes(lesson),
        set_ups=tuple(_set_up(set_up, sizes, lesson, usual) for set_up, sizes in lesson.set_ups),
        usual=_answers(lesson.lid.assessment.report.findings, lesson.show),
        also="" if lesson.species.origin == "shipped" else " --species FOLDER",
    )


def talk(lesson: Lesson, compared: tuple[Compared, ...]) -> tuple[TalkPart, ...]:
    """The half hour, minute by minute, with the figures of this species."""
    plan, forecast, show = (
        lesson.lid.assessment.situation.plan,
        lesson.lid.assessment.situation.forecast,
        lesson.show,
    )
    name = lesson.species.name
    days = forecast.clutches[0].incubation_days
    warm = show.temperature(plan.control.set_to) if plan.control.set_to is not None else "its set point"
    took = (
        f"At {warm} the eggs take {_shown(days, show)}."
        if isinstance(days, Figure)
        else "How long the eggs take is not known well."
    )
    drips = next(row for row in compared if row.what == DRIPS)
    sexes = _talk_of_sexes(lesson)
    first, last = (10, 14) if sexes else (12, 12)
    return (
        TalkPart(0, 4, "What the eggs need", "Hold up an egg box, empty and clean.",
             (f"Tonight we plan for eggs of {name}. They want {warm}, damp medium and fresh air. {took}",
              "A fault is easy to put right now. It is not when the eggs are there. So the box runs for a week before.")),
        TalkPart(4, first, "Lid or floor?", "Ask for hands: heat from the lid, or from the floor? Then hand out the comparison.",
             (f"Water that drips from one lid. Heat from the lid: {drips.lid}. Heat from the floor: {drips.floor}.",
              "Water gathers on the coldest place. Heat from above keeps the lid the warmest.")),
        *sexes,
        TalkPart(last, last + (10 if sexes else 11), "Four set-ups", "Make four groups. Each gets one set-up: A, B, C or D. Give them six minutes, then one minute a group to tell.",
             ("Each set-up has two faults. One shows in the drawing, one stands in the words. A fault can bring others.",
              "Tell us: what is wrong, how bad is it, what comes first?")),
        TalkPart(last + (10 if sexes else 11), 28, "Answers", "Read out the answers, one set-up at a time. Ask the group first.",
             ("Stop means: do not start. Fix means: put it right before the eggs come. Watch means: know what to look at.",)),
        TalkPart(28, 30, "Take home", "Hand out the take-home list. Take questions.",
             ("Write a plan of your own box and let the advisor check it. Where it says 'not judged', it does not say 'safe'.",)),
    )  # fmt: skip


def _talk_of_sexes(lesson: Lesson) -> tuple[TalkPart, ...]:
    if not lesson.expected:
        return ()
    told = [f"{row.at}: {row.males} males." for row in _sexes(lesson)]
    return (
        TalkPart(
            10,
            14,
            "Temperature and sex",
            "Hand out the page on sexes, folded. Ask each group to read off the curve what a thermostat that is a little wrong brings.",
            (f"The warmth of the eggs makes {lesson.species.name} males or females.", " ".join(told)),
        ),
    )


def _sexes(lesson: Lesson) -> tuple[SexesAt, ...]:
    show = lesson.show
    return tuple(
        SexesAt(show.temperature(found.temperature), _shown(found.male_share, show), _shown(found.days, show))
        for found in lesson.expected
    )


def _sexes_svg(lesson: Lesson) -> str:
    curve, situation = lesson.lid.figures.share_curves[0], lesson.lid.assessment.situation
    if not lesson.expected or isinstance(curve, Unknown):
        return ""
    share = situation.forecast.clutches[0].male_share
    ours = PlanAt(situation.plan.control.set_to, lesson.lid.figures.eggs_between, share)
    return svg_of(
        curve_drawing(curve, "share", lesson.species.name, lesson.show, "sexes", ours, lesson.width)
    )


DRIPS = "Water that drips from one egg-box lid"


def _compared(lesson: Lesson) -> Iterator[Compared]:
    show = lesson.show
    both = [judged.assessment.situation.forecast for judged in (lesson.lid, lesson.floor)]
    boxes = [forecast.egg_boxes[0] for forecast in both]
    heats = [forecast.heat for forecast in both]

    def row(what: str, *results: Result) -> Compared:
        return Compared(what, *(_shown(result, show) for result in results))

    yield Compared(
        "Egg-box lid against the medium", *(_warmer(box.heat.lid_minus_medium, show) for box in boxes)
    )
    yield row(DRIPS, *(box.heat.condensation for box in boxes))
    yield row("Medium round the eggs", *(box.heat.medium_temperature for box in boxes))
    yield row("Warmest egg box minus coolest", *(heat.spread for heat in heats))
    yield row("Heater surface in normal running", *(heat.heater_surface for heat in heats))
    yield row("Power needed in the coldest room", *(heat.watts_needed for heat in heats))


def _shown(result: Result, show: Show) -> str:
    if isinstance(result, Unknown):
        return f"not known: {result.reason}"
    return show.figure(result)


def _warmer(result: Result, show: Show) -> str:
    if isinstance(result, Unknown):
        return _shown(result, show)
    if result.low < 0 < result.high:
        return f"{show.step(-result.low)} colder to {show.step(result.high)} warmer"
    low, value, high = sorted((abs(result.low), abs(result.value), abs(result.high)))
    return f"{show.about_step(value, low, high)} {'warmer' if result.value >= 0 else 'colder'}"


def _answers(findings: tuple[Finding, ...], show: Show) -> tuple[Answer, ...]:
    """Each finding with what to do: no lever was tried, and beside levers a finding tells a part alone."""

    def remedy(finding: Finding) -> str:
        whole = show.own_units(rule_by_id(finding.rule).remedy)
        return whole if finding.levers and finding.severity != NOTE else finding.remedy or whole

    return tuple(
        Answer(
            finding.severity,
            with_plain_dates(finding.message),
            with_plain_dates(with_plain_entries(remedy(finding))),
            rule_by_id(finding.rule).title,
            with_plain_entries(rule_by_id(finding.rule).explanation),
        )
        for finding in findings
    )


def _set_up(set_up: SetUp, sizes: EggSizes, lesson: Lesson, usual: frozenset[str]) -> SetUpPage:
    situation = set_up.assessment.situation
    plan = situation.plan
    return SetUpPage(
        letter=set_up.letter,
        svg=_to_judge(plan, situation.forecast, sizes, lesson, set_up.letter),
        rows=described(plan, lesson.species, lesson.show),
        verdict=verdict_text(set_up.assessment.report),
        answers=_answers(new_findings(set_up.assessment, usual), lesson.show),
    )


def take_home_pictures(home: Judged, show: Show) -> tuple[str, ...]:
    """The egg in its medium, where eggs of the species lie so, and the drip loop."""
    plan = home.assessment.situation.plan
    drawn = (egg_in_medium(plan, home.figures.egg_sizes, show), drip_loop(plan))
    return tuple(svg_of(one) for one in drawn if not isinstance(one, Unknown))


def _to_judge(plan: Plan, forecast: Forecast, sizes: EggSizes, lesson: Lesson, letter: str) -> str:
    """The drawing without what the forecast tells: no temperatures, no drops."""
    why = Unknown(FOR_YOU)
    blank = replace(
        forecast,
        heat=nothing_known(HeatForecast, why),
        egg_boxes=tuple(replace(box, heat=nothing_known(EggBoxHeat, why)) for box in forecast.egg_boxes),
    )
    drawing = cross_section(plan, blank, sizes, lesson.show, f"set-up-{letter.lower()}", lesson.width)
    if isinstance(drawing, Unknown):
        return ""
    kept = drawing.description
    for note in drawing.notes:
        kept = kept.replace(note, "")
    return svg_of(
        replace(drawing, title=f"Set-up {letter}, cut open", description=" ".join(kept.split()), notes=())
    )


def _drawn(judged: Judged, lesson: Lesson, name: str, title: str) -> str:
    situation = judged.assessment.situation
    drawing: Any = cross_section(
        situation.plan, situation.forecast, judged.figures.egg_sizes, lesson.show, name, lesson.width
    )
    return "" if isinstance(drawing, Unknown) else svg_of(replace(drawing, title=title))
