"""A season that no one outer box can hold: the plans that are written hold each clutch once, in its band, told as judged."""

import json
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner

from advisor.assess import assess
from advisor.cli import main
from advisor.forecast.clutch.outer_boxes import boxes_of
from advisor.reading.species import load_species
from tests.support import ROOT, situation_of

TWO = ROOT / "examples" / "two-species.yaml"
DAY = ("--date", "2027-03-01")


def run(*arguments: str | Path) -> tuple[int, str]:
    result = CliRunner().invoke(main, ["suggest", *map(str, arguments), *DAY])
    return result.exit_code, result.output


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, int, Any]:
    folder = tmp_path_factory.mktemp("season")
    status, output = run(TWO, "-o", folder / "new.yaml", "--json")
    return folder, status, json.loads(output)


def test_a_plan_is_written_for_each_outer_box_and_judged_as_told(written: tuple[Path, int, Any]) -> None:
    folder, status, told = written
    assert status == 0
    assert sorted(path.name for path in folder.iterdir()) == ["new-1.yaml", "new-2.yaml"]
    assert [one["outer_box"] for one in told["plans"]] == [1, 2]
    for number, one in enumerate(told["plans"], 1):
        assessment = assess(folder / f"new-{number}.yaml")
        assert assessment.report.verdict == one["after"]
        plan = assessment.situation.plan
        assert f"plan {number} of 2" in plan.title
        # Each clutch in its usual band; no egg box that only the other plan uses.
        for clutch in plan.clutches:
            aim = load_species(clutch.species).aim
            assert aim and plan.control.set_to and aim.low <= plan.control.set_to <= aim.high
        assert {box.name for box in plan.egg_boxes if box.holds == "eggs"} == {
            clutch.box for clutch in plan.clutches
        }
    clutches = [place for one in told["plans"] for place in one["clutches"]]
    assert sorted(clutches) == list(range(len(yaml.safe_load(TWO.read_text("utf-8"))["clutches"])))


def test_comments_of_the_plan_stay(written: tuple[Path, int, Any]) -> None:
    first = TWO.read_text("utf-8").splitlines()[0]
    assert all(path.read_text("utf-8").startswith(first) for path in written[0].iterdir())


def test_the_screen_says_how_many_boxes_and_what_goes_where() -> None:
    status, output = run(TWO)
    assert status == 0
    assert "The clutches of this plan take 2 outer boxes, no fewer." in output
    assert "Outer box 1, set to 31.5 °C: clutch 1 (royal python)" in " ".join(output.split())


@pytest.mark.parametrize("entry", ["clutches", "control.set_to"])
def test_what_is_to_stay_is_not_parted(entry: str, tmp_path: Path) -> None:
    status, output = run(TWO, "--keep", entry, "-o", tmp_path / "new.yaml")
    assert status == 1 and "What stands in the way" in output
    assert [path.name for path in tmp_path.iterdir()] == ["new.yaml"]


def test_several_plans_do_not_go_into_one_file(tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_text(TWO.read_text("utf-8"), "utf-8")
    status, output = run(plan, "--write")
    assert status == 2 and "write them with -o" in output
    assert plan.read_text("utf-8") == TWO.read_text("utf-8")


def test_what_was_measured_in_the_shared_box_is_taken_out(tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    measured = "measured: {boxes: [{box: gecko, place: left front, medium: 27.6 °C}]}\n"
    plan.write_text(TWO.read_text("utf-8") + measured, "utf-8")
    status, output = run(plan, "-o", tmp_path / "new.yaml")
    assert status == 0, output
    assert all("measured" not in (tmp_path / f"new-{number}.yaml").read_text("utf-8") for number in (1, 2))


def test_nothing_is_written_over_one_of_them(tmp_path: Path) -> None:
    (tmp_path / "new-2.yaml").write_text("mine", "utf-8")
    status, output = run(TWO, "-o", tmp_path / "new.yaml")
    assert status == 2 and "exists already" in output
    assert [path.name for path in tmp_path.iterdir()] == ["new-2.yaml"]
    assert (tmp_path / "new-2.yaml").read_text("utf-8") == "mine"


def entry(species: str, first: str, **more: Any) -> dict[str, Any]:
    return {"species": species, "laying": {"expected": first}, **more}


def boxes(*clutches: dict[str, Any]) -> list[tuple[int, tuple[int, ...]]]:
    situation = situation_of({"control": {"set_to": "29 °C"}, "clutches": list(clutches)})
    found = boxes_of(situation.plan, situation.species, situation.forecast)
    for one in found:
        for place in one.entries:
            aim = load_species(clutches[place]["species"]).aim
            assert aim and aim.low <= one.band.low <= one.band.high <= aim.high
    return [(one.box, one.entries) for one in found]


def test_species_whose_bands_meet_share_a_box() -> None:
    gecko, corn = entry("eublepharis-macularius", "2027-05-01"), entry("pantherophis-guttatus", "2027-05-10")
    assert boxes(gecko, corn) == [(1, (0, 1))]


def test_species_that_follow_one_another_take_one_box_and_two_plans() -> None:
    # Crested gecko eggs lie 60 to 150 days by the profile, those of the royal python 49 to 80.
    python, crested = entry("python-regius", "2027-01-05"), entry("correlophus-ciliatus", "2027-06-01")
    assert boxes(python, crested) == [(1, (0,)), (1, (1,))]
    assert boxes(crested, python) == [(1, (1,)), (1, (0,))]


def test_a_season_of_one_meets_the_other_species_through_its_later_clutches() -> None:
    python = entry("python-regius", "2027-09-01")
    corn = entry("correlophus-ciliatus", "2027-01-05")
    assert {box for box, _ in boxes(corn, python)} == {1}
    late = {**corn, "repeats": {"every": "28 to 45 days", "times": 7}}
    assert {box for box, _ in boxes(late, python)} == {1, 2}


def test_a_clutch_without_dates_may_lie_in_at_any_time() -> None:
    assert (
        len(
            {
                box
                for box, _ in boxes({"species": "python-regius"}, entry("correlophus-ciliatus", "2027-06-01"))
            }
        )
        == 2
    )
