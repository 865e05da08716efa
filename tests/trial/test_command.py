"""`advisor trial` as a command: exit status, JSON, what it asks for. The log and the plan are only read."""

import json
import random
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from advisor.cli import main
from tests.referees.simulated_box import Box, csv_text, run
from tests.trial.runs import PLAN, columns_of

SENSORS = [
    "--sensor",
    "Box=egg box medium",
    "--sensor",
    "Air=air above",
    "--sensor",
    "Room=room",
    "--sensor",
    "Heater=heater on",
]
MEASURED = {"conductance", "power_for_each_kelvin", "stuck_on_rise", "on_share", "hours_to_lose_3_K", "spread", "swing", "warm_up", "time_constant"}  # fmt: skip


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    result = run(Box(off=((80.0, 81.0),)), 96.0, step=20.0)
    path = tmp_path_factory.mktemp("log") / "log.csv"
    path.write_text(csv_text(result.times, columns_of(result, random.Random(1))))
    return path


def trial(*arguments: str | Path) -> Result:
    return CliRunner().invoke(main, ["trial", *map(str, arguments)])


def test_sound_log_ends_with_0_and_tells_what_was_measured(log: Path) -> None:
    before = log.read_bytes(), PLAN.read_bytes()
    result = trial(PLAN, log, *SENSORS)
    assert result.exit_code == 0, result.output
    for words in (
        "Heat loss of the box",
        "forecast about 0.67 W",
        "Power cut until 3 °C are lost",
        "Time constant",
        "Verdict: Nothing found.",
    ):
        assert words in " ".join(result.stdout.split())
    assert (log.read_bytes(), PLAN.read_bytes()) == before


def test_json_has_its_keys_and_a_reason_for_each_null(log: Path) -> None:
    data = json.loads(trial(PLAN, log, *SENSORS, "--json").stdout)
    assert data["format"] == 1 and data["verdict"] == "clear" and data["findings"] == []
    assert data["rows"] == {"read": 1153, "left_out": [], "notes": []}
    assert [set(sensor) for sensor in data["sensors"]] == [{"name", "place", "mean", "lowest", "highest"}] * 4
    assert set(data["measured"]) >= MEASURED
    loss = data["measured"]["conductance"]
    assert loss["unit"] == "W/K" and loss["low"] < loss["value"] < loss["high"]
    assert data["measured"]["spread"] is None
    assert "spread" in data["measured"]["reasons"]


def test_places_of_the_plan_are_used_and_overruled(log: Path, tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_text(
        PLAN.read_text("utf-8").replace(
            "alarm: yes}", "alarm: yes, sensors: {Box: egg box medium, Room: air above, Gone: room}}"
        )
    )
    data = json.loads(trial(plan, log, "--json").stdout)
    assert [(sensor["name"], sensor["place"]) for sensor in data["sensors"]] == [
        ("Box", "egg box medium"),
        ("Room", "air above"),
    ]
    data = json.loads(trial(plan, log, "--sensor", "Room=room", "--json").stdout)
    assert ("Room", "room") in [(sensor["name"], sensor["place"]) for sensor in data["sensors"]]


def test_finding_ends_with_1_and_fail_on_decides(log: Path, tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_text(PLAN.read_text("utf-8").replace("17 to 23 °C", "2 to 23 °C"))
    result = trial(plan, log, *SENSORS)
    assert result.exit_code == 1, result.output
    assert "trial-room-not-covered" in result.stdout and "line 5, room.temperature" in result.stdout
    assert trial(plan, log, *SENSORS, "--fail-on", "never").exit_code == 0


def test_us_units(log: Path, tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_text(PLAN.read_text("utf-8").replace("units: metric", "units: us"))
    result = trial(plan, log, *SENSORS)
    assert "82 °F" in result.stdout and "°C" not in result.stdout.replace("/", " ")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], "name the log behind the plan"),
        (["LOG", "--sensor", "Box"], "write name and place"),
        (["LOG", "--sensor", "Box=egg box"], "Places: egg box medium"),
        (["LOG", "--sensor", "Box=room", "--sensor", "Box=heater"], "given twice"),
        (["LOG", "--sensor", "Bx=room"], "Did you mean Box?"),
        (["LOG"], "no sensor of this log has a place"),
        (["none.csv", "--sensor", "Box=room"], "there is no such file"),
    ],
)
def test_what_is_wrong_ends_with_2(arguments: list[str], words: str, log: Path) -> None:
    result = trial(PLAN, *(str(log) if argument == "LOG" else argument for argument in arguments))
    assert result.exit_code == 2
    assert words in result.stderr


def test_rules_are_shown(log: Path) -> None:
    shown = CliRunner().invoke(main, ["rules", "show", "trial-swings"])
    assert shown.exit_code == 0 and "swing" in shown.stdout
    assert "trial-swings" in CliRunner().invoke(main, ["rules", "list"]).stdout
