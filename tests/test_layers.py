"""Data flows one way: read, forecast, judge, write; formulas know only the standard library; no circle of imports."""

import ast
import sys
from pathlib import Path

import pytest

from tests.support import ROOT

PACKAGE = ROOT / "advisor"
# Each part may import itself, `constants` and the parts named here.
ALLOWED = {
    "constants": set(),
    "units": set(),
    "show": {"model", "units"},
    "wording": {"model", "show", "units"},
    "paths": set(),
    "model": {"units"},
    "formulas": set(),
    "reading": {"model", "units", "paths"},
    "forecast": {"model", "formulas", "show", "units"},
    "rules": {"model", "forecast", "formulas", "show", "units"},
    "assess": {"model", "reading", "forecast", "rules", "show", "units"},
    "assess_log": {"assess", "forecast", "model", "reading", "rules"},
    "advice": {"assess", "forecast", "model", "reading", "rules", "show", "units"},
    "report": {
        "advice",
        "assess",
        "assess_log",
        "interview",
        "model",
        "reading",
        "rules",
        "show",
        "units",
        "wording",
    },
    "drawings": {"model", "reading", "rules", "show", "units", "wording"},
    "papers": {
        "assess",
        "drawings",
        "forecast",
        "model",
        "reading",
        "report",
        "rules",
        "show",
        "units",
        "wording",
    },
    "species_pages": {"drawings", "model", "papers", "reading", "report", "show", "wording"},
    "interview": {"model", "reading", "show", "wording"},
    "assess_water": {"forecast", "model", "reading"},
    "lesson": {
        "advice",
        "assess",
        "drawings",
        "forecast",
        "interview",
        "model",
        "papers",
        "reading",
        "report",
        "rules",
        "show",
        "units",
        "wording",
    },
    "serve": {
        "advice",
        "assess",
        "assess_log",
        "assess_water",
        "drawings",
        "forecast",
        "interview",
        "lesson",
        "model",
        "papers",
        "paths",
        "reading",
        "report",
        "rules",
        "show",
        "species_pages",
        "wording",
    },
    "commands": {
        "advice",
        "assess",
        "assess_log",
        "assess_water",
        "drawings",
        "forecast",
        "interview",
        "lesson",
        "model",
        "papers",
        "paths",
        "reading",
        "report",
        "rules",
        "serve",
        "show",
        "species_pages",
    },
    "cli": {"commands"},
    "__main__": {"cli"},
    "__init__": set(),
}


def part_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imported(path: Path) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names |= {f"{node.module}.{alias.name}" for alias in node.names} | {node.module}
    return names


MODULES = sorted(path for path in PACKAGE.rglob("*.py") if "_data" not in path.parts)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_imports_follow_the_data(path: Path) -> None:
    part = part_of(path)
    others = {name.split(".")[1] for name in imported(path) if name.startswith("advisor.")} - {
        part,
        "constants",
        "__version__",
    }
    assert others <= ALLOWED[part]


@pytest.mark.parametrize(
    "path",
    [
        path
        for path in MODULES
        if part_of(path) == "rules" and path.stem not in ("__init__", "engine", "shared")
    ],
    ids=lambda path: path.stem,
)
def test_no_rule_imports_a_rule(path: Path) -> None:
    rules = {other.stem for other in path.parent.glob("*.py")} - {"engine", "shared"}
    parts = {name.split(".")[2] for name in imported(path) if name.startswith("advisor.rules.")}
    assert not parts & rules


@pytest.mark.parametrize(
    "path",
    [path for path in MODULES if part_of(path) != "rules"],
    ids=lambda path: str(path.relative_to(PACKAGE)),
)
def test_nothing_outside_the_rules_imports_a_rule(path: Path) -> None:
    """The engine has the model of findings; what a rule and a paper share stands in `shared`."""
    rules = {other.stem for other in (PACKAGE / "rules").glob("*.py")} - {"__init__", "engine", "shared"}
    assert not {
        name for name in imported(path) if name.startswith("advisor.rules.") and name.split(".")[2] in rules
    }


@pytest.mark.parametrize(
    "path",
    [path for path in MODULES if part_of(path) in ("formulas", "model", "units")],
    ids=lambda path: path.name,
)
def test_formulas_use_only_the_standard_library_and_records(path: Path) -> None:
    for name in imported(path):
        top = name.split(".")[0]
        assert top in ("advisor", "msgspec") or top in sys.stdlib_module_names


def module_name(path: Path) -> str:
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


def test_no_circle_of_imports() -> None:
    graph = {module_name(path): imported(path) for path in MODULES}
    edges = {
        name: {other for other in graph if other in targets and other != name}
        for name, targets in graph.items()
    }
    state: dict[str, int] = {}

    def visit(name: str, trail: tuple[str, ...]) -> None:
        assert state.get(name) != 1, f"circle: {' -> '.join((*trail, name))}"
        if state.get(name) == 2:
            return
        state[name] = 1
        for other in sorted(edges[name]):
            visit(other, (*trail, name))
        state[name] = 2

    for name in graph:
        visit(name, ())


def test_no_module_is_over_400_lines() -> None:
    modules = (*MODULES, *(ROOT / "tests").rglob("*.py"))
    assert [path for path in modules if len(path.read_text("utf-8").splitlines()) > 400] == []


@pytest.mark.parametrize(
    "path",
    [path for path in MODULES if part_of(path) in ("formulas", "forecast", "rules")],
    ids=lambda path: str(path.relative_to(PACKAGE)),
)
def test_only_what_has_no_solution_becomes_a_reason(path: Path) -> None:
    """A plain ValueError is a mistake of the program: caught there it would read as "not judged"."""
    caught = {
        name.id
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.ExceptHandler)
        for name in (ast.walk(node.type) if node.type is not None else [ast.Name("everything")])
        if isinstance(name, ast.Name)
    }
    assert not caught & {"ValueError", "Exception", "BaseException", "ArithmeticError", "everything"}


def test_no_two_classes_share_a_name() -> None:
    named: dict[str, list[str]] = {}
    for path in MODULES:
        for node in ast.parse(path.read_text("utf-8")).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                named.setdefault(node.name, []).append(module_name(path))
    assert {name: modules for name, modules in named.items() if len(modules) > 1} == {}


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_no_import_gives_a_second_name(path: Path) -> None:
    second = [
        alias.name
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
        if alias.asname is not None
    ]
    assert second == (["main"] if path.name == "__main__.py" else [])
