"""No plan or profile that its schema allows may end in a fault of the program: they are drawn from the schemas.

More of them than here: `python -m tests.fuzz.run`.
"""

import contextlib
import json
import random
import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner

from advisor.cli import main
from advisor.forecast.edge import reason_of
from advisor.formulas.air.moist_air import NoSolution, OutOfRange
from advisor.formulas.numerics.matrices import inverse
from advisor.model.figures import Unknown
from advisor.reading.plan import read_document
from advisor.reading.problems import InputError
from advisor.reading.yaml_text import parse_yaml
from tests.fuzz.drawn import as_yaml, drawn_plan, drawn_profile, holed
from tests.fuzz.run import try_drawn_plan, try_drawn_profile, try_profile
from tests.support import ROOT, situation_of

SAID = (0, 1, 2)  # exit statuses: 3 is a mistake of our own


def read_plan_text(content: bytes) -> None:
    read_document(parse_yaml(content, "plan.yaml"))


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
    assert judged >= 6  # of ten: what is refused tells nothing of the rest


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
def test_a_file_with_entries_left_out_is_read_or_refused(seed: int) -> None:
    """Every check that looks at two entries has to bear that one of them is missing, empty, or of another kind."""
    chance = random.Random(seed)
    plan, profile = yaml.safe_load(drawn_plan(seed)), yaml.safe_load(drawn_profile(seed))
    for box in plan.get("egg_boxes", []):
        box["medium"] = {"mixed_with": {"material": "perlite", "share": "30 %"}, **box.get("medium", {})}
    for _ in range(15):
        for read, data in ((read_plan_text, plan), (try_profile, profile)):
            with contextlib.suppress(InputError):
                read(as_yaml(holed(data, chance)))


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
        # A huge conductance: a wall that is hardly there round a huge box.
        ("inside: 55 x 35 x 22 cm", "inside: 3 x 3 x 3 m"),
        ("material: expanded polystyrene, thickness: 40 mm", "material: glass, thickness: 1 mm"),
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


def test_a_profile_egg_of_a_hundredth_of_a_gram_ends_in_no_fault(tmp_path: Path) -> None:
    text = (ROOT / "species" / "pantherophis-guttatus.yaml").read_text("utf-8")
    tiny, found = re.subn(r"\n  mass: [\d.]+ g\n", "\n  mass: 0.01 g\n", text)
    assert found == 1
    (tmp_path / "pantherophis-guttatus.yaml").write_text(tiny, "utf-8")
    plan = re.sub(r"\n *egg_mass: .*", "", FIRST.read_text("utf-8"))
    (tmp_path / "plan.yaml").write_text(plan, "utf-8")
    for command in (
        ["check", str(tmp_path / "plan.yaml"), "--species", str(tmp_path)],
        ["species", "check", str(tmp_path / "pantherophis-guttatus.yaml")],
    ):
        result = CliRunner().invoke(main, command)
        assert result.exit_code in SAID, result.output
        assert "must be from" not in result.output


def test_what_no_curve_fits_is_said_in_keepers_words() -> None:
    with pytest.raises(NoSolution) as refused:
        inverse([[1.0, 2.0], [2.0, 4.0]])
    reason = reason_of(refused.value)
    assert reason == "the figures of the profile do not settle one single curve"
    assert not re.search("matrix|singular", reason)


def test_more_faults_than_are_looked_for_are_not_counted_as_all(tmp_path: Path) -> None:
    for boxes, told in (
        (20, "… and 1 more problem"),
        (197, "… and 179 more problems"),
        (300, "… and at least 180 more problems"),
    ):
        plan = tmp_path / f"{boxes}.yaml"
        kinds = "".join(f"  - {{name: b{number}, count: x}}\n" for number in range(boxes))
        plan.write_text(f"format: 1\negg_boxes:\n{kinds}", "utf-8")
        result = CliRunner().invoke(main, ["check", str(plan)])
        assert result.exit_code == 2 and result.stderr.rstrip().endswith(told), result.stderr[-200:]


def test_out_of_range_is_a_reason_and_any_other_error_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(error: Exception) -> Any:
        def raises(*_: object) -> None:
            raise error

        monkeypatch.setattr("advisor.forecast.forecast_air", raises)
        return situation_of({"egg_boxes": [{"name": "eggs"}]}).forecast.egg_boxes[0].air.oxygen_lowest

    found = fails(OutOfRange("egg mass", 0.31, 0.0001, 0.3, "kg"))
    assert isinstance(found, Unknown)
    assert found.reason == "egg mass: too large for our formulas"
    with pytest.raises(ValueError, match="a mistake"):
        fails(ValueError("a mistake"))
    with pytest.raises(ZeroDivisionError):
        fails(ZeroDivisionError())
