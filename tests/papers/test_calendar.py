"""The calendar of a plan: the standard, the days, what is uncertain, what has no date."""

import datetime
import json
import re
from pathlib import Path

import pytest
import vobject

from advisor.assess import assess
from advisor.papers.calendar.entries import season_of
from advisor.wording import window_words
from tests.papers.calendars import FIRST, changed, day, parsed, run, written
from tests.papers.test_reading_level import HIGHEST, grade
from tests.support import ROOT
from tests.test_cli import HOSTILE

EXAMPLES = [
    path
    for path in sorted((ROOT / "examples").glob("*.yaml"))
    if "laying:" in path.read_text("utf-8")  # the others have no dates
]


@pytest.mark.parametrize("plan", EXAMPLES, ids=lambda path: path.stem)
def test_every_entry_follows_the_standard(plan: Path, tmp_path: Path) -> None:
    calendar = parsed(written(plan, tmp_path))
    assert calendar.name == "VCALENDAR"
    assert calendar.text("VERSION") == "2.0" and calendar.text("PRODID")  # both required, section 3.6
    assert calendar.inside and {event.name for event in calendar.inside} == {"VEVENT"}
    for event in calendar.inside:
        assert {"UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "SEQUENCE"} <= set(event.properties)
        for name in ("DTSTART", "DTEND"):
            assert event.properties[name][0] == {"VALUE": "DATE"}  # all day, 3.3.4
        assert day(event.text("DTEND")) > day(event.text("DTSTART"))  # the end is not part of it, 3.8.2.2
        assert event.text("DTSTAMP") == "20270401T000000Z"  # in UTC, 3.8.7.2
        assert int(event.text("SEQUENCE")) >= 0
    uids = [event.text("UID") for event in calendar.inside]
    assert len(uids) == len(set(uids))


@pytest.mark.parametrize("plan", EXAMPLES, ids=lambda path: path.stem)
def test_every_entry_rings_on_its_morning_or_the_day_before_where_something_is_prepared(
    plan: Path, tmp_path: Path
) -> None:
    to_prepare = re.compile(r"trial run|stand ready|lay box in|hatching likely|add about")
    for event in parsed(written(plan, tmp_path)).inside:
        (alarm,) = event.inside
        assert alarm.name == "VALARM" and alarm.text("ACTION") == "DISPLAY"  # with DESCRIPTION, 3.6.6
        assert alarm.text("DESCRIPTION")
        # Counted from midnight of the first day, 3.8.6.3: 07:00 on the day, 09:00 on the day before.
        before = to_prepare.search(event.text("SUMMARY").lower()) is not None
        assert alarm.text("TRIGGER") == ("-PT15H" if before else "PT7H"), event.text("SUMMARY")


def test_what_guards_people_and_eggs_is_tested_each_month(tmp_path: Path) -> None:
    """From the trial run on 20 April to the last day, 30 July: 20 May, 19 June and 19 July are 30 days apart."""
    events = parsed(written(FIRST, tmp_path)).inside
    tests = [event.text("DTSTART") for event in events if event.text("SUMMARY").startswith("Test smoke")]
    assert tests == ["20270520", "20270619", "20270719"]


def test_days_to_buy_and_build_a_vet_and_a_last_day_are_in_it(tmp_path: Path) -> None:
    events = {event.text("SUMMARY"): event for event in parsed(written(FIRST, tmp_path)).inside}
    assert events["Build the incubator"].text("DTSTART") < "20270420"  # the trial run
    assert events["Buy or look out all parts of the incubator"].text("DTSTART") < "20270401"
    assert events["Corn snake: overdue if there are no eggs by tonight"].text("DTSTART") == "20270516"
    assert events["Corn snake: last likely day of hatching"].text("DTSTART") == "20270730"
    last_check = max(event.text("DTSTART") for name, event in events.items() if "check" in name)
    assert last_check == "20270730"


@pytest.mark.parametrize("plan", EXAMPLES, ids=lambda path: path.stem)
def test_no_text_names_an_entry_of_the_plan(plan: Path, tmp_path: Path) -> None:
    for event in parsed(written(plan, tmp_path)).inside:
        assert not re.search(r"\w\[\d+\]|[a-z]_[a-z]|`", event.text("SUMMARY") + event.text("DESCRIPTION"))


@pytest.mark.parametrize("plan", EXAMPLES, ids=lambda path: path.stem)
def test_every_entry_of_a_plan_that_is_not_fit_is_marked(plan: Path, tmp_path: Path) -> None:
    verdict = assess(plan).report.verdict
    mark = {"stop": "STOP: ", "fix": "FIX FIRST: "}.get(verdict)
    for event in parsed(written(plan, tmp_path)).inside:
        assert event.text("SUMMARY").startswith(("STOP", "FIX") if mark is None else mark) == (
            mark is not None
        )


def test_checks_of_several_clutches_on_one_day_are_one_entry(tmp_path: Path) -> None:
    text = FIRST.read_text("utf-8")
    clutch = text[text.index("  - species:") : text.index("checks:")]
    plan = tmp_path / "plan.yaml"
    plan.write_text(text.replace(clutch, clutch + clutch), "utf-8")
    checks = [event for event in parsed(written(plan, tmp_path)).inside if "check" in event.text("SUMMARY")]
    days = [event.text("DTSTART") for event in checks]
    assert len(days) == len(set(days)) > 13
    assert all("snake 1" in event.text("SUMMARY") and "snake 2" in event.text("SUMMARY") for event in checks)


@pytest.mark.parametrize("plan", EXAMPLES, ids=lambda path: path.stem)
def test_vobject_reads_the_same_entries(plan: Path, tmp_path: Path) -> None:
    data = written(plan, tmp_path)
    theirs = vobject.readOne(data.decode("utf-8"))
    ours = parsed(data)
    assert [
        (event.uid.value, event.summary.value, event.dtstart.value, event.dtend.value)
        for event in theirs.vevent_list
    ] == [
        (event.text("UID"), event.text("SUMMARY"), day(event.text("DTSTART")), day(event.text("DTEND")))
        for event in ours.inside
    ]
    assert [event.description.value for event in theirs.vevent_list] == [
        event.text("DESCRIPTION") for event in ours.inside
    ]


def test_the_entries_are_those_of_the_plan(tmp_path: Path) -> None:
    """Dates of examples/first-season.yaml, worked by hand from the plan: shed on 2 May, 7 to 14 days to laying."""
    events = {event.text("SUMMARY"): event for event in parsed(written(FIRST, tmp_path)).inside}

    def days(heading: str) -> tuple[str, str]:
        (event,) = [event for name, event in events.items() if heading in name]
        return event.text("DTSTART"), event.text("DTEND")

    assert days("Trial run") == ("20270420", "20270427")  # 7 days from 20 April
    assert days("lay box") == ("20270425", "20270426")
    assert days("must stand ready") == ("20270508", "20270509")  # the day before the first likely laying day
    assert days("eggs likely 9 to 16 May 2027") == ("20270509", "20270517")
    assert days("check 1 of") == ("20270519", "20270520")  # day 7, from 12 May, the middle
    forecast = assess(FIRST).situation.forecast
    window = forecast.clutches[0].hatch_window
    assert window is not None
    assert days(f"hatching likely {window_words(window)}")[0] == f"{window[0]:%Y%m%d}"
    (grams,) = [top_up.water * 1000 for top_up in forecast.egg_boxes[0].water.top_ups]
    (heading,) = [name for name in events if "add about" in name]
    told = re.search(r"add about (\d+) g of water to each box 'eggs'", heading)
    assert told and float(told[1]) == pytest.approx(grams, abs=0.5)  # as on the sheet


def test_a_top_up_tells_what_the_scale_reads_before_and_after(tmp_path: Path) -> None:
    forecast = assess(FIRST).situation.forecast.egg_boxes[0]
    (top_up,) = forecast.water.top_ups
    after = 1000 * dict(forecast.water.mass_by_day)[top_up.day].value
    (event,) = [
        event for event in parsed(written(FIRST, tmp_path)).inside if "add about" in event.text("SUMMARY")
    ]
    told = re.search(
        r"weigh about (\d+) g \(likely (\d+) to (\d+)\) before, (\d+) g after", event.text("DESCRIPTION")
    )
    assert told is not None
    before, low, high, then = map(int, told.groups())
    assert then == round(after) and before == round(after - 1000 * top_up.water)
    assert low < before < high < then + 100


def test_an_uncertain_laying_day_is_worded_as_such(tmp_path: Path) -> None:
    events = parsed(written(FIRST, tmp_path)).inside
    checks = [event for event in events if "check" in event.text("SUMMARY")]
    assert len(checks) > 5
    for event in checks:
        assert "about day" in event.text("SUMMARY")
        assert "4 days early or late" in event.text("DESCRIPTION")  # 12 May against 9 and 16 May


def test_a_known_laying_day_is_counted_from(tmp_path: Path) -> None:
    plan = changed(tmp_path, "laying: {shed_on: 2027-05-02}", "laying: {laid_on: 2027-05-11}")
    events = parsed(written(plan, tmp_path)).inside
    headings = [event.text("SUMMARY") for event in events]
    assert "Corn snake: day of laying" in headings
    (check,) = [event for event in events if event.text("SUMMARY").endswith(", day 7")]
    assert check.text("DTSTART") == "20270518"
    assert not any("about day" in heading for heading in headings)
    assert not any("early or late" in event.text("DESCRIPTION") for event in events)


@pytest.mark.parametrize(
    "text", [*HOSTILE, "a, b; c\\d\nnext line", "BEGIN:VEVENT\r\nSUMMARY:false", "ü" * 300]
)
def test_hostile_text_stays_text(text: str, tmp_path: Path) -> None:
    quoted = json.dumps(text, ensure_ascii=False)
    plan = changed(tmp_path, "title: Spare-room box, first season", f"title: {quoted}")
    name = json.dumps(text[:70], ensure_ascii=False)
    plan.write_text(
        plan.read_text("utf-8").replace("name: eggs", f"name: {name}").replace("box: eggs", f"box: {name}"),
        "utf-8",
    )
    data = written(plan, tmp_path)
    calendar = parsed(data)
    assert len(calendar.inside) == len(season_of(assess(plan)).entries)
    for event in calendar.inside:
        shown = event.text("SUMMARY") + event.text("DESCRIPTION")
        assert all(character.isprintable() or character == "\n" for character in shown)
        assert len(event.text("SUMMARY")) < 160
    assert vobject.readOne(data.decode("utf-8"))


def test_a_plan_without_dates_names_the_entry_to_add(tmp_path: Path) -> None:
    target = tmp_path / "season.ics"
    result = run("calendar", ROOT / "examples" / "nearly-empty.yaml", "-o", target)
    assert result.exit_code == 2 and result.stdout == ""
    assert "no dates yet" in result.stderr and "clutches[0].laying" in result.stderr
    assert len(result.stderr.splitlines()) == 2  # the fault and its hint
    assert list(tmp_path.iterdir()) == []


def test_a_keeper_is_not_asked_for_what_only_a_profile_can_tell(tmp_path: Path) -> None:
    result = run("calendar", ROOT / "examples" / "two-species.yaml", "-o", tmp_path / "season.ics")
    top_ups = [line for line in result.stderr.splitlines() if "top-ups" in line]
    assert top_ups and not any("; add" in line for line in top_ups)


def test_what_has_no_date_is_named(tmp_path: Path) -> None:
    plan = changed(tmp_path, "    laying: {shed_on: 2027-05-02}\n", "")
    result = run("calendar", plan, "-o", tmp_path / "season.ics", "--date", "2027-04-01")
    assert result.exit_code == 0
    assert "Not in it" in result.stderr and "clutches[0].laying" in result.stderr
    headings = [event.text("SUMMARY") for event in parsed((tmp_path / "season.ics").read_bytes()).inside]
    assert headings == [
        "Buy or look out all parts of the incubator",
        "Build the incubator",
        "Trial run of the incubator",
        "Corn snake: lay box in its place",
    ]


def test_without_a_trial_run_the_last_day_to_start_it_is_shown(tmp_path: Path) -> None:
    plan = changed(tmp_path, "trial_run: {from: 2027-04-20, days: 7}\n", "")
    (start,) = [
        event for event in parsed(written(plan, tmp_path)).inside if "the trial run" in event.text("SUMMARY")
    ]
    # Seven days, the last of them the day before the first likely laying day, 9 May.
    assert start.text("DTSTART") == "20270502"


def test_the_texts_read_at_grade_8_or_below() -> None:
    for plan in EXAMPLES:
        entries = season_of(assess(plan)).entries
        assert grade(sorted({entry.text for entry in entries})) <= HIGHEST


STEPS = "programme: {steps: [{from_day: 0, set_to: 28 °C}, {from_day: 30, set_to: 29 °C}]}"


def test_the_steps_of_a_programme_stand_on_their_days(tmp_path: Path) -> None:
    # Laying 9 to 16 May 2027: its middle is 12 May, and 30 days later it is 11 June.
    calendar = parsed(written(changed(tmp_path, "set_to: 28 °C", STEPS), tmp_path))
    (turn,) = (event for event in calendar.inside if event.text("SUMMARY").startswith("Turn the thermostat"))
    assert turn.text("SUMMARY") == "Turn the thermostat to 29 °C"
    assert day(turn.text("DTSTART")) == datetime.date(2027, 6, 11)
    assert "4 days early or late" in turn.text("DESCRIPTION")


def test_a_step_on_a_date_is_certain_and_one_after_hatching_is_left_away(tmp_path: Path) -> None:
    steps = (
        "[{from_day: 0, set_to: 28 °C}, {from: 2027-06-30, set_to: 29 °C}, {from: 2027-12-01, set_to: 27 °C}]"
    )
    calendar = parsed(written(changed(tmp_path, "set_to: 28 °C", f"programme: {{steps: {steps}}}"), tmp_path))
    turns = [event for event in calendar.inside if event.text("SUMMARY").startswith("Turn the thermostat")]
    assert [day(turn.text("DTSTART")) for turn in turns] == [datetime.date(2027, 6, 30)]
    assert "early or late" not in turns[0].text("DESCRIPTION")
