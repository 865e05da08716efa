"""No plan or profile that its schema allows may end in a fault of the program: they are drawn from the schemas.

More of them than here: `python -m tests.fuzz.run`.
"""

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from advisor.cli import main
from advisor.model.figures import Unknown
from advisor.physics.moist_air import OutOfRange
from advisor.reading.problems import InputError
from tests.fuzz.drawn import drawn_plan, drawn_profile
from tests.fuzz.run import try_drawn_plan, try_drawn_profile
from tests.support import ROOT, situation_of

SAID = (0, 1, 2)  # exit statuses: 3 is a mistake of our own
FIRST = ROOT / "examples" / "first-season.yaml"


@pytest.mark.parametrize("start", range(0, 60, 10))
def test_no_drawn_plan_ends_in_a_fault(start: int) -> None:
    judged = 0
    for seed in range(start, start + 10):
        try:
            try_drawn_plan(drawn_plan(seed))
            judged += 1
        except InputError:
            continue  # a contradiction that no schema can say: the file is refused, which is right
    assert judged >= 7


@pytest.mark.parametrize("start", range(0, 60, 10))
def test_no_drawn_profile_ends_in_a_fault(start: int) -> None:
    judged = 0
    for seed in range(start, start + 10):
        try:
            try_drawn_profile(drawn_profile(seed))
            judged += 1
        except InputError:
            continue
    assert judged >= 5


@pytest.mark.parametrize("seed", range(4))
def test_every_command_takes_drawn_plans(seed: int, tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_bytes(drawn_plan(seed))
    for number, command in enumerate(
        (
            ["check", "--json"],
            ["check", "--numbers"],
            ["check", "--why", "moisture-mix-too-short"],
            ["checklist"],
            ["cards", "-o", "cards.html"],
            ["calendar", "-o", "dates.ics"],
            ["weigh", "--box", "box 0", "--day", "20", "--mass", "612 g", "--added", "9 kg"],
        )
    ):
        words = [str(tmp_path / f"{number}-{word}") if "." in word else word for word in command]
        result = CliRunner().invoke(main, [words[0], str(plan), *words[1:]])
        assert result.exit_code in SAID, (command, result.stderr)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("egg_mass: 11 g", "egg_mass: 310 g"),
        ("egg_mass: 11 g", "egg_mass: 90 mg"),
        ("mix: {medium: 4, water: 1, by: volume}", "mix: {medium: 0.0001, water: 100, by: volume}"),
        ("grade: medium", "litre_mass: 0.011023112 lb"),
        ("humidity: 50 %", "humidity: 1 %"),
        ("thickness: 40 mm", "thickness: 1 mm"),
        ("temperature: 17 to 23 °C", "temperature: -20 to 45 °C"),
    ],
)
def test_values_that_ended_in_a_fault(old: str, new: str, tmp_path: Path) -> None:
    text = FIRST.read_text("utf-8")
    assert old in text
    plan = tmp_path / "plan.yaml"
    plan.write_text(text.replace(old, new), encoding="utf-8")
    result = CliRunner().invoke(main, ["check", str(plan), "--json"])
    assert result.exit_code in (0, 1), result.stderr
    reasons = json.dumps(json.loads(result.stdout)["not_judged"], ensure_ascii=False)
    assert "must be from" not in reasons  # the words of a formula, not of a keeper


def test_out_of_range_is_a_reason_and_any_other_error_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(error: Exception) -> Any:
        def raises(*_: object) -> None:
            raise error

        monkeypatch.setattr("advisor.forecast.forecast_air", raises)
        return situation_of({"egg_boxes": [{"name": "eggs"}]}).forecast.egg_boxes[0].oxygen_lowest

    found = fails(OutOfRange("egg mass", 0.31, 0.0001, 0.3, "kg"))
    assert isinstance(found, Unknown)
    assert found.reason == "egg mass: too large for our formulas"
    with pytest.raises(ValueError, match="a mistake"):
        fails(ValueError("a mistake"))
    with pytest.raises(ZeroDivisionError):
        fails(ZeroDivisionError())
