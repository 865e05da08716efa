"""`advisor mix` and `advisor weigh` as keepers meet them: mixes worked by hand, kitchen measures, JSON, one message for a fault."""

import json
import re
from pathlib import Path
from typing import Any

import pint
import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.cli import main
from advisor.show import Show
from tests.support import ROOT

FIRST = ROOT / "examples" / "first-season.yaml"
UNITS = pint.UnitRegistry[float]()


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def answer(*arguments: str | Path) -> Any:
    result = run("mix", *arguments, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_how_much_water_for_3_litres_at_4_to_1() -> None:
    found = answer("--ratio", "4:1", "--medium-amount", "3 litres", "--grade", "medium")
    by = ["formulas.water.medium.water_content_from_volume_mix"]
    assert found["water_volume"] == {"value": 0.75, "low": 0.75, "high": 0.75, "unit": "l", "formulas": by}
    # Grade sheets: 70 to 90 kg/m3, typically 78.
    assert (found["medium_mass"]["low"], found["medium_mass"]["value"], found["medium_mass"]["high"]) == (
        210,
        234,
        270,
    )
    shown = run("mix", "--ratio", "4:1", "--medium-amount", "3 litres", "--grade", "medium").stdout
    assert re.search(r"Water +750 ml, 750 g", shown)


# By hand: 1000/(parts x bulk density), see tests/formulas/water/test_medium.py.
@pytest.mark.parametrize(
    ("arguments", "name", "expected"),
    [
        (["--ratio", "4:1", "--litre-mass", "85 g"], "water_content", 2.941),
        (["--ratio", "4:1", "--litre-mass", "68 g"], "water_content", 3.676),
        (["--ratio", "1:1", "--by", "mass", "--litre-mass", "78 g"], "medium_parts_by_volume", 12.82),
        (["--ratio", "10:1", "--litre-mass", "100 g"], "water_content", 1.000),
        (["--ratio", "10:1", "--litre-mass", "100 g"], "water_potential", -132.4),
        (["--ratio", "2:1", "--by", "mass", "--litre-mass", "78 g"], "water_potential", -392),  # 0.5 g/g
        (["--ratio", "12:1", "--litre-mass", "68 g"], "water_content", 1.23),
    ],
)
def test_worked_values(arguments: list[str], name: str, expected: float) -> None:
    assert answer(*arguments)[name]["value"] == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize(
    ("ratio", "wetness"),
    [
        # At 100 g a litre r:1 by volume is 10/r g/g: 0.29, 0.31, 0.59, 0.61, 1.96, 2.04, 3.4, 3.6 g/g. Limits 0.3, 0.6,
        # 2 (judgement) and 3.5 (what drained vermiculite holds).
        ("34.5:1", "dry"),
        ("32.5:1", "rather dry"),
        ("17:1", "rather dry"),
        ("16.5:1", "usual"),
        ("5.1:1", "usual"),
        ("4.9:1", "wet"),
        ("2.95:1", "wet"),
        ("2.75:1", "more water than it holds"),
    ],
)
def test_how_wet_is_that(ratio: str, wetness: str) -> None:
    assert answer("--ratio", ratio, "--litre-mass", "100 g")["wetness"] == [wetness] * 3


def test_the_range_of_words_is_told() -> None:
    found = answer("--ratio", "4:1")
    assert found["wetness"] == ["usual", "wet", "more water than it holds"]
    shown = run("mix", "--ratio", "4:1").stdout
    assert "Wet but usable" in shown and "usual to more water than it holds" in shown
    assert "weigh one litre of it, dry" in " ".join(shown.split())


def test_what_is_1_to_1_by_weight_in_cups_and_spoons() -> None:
    arguments = [
        "--ratio",
        "1:1",
        "--by",
        "mass",
        "--medium-amount",
        "2 cups",
        "--litre-mass",
        "80 g",
        "--units",
        "us",
    ]
    shown = run("mix", *arguments).stdout
    # 2 cups are 473.2 ml (231 cubic inches to 16 cups); at 80 g a litre that is 37.9 g, and so much water is 7.68 tsp:
    # 2 tbsp and 1.68 tsp, to the quarter spoon 1 3/4.
    spoons = (
        (0.080 * (2 * UNITS.cup).to("litre").magnitude) / 1.0 / (1 * UNITS.teaspoon).to("litre").magnitude
    )
    assert spoons == pytest.approx(7.68, abs=0.005)
    assert "2 tbsp, 1 3/4 tsp of water" in shown
    assert "2 cups of medium" in shown
    assert re.search(
        r"The same by volume +about 12 parts of medium to 1 of water", shown
    )  # 12.5, to two digits


def test_amounts_by_mass() -> None:
    found = answer("--ratio", "4:1", "--medium-amount", "312 g", "--grade", "medium")
    # 312 g are 4 l at 78 g a litre, so a litre of water.
    assert found["medium_volume"]["value"] == pytest.approx(4.0)
    assert found["water"]["value"] == pytest.approx(1000.0)
    assert found["water"]["low"] < 1000.0 < found["water"]["high"]
    by_mass = answer("--ratio", "1:0.8", "--by", "mass", "--medium-amount", "250 g")
    by = ["formulas.water.medium.water_content_from_mass_mix"]
    assert by_mass["water"] == {"value": 200.0, "low": 200.0, "high": 200.0, "unit": "g", "formulas": by}


@settings(max_examples=40, deadline=None)
@given(parts=st.floats(1, 30), weight=st.floats(60, 160))
def test_both_ratios_are_the_same_mix(parts: float, weight: float) -> None:
    by_volume = answer("--ratio", f"{parts:.4f}:1", "--litre-mass", f"{weight:.3f} g")
    share = by_volume["medium_parts_by_mass"]["value"]
    by_mass = answer("--ratio", f"{share:.6f}:1", "--by", "mass", "--litre-mass", f"{weight:.3f} g")
    # Ratios are printed with six digits.
    assert by_mass["medium_parts_by_volume"]["value"] == pytest.approx(parts, rel=1e-4)
    assert by_mass["water_content"]["value"] == pytest.approx(by_volume["water_content"]["value"], rel=1e-4)


@settings(max_examples=60, deadline=None)
@given(litres=st.floats(0.002, 5))
def test_spoons_add_up_to_the_volume(litres: float) -> None:
    told = Show("us").spoons(litres * 1e-3)
    total = 0 * UNITS.teaspoon
    for amount, unit in re.findall(r"([\d /]+) (cup|tbsp|tsp)", told):
        value = sum(int(top) / int(below or 1) for top, _, below in re.findall(r"(\d+)(/(\d+))?", amount))
        total += value * UNITS({"cup": "cup", "tbsp": "tablespoon", "tsp": "teaspoon"}[unit])
    # To a quarter teaspoon (0.6 ml half), a tablespoon from a cup on, a quarter cup from a quart on.
    step = 0.63 if litres < 0.2366 else 7.5 if litres < 0.9464 else 29.7
    assert total.to("ml").magnitude == pytest.approx(litres * 1000, abs=step)


def test_media_without_figures_say_so() -> None:
    shown = " ".join(
        run("mix", "--ratio", "4:1", "--material", "coconut fibre", "--litre-mass", "80 g").stdout.split()
    )
    assert "Water potential not known: nothing is known here of coconut fibre" in shown
    found = answer("--ratio", "4:1", "--material", "sand")
    assert found["water_potential"] is None and "sand" in found["reasons"]["water_potential"]
    assert found["wetness"] is None


def test_sources_are_told() -> None:
    assert "grade sheets" in run("mix", "--ratio", "4:1", "--grade", "coarse").stdout
    assert "your own weighing of one litre" in run("mix", "--ratio", "4:1", "--litre-mass", "80 g").stdout


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--ratio", "4"], "'4' is no ratio"),
        (["--ratio", "4:0"], "for example 4:1"),
        (["--ratio", "0:1"], "for example 4:1"),
        (["--ratio", "-4:1"], "for example 4:1"),
        (["--ratio", "4:1\x1b[31m"], "no ratio"),
        (["--ratio", "9000000:1"], "parts of medium"),
        (["--ratio", "4:1", "--medium-amount", "3"], "the number 3 has no unit"),
        (["--ratio", "4:1", "--medium-amount", "0 litres"], "too small"),
        (["--ratio", "4:1", "--medium-amount", "3 °C"], "does not measure a volume"),
        (["--ratio", "4:1", "--medium-amount", "1 to 2 litres"], "is a range"),
        (["--ratio", "4:1", "--litre-mass", "9 kg"], "too large"),
        (["--ratio", "4:1", "--material", "coconut fibre"], "no density of coconut fibre is known"),
        (["--ratio", "4:1", "--material", "gravel"], "gravel"),
        ([], "--ratio"),
    ],
)
def test_a_fault_is_told_in_one_message(arguments: list[str], said: str) -> None:
    result = run("mix", *arguments)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert said in result.stderr
    assert result.stderr.count("Error:") == 1
    assert all(character.isprintable() or character == "\n" for character in result.stderr)


