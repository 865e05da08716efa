"""Puts one small fault at a time into what reads, computes, judges and shows, and looks whether a test notices it.

    python -m tests.mutation.run [--only advisor/formulas ...] [--sample 80 --seed 1] [--list]

Nothing in the work tree is touched. The tests are collected once. The first run learns which functions each test enters
(kept in KNOWN, so that later runs learn only new tests; delete it after large changes). Each mutant is a fork in which the
code of the changed function is exchanged, and which runs the tests that enter it, the nearest and quickest first. A change
outside of functions is put in place before anything is imported. A mutant is killed when a test fails that passes without
the change, or takes far longer than it does without. `equivalent.yaml` names the changes that nothing can notice, each with its reason.
"""

import argparse
import ast
import functools
import gc
import importlib
import importlib.abc
import inspect
import json
import math
import os
import random
import re
import resource
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import partial
from importlib.machinery import ModuleSpec
from importlib.util import spec_from_file_location
from itertools import pairwise
from pathlib import Path
from types import CodeType, FrameType, FunctionType, ModuleType
from typing import Any, TypeGuard

import pytest
import yaml
from hypothesis import Phase, settings

from tests.mutation.mutants import NUMBER, Mutant, mutants_of, mutated

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
KNOWN = Path(tempfile.gettempdir(), f"advisor-mutation-{os.getuid()}")
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
]
TESTS_OF_RULES = [
    "tests/rules",
    "tests/drawings/test_drawings.py",
]  # these hold what rules and pictures share
OWN = 0.05  # of its cost counts for a test of the module's own folder
ENOUGH = 25.0  # seconds of tests, as they were learned, that a mutant has to outlive
NEAREST = 12  # tests that are asked first, where each asking collects them anew
LEAST, TIMES = 5.0, 5.0  # a test may take so many seconds, and so many times what it took
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
PYTEST = ["-x", "-q", "-p", "no:cacheprovider", "-p", "no:unraisableexception", "--assert=plain", "-s"]
# A test of time must not decide.
PYTEST += ["-m", "not browser and not slow", "-k", "not is_quick and not long_inputs"]
COLLECTING = "collecting"
SCREEN = os.dup(2)
PROFILE = "mutation"  # of hypothesis; tests/conftest.py leaves it as it is


class Entered:
    """Notes the functions of the program that are entered, also those whose results a cache has kept."""

    def __init__(self) -> None:
        self.codes = set[CodeType]()
        self.kept: dict[object, set[CodeType]] = {}  # by function and arguments
        self.noting = False
        self.cache = functools.lru_cache

    def __call__(self, frame: FrameType, event: str, argument: object) -> None:
        self.codes.add(frame.f_code)

    def switch(self, on: bool) -> None:
        self.noting = on
        sys.settrace(self if on else None)

    def lru_cache(self, maxsize: Any = 128, typed: bool = False) -> Any:
        """In the place of functools.lru_cache: asking it is entering what it once entered."""
        if callable(maxsize):
            return self.lru_cache()(maxsize)

        def decorate(function: Callable[..., Any]) -> Callable[..., Any]:
            kept = self.cache(maxsize, typed)(function)

            @functools.wraps(function)
            def ask(*values: Any, **named: Any) -> Any:
                if not self.noting:
                    return kept(*values, **named)
                around, self.codes = self.codes, set()
                try:
                    return kept(*values, **named)
                finally:
                    inside = self.kept.setdefault((function, values, *named.items()), set())
                    inside |= self.codes
                    self.codes = around
                    self.codes |= inside

            ask.cache_clear, ask.cache_info = kept.cache_clear, kept.cache_info  # type: ignore[attr-defined]
            return ask

        return decorate

    def names(self) -> list[str]:
        """What was entered since the last question, `file:function`."""
        codes, self.codes = self.codes, set()
        names = set()
        for code in codes:
            if code.co_filename.startswith(f"{ROOT}/advisor/"):
                file = code.co_filename.removeprefix(f"{ROOT}/")
                names.add(f"{file}:{code.co_qualname.partition('.<locals>')[0]}")
        return sorted(names)


