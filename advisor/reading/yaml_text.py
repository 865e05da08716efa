"""YAML text to plain data with the line and column of every entry.

Only plain mappings, lists, text, whole numbers, decimals, true/false and null are read. Everything that
YAML 1.1 would silently turn into something else (1:1, NO, 012, dates, .nan) stays text, and what has no
place in a plan (anchors, aliases, tags, duplicate keys, deep nesting) is refused.
"""

import re
from pathlib import Path
from typing import Any, ClassVar

import yaml
from msgspec import Struct

from advisor.reading.file_bytes import read_bytes
from advisor.reading.problems import InputError, Problem, printable

# Half of a pair of codes, which is no character. Only the pure loader lets it pass.
_HALF_CHARACTER = re.compile("[\ud800-\udfff]")
LONGEST_ASKED_TWICE = 50_000  # characters of a faulty text; the pure parser needs 1 s for so many
DEEPEST = 20  # levels; a full plan has 6

PathKey = tuple[str | int, ...]


class Document(Struct, frozen=True):
    """The data of one file and where each entry stands."""

    file: str
    data: Any
    marks: dict[PathKey, tuple[int, int]]

    def problem(self, path: PathKey, message: str, hint: str = "") -> Problem:
        """A problem at an entry, or at the nearest entry above it that is in the file."""
        line, column = self.place(path)
        return Problem(self.file, line, column, message, hint)

    def place(self, path: PathKey) -> tuple[int, int]:
        """Line and column of an entry, or of the nearest entry above it that is in the file."""
        while path not in self.marks and path:
            path = path[:-1]
        return self.marks.get(path, (1, 1))


def _plain_loader(base: Any) -> Any:
    """A loader of our own that resolves only null, true/false, whole numbers and decimals."""

    class PlainLoader(base):  # type: ignore[misc]
        yaml_implicit_resolvers: ClassVar[dict[str, list[tuple[str, re.Pattern[str]]]]] = {}

    for tag, pattern, first in (
        ("null", r"^(?:~|null|)$", ["~", "n", ""]),
        ("bool", r"^(?:true|false)$", list("tf")),
        ("int", r"^-?(?:0|[1-9][0-9]*)$", list("-0123456789")),
        (
            "float",
            r"^-?(?:0|[1-9][0-9]*)(?:\.[0-9]+(?:[eE][-+]?[0-9]+)?|[eE][-+]?[0-9]+)$",
            list("-0123456789"),
        ),
    ):
        PlainLoader.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(pattern), first)
    return PlainLoader


PURE_LOADER = _plain_loader(yaml.SafeLoader)
LOADER = _plain_loader(getattr(yaml, "CSafeLoader", yaml.SafeLoader))


def read_yaml(path: Path, shipped: bool = False) -> Document:
    """Reads one YAML file; raises `InputError` with every fault that can be told at this stage.

    shipped: the file came with the program, whose tests have read it in full; the walk for tricks is saved.
    """
    return parse_yaml(read_bytes(path), str(path), shipped=shipped)