def test_by_weight_is_by_mass() -> None:
    """`new` takes both words, so this does too."""
    assert answer("--ratio", "1:1", "--by", "weight") == answer("--ratio", "1:1", "--by", "mass")
    assert answer("--ratio", "1:1", "--by", "weight") != answer("--ratio", "1:1", "--by", "volume")


def test_weigh_counts_the_water_that_the_plan_schedules(tmp_path: Path) -> None:
    plan = ROOT / "examples" / "chameleon-short-mix.yaml"
    top_ups = json.loads(run("check", plan, "--json").stdout)["forecast"]["egg_boxes"][0]["top_ups"]
    before = [top_up for top_up in top_ups if top_up["day"] < 100]
    assert len(before) >= 2
    command = ("weigh", plan, "--box", "eggs", "--day", "100", "--mass", "320 g")
    plain = json.loads(run(*command, "--json").stdout)
    # The plan of the example says that nothing is added: then nothing is counted.
    assert (plain["added"], plain["added_as_planned"]) == (0.0, True)
    planned = tmp_path / "plan.yaml"
    text = plan.read_text("utf-8").replace("top_up: none", "top_up: by weight")
    assert text != plan.read_text("utf-8")
    planned.write_text(text, "utf-8")
    command = ("weigh", planned, "--box", "eggs", "--day", "100", "--mass", "320 g")
    counted = json.loads(run(*command, "--json").stdout)
    wanted = sum(top_up["grams"] for top_up in before)
    assert counted["added"] == pytest.approx(wanted, abs=0.2)
    told = json.loads(run(*command, "--added", f"{wanted} g", "--json").stdout)
    assert told["lost"]["value"] == pytest.approx(counted["lost"]["value"], abs=0.5)
    assert told["added_as_planned"] is False
    assert "as the plan tops up" in " ".join(run(*command).stdout.split())
    assert json.loads(run(*command, "--added", "0 g", "--json").stdout)["added"] == 0.0


