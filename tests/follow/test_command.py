"""`advisor follow` as a command: exit status, JSON, the page, the file of what happened. Plan and log are only read."""

import datetime
import json
from array import array
from pathlib import Path

import icalendar
import pytest
from click.testing import CliRunner, Result

from advisor.cli import main
from advisor.drawings.log_course import COLUMNS, log_drawing, log_picture, picture_lines, thinned
from advisor.forecast.follow.whole import noon
from advisor.model.logs import EGG_MEDIUM, ROOM, Sensor, clock_time
from tests.follow.logs import LAID as LAID_ON
from tests.follow.logs import log_of, sensor
from tests.support import ROOT, situation_of

PLAN = (ROOT / "examples" / "first-season.yaml").read_text("utf-8")
SENSORS = ("--sensor", "T1=egg box medium", "--sensor", "T2=room")
LAID = "laying: {laid_on: 2027-05-11}"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    medium, room = sensor(lambda _: 28.0, 480.0, every=1800.0), sensor(lambda _: 20.0, 480.0, ROOM)
    rows = zip(medium.times, medium.values, room.values[::3], strict=False)
    text = "Time,T1 (°C),T2 (°C)\n" + "".join(f"{clock_time(time)},{one},{other}\n" for time, one, other in rows)  # fmt: skip
    (tmp_path / "log.csv").write_text(text, "utf-8")
    (tmp_path / "plan.yaml").write_text(PLAN.replace("laying: {shed_on: 2027-05-02}", LAID), "utf-8")
    (tmp_path / "shed.yaml").write_text(PLAN, "utf-8")
    return tmp_path


def run(command: str, folder: Path, plan: str, *arguments: str) -> Result:
    return CliRunner().invoke(
        main, [command, str(folder / plan), str(folder / "log.csv"), *SENSORS, *arguments]
    )


def test_sound_log_ends_with_0(folder: Path) -> None:
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    result = run("follow", folder, "plan.yaml")
    assert result.exit_code == 0, result.output
    text = " ".join(result.stdout.split())
    for words in (
        "corn snake, day 20",
        "Developed: about 33 %",
        "Days to go: about",
        "; by the plan 2027-",
        "# medium . room",
        "Opened lids can't be seen",
        "Verdict: Nothing found.",
    ):
        assert words in text
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_json_has_its_keys(folder: Path) -> None:
    data = json.loads(run("follow", folder, "plan.yaml", "--json").stdout)
    assert set(data) >= {"format", "verdict", "findings", "rows", "clutches", "events", "not_judged"}
    (clutch,) = data["clutches"]
    assert clutch["species"] == "pantherophis-guttatus" and clutch["laid"] == "2027-05-11"
    developed = clutch["developed"]
    assert developed["low"] < developed["value"] < developed["high"] and developed["unit"] == "1"
    assert clutch["minutes_outside"] == {"aim": 0, "tolerated": 0}
    assert [len(day) for day in clutch["hatch_window"]] == [10, 10]
    assert clutch["mean_temperature"]["value"] == 28.0


def test_page_holds_picture_words_and_report(folder: Path) -> None:
    page = folder / "follow.html"
    for command in ("follow", "trial"):
        page.unlink(missing_ok=True)
        assert run(command, folder, "plan.yaml", "-o", str(page), "--fail-on", "never").exit_code == 0
        text = page.read_text("utf-8")
        assert text.count("<svg") == 1 and "<polyline" in text and "Usual band: 27 to 29" in text
        assert "The picture in words: " in text and "Verdict: " in text and "http" not in text.replace("http://www.w3.org/2000/svg", "")  # fmt: skip
        again = run(command, folder, "plan.yaml", "-o", str(page))
        assert again.exit_code == 2 and "exists already; nothing was written" in again.stderr
    assert run("follow", folder, "plan.yaml", "-o", "follow.pdf").exit_code == 2


def test_us_units(folder: Path) -> None:
    (folder / "us.yaml").write_text(
        (folder / "plan.yaml").read_text("utf-8").replace("units: metric", "units: us"), "utf-8"
    )
    result = run("follow", folder, "us.yaml")
    assert "Mean temperature since laying: about 82 °F" in result.stdout and "°C" not in result.stdout


