"""A season's entries as one iCalendar file (RFC 5545); the only module that imports `icalendar`."""

import datetime
import json
import uuid
from pathlib import Path
from typing import Any

from advisor import __version__
from advisor.assess import Assessment
from advisor.papers.calendar.entries import season_of
from advisor.papers.calendar.entry import Entry, Season
from advisor.reading.problems import InputError

# From midnight of the first day: at 7 in the morning of the day itself, or, where something has to be got ready, at 9
# in the morning of the day before; judgement.
ALARM, ALARM_BEFORE = datetime.timedelta(hours=7), datetime.timedelta(hours=-15)
COUNTED_FROM = datetime.date(2020, 1, 1)  # day 0 of SEQUENCE: a later writing always has a higher number
NAMESPACE = uuid.uuid5(uuid.NAMESPACE_URL, "clutch-advisor:calendar")


def calendar_season(assessment: Assessment) -> Season:
    """The entries of a judged plan; raises `InputError` that names the entry to add when the plan has no dates."""
    season = season_of(assessment)
    if season.entries:
        return season
    raise InputError(
        [
            assessment.document.problem(
                ("clutches", 0, "laying"),
                "the plan has no dates yet, so there is nothing to put into a calendar",
                "Add the entry clutches[0].laying: under the first clutch write `laying: {expected: 2027-05-09 to "
                "2027-05-16}` with your own dates.",
            )
        ]
    )


def calendar_bytes(
    season: Season, plan_file: str, written_on: datetime.date, old: bytes | None = None
) -> tuple[bytes, int]:
    """The file's bytes, and how many entries of the file before it (`old`) are marked as cancelled in it.

    The same entries, plan file name, date and old file give the same bytes. An entry keeps its UID from one writing
    to the next, as long as title and file name of the plan stay, so that a second import replaces it (RFC 5545,
    3.8.4.7). Entries of an old file of the same plan that have gone since are written as cancelled (3.8.1.11).
    """
    from icalendar import Calendar, vText

    name = Path(plan_file).name
    calendar = Calendar()
    calendar.add("prodid", f"-//clutch-advisor//clutch-advisor {__version__}//EN")
    calendar.add("version", "2.0")
    calendar.add(
        "uid", _uid(season.title, name)
    )  # tells the calendar of this plan from others (RFC 7986, 5.3)
    calendar.add("calscale", "GREGORIAN")
    calendar.add("x-wr-calname", vText(season.title))  # escaped as text, which a bare string is not
    before = {str(event["uid"]): event for event in _events_of(old, _uid(season.title, name))}
    for entry in season.entries:
        uid = _uid(season.title, name, entry.key)
        last = before.pop(uid, None)
        # An entry that comes back after it was cancelled needs a higher number than its end had.
        least = _sequence(last) + _is_cancelled(last) if last is not None else 0
        calendar.add_component(_event(entry, season, uid, written_on, least))
    for gone in before.values():
        calendar.add_component(gone if _is_cancelled(gone) else _cancelled(gone, written_on))
    return bytes(calendar.to_ical()), len(before)


def _uid(*parts: str) -> str:
    return str(uuid.uuid5(NAMESPACE, json.dumps(parts)))


def _events_of(old: bytes | None, plan: str) -> list[Any]:
    """The entries of a file that was written for the same plan; none of any other file."""
    from icalendar import Calendar

    try:
        calendar = Calendar.from_ical(old or b"")
        if str(calendar.get("uid")) != plan:
            return []
        events = [event for event in calendar.walk("VEVENT") if "uid" in event]
        # Whoever changed the file by hand may have left out what a cancelled entry needs.
        return [event for event in events if _sequence(event) >= 0 and event.decoded("dtstart")]
    except (ValueError, KeyError, IndexError, TypeError, AttributeError):
        return []


def _sequence(event: Any) -> int:
    return int(event.get("sequence", 0))


def _is_cancelled(event: Any) -> bool:
    return str(event.get("status")) == "CANCELLED"


def _stamp(written_on: datetime.date) -> datetime.datetime:
    return datetime.datetime.combine(written_on, datetime.time(), datetime.UTC)


def _cancelled(event: Any, written_on: datetime.date) -> Any:
    """An entry that has gone from the plan: without alarm, and said in its heading too, for readers that skip its status."""
    from icalendar import Event

    gone = Event()
    gone.add("uid", str(event["uid"]))
    gone.add("dtstamp", _stamp(written_on))
    gone.add("sequence", max((written_on - COUNTED_FROM).days, _sequence(event) + 1))
    gone.add("status", "CANCELLED")
    for name in ("dtstart", "dtend"):
        if name in event:
            gone[name] = event[name]
    gone.add("summary", f"Cancelled: {event.get('summary', '')}")
    gone.add("description", "This entry is no longer in the plan. Delete it.")
    gone.add("transp", "TRANSPARENT")
    return gone


def _event(entry: Entry, season: Season, uid: str, written_on: datetime.date, least: int) -> Any:
    from icalendar import Alarm, Event

    event = Event()
    event.add("uid", uid)
    event.add("dtstamp", _stamp(written_on))
    event.add("sequence", max((written_on - COUNTED_FROM).days, least))
    event.add("dtstart", entry.first)
    event.add("dtend", entry.last + datetime.timedelta(days=1))  # the day after the last, 3.6.1
    if entry.times > 1:
        event.add("rrule", {"freq": "daily", "interval": entry.every, "count": entry.times})
    event.add("summary", entry.heading)
    event.add("description", f"{entry.text}\n\nPlan: {season.title}")
    event.add("transp", "TRANSPARENT")  # the keeper stays free for other things
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", entry.heading)
    alarm.add("trigger", ALARM_BEFORE if entry.prepare else ALARM)
    event.add_component(alarm)
    return event
