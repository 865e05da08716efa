"""YAML that explains itself: answers at their entries, everything else as a comment with an example from the schema."""

import re
import textwrap
from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct, field

from advisor.reading.schema import entries_in, resolved
from advisor.reading.schema_check import example_in, flow_text

COLUMN = 40  # where comments start
WIDTH = 110
# Text that needs no quotes in a list or block on one line; what reads as a number, true or null is not among it.
_PLAIN = re.compile(r"-?[A-Za-z0-9][A-Za-z0-9 °/.+-]*[A-Za-z0-9°%.]|[A-Za-z]")
_NOT_TEXT = re.compile(r"-?\d+(\.\d+)?([eE][-+]?\d+)?|true|false|null")


class Layout(Struct, frozen=True):
    """What is written: answers by entry; examples and comments that stand in for the schema's; entries left away; US units."""

    answers: Mapping[str, Any]
    examples: Mapping[str, str] = field(default_factory=dict)
    comments: Mapping[str, str] = field(default_factory=dict)
    away: frozenset[str] = frozenset()
    us: bool = False


def scalar(value: Any) -> str:
    """One value as YAML: numbers and yes-or-no bare, text in quotes whenever it could be read as anything else."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return str(value)
    text = str(value)
    if _PLAIN.fullmatch(text) and not _NOT_TEXT.fullmatch(text):
        return text
    return '"' + "".join(_quoted(character) for character in text) + '"'


def _quoted(character: str) -> str:
    """A character inside double quotes; what is not printable becomes an escape of YAML 1.1, section 5.7."""
    if character in '"\\':
        return "\\" + character
    if character.isprintable():
        return character
    code = ord(character)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def flow(value: Any) -> str:
    """A value on one line: {low: 27 °C, sources: [practice]}."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {flow(entry)}" for key, entry in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(flow(entry) for entry in value) + "]"
    return scalar(value)


def commented(schema: Mapping[str, Any], layout: Layout) -> Iterator[str]:
    """The lines of a whole file: every entry of the schema in its order, answered or as a comment."""
    for key in schema["properties"]:
        if key in layout.away:
            continue
        yield from _entry(schema, schema, "", key, "", layout, spaced=True)


def _entry(
    root: Mapping[str, Any],
    schema: Mapping[str, Any],
    path: str,
    key: str,
    indent: str,
    layout: Layout,
    spaced: bool = False,
) -> Iterator[str]:
    here = f"{path}.{key}" if path else key
    entry = resolved(entries_in(schema)[key], root)
    text = layout.comments.get(here) or _description(entry)
    if here in layout.answers:
        if spaced and isinstance(layout.answers[here], dict | list):
            yield ""
        yield from _answer(key, layout.answers[here], indent, text)
    elif any(re.match(re.escape(here) + r"[.\[]", answered) for answered in layout.answers):
        if spaced:
            yield ""
        yield from _with_comment(f"{indent}{key}:", text)
        yield from _inside(root, entry, here, indent, layout)
    else:
        if spaced:
            yield ""
        yield from _with_comment(
            f"{indent}# {key}: {layout.examples.get(here) or _example(entry, layout.us)}", text
        )


def _inside(
    root: Mapping[str, Any], entry: Mapping[str, Any], here: str, indent: str, layout: Layout
) -> Iterator[str]:
    if "items" not in entry:
        for key in entries_in(entry):
            if f"{here}.{key}" not in layout.away:
                yield from _entry(root, entry, here, key, indent + "  ", layout)
        return
    indexes = {
        int(found[1]) for path in layout.answers if (found := re.match(re.escape(here) + r"\[(\d+)\]", path))
    }
    for index in sorted(indexes):
        item = f"{here}[{index}]"
        lines: list[str] = []
        for key in entry["items"]["properties"]:
            if f"{item}.{key}" not in layout.away:
                lines += _entry(root, entry["items"], item, key, indent + "    ", layout)
        yield indent + "  - " + lines[0][len(indent) + 4 :]
        yield from lines[1:]


def _answer(key: str, value: Any, indent: str, text: str) -> Iterator[str]:
    if isinstance(value, list) and value and isinstance(value[0], dict):
        yield from _with_comment(f"{indent}{key}:", text)
        yield from (f"{indent}  - {flow(item)}" for item in value)
    else:
        yield from _with_comment(f"{indent}{key}: {flow(value)}", text)


def _with_comment(line: str, text: str) -> Iterator[str]:
    """A line with its comment to the right, wrapped below itself."""
    if not text:
        yield line
        return
    column = max(COLUMN, len(line) + 2)
    if column > WIDTH - 30:
        yield from textwrap.wrap(
            text, WIDTH, initial_indent=_lead(line) + "# ", subsequent_indent=_lead(line) + "# "
        )
        yield line
        return
    rows = textwrap.wrap(text, WIDTH - column - 2, break_on_hyphens=False)
    yield f"{line:<{column}}# {rows[0]}"
    yield from (f"{'':<{column}}# {row}" for row in rows[1:])


def _lead(line: str) -> str:
    return line[: len(line) - len(line.lstrip())]


def _example(entry: Mapping[str, Any], us: bool) -> str:
    """The schema's example."""
    return flow_text(example_in(entry, us))


def _description(entry: Mapping[str, Any]) -> str:
    words = [word for word in entry.get("enum", ()) if isinstance(word, str) and word != "unknown"]
    return str(entry.get("description", "")) + (f" Words: {', '.join(words)}." if len(words) > 1 else "")