class Known:
    """What is known of each test: the functions it enters, and its seconds of a processor. Of COLLECTING as well."""

    def __init__(self) -> None:
        self.tests: dict[str, tuple[list[str], float]] = {}
        for path in KNOWN.glob("*.json"):
            self.tests |= json.loads(path.read_text("utf-8"))

    def keep(self, file: str) -> None:
        """What is known of the tests in a file."""
        tests = {test: what for test, what in self.tests.items() if file_of(test) == file}
        KNOWN.mkdir(exist_ok=True)
        (KNOWN / f"{file.replace('/', '.')}.json").write_text(json.dumps(tests), "utf-8")

    def asked(self, functions: set[str], file: str) -> list[str]:
        """The tests that enter one of the functions: those of the module's folder, the nearest and the quickest first, and
        one of each file before its next, up to ENOUGH.
        """
        folder = Path(file).parent.relative_to("advisor")
        own = f"tests/{folder}/" if folder.parts else f"tests/test_{Path(file).stem}"
        near = sorted(
            ((seconds * len(entered) + 1e-3) * (OWN if test.startswith(own) else 1.0), test)
            for test, (entered, seconds) in self.tests.items()
            if test != COLLECTING and not functions.isdisjoint((*entered, file_of(test)))
        )
        rank = Counter[str]()
        order = []
        for cost, test in near:
            rank[file_of(test)] += 1
            order.append((cost * rank[file_of(test)], test))
        chosen, left = [], ENOUGH
        for _, test in sorted(order):
            if self.tests[test][1] < left:
                left -= self.tests[test][1]
                chosen.append(test)
        return chosen


def file_of(test: str) -> str:
    return test.partition("::")[0]


class Learner:
    """Learns of the tests that are not known yet, as a plugin of pytest."""

    def __init__(self, known: Known) -> None:
        self.known, self.entered, self.passed = known, Entered(), True
        self.early: dict[str, set[str]] = {}  # entered while a file of tests is collected
        functools.lru_cache = self.entered.lru_cache
        functools.cache = self.entered.lru_cache(None)
        self.entered.switch(True)

    @pytest.hookimpl(wrapper=True)
    def pytest_make_collect_report(self, collector: pytest.Collector) -> Iterator[None]:
        try:
            return (yield)
        finally:
            self.early.setdefault(file_of(collector.nodeid), set()).update(self.entered.names())

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        self.known.tests[COLLECTING] = sorted(set[str]().union(*self.early.values())), 0.0
        self.known.keep(COLLECTING)
        for test, (entered, seconds) in self.known.tests.items():
            more = self.early.get(file_of(test), set()) - {*entered}
            self.known.tests[test] = [*entered, *more], seconds
        for file, names in self.early.items():
            if names and file.endswith(".py"):
                self.known.keep(file)
        items[:] = [item for item in items if item.nodeid not in self.known.tests]

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item, nextitem: pytest.Item | None) -> Iterator[None]:
        self.passed, begin = True, time.process_time()
        self.entered.names()
        self.entered.switch(True)
        try:
            return (yield)
        finally:
            self.entered.switch(False)
            if self.passed:
                file = file_of(item.nodeid)
                entered = self.early.get(file, set()) | {*self.entered.names()}
                self.known.tests[item.nodeid] = sorted(entered), time.process_time() - begin
            if not nextitem or nextitem.path != item.path:
                self.known.keep(file_of(item.nodeid))

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.passed &= report.outcome == "passed"


def forked(work: Callable[[int], object]) -> tuple[bool, list[str]]:
    """Does work in a quiet fork, which is handed a pipe: whether that failed, and the lines it wrote."""
    told, tell = os.pipe()
    pid = os.fork()
    if not pid:
        failed: object = True
        try:
            os.close(told)
            resource.setrlimit(resource.RLIMIT_AS, (BYTES, BYTES))
            quiet = os.open(os.devnull, os.O_WRONLY)
            os.dup2(quiet, 1)
            os.dup2(quiet, 2)
            failed = work(tell)
        finally:
            os._exit(bool(failed))
    os.close(tell)
    with open(told, encoding="utf-8", errors="replace") as pipe:
        lines = pipe.read().splitlines()
    return os.waitpid(pid, 0)[1] != 0, lines


def learned(tests: list[str]) -> Known:
    """What is known, once the tests that are not known yet have been asked what they enter."""

    def work(_: int) -> None:
        pytest.main([*PYTEST[1:], *tests], plugins=[Learner(Known())])

    forked(work)
    return Known()


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
            return pytest.main([*PYTEST, *{file_of(test) for test in chosen}], plugins=[loop])

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


