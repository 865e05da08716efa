"""Puts one small fault at a time into rules, physics and eggs, and looks whether a test notices it.

    python -m tests.mutation.run [--only advisor/rules/air_no_holes.py ...] [--jobs 2] [--list]

Nothing in the work tree is touched. Libraries and all modules that do not rest on the module in question are loaded
once; each mutant is a fork of that process in which the changed module is loaded in place of the real one. A mutant is
killed when a test fails, or when it takes ten times as long as the module does without a change. `equivalent.yaml` names the changes that
nothing can notice, each with its reason.
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
from collections.abc import Iterator
from graphlib import TopologicalSorter
from pathlib import Path
from types import CodeType, ModuleType

import hypothesis
import pytest
import yaml

from tests.mutation.mutants import Mutant, mutants_of, mutated
from tests.support import ROOT
from tests.test_layers import MODULES, imported

HERE = Path(__file__).parent
FOLDERS = ("advisor/rules", "advisor/physics", "advisor/eggs")
TIMES, LEAST_SECONDS, MOST_SECONDS = (
    10,
    5.0,
    120.0,
)  # of the processor time without a change; at least, at most
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
PYTEST = ["-x", "-q", "-p", "no:cacheprovider", "-p", "no:unraisableexception", "--assert=plain", "-s", "-k"]
UNSTEADY = "not milliseconds"  # a test of time must not decide
BOX_NETWORK = ("box_links", "box_setup", "box_surfaces")


def tests_for(file: str) -> list[tuple[list[str], str]]:
    """The tests that look after a module, nearest first: paths, and a choice among them by name."""
    folder, name = Path(file).parent.name, Path(file).stem
    if folder == "rules" and name != "engine":
        near = f"{name} or {name.replace('_', '-')} or told_once or test_sex_rules"
        return [(["tests/rules/test_rules.py", "tests/rules"], near)]
    if folder == "rules":
        return [(["tests/rules"], UNSTEADY)]
    nearest = "box_network" if name in BOX_NETWORK else name.partition("_")[0] if folder == "eggs" else name
    near = [str(path) for path in sorted(Path("tests", folder).glob(f"test_{nearest}*.py"))]
    return [*([(near, UNSTEADY)] if near else []), ([f"tests/{folder}"], UNSTEADY)]


def module_name(path: Path) -> str:
    return ".".join(path.with_suffix("").parts).removesuffix(".__init__")


def import_graph() -> dict[str, set[str]]:
    """What each module of the program imports from the program."""
    paths = {module_name(path.relative_to(ROOT)): path for path in MODULES}
    return {
        name: {other for other in imported(path) if other in paths} - {name} for name, path in paths.items()
    }


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


def may_be_loaded_once(target: str) -> bool:
    """Rules are looked up through their modules, so that they and their tests can be loaded before the change."""
    return target.startswith("advisor.rules.") and target != "advisor.rules.engine"


def load_what_is_safe(target: str, graph: dict[str, set[str]]) -> None:
    """Loads all that the mutants may share."""
    if may_be_loaded_once(target):
        tests = importlib.import_module("tests.rules.test_rules")
        tests.CASES[:] = [case for case in tests.CASES if case.values[0] == target[14:].replace("_", "-")]
    else:
        for name in set(graph) - resting_on(target, graph) - {target, "advisor.__main__"}:
            importlib.import_module(name)
    gc.freeze()  # what is shared stays shared


def install(target: str, code: CodeType, graph: dict[str, set[str]]) -> None:
    """Puts changed code in place: where the module is loaded, there and in those that import it; else on its import."""
    if target not in sys.modules:
        sys.meta_path.insert(0, _Changed(target, code))
        return
    exec(code, sys.modules[target].__dict__)
    after = resting_on(target, graph)
    for name in TopologicalSorter(graph).static_order():
        if name in after and name in sys.modules:
            importlib.reload(sys.modules[name])


class Trial:
    """The mutants of one file: `killed` tells which a test noticed, in their order."""

    def __init__(self, file: str, mutants: list[Mutant]) -> None:
        self.file, self.mutants, self.killed = file, mutants, list[bool]()
        self.target, self.graph = module_name(Path(file)), import_graph()
        self.seconds = MOST_SECONDS

    def forks(self) -> bool:
        """Goes through the mutants, each in a fork, and without a change first. False in a fork, which runs the tests."""
        for mutant in (None, *self.mutants):
            pid = os.fork()
            if not pid:
                signal.setitimer(signal.ITIMER_PROF, self.seconds)
                resource.setrlimit(resource.RLIMIT_AS, (BYTES, BYTES))
                if mutant:
                    install(self.target, compile(mutated(mutant), self.file, "exec"), self.graph)
                return False
            _, status, used = os.wait4(pid, 0)
            if mutant:
                self.killed.append(status != 0)
            elif status:
                raise RuntimeError(f"{self.file}: its tests fail, or there are none, without any change")
            else:
                self.seconds = max(LEAST_SECONDS, TIMES * (used.ru_utime + used.ru_stime))
        return True

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self) -> bool | None:
        """Forks after the tests are collected; a fork goes on to run them."""
        return self.forks() or None


def survivors_of(file: str) -> tuple[str, int, list[Mutant]]:
    """The file, how many mutants were tried, and those that no test noticed."""
    trial = Trial(file, [mutant for mutant in mutants_of(file) if not is_equivalent(mutant)])
    load_what_is_safe(trial.target, trial.graph)
    quiet = os.open(os.devnull, os.O_WRONLY)
    os.dup2(quiet, 1)
    os.dup2(quiet, 2)
    mother, failed = os.getpid(), True
    try:
        if may_be_loaded_once(trial.target):
            [(paths, choice)] = tests_for(file)
            failed = bool(pytest.main([*PYTEST, choice, *paths], plugins=[trial]))
        elif not trial.forks():
            failed = any(pytest.main([*PYTEST, choice, *paths]) for paths, choice in tests_for(file))
    finally:
        if os.getpid() != mother:
            os._exit(failed)
    if len(trial.killed) < len(trial.mutants):
        raise RuntimeError(f"{file}: its tests fail, or there are none, without any change")
    survivors = [mutant for mutant, killed in zip(trial.mutants, trial.killed, strict=True) if not killed]
    return file, len(trial.mutants), survivors


EQUIVALENT = yaml.safe_load((HERE / "equivalent.yaml").read_text("utf-8")) or {}


def is_equivalent(mutant: Mutant) -> bool:
    return any(
        entry["code"] == mutant.code and mutant.change in entry["changes"]
        for entry in EQUIVALENT.get(mutant.file, ())
    )


def files_in(only: list[str]) -> Iterator[str]:
    """Files with something to change; every listed equivalent must still be there."""
    for path in only or FOLDERS:
        for file in sorted(Path(path).glob("[a-z]*.py")) if Path(path).is_dir() else [Path(path)]:
            mutants = mutants_of(str(file))
            there = {(mutant.code, mutant.change) for mutant in mutants}
            for entry in EQUIVALENT.get(str(file), ()):
                for change in entry["changes"]:
                    assert (entry["code"], change) in there, f"{file}: {entry['code']}: {change}"
            if mutants:
                yield str(file)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--only", nargs="+", default=[], help="files or folders")
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--list", action="store_true", help="list the mutants and run nothing")
    options = parser.parse_args()
    os.chdir(ROOT)
    files = list(files_in(options.only))
    if options.list:
        for mutant in (mutant for file in files for mutant in mutants_of(file)):
            print(f"{mutant.file}:{mutant.line}: {mutant.kind}: {mutant.change}")
        return
    sys.dont_write_bytecode = True
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    phases = (hypothesis.Phase.explicit, hypothesis.Phase.generate)
    hypothesis.settings.register_profile("mutation", derandomize=True, database=None, phases=phases)
    hypothesis.settings.load_profile("mutation")
    for name in LIBRARIES:
        importlib.import_module(name)
    totals: dict[str, list[int]] = {}
    with multiprocessing.get_context("fork").Pool(options.jobs, maxtasksperchild=1) as pool:
        for file, tried, survivors in pool.imap_unordered(survivors_of, files, chunksize=1):
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
