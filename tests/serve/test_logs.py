"""Logs through the page: sensors named, the report that the commands print, what was measured taken into the plan."""

import io
import tempfile
from pathlib import Path
from typing import Any

import pytest
from werkzeug.test import TestResponse

from advisor.advice.plan_text import edited
from advisor.assess import assess
from advisor.assess_log import assess_follow, assess_trial
from advisor.model.changes import Setting
from advisor.reading.logs.columns import Asked
from advisor.report.follow import follow_lines
from advisor.report.trial import trial_lines
from advisor.serve import security
from advisor.serve.house import page_words
from tests.serve.pages import HOST, Site, site, tree, words
from tests.support import ROOT

PLAN = "first-season.yaml"
LOGS = ROOT / "examples" / "logs"
PLACES = {"T1": "egg box medium", "T2": "room", "Heater": "heater on"}
FIELDS = {f"at:{name}": place for name, place in PLACES.items()}


@pytest.fixture
def page(tmp_path: Path) -> Site:
    (tmp_path / "plans").mkdir()
    return site(tmp_path / "plans", PLAN)


def sent(page: Site, kind: str, log: bytes, fields: dict[str, str], name: str = "log.csv", happened: bytes | None = None) -> TestResponse:  # fmt: skip
    data: dict[str, Any] = {"token": page.token, "log": (io.BytesIO(log), name), **fields}
    if happened is not None:
        data["happened"] = (io.BytesIO(happened), "noted.yaml")
    return page.client.post(f"/plans/{PLAN}/{kind}", data=data, base_url=f"http://{HOST}")


def places_of(html: str) -> dict[str, str]:
    """What stands in the choice of each sensor."""
    found = {}
    for one in tree(html).iter("select"):
        if (one.get("name") or "").startswith("at:"):
            chosen = [option for option in one.iter("option") if option.get("selected") is not None]
            found[one.get("name")[3:]] = "".join(chosen[0].itertext()) if chosen else ""
    return found


def mark(html: str) -> str:
    return next(str(one.get("value")) for one in tree(html).iter("input") if one.get("name") == "mark")


def reported(lines: Any) -> list[str]:
    return [" ".join(one.text.split()) for one in lines if one.text.strip()]


def test_the_sensors_of_a_log_are_asked_for(page: Site) -> None:
    answer = sent(page, "trial", (LOGS / "trial-run.csv").read_bytes(), {})
    assert answer.status_code == 200 and places_of(answer.text) == dict.fromkeys(PLACES, "")
    assert "Say where at least one sensor lies" in answer.text and "<svg" not in answer.text


def test_a_trial_is_judged_as_the_command_judges_it(page: Site) -> None:
    log = LOGS / "trial-run.csv"
    answer = sent(page, "trial", log.read_bytes(), FIELDS, "C:\\logs\\trial.csv")
    assert places_of(answer.text) == PLACES
    shown = words(answer.text)
    told = reported(trial_lines(assess_trial(page.folder / PLAN, log, Asked(PLACES)), 100_000))
    for line in told:
        assert line.replace(str(log), "trial.csv") in shown
    assert "<svg" in answer.text and tempfile.gettempdir() not in answer.text


def test_what_was_measured_is_taken_into_the_plan_once_and_can_be_undone(page: Site) -> None:
    before, log = page.text(PLAN), (LOGS / "trial-run.csv").read_bytes()
    seen = mark(sent(page, "trial", log, FIELDS).text)
    assert page.text(PLAN) == before
    assert sent(page, "trial", log, {**FIELDS, "take": "1", "mark": seen}).status_code == 303
    taken = assess_trial(page.folder / PLAN, LOGS / "trial-run.csv", Asked(PLACES)).taken
    measured = assess(page.folder / PLAN).situation.plan.measured
    assert len(measured.heater_on) == len(taken.heater_on) > 0
    now = page.text(PLAN)
    assert sent(page, "trial", log, {**FIELDS, "take": "1", "mark": seen}).status_code == 409
    assert page.text(PLAN) == now
    page.post(f"/plans/{PLAN}/undo", {"mark": mark(page.get(f"/plans/{PLAN}").text)})
    assert page.text(PLAN) == before


def test_eggs_are_followed_with_what_was_noted(page: Site) -> None:
    log, noted = LOGS / "season.csv", LOGS / "season-happened.yaml"
    places = {"T1": "egg box medium", "T2": "room"}
    fields = {f"at:{name}": place for name, place in places.items()}
    answer = sent(page, "follow", log.read_bytes(), fields, happened=noted.read_bytes())
    told = reported(follow_lines(assess_follow(page.folder / PLAN, log, Asked(places), noted), 100_000))
    shown = words(answer.text)
    on_page = [" ".join(page_words(line.replace(str(log), "log.csv")).split()) for line in told]
    assert [line for line in on_page if line not in shown] == []
    without = sent(page, "follow", log.read_bytes(), fields)
    assert "“What you noted”" in without.text and "--" not in words(without.text)


