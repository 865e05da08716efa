"""Puts one small fault at a time into what reads, computes, judges and shows, and looks whether a test notices it.

    python -m tests.mutation.run [--only advisor/formulas ...] [--sample 80 --seed 1] [--list]

Nothing in the work tree is touched. The tests are collected once. The first run learns which functions each test enters
(`entered.py`; delete what it keeps after large changes). Each mutant is a fork in which the
code of the changed function is exchanged, and which runs the tests that enter it, the nearest and quickest first. A change
outside of functions is put in place before anything is imported. A mutant is killed when a test fails that passes without
the change, or takes far longer than it does without. `equivalent.yaml` names the changes that nothing can notice, each with its reason.
"""

import argparse
import gc
import importlib
import importlib.abc
import inspect
import math
import os
import signal
import sys
from collections.abc import Callable, Mapping
from functools import partial
from importlib.machinery import ModuleSpec
from importlib.util import spec_from_file_location
from itertools import pairwise
from pathlib import Path
from types import CodeType, FunctionType, ModuleType
from typing import Any

import pytest
from hypothesis import Phase, settings

from tests.mutation.entered import COLLECTING, PYTEST, ROOT, Known, file_of, forked, learned, touched
from tests.mutation.mutants import Mutant, is_judgement, mutants_in, mutated, sample, shown, stale

FOLDERS = (
    "advisor/rules",
    "advisor/formulas",
    "advisor/forecast",
    "advisor/reading",
    "advisor/show.py",
    "advisor/units.py",
    "advisor/wording.py",
)
TESTS = [
    "tests/rules",
    "tests/formulas",
    "tests/forecast",
    "tests/referees",
    "tests/setups",
    "tests/species",
    "tests/reading",
    "tests/input",
    "tests/trial",
    "tests/follow",
    "tests/report",
    "tests/papers",
    "tests/drawings",
    "tests/advice/test_season_boxes.py",
    "tests/test_show.py",
    "tests/test_wording.py",
]
TESTS_OF_RULES = [
    "tests/rules",
    "tests/drawings/test_drawings.py",
    "tests/test_show.py",
]  # these hold what rules and pictures share
NEAREST = 12  # tests that are asked first, where each asking collects them anew
LEAST, TIMES = 5.0, 5.0  # a test may take so many seconds, and so many times what it took
LIBRARIES = (
    "CoolProp.CoolProp",
    "jsonschema",
    "numpy",
    "pint",
    "psychrolib",
    "scipy.integrate",
    "scipy.optimize",
)
SCREEN = os.dup(2)
PROFILE = "mutation"  # of hypothesis; tests/conftest.py leaves it as it is


class Loop:
    """A plugin of pytest that does something else than run all that was collected."""

    def __init__(self, do: Callable[[pytest.Session], object]) -> None:
        self.do = do

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        self.do(session)
        return True


def one_fails(session: pytest.Session, chosen: list[str], known: Known, tell: int) -> bool:
    """Runs tests in their order up to the first that fails, each within its time; tells each as it begins."""
    items = {item.nodeid: item for item in session.items}
    for test, following in pairwise([*(test for test in chosen if test in items), None]):
        assert test
        os.write(tell, f"{test}\n".encode())
        signal.setitimer(signal.ITIMER_PROF, LEAST + TIMES * known.tests[test][1])
        items[test].config.hook.pytest_runtest_protocol(
            item=items[test], nextitem=items[following] if following else None
        )
        if session.testsfailed:
            return True
    return False


