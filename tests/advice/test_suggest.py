"""`advisor suggest`: what it tells is what the written plan gives, nothing in it is needless, and what must stay stays."""

import datetime
import json
import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner

from advisor.advice.suggest import Bounds, suggestion_for
from advisor.assess import assess_document
from advisor.cli import main
from advisor.model.changes import COSTS, ROOM, Change, Setting
from advisor.model.findings import SEVERITIES
from advisor.reading.yaml_text import parse_yaml
from tests.advice.followed import OPEN, applied
from tests.setups.test_setups import SOUND
from tests.support import ROOT, _Plain

FORM = {"format": int, "before": str, "after": str, "tries": int, "changes": list, "obstacle": str | None}
ROW = {"path": str, "why": str, "cost": str, "clears": list, "proposed": bool, "from": object, "to": object}
FAULTS = {
    "drip_loop: yes": "drip_loop: no",
    "parted: while fresh": "parted: later",
    "alarm: yes": "alarm: no",
    "thermometers: 2": "thermometers: 0",
    "from: 2027-04-20": "from: 2027-05-13",
}
SPARSE = ROOT / "examples/nearly-empty.yaml"
DAY = ("--date", "2027-03-01")


def faulty(folder: Path, *left_out: str) -> Path:
    """The sound corn-snake set-up with several faults at once, its comments kept."""
    text = SOUND["corn-snake-spare-room"].read_text("utf-8")
    for old, new in FAULTS.items():
        if old not in left_out:
            text = text.replace(old, new)
    path = folder / "faulty.yaml"
    path.write_text(text, "utf-8")
    return path


def run(*arguments: str | Path) -> tuple[int, str]:
    day = () if "--date" in arguments else DAY  # the plans are of spring 2027
    result = CliRunner().invoke(main, ["suggest", *map(str, arguments), *day])
    return result.exit_code, result.output


def told(*arguments: str | Path) -> tuple[int, Any]:
    status, output = run(*arguments, "--json")
    return status, json.loads(output)


def report_on(path: Path) -> Any:
    return json.loads(CliRunner().invoke(main, ["check", str(path), "--json"]).stdout)


def open_rules(report: Any) -> set[str]:
    return {entry["rule"] for entry in report["findings"] if entry["severity"] in OPEN}


def rows_of(told: Any) -> dict[str, Any]:
    return {row["path"]: row["to"] for row in told["changes"]}


def with_rows(path: Path, rows: dict[str, Any]) -> Path:
    """The plan with rows put in, in a file of its own."""
    settings = tuple(Setting(*row) for row in rows.items())
    plan = applied(yaml.load(path.read_text("utf-8"), Loader=yaml.BaseLoader), Change(settings, ""))
    new = path.with_stem("by-hand")
    new.write_text(yaml.dump(plan, Dumper=_Plain, allow_unicode=True, sort_keys=False), "utf-8")
    return new


@pytest.mark.parametrize("fill", [(), ("--fill",)], ids=["plain", "fill"])
@pytest.mark.parametrize("plan", ["faulty", "sparse", "sound"])
def test_the_json_has_its_form_and_the_status_its_meaning(
    plan: str, fill: tuple[str, ...], tmp_path: Path
) -> None:
    path = {"faulty": faulty(tmp_path), "sparse": SPARSE}.get(plan, ROOT / "examples/first-season.yaml")
    status, found = told(path, *fill)
    assert found.keys() == FORM.keys()
    assert all(isinstance(found[name], kind) for name, kind in FORM.items())
    assert found["before"] == report_on(path)["verdict"]
    for row in found["changes"]:
        assert row.keys() == ROW.keys()
        assert all(isinstance(row[name], kind) for name, kind in ROW.items())
        assert row["from"] != row["to"] and row["cost"] in COSTS and row["why"]
        assert row["proposed"] != bool(row["clears"])
    assert status == (1 if found["after"] in ("stop", "fix") else 0)
    assert (found["obstacle"] is None) == (status == 0)


def test_the_changes_put_in_by_hand_give_what_is_told_and_each_is_needed(tmp_path: Path) -> None:
    path = faulty(tmp_path)
    status, found = told(path)
    assert status == 0 and found["before"] == "fix" and len(found["changes"]) >= len(FAULTS) - 1
    rows = rows_of(found)
    whole = report_on(with_rows(path, rows))
    assert whole["verdict"] == found["after"]
    for row in found["changes"]:
        together = {one["path"] for one in found["changes"] if one["why"] == row["why"]}
        rest = {entry: value for entry, value in rows.items() if entry not in together}
        back = open_rules(report_on(with_rows(path, rest))) - open_rules(whole)
        assert row["clears"] and set(row["clears"]) <= back