WEIGH = ("weigh", FIRST, "--box", "eggs", "--day", "20")


def test_weigh_tells_where_the_water_went() -> None:
    result = run(*WEIGH, "--mass", "620 g", "--start-mass", "640 g", "--egg-mass-now", "12 g")
    assert result.exit_code == 0, result.output
    shown = " ".join(result.stdout.split())
    assert "20 g (19 to 21) lighter than on laying day" in shown
    # 7 eggs in each of two boxes, 11 g at laying.
    assert "7 g, by their own weight. Eggs take water from the medium and keep it in the box" in shown
    for row in ("Leak", "In the medium", "Lasts until day", "At hatching", "Next top-ups"):
        assert row in shown


def test_weigh_without_eggs_weighed_in_us_units() -> None:
    shown = " ".join(
        run(*WEIGH, "--mass", "22 oz", "--start-mass", "22.6 oz", "--units", "us").stdout.split()
    )
    assert "0.6 oz" in shown and "as such eggs usually do" in shown and "--egg-mass-now" in shown


def test_weigh_as_json() -> None:
    result = run(*WEIGH, "--mass", "620 g", "--start-mass", "640 g", "--added", "5 g", "--json")
    data = json.loads(result.stdout)
    assert (data["box"], data["day"]) == ("eggs", 20)
    assert data["lost"] == {"value": 25.0, "low": 24.0, "high": 26.0, "unit": "g", "formulas": []}
    assert data["leak_factor"]["low"] < data["leak_factor"]["value"] < data["leak_factor"]["high"]
    assert all({"day", "date", "grams"} == set(entry) for entry in data["top_ups"])


def test_a_finer_scale_narrows_the_loss() -> None:
    fine = json.loads(
        run(*WEIGH, "--mass", "620 g", "--start-mass", "640 g", "--scale-step", "0.1 g", "--json").stdout
    )
    assert (fine["lost"]["low"], fine["lost"]["high"]) == pytest.approx((19.9, 20.1))


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((*WEIGH, "--mass", "620"), "the number 620 has no unit"),
        ((*WEIGH, "--mass", "620 ml"), "does not measure a mass"),
        ((*WEIGH, "--mass", "920 g"), "heavier than the plan allows"),
        (
            ("weigh", FIRST, "--box", "egg", "--day", "20", "--mass", "620 g"),
            "Boxes in this plan: eggs, probe",
        ),
        (
            ("weigh", FIRST, "--box", "probe", "--day", "20", "--mass", "520 g"),
            "no clutch goes into this box",
        ),
        (("weigh", FIRST, "--box", "eggs", "--day", "0", "--mass", "520 g"), "--day"),
        (("weigh", FIRST, "--box", "eggs", "--day", "99", "--mass", "520 g"), "after the likely hatching"),
    ],
)
def test_a_faulty_weighing_is_told_in_one_message(arguments: tuple[str | Path, ...], said: str) -> None:
    result = run(*arguments)
    assert result.exit_code == 2
    assert said in " ".join(result.stderr.split())
    assert result.stdout == "" and result.stderr.count("Error:") == 1


def test_a_plan_that_leaves_entries_out_is_told_which(tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_text(
        "format: 1\negg_boxes: [{name: eggs}]\nclutches: [{species: pantherophis-guttatus, box: eggs}]\n"
    )
    result = run("weigh", plan, "--box", "eggs", "--day", "20", "--mass", "620 g")
    assert result.exit_code == 2
    assert "Add to the plan: clutches[0].eggs" in " ".join(result.stderr.split())
    faulty = tmp_path / "faulty.yaml"
    faulty.write_text("format: 1\nclutches: [{species: nobody}]\n")
    assert run("weigh", faulty, "--box", "eggs", "--day", "20", "--mass", "620 g").exit_code == 2