def test_laying_day_is_asked_for_and_taken_from_what_happened(folder: Path) -> None:
    result = run("follow", folder, "shed.yaml")
    assert result.exit_code == 2
    assert "clutches[0].laying: nothing says on which day the eggs were laid" in result.stderr
    assert "{on: 2027-05-11, what: laid}" in result.stderr
    happened = folder / "happened.yaml"
    happened.write_text(
        "format: 1\nhappened:\n  - {on: 2027-05-11, what: laid}\n  - {on: 2027-05-20, what: removed, eggs: 2, says: mould}\n"
        "  - {on: 2027-05-22, what: noted, says: lid open}\n",
        "utf-8",
    )
    result = run("follow", folder, "shed.yaml", "--happened", str(happened))
    assert result.exit_code == 0, result.output
    for words in ("day 20", "Eggs left: 12", "2027-05-20 you noted: removed 2 eggs, mould", "2027-05-22 you noted: lid open"):  # fmt: skip
        assert words in result.stdout


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("happened: [{on: 2027-05-11, what: laid}]", "format"),
        (
            "format: 1\nhappened: [{on: 11.5.27, what: laid}]",
            ":2:13: happened[0].on: the year of '11.5.27' is not clear",
        ),
        (
            "format: 1\nhappened: [{on: 2027-05-11, what: lost}]",
            "happened[0].what: 'lost' is not known here\n    Write `removed`.",
        ),
        (
            "format: 1\nhappened: [{on: 2027-05-11, what: laid}, {on: 2027-05-12, what: laid}]",
            "happened[1]: this clutch is laid twice",
        ),
        (
            "format: 1\nhappened: [{on: 2027-05-11, what: laid, species: chrysemys-picta}]",
            "the plan has no clutch of chrysemys-picta",
        ),
        ("format: 1\nhappened: [{on: 2027-05-11, what: laid, species: corn snak}]", "happened[0].species: "),
    ],
)
def test_what_is_wrong_in_what_happened_is_told(folder: Path, text: str, message: str) -> None:
    happened = folder / "happened.yaml"
    happened.write_text(text, "utf-8")
    result = run("follow", folder, "plan.yaml", "--happened", str(happened))
    assert result.exit_code == 2 and message in result.stderr and "happened.yaml" in result.stderr


def test_clutch_must_be_named_where_there_are_several(folder: Path) -> None:
    two = PLAN.replace("clutches:\n", "clutches:\n  - {species: lampropeltis-getula, eggs: 8, box: eggs}\n")
    (folder / "two.yaml").write_text(two, "utf-8")
    happened = folder / "happened.yaml"
    happened.write_text("format: 1\nhappened: [{on: 2027-05-11, what: laid}]", "utf-8")
    result = run("follow", folder, "two.yaml", "--happened", str(happened))
    assert result.exit_code == 2 and "nothing says which is meant" in result.stderr
    happened.write_text("format: 1\nhappened: [{on: 2027-05-11, what: laid, species: corn snake}]", "utf-8")
    result = run("follow", folder, "two.yaml", "--happened", str(happened), "--fail-on", "never")
    assert result.exit_code == 0, result.output
    assert "corn snake, day 20" in result.stdout and ", not laid" in result.stdout
    # Of eggs that are not there no day is asked, and nothing is said six times over not to be told.
    assert "Nothing to tell yet" in result.stdout and "clutches[0].laying" not in result.stdout
    assert "the day it was laid is not told" not in result.stdout


def test_finding_ends_with_1(folder: Path) -> None:
    hot = (folder / "log.csv").read_text("utf-8").replace(",28.0,", ",38.0,")
    (folder / "log.csv").write_text(hot, "utf-8")
    result = run("follow", folder, "plan.yaml")
    assert result.exit_code == 1 and "follow-too-hot" in result.stdout and "STOP: act now" in result.stdout


def test_thinning_keeps_every_extreme() -> None:
    values = array("d", [28.0] * 300_000)
    values[123_456], values[200_001] = 41.5, 3.25
    long = Sensor("T1", EGG_MEDIUM, array("d", range(300_000)), values)
    found = [ends for ends in thinned([long], 0.0, 299_999.0, COLUMNS) if ends]
    assert len(found) == COLUMNS
    assert (min(low for low, _ in found), max(high for _, high in found)) == (3.25, 41.5)
    picture = log_picture(log_of(long), situation_of({}))
    drawing = log_drawing(picture, "a log")
    assert "Medium: 3.2 to 41.5 °C" in drawing.description
    assert len("".join(drawing.shapes)) < 40_000
    assert all(len(row) <= 80 for row in picture_lines(picture))


