"""Nothing lies about that no command uses: functions, classes, constants, methods and fields of the program.

The graph goes by names, from the functions of the command line and the `check` and `RULE` of every rule: a function reaches
what its body, its decorators and its defaults name, through imports. It can't see that a branch is never taken.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from advisor.cli import MODULES as COMMANDS
from tests.support import ROOT
from tests.test_layers import MODULES, module_name


class Name(NamedTuple):
    """Something that a module defines at its top."""

    module: str
    name: str


class Program:
    """Names of a set of modules, and which names each of them uses."""

    def __init__(self, sources: dict[str, str]) -> None:
        self.trees = {module: ast.parse(text) for module, text in sources.items()}
        self.imports = {module: dict(_imports(tree)) for module, tree in self.trees.items()}
        self.defined: dict[Name, ast.stmt] = {}
        self.loose: dict[str, list[ast.stmt]] = {}
        for module, tree in self.trees.items():
            for node in tree.body:
                names = list(_names_of(node))
                self.defined |= {Name(module, name): node for name in names}
                if not names:
                    self.loose.setdefault(module, []).append(node)
        self.registered = list(self._registered())

    def _registered(self) -> Iterator[tuple[Name, Name]]:
        """Functions that a decorator hands to an object, such as the sub-commands of `rules`: `@rules.command()`."""
        for name, node in self.defined.items():
            for call in getattr(node, "decorator_list", ()):
                made_by = call.func if isinstance(call, ast.Call) else call
                if isinstance(made_by, ast.Attribute) and isinstance(made_by.value, ast.Name):
                    yield name, self.resolved(Name(name.module, made_by.value.id))

    def used_by(self, module: str, node: ast.AST) -> Iterator[Name]:
        """The names that some code uses, as they are called where they are defined."""
        for part in ast.walk(node):
            if isinstance(part, ast.Name):
                yield self.resolved(Name(module, part.id))
            elif isinstance(part, ast.Attribute) and isinstance(part.value, ast.Name):
                owner = self.imports[module].get(part.value.id)
                if owner:
                    yield self.resolved(Name(".".join(filter(None, owner)), part.attr))
            elif isinstance(part, ast.Constant) and isinstance(part.value, str) and part.value.isidentifier():
                yield self.resolved(Name(module, part.value))  # the name of a type, in quotes

    def resolved(self, name: Name) -> Name:
        while name not in self.defined and name.name in self.imports.get(name.module, {}):
            found = self.imports[name.module][name.name]
            if found == name:  # a package that imports its own modules
                break
            name = found
        return name

    def reached(self, roots: set[Name]) -> set[Name]:
        """All names that the roots use, and what those use. What stands loose in a module runs when it is imported."""
        waiting, found = list(roots & set(self.defined)), set[Name]()
        for module, nodes in self.loose.items():
            waiting += [name for node in nodes for name in self.used_by(module, node)]
        while waiting:
            name = waiting.pop()
            if name not in found and name in self.defined:
                found.add(name)
                waiting += self.used_by(name.module, self.defined[name])
                waiting += (function for function, owner in self.registered if owner == name)
        return found

    def unused(self, roots: set[Name]) -> set[str]:
        reached = self.reached(roots)
        return {".".join(name) for name in self.defined if name not in reached and name.name != "__all__"}


def _imports(tree: ast.Module) -> Iterator[tuple[str, Name]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            for alias in node.names:
                yield alias.asname or alias.name, Name(node.module, alias.name)
        elif isinstance(node, ast.Import):
            for alias in node.names:
                yield alias.asname or alias.name, Name(alias.name, "")


def _names_of(node: ast.stmt) -> Iterator[str]:
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        yield node.name
    elif isinstance(node, ast.Assign | ast.AnnAssign):
        for target in node.targets if isinstance(node, ast.Assign) else [node.target]:
            yield from (part.id for part in ast.walk(target) if isinstance(part, ast.Name))


def shipped() -> dict[str, str]:
    return {module_name(path): path.read_text("utf-8") for path in MODULES}


def roots_of(program: Program) -> set[Name]:
    """The command line; of a rule, what the engine asks it for; of the advice, the levers of each area."""
    return {
        name
        for name in program.defined
        if name == Name("advisor.__main__", "main")
        or name.module == "advisor.cli"
        or name.module == f"advisor.commands.{COMMANDS.get(name.name)}"
        or (name.module.startswith("advisor.rules.") and name.name in ("check", "RULE"))
        or (name.module.startswith("advisor.advice.levers.") and name.name == "LEVERS")
    }


def test_a_command_reaches_every_function_class_and_constant() -> None:
    program = Program(shipped())
    assert program.unused(roots_of(program)) == set()


def test_what_nothing_uses_is_found() -> None:
    sources = {
        "a": "from b import used, passed_on\nfrom c import far as near\n\ndef main() -> 'Kind':\n    used(near)\n\nclass Kind: pass\n",
        "b": "from c import passed_on\nLIMIT = 1\nLEFT, OVER = 1, 2\ndef used(x): return LIMIT\ndef unused(): return unused2()\n"
        "def unused2(): return LIMIT\n",
        "c": "import d\ndef far(): return d.deep()\ndef passed_on(): pass\n",
        "d": "def deep(): pass\ndef shallow(): pass\n",
    }
    found = Program(sources).unused({Name("a", "main")})
    assert found == {"b.unused", "b.unused2", "b.LEFT", "b.OVER", "c.passed_on", "d.shallow"}


# Members that no module reads by name, and why they stay.
NOT_READ = {
    "yaml_implicit_resolvers": "PyYAML reads it",
    "versioned_resolver": "ruamel.yaml reads it",
    "limit_source": "where a figure comes from stands beside it",
    "storage_source": "where a figure comes from stands beside it",
}
# Steady states and courses of the box: tests hold their balance of heat and vapour by every part of them.
HELD_WHOLE = {"BoxState", "Losses", "TierState", "Switching"}


def members(tree: ast.Module) -> Iterator[tuple[str, str]]:
    """Class and name of every method, property and field."""
    for node in ast.walk(tree):
        # A named tuple is taken apart by place.
        if isinstance(node, ast.ClassDef) and "NamedTuple" not in map(ast.unparse, node.bases):
            for part in node.body:
                for name in _names_of(part):
                    if not name.startswith("__"):
                        yield node.name, name


def words_in(text: str) -> set[str]:
    """Attributes, names of arguments, and texts in a module: whatever may call a member."""
    found = set[str]()
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Load):
            found.add(node.attr)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            found |= set(re.split(r"[.\[\]]+", node.value))  # a path such as "box.lid.fit", no prose
    return found


def unused_members(sources: dict[str, str], templates: str) -> set[str]:
    used = set[str]().union(*(words_in(text) for text in sources.values()))
    return {
        f"{module}.{owner}.{name}"
        for module, text in sources.items()
        for owner, name in members(ast.parse(text))
        if name not in used and f".{name}" not in templates
    }


def templates() -> str:
    folder: Path = ROOT / "advisor"
    return "\n".join(path.read_text("utf-8") for path in folder.rglob("*.html"))


def test_every_member_of_a_class_is_read() -> None:
    unused = unused_members(shipped(), templates())
    assert {
        name
        for name in unused
        if name.split(".")[-2] not in HELD_WHOLE and name.split(".")[-1] not in NOT_READ
    } == set()
    assert set(NOT_READ) <= {name.split(".")[-1] for name in unused}, "it is read: take it off the list"


def test_a_member_that_nothing_reads_is_found() -> None:
    sources = {
        "a": "class A:\n    x: int\n    y: int = 0\n    def z(self): return self.x\n    def w(self): return 1\n"
    }
    assert unused_members(sources, "{{ a.w }}") == {"a.A.y", "a.A.z"}


# Arguments that every call of the program leaves at their default, or gives the same constant, and why they stay.
HELD_AT_OTHER_VALUES = {
    "advisor.formulas.air.oxygen.box_air(respiratory_quotient)": "the published table it is held against has 0.75",
    "advisor.formulas.heat.convection.forced_plate_nusselt(prandtl)": "held against a handbook's example at 0.687",
    "advisor.formulas.heat.convection.laminar_plate_factor(prandtl)": "the equation of the source, in air and elsewhere",
    "advisor.formulas.heat.enclosure.grey_exchange(emissivity)": "held against two plates of 0.9 and against black faces",
    "advisor.formulas.heat.glazing.double_glass_resistance(temperature)": "held against printed U-values at 10 °C",
    "advisor.formulas.sexes.fit.fit_groups(with_prior)": "without it the fit is held against scipy's",
    "advisor.formulas.water.egg_box_water.plan_top_ups(allowed_change)": "a wider and a narrower band are held apart",
    "advisor.reading.yaml_text.parse_yaml(loader)": "PyYAML's pure reader has to read the same as its quick one",
}  # fmt: skip


class Called(NamedTuple):
    """A call, and the module where it stands."""

    module: str
    call: ast.Call


def calls_in(program: Program) -> dict[Name, list[Called]]:
    """Every call of a function of the program that names it, `partial(function, ...)` as well."""
    found: dict[Name, list[Called]] = {}
    for module, tree in program.trees.items():
        for node in ast.walk(tree):
            if isinstance(node, ast.Call):
                call = node
                if isinstance(call.func, ast.Name) and call.func.id == "partial" and call.args:
                    call = ast.Call(call.args[0], call.args[1:], call.keywords)
                called = next(program.used_by(module, call.func), None)
                if called in program.defined and isinstance(call.func, ast.Name | ast.Attribute):
                    found.setdefault(called, []).append(Called(module, call))
    return found


def given(call: ast.Call, place: int | None, name: str) -> ast.expr | None:
    """What a call gives for an argument; None where it leaves it out."""
    if place is not None and place < len(call.args):
        return call.args[place]
    return next((word.value for word in call.keywords if word.arg == name), None)


def is_spread(call: ast.Call) -> bool:
    """Whether it gives arguments that can't be counted: *these, **those."""
    return any(isinstance(arg, ast.Starred) for arg in call.args) or any(
        not word.arg for word in call.keywords
    )


