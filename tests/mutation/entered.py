"""What each test enters, and so which tests a change is asked of: learned once, and kept in the folder of temporary files."""

import ast
import functools
import inspect
import json
import os
import re
import resource
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from types import CodeType, FrameType
from typing import Any, TypeGuard

import pytest

from tests.mutation.mutants import Mutant

ROOT = Path(__file__).parents[2]
KNOWN = Path(tempfile.gettempdir(), f"advisor-mutation-{os.getuid()}")
COLLECTING = "collecting"
OWN = 0.05  # of its cost counts for a test of the module's own folder
ENOUGH = 25.0  # seconds of tests, as they were learned, that a mutant has to outlive
BYTES = 6 * 2**30  # of memory
PYTEST = ["-q", "-p", "no:cacheprovider", "-p", "no:unraisableexception", "--assert=plain", "-s"]
# A test of time must not decide.
PYTEST += ["-m", "not browser and not slow", "-k", "not is_quick and not long_inputs"]


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
        one of each file and function before its next, up to ENOUGH.
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
            for group in (file_of(test), test.partition("[")[0]):
                rank[group] += 1
                cost *= rank[group]
            order.append((cost, test))
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
        pytest.main([*PYTEST, *tests], plugins=[Learner(Known())])

    forked(work)
    return Known()


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
