"""A season's entries as one iCalendar file (RFC 5545); the only module that imports `icalendar`."""

import datetime
import json
import uuid
from pathlib import Path
from typing import Any

from advisor import __version__
from advisor.assess import Assessment
from advisor.reading.problems import InputError
from advisor.writing.calendar_entries import Entry, Season, season_of

# Before midnight of the first day: the alarm rings at 9 in the morning of the day before, with a day left to act.
ALARM = datetime.timedelta(hours=-15)  # judgement
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


def calendar_bytes(season: Season, plan_file: str, written_on: datetime.date) -> bytes:
    """The file's bytes.

    The same entries, plan file name and date give the same bytes. An entry keeps its UID from one writing to the
    next, as long as title and file name of the plan stay, so that a second import replaces it (RFC 5545, 3.8.4.7).
    """
    from icalendar import Calendar, vText

    calendar = Calendar()
    calendar.add("prodid", f"-//clutch-advisor//clutch-advisor {__version__}//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("x-wr-calname", vText(season.title))  # escaped as text, which a bare string is not
    for entry in season.entries:
        calendar.add_component(_event(entry, season, Path(plan_file).name, written_on))
    return bytes(calendar.to_ical())


def _event(entry: Entry, season: Season, file_name: str, written_on: datetime.date) -> Any:
    from icalendar import Alarm, Event

    event = Event()
    key = json.dumps([season.title, file_name, entry.key])
    event.add("uid", str(uuid.uuid5(NAMESPACE, key)))
    event.add("dtstamp", datetime.datetime.combine(written_on, datetime.time(), datetime.UTC))
    event.add("sequence", max((written_on - COUNTED_FROM).days, 0))
    event.add("dtstart", entry.first)
    event.add("dtend", entry.last + datetime.timedelta(days=1))  # the day after the last, 3.6.1
    event.add("summary", entry.heading)
    event.add("description", f"{entry.text}\n\nPlan: {season.title}")
    event.add("transp", "TRANSPARENT")  # the keeper stays free for other things
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", entry.heading)
    alarm.add("trigger", ALARM)
    event.add_component(alarm)
    return event
