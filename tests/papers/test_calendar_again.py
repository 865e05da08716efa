"""The calendar written again: entries that move, go and come back; an old file that is no calendar of the plan."""

from pathlib import Path

import pytest
import vobject

from tests.papers.calendars import FIRST, Component, changed, parsed, run, written
from tests.support import ROOT


def test_an_entry_keeps_its_uid_when_its_day_moves(tmp_path: Path) -> None:
    """So that a second import replaces the first, with a higher SEQUENCE and a later DTSTAMP (3.8.7.4, 3.8.7.2)."""
    before = parsed(written(changed(tmp_path, "shed_on: 2027-05-02", "shed_on: 2027-05-02"), tmp_path))
    plan = changed(tmp_path, "laying: {shed_on: 2027-05-02}", "laying: {laid_on: 2027-05-11}")
    after = parsed(written(plan, tmp_path, "--date", "2027-05-11"))

    def by_uid(calendar: Component, word: str) -> dict[str, Component]:
        return {event.text("UID"): event for event in calendar.inside if word in event.text("SUMMARY")}

    for word in ("check", "hatching", "add about"):
        first, second = by_uid(before, word), by_uid(after, word)
        assert first and set(first) == set(second)
        for uid, event in second.items():
            assert int(event.text("SEQUENCE")) > int(first[uid].text("SEQUENCE"))
            assert event.text("DTSTAMP") > first[uid].text("DTSTAMP")


def by_uid(data: bytes) -> dict[str, Component]:
    return {event.text("UID"): event for event in parsed(data).inside}


def shortened(folder: Path) -> Path:
    """The first plan without its lay box and its trial run, under the same title and file name."""
    plan = changed(folder, "trial_run: {from: 2027-04-20, days: 7}\n", "")
    text = plan.read_text("utf-8")
    assert "    lay_box: {ready_on: 2027-04-25}\n" in text
    plan.write_text(text.replace("    lay_box: {ready_on: 2027-04-25}\n", ""), "utf-8")
    return plan


def test_an_entry_that_has_gone_is_written_as_cancelled(tmp_path: Path) -> None:
    """STATUS and a higher SEQUENCE: RFC 5545 sections 3.8.1.11 and 3.8.7.4, RFC 5546 section 3.2.5."""
    before = by_uid(written(FIRST, tmp_path))
    after_bytes = written(shortened(tmp_path), tmp_path, "--date", "2027-04-03")
    after = by_uid(after_bytes)
    assert set(before) == set(after)
    gone = {uid: event for uid, event in after.items() if "STATUS" in event.properties}
    # Without a day of the trial run the monthly tests start later, so one of them goes as well.
    assert [event.text("SUMMARY") for event in gone.values()] == [
        "Cancelled: Corn snake: lay box in its place",
        "Cancelled: Test smoke alarm, temperature alarm and residual-current device",
    ]
    for uid, event in gone.items():
        assert event.text("STATUS") == "CANCELLED" and event.inside == []
        assert int(event.text("SEQUENCE")) > int(before[uid].text("SEQUENCE"))
        assert event.text("DTSTAMP") > before[uid].text("DTSTAMP")
        assert [event.text(name) for name in ("DTSTART", "DTEND")] == [
            before[uid].text(name) for name in ("DTSTART", "DTEND")
        ]
    assert vobject.readOne(after_bytes.decode("utf-8"))


def test_a_cancelled_entry_stays_and_can_come_back(tmp_path: Path) -> None:
    written(FIRST, tmp_path)
    short = shortened(tmp_path)
    once = written(short, tmp_path)
    assert written(short, tmp_path) == once  # the same plan, date and old file: the same bytes
    uid = next(uid for uid, event in by_uid(once).items() if "STATUS" in event.properties)
    back = by_uid(written(FIRST, tmp_path))[uid]
    assert "STATUS" not in back.properties
    assert int(back.text("SEQUENCE")) > int(by_uid(once)[uid].text("SEQUENCE"))


def test_what_was_cancelled_is_counted_on_the_screen(tmp_path: Path) -> None:
    written(FIRST, tmp_path)
    result = run("calendar", shortened(tmp_path), "-o", tmp_path / "season.ics", "--force")
    assert "Marked as cancelled, since they have gone from the plan: 2." in result.stdout


@pytest.mark.parametrize(
    "old",
    [
        b"",
        b"mine",
        b"\xff\xfe\x00",
        b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n",
        b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nUID:a\r\nEND:VCALENDAR\r\n",
        b"BEGIN:VEVENT\r\n" * 3000,
    ],
)
def test_a_file_that_is_no_calendar_of_this_plan_leaves_no_trace(old: bytes, tmp_path: Path) -> None:
    clean = written(FIRST, tmp_path)
    (tmp_path / "season.ics").write_bytes(old)
    assert written(FIRST, tmp_path) == clean


def test_entries_spoilt_by_hand_leave_no_trace(tmp_path: Path) -> None:
    clean = written(FIRST, tmp_path)
    for name, spoilt in ((b"SEQUENCE:", b"SEQUENCE:x"), (b"DTSTART;VALUE=DATE:", b"DTSTART;VALUE=DATE:x")):
        (tmp_path / "season.ics").write_bytes(clean.replace(name, spoilt))
        assert written(FIRST, tmp_path) == clean


def test_the_calendar_of_another_plan_is_replaced_and_not_cancelled(tmp_path: Path) -> None:
    alone = written(ROOT / "examples" / "late-start.yaml", tmp_path)
    (tmp_path / "season.ics").unlink()
    written(FIRST, tmp_path)
    assert written(ROOT / "examples" / "late-start.yaml", tmp_path) == alone


def test_two_plans_share_no_uid(tmp_path: Path) -> None:
    first = parsed(written(FIRST, tmp_path))
    other = parsed(written(ROOT / "examples" / "late-start.yaml", tmp_path))
    assert not {event.text("UID") for event in first.inside} & {event.text("UID") for event in other.inside}


def test_two_clutches_of_one_species_are_told_apart(tmp_path: Path) -> None:
    text = FIRST.read_text("utf-8")
    clutch = text[text.index("  - species:") : text.index("checks:")]
    plan = tmp_path / "plan.yaml"
    plan.write_text(text.replace(clutch, clutch + clutch.replace("2027-05-02", "2027-06-02")), "utf-8")
    events = parsed(written(plan, tmp_path)).inside
    assert len({event.text("UID") for event in events}) == len(events)
    assert any("snake 1" in event.text("SUMMARY") for event in events)
    assert any("snake 2" in event.text("SUMMARY") for event in events)


def test_the_same_plan_and_date_give_the_same_bytes(tmp_path: Path) -> None:
    assert written(FIRST, tmp_path) == written(FIRST, tmp_path)
    assert written(FIRST, tmp_path) != written(FIRST, tmp_path, "--date", "2027-04-02")


def test_files_are_kept_and_the_ending_is_asked_for(tmp_path: Path) -> None:
    target = tmp_path / "season.ics"
    target.write_text("mine")
    assert run("calendar", FIRST, "-o", target).exit_code == 2
    assert target.read_text() == "mine"
    assert run("calendar", FIRST, "-o", target, "--force").exit_code == 0
    assert run("calendar", FIRST, "-o", tmp_path / "season.txt").exit_code == 2
    assert run("calendar", FIRST, "-o", tmp_path / "none" / "season.ics").exit_code == 2
    assert [path.name for path in tmp_path.iterdir()] == ["season.ics"]
