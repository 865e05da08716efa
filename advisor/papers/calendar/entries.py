"""What stands in the calendar of one plan: plain entries with their days and words; `calendar_file` writes them."""

import datetime
from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from advisor.assess import Assessment
from advisor.forecast.for_papers import scale_readings
from advisor.model.figures import Unknown
from advisor.model.forecast import Window
from advisor.model.papers import ScaleReading
from advisor.model.plan import Plan
from advisor.papers.calendar.entry import DAY, Entry, LeftOut, Season, one_line
from advisor.papers.calendar.rounds import round_entries
from advisor.papers.calendar.set_points import set_points
from advisor.papers.refused import for_paper, mark_of
from advisor.papers.rounds import makes_rounds
from advisor.rules.shared import USUAL_TRIAL
from advisor.show import Show
from advisor.wording import (
    about_scale,
    capital,
    clutch_names,
    day_words,
    middle_day,
    scale_text,
    set_point_words,
    trial_end,
    window_words,
)

MONTH = datetime.timedelta(days=30)
BUY, BUILD = datetime.timedelta(days=28), datetime.timedelta(days=10)  # before the trial run; judgement
MOST_NAMED = 3  # clutches named in the heading of one check; judgement


class _Clutch(Struct, frozen=True):
    """What the entries of one clutch share: its place in the plan, its key, its name, the day to count from."""

    index: int
    key: str
    name: str
    window: Window | None

    @property
    def known(self) -> bool:
        """Whether the laying day itself is known."""
        return self.window is not None and self.window[0] == self.window[1]

    def day(self, number: int) -> datetime.date:
        """The date of a day of incubation, counted from the middle of the laying window."""
        assert self.window is not None
        return middle_day(self.window) + number * DAY

    def doubt(self) -> str:
        """How far a date may be off; nothing when the laying day is known."""
        if self.window is None or self.known:
            return ""
        off = (self.window[1] - middle_day(self.window)) // DAY
        return (
            "The laying day is not known yet. This day counts from the middle of the laying window, so it may be "
            f"{Show().days(off)} early or late."
        )


def season_of(assessment: Assessment) -> Season:
    """The calendar of a judged plan; entries that have no date are left out and named.

    Nothing of what the check refuses stands in it, and every heading of such a plan is marked.
    """
    assessment, mark = for_paper(assessment), mark_of(assessment.report)
    plan = assessment.situation.plan
    clutches = _clutches(assessment)
    entries = [*_before(assessment, clutches)]
    left_out: list[LeftOut] = []
    for clutch in clutches:
        entries += _of_clutch(assessment, clutch)
        left_out += _without_date(assessment, clutch)
    entries += [Entry(*found) for found in set_points(assessment.situation, clutches[0].doubt())]
    if makes_rounds(plan):
        entries += round_entries(assessment.situation, _how(assessment))
    else:
        entries += _checks(assessment, clutches)
        entries += _top_ups(assessment, clutches)
    entries += _monthly_tests(entries)
    if mark:
        entries = [replace(entry, heading=f"{mark}. {entry.heading}") for entry in entries]
    left_out += _top_ups_left_out(assessment, clutches)
    entries.sort(key=lambda entry: (entry.first, entry.last))
    return Season(one_line(plan.title, 300), tuple(entries), tuple(left_out))


def _clutches(assessment: Assessment) -> tuple[_Clutch, ...]:
    situation = assessment.situation
    names = clutch_names(situation.plan.clutches, situation.species)
    species = [clutch.species for clutch in situation.plan.clutches]
    return tuple(
        _Clutch(
            index,
            f"{species[index]} {species[: index + 1].count(species[index])}",
            one_line(capital(names[index]), 80),
            forecast.laying_window,
        )
        for index, forecast in enumerate(situation.forecast.clutches)
    )


def _before(assessment: Assessment, clutches: tuple[_Clutch, ...]) -> Iterator[Entry]:
    """Trial run, ready-by day and lay boxes."""
    situation = assessment.situation
    plan, show = situation.plan, situation.show
    ready = min(
        (
            forecast.ready_by
            for clutch, forecast in zip(plan.clutches, situation.forecast.clutches, strict=True)
            if forecast.ready_by is not None and clutch.laid_on is None
        ),
        default=None,
    )
    goal = f" Goal: {set_to}." if (set_to := set_point_words(plan.control, show)) else ""
    how = (
        "Run the box with the damp medium in it and no eggs. Be at home. Each day write down the lowest and the "
        f"highest temperature in the medium.{goal}"
    )
    if plan.trial_run.from_ is not None:
        start = plan.trial_run.from_
        end = trial_end(start, plan.trial_run.days or 1)
        yield Entry("trial run", start, end, "Trial run of the incubator", how, True)
    elif ready is not None:
        start = ready - (USUAL_TRIAL - 1) * DAY
        heading = "Start the trial run today at the latest"
        yield Entry(
            "trial run", start, start, heading, how + f" A week of it ends on {day_words(ready)}.", True
        )
    else:
        start = None
    if start is not None:
        text = "The sheet of the plan says what. Ask an electrician about the residual-current device now."
        yield Entry("buy", start - BUY, start - BUY, "Buy or look out all parts of the incubator", text)
        text = "Take your time. Work through the first pause of the sheet before the power goes on."
        yield Entry("build", start - BUILD, start - BUILD, "Build the incubator", text)
    if ready is not None:
        text = (
            f"Eggs may come from {day_words(ready + DAY)} on. The box holds its temperature. The egg boxes stand "
            "ready with their medium. The lay box is in its place."
        )
        yield Entry("ready", ready, ready, "Everything must stand ready today", text, True)
    for clutch in clutches:
        day = plan.clutches[clutch.index].lay_box.ready_on
        if day is not None and not plan.clutches[clutch.index].nth:
            text = (
                "Put damp moss or medium in it. Feel it each day and wet it when it is dry. Leave the female in "
                "peace. Ask a reptile veterinarian at once when she strains, is weak or is overdue."
            )
            yield Entry(f"{clutch.key} lay box", day, day, f"{clutch.name}: lay box in its place", text, True)


