"""The mutation runner finds what it changes, and asks the tests that can notice it."""

import importlib

import pytest

from tests.mutation import entered, run
from tests.mutation.mutants import HERE, NUMBER, is_judgement, mutants_in, mutants_of, sample, stale
from tests.support import ROOT


@pytest.fixture(autouse=True)
def _in_the_root(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)


def test_every_change_that_nothing_can_notice_still_stands_in_the_code() -> None:
    assert stale() == []
    # A file that is named twice would lose what was said of it first.
    files = [line for line in (HERE / "equivalent.yaml").read_text("utf-8").splitlines() if line[0] == "a"]
    assert len(files) == len(set(files))


def test_every_changed_function_is_found_below_what_wraps_it() -> None:
    # A change that is put into another function than the one that runs would count as survived.
    for mutant in {(each.file, each.function): each for each in mutants_in(run.FOLDERS)}.values():
        if mutant.function:
            module = importlib.import_module(run.module_name(mutant.file))
            found = run.function_at(mutant.function, vars(module)).__code__
            assert (found.co_filename, found.co_qualname) == (str(ROOT / mutant.file), mutant.function)


def test_a_constant_is_asked_of_all_that_use_it() -> None:
    # As a default, inside a function, and in another module.
    mutants = mutants_of("advisor/formulas/air/oxygen.py")
    mutant = next(each for each in mutants if each.code.startswith("OXYGEN_IN_AIR = "))
    assert entered.touched(mutant) >= {
        "advisor/formulas/air/oxygen.py:box_air",
        "advisor/formulas/air/oxygen.py:holes_enough",
        "advisor/forecast/egg_box/air.py:fresh_oxygen",
    }

    # One that goes into a table by way of a function.
    mutant = next(each for each in mutants_of("advisor/formulas/water/medium.py") if "_HEAT = " in each.code)
    assert entered.touched(mutant) >= {
        "advisor/forecast/egg_box/medium.py:_one",
        "tests/formulas/water/test_medium.py",
    }


def test_a_constant_of_judgement_is_known_by_its_own_remark_alone() -> None:
    mutants = mutants_of("advisor/forecast/heat/structure.py") + mutants_of(
        "advisor/forecast/measured/joining.py"
    )
    told = {
        mutant.code.partition(" ")[0]: is_judgement(mutant) for mutant in mutants if mutant.kind == NUMBER
    }
    beside, above, neither = (
        ("NARROW_GAP",),
        ('"both":', '"rough":'),
        ("SENSOR", '"lid":', '"floor":', "NO_RANGE"),
    )
    assert {name: told[name] for name in (*beside, *above, *neither)} == dict.fromkeys(
        (*beside, *above), True
    ) | dict.fromkeys(neither, False)


def test_a_sample_gives_every_mutant_the_same_chance_and_every_file_its_share() -> None:
    mutants = mutants_in(["advisor/formulas/logs"])
    drawn = [sample(mutants, 40, seed) for seed in range(50)]
    assert {len(each) for each in drawn} == {40}
    files = {mutant.file: sum(other.file == mutant.file for other in mutants) for mutant in mutants}
    for file, count in files.items():
        share = 40 * count / len(mutants)
        assert all(abs(sum(each.file == file for each in one) - share) <= 1 for one in drawn)
    places = [mutants.index(mutant) for one in drawn for mutant in one]
    assert abs(sum(places) / len(places) - (len(mutants) - 1) / 2) < len(mutants) / 40


def test_the_interval_is_wilsons() -> None:
    # Worked by hand for 9 of 10: (0.9 + 3.84/20 -+ 1.96 sqrt(0.09/10 + 3.84/400))/(1 + 0.384) = 0.596 and 0.982.
    assert run.likely(9, 10) == pytest.approx((0.596, 0.982), abs=0.001)
