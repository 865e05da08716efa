"""What the mutation runner is told by hand holds for the code as it stands."""

from pathlib import Path

import pytest

from tests.mutation import run
from tests.support import ROOT

FILES = (
    "advisor/rules/air_no_holes.py",
    "advisor/rules/shared.py",
    "advisor/formulas/heat/box_links.py",
    "advisor/forecast/heat/heater_choice.py",
    "advisor/reading/plan.py",
    *(file for file in run.FOLDERS if file.endswith(".py")),
)


@pytest.fixture(autouse=True)
def _in_the_root(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)


def test_every_change_that_nothing_can_notice_still_stands_in_the_code() -> None:
    assert run.stale() == []


@pytest.mark.parametrize("file", FILES)
def test_the_tests_it_asks_are_there(file: str) -> None:
    _, *paths = run.tests_for(file)
    assert paths and all(Path(path).exists() for path in paths), paths


def test_the_tests_of_a_module_come_first() -> None:
    _, nearest, *_ = run.tests_for("advisor/forecast/heat/power_cut.py")
    assert nearest == "tests/forecast/heat/test_power_cut.py"