def needless_arguments(sources: dict[str, str]) -> set[str]:
    program, found = Program(sources), set[str]()
    for name, calls in calls_in(program).items():
        node = program.defined[name]
        if (
            not isinstance(node, ast.FunctionDef)
            or node.decorator_list
            or any(is_spread(one.call) for one in calls)
        ):
            continue
        by_place = [*node.args.posonlyargs, *node.args.args]
        optional = {one.arg for one in by_place[len(by_place) - len(node.args.defaults) :]}
        optional |= {
            one.arg
            for one, default in zip(node.args.kwonlyargs, node.args.kw_defaults, strict=True)
            if default
        }
        for place, one in enumerate((*by_place, *node.args.kwonlyargs)):
            told = [
                (module, given(call, place if one in by_place else None, one.arg)) for module, call in calls
            ]
            values = {constant(program, module, value) for module, value in told if value is not None}
            never, alike = not values, len(told) > 1 and len(values) == 1 and None not in values
            if (never and one.arg in optional) or (alike and all(value is not None for _, value in told)):
                found.add(f"{'.'.join(name)}({one.arg})")
    return found


def constant(program: Program, module: str, value: ast.expr) -> str | None:
    """A number or a text as it is written, a name in capitals with its module; None for all else."""
    if isinstance(value, ast.Name) and value.id.isupper():
        return ".".join(program.resolved(Name(module, value.id)))
    return ast.unparse(value) if isinstance(value, ast.Constant) else None


def test_every_argument_is_given_and_not_always_the_same() -> None:
    assert needless_arguments(shipped()) == set(HELD_AT_OTHER_VALUES)


def test_a_needless_argument_is_found() -> None:
    sources = {
        "a": "from functools import partial\nfrom b import f, g, h, k\n\ndef main(many):\n"
        "    f(1), f(2), g(1, 3.0), g(2, 3.0), h(*many), partial(k, deep=1)\n",
        "b": "def f(x, never=0, *, deep=1): pass\ndef g(x, same): pass\ndef h(x=1): pass\n"
        "def k(deep=0, high=1): pass\n",
    }
    assert needless_arguments(sources) == {"b.f(never)", "b.f(deep)", "b.g(same)", "b.k(high)"}