class Changed(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Loads one module from changed code."""

    def __init__(self, mutant: Mutant) -> None:
        self.name, self.code, self.file = module_name(mutant.file), compiled(mutant), Path(mutant.file)

    def find_spec(self, name: str, path: object, target: object = None) -> ModuleSpec | None:
        inside = [str(self.file.parent)] if self.file.stem == "__init__" else None
        if name != self.name:
            return None
        return spec_from_file_location(name, self.file, loader=self, submodule_search_locations=inside)

    def exec_module(self, module: ModuleType) -> None:
        exec(self.code, vars(module))


def module_name(file: str) -> str:
    return ".".join(Path(file).with_suffix("").parts).removesuffix(".__init__")


def compiled(mutant: Mutant) -> CodeType:
    return compile(mutated(mutant), f"{ROOT}/{mutant.file}", "exec")


def exchange(mutant: Mutant) -> None:
    """Puts a change inside a function in place, which others may have imported already; nothing is remembered from before."""
    before = vars(sys.modules[module_name(mutant.file)])
    after = dict(before)
    exec(compiled(mutant), after)
    old, new = (function_at(mutant.function, names) for names in (before, after))
    old.__code__ = new.__code__
    for name, module in list(sys.modules.items()):
        if name.startswith(("advisor", "tests")):
            for kept in vars(module).values():
                if hasattr(kept, "cache_clear"):
                    kept.cache_clear()


def function_at(path: str, names: Mapping[str, Any]) -> FunctionType:
    """A function or method below what keeps its results, makes it a property or the like."""
    *classes, name = path.split(".")
    for part in classes:
        names = vars(names[part])
    found = names[name]
    found = getattr(found, "fget", None) or getattr(found, "__func__", found)
    found = inspect.unwrap(found)
    assert isinstance(found, FunctionType), path
    return found


Try = Callable[[Mutant | None, list[str]], tuple[bool, list[str]]]


def trial_in(session: pytest.Session, known: Known) -> Try:
    """Tries changes inside functions after the tests are collected."""

    def tried(mutant: Mutant | None, chosen: list[str]) -> tuple[bool, list[str]]:
        def work(tell: int) -> bool:
            if mutant:
                exchange(mutant)
            return one_fails(session, chosen, known, tell)

        return forked(work)

    return tried


def trial_before(known: Known) -> Try:
    """Tries changes that are put in place before anything is imported."""

    def some_tried(mutant: Mutant | None, chosen: list[str]) -> tuple[bool, list[str]]:
        def work(tell: int) -> int:
            if mutant:
                sys.meta_path.insert(0, Changed(mutant))
            loop = Loop(lambda session: os._exit(one_fails(session, chosen, known, tell)))
            return pytest.main(["-x", *PYTEST, *{file_of(test) for test in chosen}], plugins=[loop])

        return forked(work)

    def tried(mutant: Mutant | None, chosen: list[str]) -> tuple[bool, list[str]]:
        # Most are noticed by the nearest tests, whose few files are soon collected.
        found = some_tried(mutant, chosen[:NEAREST])
        return found if found[0] or not chosen[NEAREST:] else some_tried(mutant, chosen[NEAREST:])

    return tried


def killer(mutant: Mutant, known: Known, tried: Try, sound: dict[str, bool]) -> str:
    """The test that notices a mutant, and passes without it; empty without one."""
    functions = touched(mutant)
    while chosen := known.asked(functions, mutant.file):
        failed, begun = tried(mutant, chosen)
        if not failed:
            break
        test = begun[-1] if begun else ""
        if test not in sound:
            sound[test] = not test or not tried(None, [test])[0]
        if sound[test]:
            return test or "before any test"
        del known.tests[test]
    os.write(SCREEN, f"no test of {len(chosen)} notices {shown(mutant)}\n".encode())
    return ""


def likely(killed: int, tried: int) -> tuple[float, float]:
    """Wilson's interval of 95 % for a share."""
    z, share = 1.96, killed / tried
    middle = (share + z * z / (2 * tried)) / (1 + z * z / tried)
    half = z / (1 + z * z / tried) * math.sqrt(share * (1 - share) / tried + z * z / (4 * tried * tried))
    return middle - half, middle + half


def killers(mutants: list[Mutant], known: Known, tests: list[str]) -> dict[Mutant, str]:
    """The test that notices each mutant, empty where none does."""
    sound: dict[str, bool] = {}
    before = partial(killer, known=known, tried=trial_before(known), sound=sound)
    found = {mutant: before(mutant) for mutant in mutants if not mutant.function}

    def work(tell: int) -> None:
        loop = Loop(lambda session: inside(session, tell))
        pytest.main(["-x", *PYTEST, *tests], plugins=[loop])

    def inside(session: pytest.Session, tell: int) -> None:
        gc.freeze()  # what is shared stays shared
        for place, mutant in enumerate(mutants):
            if mutant.function:
                name = killer(mutant, known, trial_in(session, known), sound)
                os.write(tell, f"{place} {name}\n".encode())

    for line in forked(work)[1]:
        place, _, name = line.partition(" ")
        found[mutants[int(place)]] = name
    early = known.tests[COLLECTING][0]  # a plan or a profile that a test reads while it is collected
    again = {
        mutant for mutant, name in found.items() if not name and f"{mutant.file}:{mutant.function}" in early
    }
    return found | {mutant: before(mutant) for mutant in again}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--only", nargs="+", default=FOLDERS, help="files or folders")
    parser.add_argument("--sample", type=int, default=0, help="draw so many mutants of all")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--tests", nargs="+", help="the tests to ask")
    parser.add_argument("--held", action="store_true", help="leave out constants that rest on judgement")
    parser.add_argument("--list", action="store_true", help="list the mutants and run nothing")
    options = parser.parse_args()
    os.chdir(ROOT)
    if gone := stale():
        parser.error("equivalent.yaml tells of what is no longer there:\n" + "\n".join(gone))
    every = mutants_in(options.only)
    held = [mutant for mutant in every if not (options.held and is_judgement(mutant))]
    mutants = sample(held, options.sample, options.seed)
    if options.list:
        print(*map(shown, mutants), sep="\n")
        return
    sys.dont_write_bytecode = True
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    phases = (Phase.explicit, Phase.generate)
    settings.register_profile(PROFILE, derandomize=True, database=None, deadline=None, phases=phases)
    settings.load_profile(PROFILE)
    for name in LIBRARIES:
        importlib.import_module(name)
    rules = all(path.startswith("advisor/rules") for path in options.only)
    tests = options.tests or (TESTS_OF_RULES if rules else TESTS)
    found = killers(mutants, learned(tests), tests)
    assert len(found) == len(mutants)
    left = [mutant for mutant, name in found.items() if not name]
    judged = [mutant for mutant in left if is_judgement(mutant)]
    for mutant in sorted(left, key=lambda mutant: (mutant.file, mutant.line)):
        print("judgement: " * (mutant in judged) + shown(mutant))
    killed = len(found) - len(left)
    for what, of in (("all", len(found)), ("all but judgement", len(found) - len(judged))):
        low, high = likely(killed, of)
        print(f"{killed} of {of} killed ({what}), {killed / of:.1%} ({low:.0%} to {high:.0%} at 95 %)")


if __name__ == "__main__":
    main()
