"""Puts one small fault at a time into what reads, computes, judges and shows, and looks whether a test notices it.

    python -m tests.mutation.run [--only advisor/rules/air_no_holes.py ...] [--every 6] [--jobs 2] [--list]

Nothing in the work tree is touched. Libraries, and modules and tests as far as may be, are loaded once; each mutant is a
fork of that process in which the changed code is put in place of the real one. A mutant is killed when a test fails, or
when it takes ten times as long as the module does without a change. `equivalent.yaml` names the changes that nothing can
notice, each with its reason.
"""

import argparse
import gc
import importlib
import importlib.abc
import importlib.machinery
import importlib.util
import multiprocessing
import os
import resource
import signal
import sys
from collections.abc import Callable, Iterator
from functools import partial
from graphlib import TopologicalSorter
from pathlib import Path
from types import CodeType, FunctionType, ModuleType

import pytest
import yaml
from hypothesis import Phase, settings

from tests.mutation.mutants import Mutant, mutants_of, mutated
from tests.support import ROOT
from tests.test_layers import MODULES, imported

HERE = Path(__file__).parent
FOLDERS = (
    "advisor/rules",
    "advisor/formulas",
    "advisor/forecast",
    "advisor/reading",
    "advisor/show.py",
    "advisor/units.py",
    "advisor/wording.py",
)
TIMES = 10  # the processor time without a change
LEAST_SECONDS, MOST_SECONDS = 5.0, 300.0  # of processor time
BYTES = 6 * 2**30  # of memory
LIBRARIES = (
    "CoolProp.CoolProp",
    "jsonschema",
    "numpy",
    "pint",
    "psychrolib",
    "scipy.integrate",
    "scipy.optimize",
)
PYTEST = [
    "-x",
    "-q",
    "-p",
    "no:cacheprovider",
    "-p",
    "no:unraisableexception",
    "--assert=plain",
    "-s",
    "-m",
    "not browser",
    "-k",
]
PROFILE = "mutation"  # of hypothesis; tests/conftest.py leaves it as it is
UNSTEADY = "not is_quick and not long_inputs"  # a test of time must not decide
NUMBERS = ("formulas", "forecast", "referees", "rules", "species")  # tests of what is computed
BY_PART = {
    "reading": ("tests/reading", "tests/input"),
    "show": (
        "tests/test_show.py",
        "tests/forecast/test_shown.py",
        "tests/rules/test_rules.py",
        "tests/report",
    ),
    "units": ("tests/test_show.py", "tests/reading", "tests/report/test_mix.py"),
    "wording": ("tests/papers",),
}


def tests_for(file: str) -> list[str]:
    """The tests that look after a module, nearest first: a choice among them by name, and their paths."""
    folder, name = Path(file).parent.relative_to("advisor"), Path(file).stem
    if is_rule(file):
        near = f"{name} or {name.replace('_', '-')} or told_once or test_sex_rules"
        return [near, "tests/rules/test_rules.py", "tests/rules"]
    if not folder.parts or folder.parts[0] == "reading":
        return [UNSTEADY, *BY_PART[folder.parts[0] if folder.parts else name]]
    nearest = name.partition("_")[0] if name.startswith("box_") else name
    near_paths = sorted(Path("tests", folder).glob(f"test_{nearest}*.py"))
    module = module_name(Path(file))
    using = [
        path
        for part in NUMBERS
        for path in Path("tests", part).rglob("test_*.py")
        if module in imported(path)
    ]
    around = [Path("tests", folder), Path("tests/rules/test_rules.py")]
    # Of the cases of the rules, those of the rules that ask the module.
    rules = [path.stem for path in Path("advisor/rules").glob("[a-z]*.py") if module in imported(path)]
    cases = " or ".join(["not test_rules", *(rule.replace("_", "-") for rule in rules)])
    return [f"{UNSTEADY} and ({cases})", *dict.fromkeys(map(str, (*near_paths, *sorted(using), *around)))]


def is_rule(file: str) -> bool:
    return file.startswith("advisor/rules/") and Path(file).stem not in ("engine", "shared")


def module_name(path: Path) -> str:
    return ".".join(path.with_suffix("").parts).removesuffix(".__init__")


def import_graph() -> dict[str, set[str]]:
    """What each module of the program imports from the program."""
    paths = {module_name(path.relative_to(ROOT)): path for path in MODULES}
    return {
        name: {other for other in imported(path) if other in paths} - {name} for name, path in paths.items()
    }