@pytest.mark.parametrize("fill", [(), ("--fill",)], ids=["plain", "fill"])
@pytest.mark.parametrize("plan", ["faulty", "sparse"])
def test_the_written_plan_gives_the_told_verdict_and_keeps_every_comment(
    plan: str, fill: tuple[str, ...], tmp_path: Path
) -> None:
    path = faulty(tmp_path) if plan == "faulty" else tmp_path / "sparse.yaml"
    if plan == "sparse":
        path.write_text(SPARSE.read_text("utf-8"), "utf-8")
    before, new = path.read_text("utf-8"), tmp_path / "new.yaml"
    _, found = told(path, *fill, "-o", new)
    assert path.read_text("utf-8") == before
    text = new.read_text("utf-8")
    assert report_on(new)["verdict"] == found["after"]
    assert all(comment.strip() in text for comment in re.findall(r"#.*", before))
    proposed = [row for row in found["changes"] if row["proposed"]]
    assert bool(proposed) == bool(fill) or plan == "faulty"
    assert all(row["why"] in text for row in proposed)
    _, again = told(path, *fill, "--write")
    assert again == found and path.read_text("utf-8") == text
    status, second = told(path, *fill)
    assert status == 0 and second["changes"] == []  # what was suggested leaves nothing to suggest


def test_the_same_plan_twice_gives_the_same_bytes(tmp_path: Path) -> None:
    path = faulty(tmp_path)
    for form in ((), ("--json",), ("--fill",)):
        assert run(path, *form) == run(path, *form)


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_a_plan_with_nothing_to_change_is_left_alone(ending: str, tmp_path: Path) -> None:
    path = tmp_path / "sound.yaml"
    text = (ROOT / "examples/first-season.yaml").read_text("utf-8").replace("\n", ending)
    path.write_bytes(text.encode())
    status, output = run(path, "--write")
    assert status == 0 and "No change is needed." in output and "Wrote" not in output
    assert path.read_bytes() == text.encode()


def test_what_is_to_stay_stays_and_the_obstacle_is_told(tmp_path: Path) -> None:
    path = faulty(tmp_path)
    status, found = told(path, "--keep", "people.drip_loop, trial_run")
    assert status == 1 and found["after"] == "fix" and found["obstacle"]
    assert not [row for row in found["changes"] if row["path"].startswith(("people.drip_loop", "trial_run"))]
    assert any(row["path"] == "clutches[0].parted" for row in found["changes"])
    status, output = run(path, "--keep", "people.drip_loop,trial_run")
    assert status == 1 and "What stands in the way:" in output


def test_what_is_to_stay_is_not_filled_in_either() -> None:
    _, found = told(SPARSE, "--fill", "--keep", "clutches[0].laying,trial_run.days,watching")
    paths = {row["path"] for row in found["changes"]}
    assert "clutches[0].eggs" in paths
    assert not [
        path for path in paths if path.startswith(("clutches[0].laying", "trial_run.days", "watching"))
    ]


@pytest.mark.parametrize("entry", ["heat.sorce", "heater", "clutches.box", ".", "[0]", "control.set_to.low"])
def test_an_entry_to_keep_that_no_plan_has_is_refused(entry: str, tmp_path: Path) -> None:
    path = faulty(tmp_path)
    before = path.read_text("utf-8")
    status, output = run(path, "--keep", f"outer_box,{entry}", "--write")
    assert status == 2 and f"--keep names {entry}" in output and "heat.source" in output
    assert path.read_text("utf-8") == before


def test_nothing_is_overwritten_that_was_not_named_to_be(tmp_path: Path) -> None:
    path, other = faulty(tmp_path), tmp_path / "other.yaml"
    other.write_text("mine", "utf-8")
    assert run(path, "-o", other)[0] == 2
    assert run(path, "-o", other, "--write")[0] == 2
    assert run(tmp_path / "none.yaml", "-o", other, "--force")[0] == 2
    assert other.read_text("utf-8") == "mine"
    assert run(path, "-o", other, "--force")[0] == 0
    assert report_on(other)["verdict"] not in ("stop", "fix")