def parse_yaml(content: bytes, file: str, loader: Any = LOADER, shipped: bool = False) -> Document:
    """Parses the bytes of a YAML file; `file` is the name to show in problems, `shipped` as in `read_yaml`."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        column = error.start - content.rfind(b"\n", 0, error.start)
        raise InputError(
            [
                Problem(
                    file, line, column, "is not UTF-8 text", "Save the file as UTF-8 and run the check again."
                )
            ]
        ) from error
    if not shipped:
        _refuse_unprintable(text, file)
    try:
        if not shipped:
            _refuse_tricks(text, file, loader)
        node = yaml.compose(text, Loader=loader)
    except yaml.YAMLError as error:
        raise InputError([_syntax_problem(text, file, error)]) from error
    except RecursionError as error:
        raise InputError([_too_deep(file, 1, 1)]) from error
    if node is None:
        raise InputError([_empty(file)])
    problems: list[Problem] = []
    marks: dict[PathKey, tuple[int, int]] = {}
    data = _plain_value(node, (), marks, problems, file)
    if problems:
        raise InputError(problems)
    return Document(file, data, marks)


def _empty(file: str) -> Problem:
    hint = "Start with `format: 1`. The folder examples/ holds plans to copy."
    return Problem(file, 1, 1, "the file is empty", hint)


def _too_deep(file: str, line: int, column: int) -> Problem:
    return Problem(file, line, column, "is nested too deeply", "A plan has at most 6 levels.")


def _refuse_unprintable(text: str, file: str) -> None:
    found = yaml.reader.Reader.NON_PRINTABLE.search(text)
    if found:
        start = found.start()
        line = text.count("\n", 0, start) + 1
        column = start - text.rfind("\n", 0, start)
        raise InputError(
            [
                Problem(
                    file,
                    line,
                    column,
                    f"a control character {printable(found.group())} stands here",
                    "Delete it: only ordinary text is read.",
                )
            ]
        )


def _refuse_tricks(text: str, file: str, loader: Any) -> None:
    """Walks the parse events once and refuses anchors, aliases, tags and deep nesting."""
    depth = 0
    event: Any
    for event in yaml.parse(text, Loader=loader):
        line, column = event.start_mark.line + 1, event.start_mark.column + 1
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
            sign = "alias" if isinstance(event, yaml.AliasEvent) else "anchor"
            raise InputError(
                [
                    Problem(
                        file,
                        line,
                        column,
                        f"a YAML {sign} ({'*' if sign == 'alias' else '&'}{printable(str(event.anchor), 40)}) is not read here",
                        "Write the entry out, or put the text in quotes.",
                    )
                ]
            )
        if getattr(event, "tag", None):
            raise InputError(
                [
                    Problem(
                        file,
                        line,
                        column,
                        f"a YAML tag ({printable(str(event.tag), 60)}) is not read here",
                        "Delete it, or put the text in quotes if it starts with an exclamation mark.",
                    )
                ]
            )
        if isinstance(event, yaml.CollectionStartEvent):
            depth += 1
            if depth > DEEPEST:
                raise InputError([_too_deep(file, line, column)])
        elif isinstance(event, yaml.CollectionEndEvent):
            depth -= 1


def _syntax_problem(text: str, file: str, error: yaml.YAMLError) -> Problem:
    """The clearest sentence for a text that is not YAML; asks the pure parser for its better wording, if that is quick."""
    try:
        if len(text) <= LONGEST_ASKED_TWICE:
            _refuse_tricks(text, file, PURE_LOADER)
    except yaml.YAMLError as better:
        error = better
    except InputError as trick:
        return trick.problems[0]
    except RecursionError:
        pass
    context = getattr(error, "context", None) or ""
    wording = (getattr(error, "problem", None) or "this is not YAML").strip()
    opened = getattr(error, "context_mark", None)
    if opened is not None and (unclosed := _unclosed(file, opened, context, wording)):
        return unclosed
    mark = getattr(error, "problem_mark", None)
    line, column = (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)
    if "nesting depth" in wording:
        return _too_deep(file, line, column)
    rows = text.splitlines() or [""]
    row = rows[min(line, len(rows)) - 1]
    above = rows[line - 2] if 1 < line <= len(rows) else ""
    return _misplaced(file, line, column, row, above, wording) or _by_wording(
        file, line, column, context + wording, wording
    )


def _unclosed(file: str, opened: yaml.Mark, context: str, wording: str) -> Problem | None:
    """A quote or a bracket that is not closed, told where it is opened."""
    line, column = opened.line + 1, opened.column + 1
    if "quoted scalar" in context and "escape" in wording:
        return _bad_escape(file, line, column)
    if "quoted scalar" in context:
        return Problem(
            file,
            line,
            column,
            "a quote is opened here and never closed",
            "Add the closing quote at the end of the text.",
        )
    if "flow" in context and ("but got" in wording or "stream end" in wording):
        return Problem(
            file,
            line,
            column,
            "a bracket is opened here and not closed properly",
            f"Close it with ] or }} and put commas between the entries ({wording}).",
        )
    return None


def _misplaced(file: str, line: int, column: int, row: str, above: str, wording: str) -> Problem | None:
    """A tab before a line, a line without a colon, or one that starts in another column than its block."""
    indent = row[: len(row) - len(row.lstrip())]
    if "\t" in indent or "'\\t'" in wording:
        return Problem(
            file,
            line,
            column,
            "a tab stands here",
            "Use spaces at the start of a line: tabs are not read there.",
        )
    own_key = (
        re.match(r"\s*(?:- +)?[\w-]+$", row[: column - 1]) and "mapping values are not allowed" in wording
    )
    if own_key and re.fullmatch(rf"{indent}[\w-]+ *", above):
        return Problem(
            file,
            line - 1,
            len(indent) + 1,
            f"'{printable(above.strip(), 60)}' has no colon behind it",
            "Write the entry and its value with a colon and a space between them, for example count: 2.",
        )
    ended = "expected <block end>" in wording and column == len(indent) + 1
    if own_key or ended or "block mapping start" in wording:
        return Problem(
            file,
            line,
            len(indent) + 1,
            "this line does not start in the same column as the others of its block",
            "Put as many spaces before it as before them. If you took a # away, take the space behind it away too.",
        )
    return None


# What the parser says, what is wrong, what to write instead.
_BY_WORDING = (
    (
        "mapping values are not allowed",
        "this text holds ': ', or the line above has no end",
        'Put the text in quotes: because: "note: home all day". Check that it starts below the lines of its block.',
    ),
    (
        "cannot start any token",
        "a text cannot start with this character",
        "Put the text in quotes: titles, names and reasons may hold any character then.",
    ),
    (
        "expected <block end>",
        "this stands behind a value that has ended",
        "Put the whole value in one pair of quotes, or delete what stands behind it.",
    ),
    (
        "expected the node content",
        "a bracket or a comma stands here where a value belongs",
        "Write the value, or delete the sign. Put a text that holds it in quotes.",
    ),
    (
        "could not find expected ':'",
        "an entry has no colon behind its name, here or in the line above",
        "Write the entry and its value with a colon and a space between them, for example count: 2.",
    ),
    (
        "while scanning a block scalar",
        "a text cannot start with > or |",
        "Put the text in quotes: titles, names and reasons may hold any character then.",
    ),
    (
        "expected a single document",
        "a second document starts here",
        "Keep one plan in a file and delete the line ---.",
    ),
)


def _by_wording(file: str, line: int, column: int, said: str, wording: str) -> Problem:
    for phrase, wrong, instead in _BY_WORDING:
        if phrase in said:
            return Problem(file, line, column, wrong, instead)
    return Problem(
        file,
        line,
        column,
        f"this is not YAML: {printable(wording)}",
        "Compare the line with one of the plans in examples/.",
    )


def _bad_escape(file: str, line: int, column: int) -> Problem:
    return Problem(
        file,
        line,
        column,
        "in the quotes that open here stands a backslash, and what follows it cannot be read",
        "Type the character itself. For a plain backslash write two, or use single quotes.",
    )


def _plain_value(
    node: Any, path: PathKey, marks: dict[PathKey, tuple[int, int]], problems: list[Problem], file: str
) -> Any:
    here = (node.start_mark.line + 1, node.start_mark.column + 1)
    marks.setdefault(path, here)
    if isinstance(node, yaml.MappingNode):
        result: dict[str, Any] = {}
        for key_node, value_node in node.value:
            line, column = key_node.start_mark.line + 1, key_node.start_mark.column + 1
            if not isinstance(key_node, yaml.ScalarNode):
                problems.append(
                    Problem(
                        file,
                        line,
                        column,
                        "a key must be one word",
                        "Put the text in quotes if it holds brackets.",
                    )
                )
                continue
            key = str(key_node.value)
            if _HALF_CHARACTER.search(key):
                problems.append(_bad_escape(file, line, column))
                continue
            if key in result:
                first = marks[(*path, key)][0]
                problems.append(
                    Problem(
                        file,
                        line,
                        column,
                        f"the key '{printable(key, 60)}' stands here a second time; first on line {first}",
                        "Keep one of the two.",
                    )
                )
                continue
            marks[(*path, key)] = (line, column)
            result[key] = _plain_value(value_node, (*path, key), marks, problems, file)
        return result
    if isinstance(node, yaml.SequenceNode):
        return [
            _plain_value(item, (*path, index), marks, problems, file) for index, item in enumerate(node.value)
        ]
    return _plain_scalar(node, here, problems, file)


def _plain_scalar(node: Any, here: tuple[int, int], problems: list[Problem], file: str) -> Any:
    kind = node.tag.rsplit(":", 1)[-1]
    if _HALF_CHARACTER.search(node.value):
        problems.append(_bad_escape(file, *here))
        return ""
    if kind == "null":
        return None
    if kind == "bool":
        return node.value == "true"
    if kind in ("int", "float"):
        if len(node.value) > 40:
            problems.append(Problem(file, *here, "this number is too long", "Write it with a few digits."))
            return 0
        number = float(node.value)
        if abs(number) > 1e15:
            problems.append(Problem(file, *here, "this number is too large", "Write it with a few digits."))
            return 0
        # What counts things may be typed as 2.0: a whole number is one however it is written.
        return int(number) if number == int(number) else number
    return node.value