def packages_of(names: set[str]) -> set[str]:
    """The packages around some modules, which are loaded with them."""
    return {name.rpartition(".")[0] for name in names} - {""}


def resting_on(target: str, graph: dict[str, set[str]]) -> set[str]:
    """The modules that import the target, by whatever way."""
    found = {target}
    while more := {name for name, needs in graph.items() if needs & found} - found:
        found |= more
    return found - {target}


class _Changed(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Loads one module from changed code."""

    def __init__(self, name: str, code: CodeType) -> None:
        self.name, self.code = name, code

    def find_spec(
        self, name: str, path: object, target: object = None
    ) -> importlib.machinery.ModuleSpec | None:
        return importlib.util.spec_from_loader(name, self) if name == self.name else None

    def exec_module(self, module: ModuleType) -> None:
        exec(self.code, module.__dict__)


def load_on_import(target: str, code: CodeType) -> None:
    """The change to a module that is not loaded yet."""
    sys.meta_path.insert(0, _Changed(target, code))


def exchange_functions(target: str, code: CodeType) -> None:
    """The change inside a function, which others may have imported already."""
    fresh: dict[str, object] = {"__name__": target}
    exec(code, fresh)
    _take_over(target, dict(vars(sys.modules[target])), fresh)
    for name, module in list(sys.modules.items()):
        if name.startswith(("advisor", "tests")):
            for kept in vars(module).values():
                if hasattr(kept, "cache_clear"):
                    kept.cache_clear()


def load_again(target: str, code: CodeType) -> None:
    """The change to a rule: rules are looked up through their modules, so that it may be loaded again where it is."""
    module, graph = vars(sys.modules[target]), import_graph()
    before = dict(module)
    exec(code, module)
    _take_over(target, before, module)
    after = resting_on(target, graph)
    for name in TopologicalSorter(graph).static_order():
        if name in after and name in sys.modules:
            importlib.reload(sys.modules[name])


def _take_over(target: str, before: dict[str, object], after: dict[str, object]) -> None:
    """Lets functions that others hold run the new code."""
    for name, old in before.items():
        new = after.get(name)
        if isinstance(old, FunctionType) and isinstance(new, FunctionType) and old.__module__ == target:
            old.__code__ = new.__code__


def tests_fail(command: list[str], plugins: list[object] | None = None) -> bool:
    """Whether a test fails, or hypothesis was set to draw other examples than these."""
    return bool(pytest.main(command, plugins=plugins)) or settings.get_current_profile_name() != PROFILE


class Trial:
    """The mutants of one file that are put in place in one way: `killed` tells which a test noticed, in their order."""

    def __init__(self, file: str, mutants: list[Mutant], put: Callable[[str, CodeType], None]) -> None:
        self.file, self.mutants, self.put, self.killed = file, mutants, put, list[bool]()

    def forks(self) -> bool:
        """Goes through the mutants, each in a fork, and without a change first. False in a fork, which runs the tests."""
        seconds = MOST_SECONDS
        gc.freeze()  # what is shared stays shared
        for mutant in (None, *self.mutants):
            pid = os.fork()
            if not pid:
                signal.setitimer(signal.ITIMER_PROF, seconds)
                resource.setrlimit(resource.RLIMIT_AS, (BYTES, BYTES))
                if mutant:
                    self.put(module_name(Path(self.file)), compile(mutated(mutant), self.file, "exec"))
                return False
            _, status, used = os.wait4(pid, 0)
            if mutant:
                self.killed.append(status != 0)
            elif status:
                raise RuntimeError(f"{self.file}: its tests fail, or there are none, without any change")
            else:
                seconds = max(LEAST_SECONDS, TIMES * (used.ru_utime + used.ru_stime))
        return True

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self) -> bool | None:
        """Forks after the tests are collected; a fork goes on to run them."""
        return self.forks() or None

    def survivors(self, before_collection: bool = False) -> list[Mutant]:
        """Runs all; loading the tests before the forks is quicker, where the change can be put in place after that."""
        mother, failed = os.getpid(), True
        command = [*PYTEST, *tests_for(self.file)]
        try:
            if not before_collection:
                failed = tests_fail(command, [self])
            elif not self.forks():
                failed = tests_fail(command)
        finally:
            if os.getpid() != mother:
                os._exit(failed)
        return [mutant for mutant, killed in zip(self.mutants, self.killed, strict=True) if not killed]


def survivors_of(file: str, every: int) -> tuple[str, int, list[Mutant]]:
    """The file, how many mutants were tried (each, or one in so many), and those that no test noticed."""
    quiet = os.open(os.devnull, os.O_WRONLY)
    os.dup2(quiet, 1)
    os.dup2(quiet, 2)
    mutants = [mutant for mutant in mutants_of(file) if not is_equivalent(mutant)][::every]
    if is_rule(file):
        tests = importlib.import_module("tests.rules.test_rules")
        tests.CASES[:] = [case for case in tests.CASES if case.values[0] == Path(file).stem.replace("_", "-")]
        return file, len(mutants), Trial(file, mutants, load_again).survivors()
    target = module_name(Path(file))
    graph = {name: needs | packages_of({name, *needs}) for name, needs in import_graph().items()}
    for name in [
        name for name in sys.modules if name.startswith(("advisor", "tests.")) and "mutation" not in name
    ]:
        del sys.modules[name]  # this script has loaded the whole program
    for name in set(graph) - resting_on(target, graph) - {target, "advisor.__main__"}:
        importlib.import_module(name)
    assert target not in sys.modules, target
    # Tests read plans and profiles while they are collected: by then what reads and shows must be changed.
    late = file.startswith(("advisor/rules", "advisor/formulas", "advisor/forecast"))
    outside = [mutant for mutant in mutants if not (late and mutant.in_function)]
    found = Trial(file, outside, load_on_import).survivors(before_collection=True) if outside else []
    inside = [mutant for mutant in mutants if late and mutant.in_function]
    found += Trial(file, inside, exchange_functions).survivors() if inside else []
    return file, len(mutants), found


EQUIVALENT = yaml.safe_load((HERE / "equivalent.yaml").read_text("utf-8")) or {}


def is_equivalent(mutant: Mutant) -> bool:
    return any(
        entry["code"] == mutant.code and (entry["changes"] == "all" or mutant.change in entry["changes"])
        for entry in EQUIVALENT.get(mutant.file, ())
    )


def stale() -> list[str]:
    """Listed equivalents that are no longer there."""
    found = []
    for file, entries in EQUIVALENT.items():
        mutants = mutants_of(file) if Path(file).is_file() else []
        there = {(mutant.code, change) for mutant in mutants for change in (mutant.change, "all")}
        for entry in entries:
            for change in ["all"] if entry["changes"] == "all" else entry["changes"]:
                if (entry["code"], change) not in there:
                    found.append(f"{file}: {entry['code']}: {change}")
    return found


def files_in(only: list[str]) -> Iterator[str]:
    """Files with something to change."""
    for path in only or FOLDERS:
        for file in sorted(Path(path).rglob("[a-z]*.py")) if Path(path).is_dir() else [Path(path)]:
            if mutants_of(str(file)):
                yield str(file)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--only", nargs="+", default=[], help="files or folders")
    parser.add_argument("--every", type=int, default=1, help="try one mutant in so many")
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--list", action="store_true", help="list the mutants and run nothing")
    options = parser.parse_args()
    os.chdir(ROOT)
    if gone := stale():
        parser.error("equivalent.yaml tells of what is no longer there:\n" + "\n".join(gone))
    files = list(files_in(options.only))
    if options.list:
        for mutant in (mutant for file in files for mutant in mutants_of(file)):
            print(f"{mutant.file}:{mutant.line}: {mutant.kind}: {mutant.change}")
        return
    sys.dont_write_bytecode = True
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    phases = (Phase.explicit, Phase.generate)
    settings.register_profile(PROFILE, derandomize=True, database=None, deadline=None, phases=phases)
    settings.load_profile(PROFILE)
    for name in LIBRARIES:
        importlib.import_module(name)
    totals: dict[str, list[int]] = {}
    with multiprocessing.get_context("fork").Pool(options.jobs, maxtasksperchild=1) as pool:
        for file, tried, survivors in pool.imap_unordered(
            partial(survivors_of, every=options.every), files, chunksize=1
        ):
            equal = sum(map(is_equivalent, mutants_of(file)))
            print(f"{file}: {tried - len(survivors)} of {tried} killed, {equal} equivalent", flush=True)
            for mutant in survivors:
                print(f"  {mutant.line}: {mutant.kind}: {mutant.change}   | {mutant.code}", flush=True)
            total = totals.setdefault(str(Path(file).parent), [0, 0, 0])
            for place, number in enumerate((tried, tried - len(survivors), equal)):
                total[place] += number
    for folder, (tried, killed, equal) in totals.items():
        print(f"{folder}: {killed} of {tried} killed ({killed / tried:.1%}), {equal} equivalent")


if __name__ == "__main__":
    main()
