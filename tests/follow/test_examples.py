"""The logs in examples/logs are what the referee makes, and tell of the boxes that they come from."""

import json
from typing import Any

import pytest
from click.testing import CliRunner

from advisor.cli import main
from tests.referees.example_logs import LOGS, LOSS
from tests.support import ROOT

EXAMPLES = ROOT / "examples"
LOGGED = EXAMPLES / "logs"
SENSORS = ("--sensor", "T1=egg box medium", "--sensor", "T2=room")


def told(command: str, log: str, *more: str) -> Any:
    plan = str(EXAMPLES / "first-season.yaml")
    result = CliRunner().invoke(main, [command, plan, str(LOGGED / log), *SENSORS, *more, "--json"])
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


@pytest.mark.parametrize("name", LOGS)
def test_log_is_what_the_referee_makes(name: str) -> None:
    assert (LOGGED / name).read_text("utf-8") == LOGS[name]()


def test_trial_run_is_sound_and_measures_its_box() -> None:
    data = told("trial", "trial-run.csv", "--sensor", "Heater=heater on")
    assert data["verdict"] == "clear" and data["rows"]["left_out"] == []
    assert data["measured"]["conductance"]["low"] <= LOSS <= data["measured"]["conductance"]["high"]


def test_season_is_told_to_its_end() -> None:
    data = told("follow", "season.csv", "--happened", str(LOGGED / "season-happened.yaml"))
    (clutch,) = data["clutches"]
    assert clutch["outcome"]["hatched"] == 12 and clutch["outcome"]["record"].startswith("duration:")
    assert [(event["kind"], event["from"]) for event in data["events"]] == [("power cut", "2027-06-01 08:00")]
    (box,) = data["weighed"]
    assert box["name"] == "eggs 1" and box["leak_factor"]["low"] > 1.0