@functools.cache
def names_in(file: str) -> dict[str, frozenset[str]]:
    """The functions and methods of a module, `file:function`, and the names that each asks for."""
    found: dict[str, frozenset[str]] = {}

    def look(code: CodeType, name: str) -> None:
        for inside in code.co_consts:
            if isinstance(inside, CodeType):
                outer = name or f"{file}:{inside.co_qualname}"
                found[outer] = found.get(outer, frozenset()) | {*inside.co_names}
                look(inside, outer if inside.co_flags & inspect.CO_OPTIMIZED else "")

    look(compile(Path(file).read_text("utf-8"), file, "exec"), "")
    return found


def touched(mutant: Mutant) -> set[str]:
    """The functions in which a change may be noticed: its own, or those that ask for the constant or the class it is in.

    And the files of tests that name these.
    """
    if mutant.function:
        return {f"{mutant.file}:{mutant.function}"}
    names, makers, found = set[str](), set[str](), set[str]()
    for part in ast.parse(Path(mutant.file).read_text("utf-8")).body:
        loaded = {node.id for node in ast.walk(part) if isinstance(node, ast.Name)}
        holds = part.lineno <= mutant.line <= (part.end_lineno or 0) or names & loaded
        if isinstance(part, ast.Assign | ast.AnnAssign):
            if holds or makers & loaded:
                names |= {node.id for node in ast.walk(part) if _is_stored(node)}
        elif holds:
            if isinstance(
                part, ast.FunctionDef
            ):  # in its body, or a default; it may make a constant that follows
                found.add(f"{mutant.file}:{part.name}")
                makers.add(part.name)
            elif isinstance(part, ast.ClassDef):
                names.add(part.name)
                found |= set(names_in(mutant.file))
    files = (
        file
        for file in map(str, Path("advisor").rglob("*.py"))
        if Path(mutant.file).stem in Path(file).read_text("utf-8")
    )
    around = {mutant.file, *files}
    found |= {name for file in around for name, asked in names_in(file).items() if names & asked}
    found |= {file for file, words in words_of_tests().items() if names & words}
    return found or set(names_in(mutant.file))


@functools.cache
def words_of_tests() -> dict[str, frozenset[str]]:
    return {
        str(file): frozenset(re.findall(r"\w+", file.read_text("utf-8")))
        for file in Path("tests").rglob("test_*.py")
    }


def _is_stored(node: ast.AST) -> TypeGuard[ast.Name]:
    return isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)


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


def mutants_in(paths: Iterable[str]) -> list[Mutant]:
    """Those that can be noticed, in the order of their files."""
    files = [
        file
        for path in paths
        for file in (sorted(Path(path).rglob("*.py")) if Path(path).is_dir() else [path])
    ]
    return [mutant for file in files for mutant in mutants_of(str(file)) if not is_equivalent(mutant)]


def sample(mutants: list[Mutant], size: int, seed: int) -> list[Mutant]:
    """So many of them at even distances from a drawn beginning: each file has its share."""
    step = max(1.0, len(mutants) / size) if size else 1.0
    begin = random.Random(seed).random() * step
    return [
        mutants[int(begin + step * place)] for place in range(int((len(mutants) - begin - 1e-9) / step) + 1)
    ]


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
        pytest.main([*PYTEST, *tests], plugins=[loop])

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


def is_judgement(mutant: Mutant) -> bool:
    """Whether a constant's own remark says that it rests on judgement or practice: nothing outside can be held against it."""
    source = Path(mutant.file).read_text("utf-8")
    lines, parts = source.splitlines(), ast.parse(source).body
    part = next(one for one in parts if one.lineno <= mutant.line <= (one.end_lineno or 0))
    if mutant.kind != NUMBER or not isinstance(part, ast.Assign | ast.AnnAssign):
        return False
    above = "\n".join(lines[: mutant.line]).rpartition("\n\n")[2]
    beside = [lines[at - 1].partition("#")[2] for at in (mutant.line, part.end_lineno or 0)]
    nearest = re.findall(r"(?m)(?:^ *#.*\n)+", above)[-1:]
    remark = next(filter(None, [*beside, *nearest]), "")
    return above.startswith("# All judgement") or bool(re.search("judgement|common practice", remark, re.I))


def shown(mutant: Mutant) -> str:
    return f"{mutant.file}:{mutant.line}: {mutant.kind}: {mutant.change}   | {mutant.code}"


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