def test_line_breaks_at_a_gap_and_marks_are_listed() -> None:
    log = log_of(sensor(lambda _: 28.0, 400.0, gaps=[(100.0, 200.0)]))
    picture = log_picture(log, situation_of({}), [(log.sensors[0].times[0], "power cut")] * 12)
    drawing = log_drawing(picture, "a log")
    assert sum("polyline" in part for part in drawing.shapes) == 2
    assert sum("polygon" in part for part in drawing.shapes) == 9
    assert drawing.description.count("power cut") == 12


def test_calendar_moves_to_where_the_eggs_are(folder: Path) -> None:
    cold = (folder / "log.csv").read_text("utf-8").replace(",28.0,", ",26.5,")
    (folder / "log.csv").write_text(cold, "utf-8")
    planned, moved = folder / "plan.ics", folder / "moved.ics"
    assert (
        CliRunner().invoke(main, ["calendar", str(folder / "plan.yaml"), "-o", str(planned)]).exit_code == 0
    )
    result = run("follow", folder, "plan.yaml", "--calendar", str(moved), "--json", "--fail-on", "never")
    assert result.exit_code == 0, result.output
    first, last = json.loads(result.stdout)["clutches"][0]["hatch_window"]
    assert "moved.ics: " in result.stderr
    days = [_days_of(path, " hatching likely ") for path in (planned, moved)]
    assert days[1][0].strftime("%Y-%m-%d") == first and days[1][0] > days[0][0]
    assert _days_of(moved, " last likely day ")[0].strftime("%Y-%m-%d") == last
    again = run("follow", folder, "plan.yaml", "--calendar", str(moved))
    assert again.exit_code == 2 and "exists already; nothing was written" in again.stderr
    assert run("follow", folder, "plan.yaml", "--calendar", "dates.txt").exit_code == 2


def _days_of(path: Path, words: str) -> list[datetime.date]:
    events = icalendar.Calendar.from_ical(path.read_bytes()).walk("VEVENT")
    return [event.decoded("dtstart") for event in events if words in str(event["summary"])]


def test_hatched_eggs_end_the_story(folder: Path) -> None:
    rows = [f"{clock_time(noon(LAID_ON) + 1800 * row)},28.0,20.0" for row in range(62 * 48)]
    (folder / "log.csv").write_text("\n".join(["Time,T1 (°C),T2 (°C)", *rows]) + "\n", "utf-8")
    happened = folder / "happened.yaml"
    happened.write_text(
        "format: 1\nhappened:\n  - {on: 2027-07-09, what: hatched, eggs: 9, males: 4, females: 5}\n  - {on: 2027-07-11, what: hatched, eggs: 3}\n"
        "  - {on: 2027-06-01, what: weighed, box: eggs 1, mass: 640 g}\n",
        "utf-8",
    )
    result = run("follow", folder, "plan.yaml", "--happened", str(happened))
    assert result.exit_code == 0, result.output
    text = " ".join(result.stdout.split())
    for words in (
        "corn snake, hatched on day 60",
        "Hatched: 12 eggs, 2027-07-09 to 2027-07-11",
        "Days, by the plan: forecast about 60 days (49 to 75); came about 60 days (59 to 61): in range",
        "came 44 % (such a count stands for 14 % to 79 %): in range",
        "came 86 % (such a count stands for 57 % to 98 %)",
        "Record for species/pantherophis-guttatus.yaml",
        "- {at: 28.0 °C, days: 59.5, eggs: 12, sources: [keepers-record], group: ",
        "- {at: 28.0 °C, male_share: 0.444, eggs: 9, ",
        "Egg box 'eggs 1': the weighings cannot be read, one weighing tells nothing without the empty box (egg_boxes[0].tare).",
        "2027-07-09 you noted: hatched 9 eggs, 4 males and 5 females",
    ):
        assert words in text
    assert "Days to go" not in text
    data = json.loads(run("follow", folder, "plan.yaml", "--happened", str(happened), "--json").stdout)
    outcome = data["clutches"][0]["outcome"]
    assert (outcome["first"], outcome["last"], outcome["hatched"]) == ("2027-07-09", "2027-07-11", 12)
    page = folder / "follow.html"
    assert run("follow", folder, "plan.yaml", "--happened", str(happened), "-o", str(page)).exit_code == 0
    assert ">        - {at: 28.0 °C, male_share: 0.444, eggs: 9, " in page.read_text(
        "utf-8"
    )  # as it is to be copied
    assert outcome["record"].startswith("duration:\n") and data["weighed"][0]["name"] == "eggs 1"
