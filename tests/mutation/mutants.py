"""The small faults that are put into a module one at a time: what is changed, what is left alone, and which are drawn.

Left alone: wording (f-strings, what is handed to `show`, a choice between two texts), the manual page `RULE`, type
annotations, assertions and error messages, places in a sequence, digits that are rounded to. Where a limit carries a
tolerance, the edge itself lies between numbers that no input means: there "less" is not made "less or equal".
"""

import ast
import random
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import yaml

HERE = Path(__file__).parent
EQUIVALENT = yaml.safe_load((HERE / "equivalent.yaml").read_text("utf-8")) or {}
NUMBER, COMPARISON, LOGIC, ARITHMETIC, SEVERITY = "number", "comparison", "logic", "arithmetic", "severity"
TINY = 1e-5  # below it a power of ten is taken for a tolerance, which is set to nothing
TOLERANCE = "ROUNDING"
FEW = 20  # whole numbers up to here move by one, larger ones by a tenth

COMPARISONS: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
OPERATORS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
}
SEVERITIES = {"STOP": "FIX", "FIX": "WATCH", "WATCH": "NOTE", "NOTE": "WATCH"}


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change to one module: the node is counted in the order of the walk, the variant among its changes.

    `function` is the function or method (`Class.method`) in whose body it lies, empty for a constant, a default or a field.
    """

    file: str
    line: int
    code: str
    change: str
    kind: str
    node: int
    variant: int
    function: str


Change = tuple[str, str, Callable[[], object]]  # in words, kind, what does it


def mutants_of(file: str) -> list[Mutant]:
    """All mutants of a module, by its path from the root of the project."""
    source = Path(file).read_text("utf-8")
    lines = source.splitlines()
    tree = ast.parse(source)
    bodies = {line: name for name, body in _functions(tree) for line in body}
    found: dict[tuple[int, str], Mutant] = {}
    for index, node in enumerate(_walk(tree)):
        function = bodies.get(node.lineno, "")
        for variant, (change, kind, _) in enumerate(_changes(node)):
            words = change
            while (node.lineno, words) in found:  # the same change twice on one line
                words += " again"
            code = lines[node.lineno - 1].strip()
            found[node.lineno, words] = Mutant(file, node.lineno, code, words, kind, index, variant, function)
    return list(found.values())


def _functions(part: ast.Module | ast.ClassDef, around: str = "") -> Iterator[tuple[str, range]]:
    """The functions and methods, each with the lines of its body."""
    for child in part.body:
        if isinstance(child, ast.FunctionDef):
            yield around + child.name, range(child.body[0].lineno, (child.end_lineno or 0) + 1)
        elif isinstance(child, ast.ClassDef):
            yield from _functions(child, f"{around}{child.name}.")


def mutated(mutant: Mutant) -> ast.Module:
    """The module with the change made."""
    tree = ast.parse(Path(mutant.file).read_text("utf-8"))
    node = list(_walk(tree))[mutant.node]
    list(_changes(node))[mutant.variant][2]()
    return ast.fix_missing_locations(tree)


def _walk(node: ast.AST) -> Iterator[ast.expr | ast.AugAssign]:
    """The nodes that may be changed, from top to bottom."""
    if isinstance(node, ast.expr | ast.AugAssign):
        yield node
    for name, value in ast.iter_fields(node):
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST) and not _left_alone(node, name, child):
                yield from _walk(child)


def _left_alone(parent: ast.AST, field: str, child: ast.AST) -> bool:
    return (
        isinstance(child, ast.JoinedStr | ast.Assert | ast.Raise)
        or field in ("annotation", "returns", "slice", "decorator_list")
        or (isinstance(child, ast.Assign) and ast.unparse(child.targets[0]) == "RULE")
        or (isinstance(child, ast.Call) and _callee(child).rpartition(".")[0].endswith("show"))
        or (isinstance(parent, ast.Call) and _callee(parent) == "round" and child in parent.args[1:])
        or (isinstance(parent, ast.IfExp) and field == "test" and _is_text(parent))
    )


def _callee(call: ast.Call) -> str:
    return ast.unparse(call.func)


def _is_text(node: ast.AST) -> bool:
    """Whether an expression is wording; a single word may be a path or a choice of the plan."""
    if isinstance(node, ast.IfExp):
        return _is_text(node.body) or _is_text(node.orelse)
    if isinstance(node, ast.BinOp):
        return _is_text(node.left) or _is_text(node.right)
    if isinstance(node, ast.Constant):
        return isinstance(node.value, str) and (not node.value or " " in node.value)
    return isinstance(node, ast.JoinedStr)


def _changes(node: ast.AST) -> Iterator[Change]:
    match node:
        case ast.Constant(value=bool()):
            return
        case ast.Constant(value=int() | float() as value):
            for new in _shifted(value):
                yield f"{value} to {new}", NUMBER, partial(setattr, node, "value", new)
        case ast.Compare():
            yield from _compared(node)
        case ast.BoolOp():
            either = isinstance(node.op, ast.Or)
            new_op = ast.And() if either else ast.Or()
            yield f"{'or to and' if either else 'and to or'}", LOGIC, lambda: setattr(node, "op", new_op)
        case ast.UnaryOp(op=ast.Not()):
            twice = ast.UnaryOp(ast.Not(), node.operand)
            yield (
                f"not {ast.unparse(node.operand)} to its opposite",
                LOGIC,
                lambda: setattr(node, "operand", twice),
            )
        case ast.UnaryOp(op=ast.USub()):
            yield f"{ast.unparse(node)} without its sign", ARITHMETIC, lambda: setattr(node, "op", ast.UAdd())
        case ast.BinOp() | ast.AugAssign() if type(node.op) in OPERATORS and not _joins_text(node):
            other = OPERATORS[type(node.op)]
            words = f"{type(node.op).__name__} to {other.__name__} in {ast.unparse(node)}"
            yield words, ARITHMETIC, lambda: setattr(node, "op", other())
        case ast.Name(id=word, ctx=ast.Load()) if word in SEVERITIES:
            yield f"{word} to {SEVERITIES[word]}", SEVERITY, lambda: setattr(node, "id", SEVERITIES[word])


def _compared(node: ast.Compare) -> Iterator[Change]:
    for place, old in enumerate(node.ops):
        sides = (node.left, *node.comparators)[place : place + 2]
        for other in COMPARISONS[type(old)][-1 if any(map(_has_tolerance, sides)) else 0 :]:
            words = f"{type(old).__name__} to {other.__name__} before {ast.unparse(node.comparators[place])}"
            yield words, COMPARISON, partial(node.ops.__setitem__, place, other())


def _has_tolerance(node: ast.AST) -> bool:
    if not isinstance(node, ast.BinOp):
        return False
    tolerance = node.right
    if isinstance(tolerance, ast.Constant):
        return isinstance(tolerance.value, float) and 0 < tolerance.value < TINY
    return isinstance(tolerance, ast.Name) and tolerance.id == TOLERANCE


def _joins_text(node: ast.BinOp | ast.AugAssign) -> bool:
    return _is_text(node.value if isinstance(node, ast.AugAssign) else node)


def _shifted(value: float) -> tuple[float, ...]:
    if isinstance(value, int):
        return (
            (value + 1,)
            if value <= 1
            else (value + 1, value - 1)
            if value <= FEW
            else (value * 11 // 10, value * 9 // 10)
        )
    if value == 0.0:
        return (0.1,)
    if value < TINY and f"{value:e}".startswith("1.000000e"):
        return (0.0,)
    return (value * 1.1, value * 0.9)


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