@pytest.mark.parametrize("room", [False, True])
def test_the_room_changes_only_where_it_may(room: bool) -> None:
    warmer = Change((Setting("room.temperature", "19 to 23 °C"),), "Warm the room.", ROOM)
    beside = Change((Setting("room", None), Setting("heat.power", "20 W")), "Both.")
    assert [Bounds(room=room).allow(change) for change in (warmer, beside)] == [room, room]
    assert Bounds(room=room).allow(Change((Setting("heat.power", "20 W"),), "Weaker."))
    assert not Bounds(("room.temperature",), room).allow(warmer)
    assert not Bounds(("room.temperature",), room).allow(beside)


def test_days_that_have_passed_are_not_proposed(tmp_path: Path) -> None:
    sparse = tmp_path / "sparse.yaml"
    sparse.write_text(SPARSE.read_text("utf-8"), "utf-8")
    soon = {"clutches[0].laying": {"expected": "2027-03-05 to 2027-03-12"}}
    _, found = told(with_rows(sparse, soon), "--fill")
    rows = rows_of(found)
    assert rows["trial_run.from"] == rows["clutches[0].lay_box"]["ready_on"] == "2027-03-01"
    assert int(rows["trial_run.days"]) <= 4  # over before the eggs may come
    days = re.findall(r"\d{4}-\d\d-\d\d", json.dumps(rows))
    assert min(map(datetime.date.fromisoformat, days)) >= datetime.date(2027, 3, 1)


def test_a_fact_that_is_proposed_says_that_it_is_to_be_corrected() -> None:
    _, found = told(SPARSE, "--fill")
    why = {row["path"]: row["why"] for row in found["changes"]}
    for entry in (
        "clutches[0].eggs",
        "clutches[0].egg_mass",
        "clutches[0].wanted",
        "people.children_under_five",
    ):
        assert "correct it" in why[entry]
    assert "write the real days" in why["clutches[0].laying"]


def test_a_suggestion_leaves_no_worse_verdict(tmp_path: Path) -> None:
    for old in FAULTS:
        _, found = told(faulty(tmp_path, *(other for other in FAULTS if other != old)))
        assert SEVERITIES.index(found["after"]) >= SEVERITIES.index(found["before"])


def test_a_change_to_a_day_that_has_passed_is_no_way_out(tmp_path: Path) -> None:
    path = (
        ROOT / "examples/late-start.yaml"
    )  # the trial run begins on 2027-05-06, eggs may come from 2027-05-09
    _, early = told(path, "--date", "2027-04-01")
    _, late = told(path, "--date", "2027-05-05")
    assert rows_of(early)["trial_run.from"] < "2027-05-05"
    assert "trial_run.from" not in rows_of(late) and int(rows_of(late)["trial_run.days"]) == 3


COOL_BOX = """
format: 1
room: {temperature: 17 to 23 °C}
outer_box: {inside: 52 x 30 x 34 cm, wall: {material: plastic cool box, thickness: 35 mm}, lid_fits: well, stands_on: shelf}
heat: {source: cable, place: all sides, power: 25 W, length: 4.3 m}
control: {thermostat: on-off, set_to: 31.5 °C, probe: {sits_in: air}, checked_against: nothingCUT_OUT}
egg_boxes:
  - {name: eggs, count: 1, holds: eggs, inside: 28 x 18 x 12 cm, stands: on a rack, lid: {fit: clip, holes: {count: 4, diameter: 3 mm}}, medium: {material: vermiculite, mix: {medium: 1, water: 1, by: mass}}}
power_cut: {prepared: nothing}
clutches: [{species: python-regius, eggs: 6, box: eggs, laying: {expected: 2027-03-20 to 2027-04-05}}]
"""


@pytest.mark.parametrize("cut_out", ["", ", cut_out: none"])
def test_nothing_is_cleared_by_keeping_a_rule_from_judging_it(cut_out: str) -> None:
    """Half a degree warmer the profile has no days: rules that need them fell silent, and the change passed as a remedy."""
    base = assess_document(parse_yaml(COOL_BOX.replace("CUT_OUT", cut_out).encode(), "cool-box.yaml"))
    found = suggestion_for(base, Bounds(today=datetime.date(2026, 11, 26)), fill=True)
    assert found.after.report.not_judged == ()
    rows = {row.path: row.before for row in found.rows}
    assert rows["control.cut_out.set_to"] == ("none" if cut_out else None)
