"""The mutation runner finds what it changes, and asks the tests that can notice it."""

import importlib

import pytest

from tests.mutation import run
from tests.mutation.mutants import mutants_of
from tests.support import ROOT


@pytest.fixture(autouse=True)
def _in_the_root(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)


def test_every_change_that_nothing_can_notice_still_stands_in_the_code() -> None:
    assert run.stale() == []


def test_every_changed_function_is_found_below_what_wraps_it() -> None:
    # A change that is put into another function than the one that runs would count as survived.
    for mutant in {(each.file, each.function): each for each in run.mutants_in(run.FOLDERS)}.values():
        if mutant.function:
            module = importlib.import_module(run.module_name(mutant.file))
            found = run.function_at(mutant.function, vars(module)).__code__
            assert (found.co_filename, found.co_qualname) == (str(ROOT / mutant.file), mutant.function)


def test_a_constant_is_asked_of_all_that_use_it() -> None:
    # MOLD_GROWTH-like constants of `shared` are read by rules in other modules, some by way of another constant.
    file = "advisor/forecast/ranges.py"
    mutant = next(each for each in mutants_of(file) if not each.function)
    asked = run.touched(mutant)
    assert asked and any(not name.startswith(file) for name in asked)