def test_places_of_the_plan_stand_first(page: Site) -> None:
    path = page.folder / PLAN
    path.write_text(
        edited(page.text(PLAN), [Setting("watching.sensors", {"t1 (°C)": "egg box medium", "T2": "room"})]),
        "utf-8",
    )
    log = (LOGS / "season.csv").read_bytes()
    first = sent(page, "trial", log, {})
    assert places_of(first.text) == {"T1": "egg box medium", "T2": "room"} and "<svg" in first.text
    left = sent(page, "trial", log, {"at:T1": "air above", "at:T2": ""})
    assert places_of(left.text) == {"T1": "air above", "T2": ""}
    sensors = assess_trial(path, LOGS / "season.csv", Asked({"T1": "air above", "T2": ""})).log.sensors
    assert [(one.name, one.place) for one in sensors] == [("T1", "air above")]
    assert sent(page, "trial", log, {"at:T1": "", "at:T2": ""}).status_code == 200


HARM = {
    "empty": b"", "no table": b"hello\nworld\n", "binary": bytes(range(256)) * 20, "sheet": b"PK\x03\x04" + b"\0" * 99,
    "one row": b"Time,T1\n2027-04-20 18:00,28.5\n", "counts": b"s,T1\n0,28.1\n10,28.2\n20,28.2\n",
    "order": b"Time,T1 (C)\n01/02/2027 18:00,28.5\n02/03/2027 18:10,28.5\n03/04/2027 18:10,28.5\n",
    "no unit": b"Time,T1\n2027-04-20 18:00,55\n2027-04-20 18:10,56\n2027-04-20 18:20,55\n",
    "markup": b"Time,<script>alert(1)</script>\n2027-04-20 18:00,28.5\n2027-04-20 18:10,28.6\n",
}  # fmt: skip


@pytest.mark.parametrize("case", HARM)
@pytest.mark.parametrize("kind", ["trial", "follow"])
def test_what_is_no_log_is_told_in_the_words_of_the_page(case: str, kind: str, page: Site) -> None:
    """Faults name the dropped file and the fields of the page, never a path of ours or an option of a command."""
    before = page.text(PLAN)
    asked = {"at:T1": "egg box medium", "take": "1", "mark": ""}
    answer = sent(page, kind, HARM[case], asked, '<img src=x onerror="a">.csv')
    assert answer.status_code in (200, 400) and page.text(PLAN) == before
    assert tempfile.gettempdir() not in answer.text and "--" not in words(answer.text)
    assert not [one for one in tree(answer.text).iter("img")]
    assert all(one.get("src") for one in tree(answer.text).iter("script"))


def test_no_log_and_a_wrong_beginning_are_told(page: Site) -> None:
    assert "no log was chosen" in sent(page, "trial", b"", {}, "").text
    answer = sent(page, "trial", HARM["counts"], {"starts": "yesterday", "at:T1": "room"})
    assert answer.status_code == 400 and "is no day and time" in answer.text
    ready = HARM["counts"].replace(b"s,T1", b"Elapsed (s),T1 (C)")
    answer = sent(page, "trial", ready, {"starts": "2027-04-20 18:00", "at:T1": "room"})
    assert answer.status_code == 200 and "3 rows from 2027-04-20 18:00" in words(answer.text)


def test_a_log_may_be_large_and_nothing_else(page: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(security, "LARGEST_LOG", 3_000_000)
    row = b"2027-04-20 18:%02d,28.5\n"
    log = b"Time,T1 (C)\n" + b"".join(row % (place % 60) for place in range(120_000))
    assert security.LARGEST_BODY < len(log) < 3_000_000
    assert sent(page, "trial", log, {}).status_code == 200
    assert sent(page, "trial", log * 2, {}).status_code == 413
    assert sent(page, "text", log, {"base": ""}).status_code == 413
    assert page.post("/plans", {"title": "x" * 2_000_000}).status_code == 413


def test_the_part_alone_comes_when_the_script_asks(page: Site) -> None:
    answer = sent(page, "trial", (LOGS / "trial-run.csv").read_bytes(), {**FIELDS, "part": "1"})
    assert answer.status_code == 200 and "<html" not in answer.text and "<svg" in answer.text