def _of_clutch(assessment: Assessment, clutch: _Clutch) -> Iterator[Entry]:
    if clutch.window is None:
        return
    forecast = assessment.situation.forecast.clutches[clutch.index]
    first, last = clutch.window
    if clutch.known:
        text = "All days of this calendar count from this day."
        yield Entry(f"{clutch.key} laying", first, last, f"{clutch.name}: day of laying", text)
    else:
        looked_for = assessment.situation.plan.clutches[clutch.index].looked_for
        often = f"every {assessment.situation.show.hours(looked_for)}" if looked_for else "every day"
        text = (
            f"Look for eggs {often}. When they are there, write the day of laying into the plan. Then write this "
            "calendar again and import it again: every entry moves to its right day."
        )
        heading = f"{clutch.name}: eggs likely {window_words(clutch.window)}"
        yield Entry(f"{clutch.key} laying", first, last, heading, text)
        if not assessment.situation.plan.clutches[clutch.index].nth:  # how often she lays nobody can tell
            text = "Ask a reptile veterinarian, and sooner when she strains or is weak. Handle her as little as you can."
            heading = f"{clutch.name}: overdue if there are no eggs by tonight"
            yield Entry(f"{clutch.key} overdue", last, last, heading, text)
    if forecast.hatch_window is not None:
        first, last = forecast.hatch_window
        text = (
            "Have homes and food for the young ready. Look two to four times a day once the first slit shows. Do "
            "not pull a young out and do not cut its egg. No egg is late before the last of these days."
        )
        heading = f"{clutch.name}: hatching likely {window_words(forecast.hatch_window)}"
        yield Entry(f"{clutch.key} hatching", first, last, heading, text, True)
        text = "If eggs are left, leave them where they are and ask a reptile veterinarian. Cut none open."
        yield Entry(f"{clutch.key} last day", last, last, f"{clutch.name}: last likely day of hatching", text)


class _Check(Struct, frozen=True):
    """One check of one clutch: its key, what it is called, what to know about it."""

    key: str
    heading: str
    text: str


def _checks(assessment: Assessment, clutches: tuple[_Clutch, ...]) -> Iterator[Entry]:
    """The checks, those of several clutches on one day as one entry."""
    by_day: dict[datetime.date, list[_Check]] = {}
    for clutch in clutches:
        for day, check in _checks_of(assessment, clutch):
            by_day.setdefault(day, []).append(check)
    how = _how(assessment)
    for day, checks in by_day.items():
        texts = dict.fromkeys(check.text for check in checks if check.text)
        yield Entry(
            " + ".join(check.key for check in checks),
            day,
            day,
            "; ".join(check.heading for check in checks[:MOST_NAMED])
            + (f"; {len(checks) - MOST_NAMED} more" if len(checks) > MOST_NAMED else ""),
            " ".join([how, *texts]),
        )


def _how(assessment: Assessment) -> str:
    plan = assessment.situation.plan
    how = "Lift only the outer lid and close it soon. " if plan.checks.opens == "outer lid" else ""
    drops = "drops under the lids, " if plan.has_lids else ""
    return f"{how}Look for {drops}dents, mould and dry medium. Write down the temperatures."


def _checks_of(assessment: Assessment, clutch: _Clutch) -> Iterator[tuple[datetime.date, _Check]]:
    situation = assessment.situation
    if clutch.window is None:
        return
    forecast = situation.forecast.clutches[clutch.index]
    about = "" if clutch.known else "about "
    readings = {
        reading.day: _weigh(box.name, reading, situation.show)
        for index, box in enumerate(situation.plan.egg_boxes)
        if box.name == situation.plan.clutches[clutch.index].box
        for reading in scale_readings(situation.plan, situation.forecast, index)
    }
    for number, day in enumerate(forecast.check_days, start=1):
        heading = f"{clutch.name}: check {number} of {len(forecast.check_days)}, {about}day {day}"
        text = f"{readings.get(day, '')} {clutch.doubt()}".strip()
        yield clutch.day(day), _Check(f"{clutch.key} check {number}", heading, text)
    last = forecast.hatch_window[1] if forecast.hatch_window else None
    for number, day in enumerate(forecast.late_check_days, start=1):
        heading = f"{clutch.name}: check if not yet hatched, {about}day {day}"
        text = f"Add what the boxes have lost since the last check. {clutch.doubt()}".strip()
        if last is None or clutch.day(day) <= last:
            yield clutch.day(day), _Check(f"{clutch.key} late check {number}", heading, text)


