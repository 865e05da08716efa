"""`advisor trial --write`: what was measured goes into the plan, which stays a plan with its comments."""

import random
from pathlib import Path

import pytest
from click.testing import CliRunner

from advisor.cli import main
from advisor.reading.plan import read_plan
from tests.referees.simulated_box import Box, csv_text, run
from tests.trial.runs import PLAN, columns_of

SENSORS = ("--sensor", "Box=egg box medium", "--sensor", "B2=egg box medium", "--sensor", "Room=room", "--sensor", "Heater=heater on")  # fmt: skip


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    result = run(Box(off=((80.0, 81.0),)), 96.0, step=30.0)
    columns = columns_of(result, random.Random(1))
    path = tmp_path_factory.mktemp("log") / "log.csv"
    path.write_text(csv_text(result.times, {**columns, "B2": [value - 0.4 for value in columns["Box"]]}))
    return path


def written(plan: Path, log: Path, *sensors: str) -> str:
    result = CliRunner().invoke(main, ["trial", str(plan), str(log), *sensors, "--write", "--fail-on", "never"])  # fmt: skip
    assert result.exit_code == 0, result.output
    return result.stderr


def test_measured_entries_are_those_of_the_box(log: Path, tmp_path: Path) -> None:
    plan, before = tmp_path / "plan.yaml", "# my box\n" + PLAN.read_text("utf-8")
    plan.write_text(before, "utf-8")
    told = written(plan, log, *SENSORS)
    assert "measured.heater_on, measured.switched_off, measured.warm_up, measured.boxes" in told
    text = plan.read_text("utf-8")
    assert text.startswith("# my box\n")
    assert [line for line in before.splitlines() if line not in text] == []
    measured = read_plan(plan)[0].measured
    (heater,) = measured.heater_on
    # 0.67 W/K x 8 K x 1.2 behind the heater, of 14 W: 0.46.
    assert heater.share == pytest.approx(0.67 * 8 * 1.2 / 14, abs=0.03)
    assert heater.room == pytest.approx(20.0, abs=0.4) and heater.medium == pytest.approx(27.8, abs=0.3)
    off = measured.switched_off
    assert off is not None and off.after == pytest.approx(3600, abs=320)
    assert off.medium_from == pytest.approx(28.0, abs=0.2) and 0.8 < off.medium_from - off.medium_to < 2.5
    assert measured.warm_up is not None and measured.warm_up.took > 3600
    assert [(one.box, one.thermometer) for one in measured.boxes] == [("eggs", "Box"), ("eggs", "B2")]
    assert measured.boxes[0].medium - measured.boxes[1].medium == pytest.approx(0.4, abs=0.11)


def test_air_tells_the_spell_without_heat_and_the_medium_alone_does_not(log: Path, tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_text(PLAN.read_text("utf-8"), "utf-8")
    written(plan, log, *SENSORS[:2], "--sensor", "Room=room", "--sensor", "Air=air above")
    off = read_plan(plan)[0].measured.switched_off
    assert off is not None and off.after == pytest.approx(3600, abs=320)
    plan.write_text(PLAN.read_text("utf-8"), "utf-8")
    written(plan, log, *SENSORS[:2], "--sensor", "Room=room")
    assert read_plan(plan)[0].measured.switched_off is None


def test_writing_twice_changes_nothing_and_keeps_other_entries(log: Path, tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_text(PLAN.read_text("utf-8") + "measured: {outer_humidity: 60 %}  # hygrometer\n", "utf-8")
    written(plan, log, *SENSORS)
    first = plan.read_text("utf-8")
    assert "outer_humidity: 60 %" in first and "# hygrometer" in first
    written(plan, log, *SENSORS)
    assert plan.read_text("utf-8") == first


def test_log_that_measures_nothing_writes_nothing(log: Path, tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_text(PLAN.read_text("utf-8"), "utf-8")
    assert "Nothing was written" in written(plan, log, "--sensor", "Room=room")
    assert plan.read_text("utf-8") == PLAN.read_text("utf-8")


def test_us_units_are_written(log: Path, tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_text(PLAN.read_text("utf-8").replace("units: metric", "units: us"), "utf-8")
    written(plan, log, *SENSORS)
    assert "°F" in plan.read_text("utf-8").split("measured:")[1].split("people:")[0]
    off = read_plan(plan)[0].measured.switched_off
    assert off is not None and off.medium_from == pytest.approx(28.0, abs=0.2)