def _monthly_tests(entries: list[Entry]) -> Iterator[Entry]:
    """A test of what guards people and eggs, each month from the trial run to the last day."""
    start = next((entry.first for entry in entries if entry.key == "trial run"), None)
    last = max((entry.end for entry in entries), default=None)
    if start is None or last is None:
        return
    text = "Press the test buttons. The power must go off, both alarms must sound. Then see that the box heats again."
    for number in range(1, (last - start) // MONTH + 1):
        day = start + number * MONTH
        heading = "Test smoke alarm, temperature alarm and residual-current device"
        yield Entry(f"test {number}", day, day, heading, text)


def _weigh(name: str, reading: ScaleReading, show: Show) -> str:
    """What medium, water and eggs of one box weigh on a day without a top-up."""
    if reading.added is not None:
        return "Add water today: see the entry for the top-up."
    weigh = about_scale(reading.mass, show).replace("(", "(likely ")
    return f"Medium, water and eggs in one box '{one_line(name)}' weigh {weigh}, without the empty box."


def _top_ups(assessment: Assessment, clutches: tuple[_Clutch, ...]) -> Iterator[Entry]:
    situation = assessment.situation
    plan, show = situation.plan, situation.show
    for index, box in enumerate(plan.egg_boxes):
        clutch, name = _first_in(plan, box.name, clutches), one_line(box.name)
        if clutch is None or clutch.window is None:
            continue
        each = f"each box '{name}'" if (box.count or 1) > 1 else f"box '{name}'"
        about = "" if clutch.known else "about "
        readings = [one for one in scale_readings(plan, situation.forecast, index) if one.added]
        for number, reading in enumerate(readings, start=1):
            assert reading.added is not None and reading.after is not None
            before = about_scale(reading.mass, show).replace("(", "(likely ")
            text = (
                f"This is {about}day {reading.day}. Weigh first: the scale has the last word. Pour the water in at "
                f"the edge, at the temperature of the box, never onto the eggs. Medium, water and eggs in one box "
                f"'{name}' weigh {before} before, {scale_text(reading.after.value, show)} after, without the empty "
                f"box. {clutch.doubt()}"
            )
            yield Entry(
                f"box {box.name} top-up {number}",
                clutch.day(reading.day),
                clutch.day(reading.day),
                f"{clutch.name}: add about {scale_text(reading.added, show)} of water to {each}",
                text.strip(),
                True,
            )


def _first_in(plan: Plan, box: str, clutches: tuple[_Clutch, ...]) -> _Clutch | None:
    return next((clutch for clutch in clutches if plan.clutches[clutch.index].box == box), None)


def _without_date(assessment: Assessment, clutch: _Clutch) -> Iterator[LeftOut]:
    situation = assessment.situation
    forecast, planned = (situation.forecast.clutches[clutch.index], situation.plan.clutches[clutch.index])
    path = f"clutches[{planned.entry}]"
    if clutch.window is None:
        yield LeftOut(
            f"laying, checks and hatching of {clutch.name}",
            "add `laying: {expected: 2027-05-09 to 2027-05-16}` with your own dates",
            f"{path}.laying",
        )
        return
    if planned.lay_box.ready_on is None and planned.lay_box.planned and planned.laid_on is None:
        yield LeftOut(
            f"the lay box of {clutch.name}",
            "add `lay_box: {ready_on: 2027-04-25}` with your own date",
            f"{path}.lay_box.ready_on",
        )
    if isinstance(forecast.incubation_days, Unknown):
        unknown = forecast.incubation_days
        yield LeftOut(
            f"checks and hatching of {clutch.name}", unknown.reason, next(iter(unknown.needs), path)
        )
    elif situation.plan.checks.rhythm is None:
        words = "add `checks: {rhythm: thirds}`, or steps of your own: one rhythm of several (common practice, no source)"
        yield LeftOut(f"the checks of {clutch.name}", words, "checks.rhythm")


def _top_ups_left_out(assessment: Assessment, clutches: tuple[_Clutch, ...]) -> Iterator[LeftOut]:
    situation = assessment.situation
    for box, forecast in zip(situation.plan.egg_boxes, situation.forecast.egg_boxes, strict=True):
        clutch, reason = _first_in(situation.plan, box.name, clutches), forecast.water.water_loss
        if clutch is not None and isinstance(reason, Unknown):
            # What a profile does not know is no entry that the keeper can add to the plan.
            entries = [need for need in reason.needs if not need.startswith("species/")]
            add = reason.reason + (f"; add {', '.join(entries)}" if entries else "")
            yield LeftOut(f"top-ups of box '{one_line(box.name)}'", add, next(iter(reason.needs), ""))
