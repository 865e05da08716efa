"""A document against its JSON Schema: every fault as a `Problem` in plain words.

The schemas carry our own annotations `x-quantity`, `x-range`, `x-least` and `x-most`; they are checked by the
same functions that later convert the texts, so a text that passes here can be read. `x-also` lists what else people
call the words of an `enum`: it changes no check, only what the hint proposes.
"""

import itertools
import re
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from advisor.reading.as_written import better_refusal, read_value
from advisor.reading.problems import MOST_FAULTS, Problem, printable
from advisor.reading.quantities import Kind, Refusal
from advisor.reading.schema import entries_in, entry_at, load_schema, resolved
from advisor.reading.words import Also, meant, nearest
from advisor.reading.yaml_text import Document, PathKey

_US_UNIT = re.compile(r"\d (?:°F|in|oz|quarts?)\b")
_TYPES = {
    "object": "a block of entries",
    "array": "a list",
    "string": "text",
    "integer": "a whole number",
    "number": "a number",
    "boolean": "yes or no",
    "null": "nothing",
}


def kind_of(schema: dict[str, Any]) -> Kind:
    """The quantity that a schema property asks for."""
    examples = schema.get("examples") or [""]
    return Kind(
        schema["x-quantity"],
        bool(schema.get("x-range")),
        schema.get("x-least"),
        schema.get("x-most"),
        str(examples[0]),
        next((str(one) for one in examples[1:] if _US_UNIT.search(str(one))), ""),
        schema.get("description", ""),
    )


def also_of(schema: Mapping[str, Any]) -> Also:
    """What else people call each word of an entry."""
    return {word: names.split(", ") for word, names in schema.get("x-also", {}).items()}


def _check_quantity(_validator: Any, _kind: str, value: Any, schema: dict[str, Any]) -> Iterator[Any]:
    from jsonschema import ValidationError

    if isinstance(value, str) and value == "unknown" and "unknown" in schema.get("enum", ()):
        return
    kind = kind_of(schema)
    try:
        read_value(value, kind)
    except Refusal as refusal:
        yield ValidationError(refusal.message, cause=better_refusal(value, kind, refusal))


@cache
def _validator(name: str) -> Any:
    from jsonschema import Draft202012Validator, validators

    extend: Any = validators.extend
    checker = extend(Draft202012Validator, {"x-quantity": _check_quantity})
    return checker(load_schema(name))


def schema_problems(document: Document, name: str) -> list[Problem]:
    """Every fault of the document against the schema `name`, sorted by place, one per entry and cause.

    A file with more than MOST_FAULTS gives some of them: nobody reads more, and each costs work.
    """
    problems: list[Problem] = []
    refused: set[PathKey] = set()
    errors = itertools.islice(_validator(name).iter_errors(document.data), MOST_FAULTS)
    for error in sorted(errors, key=lambda error: error.validator == "type"):
        path: PathKey = tuple(error.absolute_path)
        if error.validator == "x-quantity":
            refused.add(path)
            problems.append(document.problem(path, _at(path, error.message), error.cause.hint))
        elif error.validator == "additionalProperties":
            problems.extend(_unknown_keys(document, path, error, name))
        elif error.validator == "required":
            problems.extend(_missing_keys(document, path, error, name))
        elif path not in refused:
            refused.add(path)
            problems.append(_worded(document, path, error, name))
    unique = {(problem.line, problem.column, problem.message): problem for problem in problems}
    return sorted(unique.values(), key=lambda problem: (problem.line, problem.column))


def _at(path: PathKey, message: str) -> str:
    return f"{path_text(path)}: {message}" if path else message


def path_text(path: PathKey) -> str:
    """A path as people write it: egg_boxes[0].lid.fit."""
    text = ""
    for part in path:
        text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else str(part)
    return text


def _block(path: PathKey) -> str:
    return path_text(path) if path else "the file"


def _unknown_keys(document: Document, path: PathKey, error: Any, name: str) -> Iterator[Problem]:
    known = list(error.schema.get("properties", {}))
    for key in itertools.islice((key for key in error.instance if key not in known), MOST_FAULTS):
        near = nearest(key, known)
        hint = f"Did you mean {near}?" if near else f"Keys here: {', '.join(known)}."
        if path and not near and key in load_schema(name)["properties"]:
            hint = f"{key} is a block of its own: start it at the left edge, without spaces. {hint}"
        yield document.problem(
            (*path, key), f"unknown key '{printable(str(key), 60)}' in {_block(path)}", hint
        )


def _missing_keys(document: Document, path: PathKey, error: Any, name: str) -> Iterator[Problem]:
    entries = entries_in(entry_at(name, path)) | error.schema.get("properties", {})
    missing = [key for key in error.validator_value if key not in error.instance]
    unknown = [str(key) for key in error.instance if key not in entries]
    for key in missing:
        if f"'{key}'" not in error.message or any(nearest(word, list(entries)) == key for word in unknown):
            continue  # jsonschema reports each missing key on its own; a misspelt key is told once, as unknown
        entry = resolved(entries.get(key, {}), load_schema(name))
        hint = f"{entry.get('description', '')} {_example_of(key, entry)}".strip()
        yield document.problem(path, f"the entry '{key}' is missing in {_block(path)}", hint)


def _example_of(key: str, schema: dict[str, Any]) -> str:
    if not schema.get("examples"):
        return ""
    shown = flow_text(schema["examples"][0])
    return f"Write `{key}: {shown}`." if key else f"Write it like this: {shown}."


def example_in(schema: Mapping[str, Any], us: bool) -> Any:
    """The schema's first example, or for US units the first that holds one; None without examples."""
    examples = schema.get("examples") or [None]
    return next((one for one in examples if us and _US_UNIT.search(flow_text(one))), examples[0])


def flow_text(value: Any) -> str:
    """A value as it is written in one line of a plan: {set_to: 32 °C}."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {flow_text(entry)}" for key, entry in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(flow_text(entry) for entry in value) + "]"
    return str(value)


def _words_hint(path: PathKey, error: Any, name: str) -> str:
    words = [str(word) for word in error.validator_value if not isinstance(word, bool)]
    given = "" if error.instance is None else str(error.instance)
    near = meant(given, words, also_of(error.schema)).hint() if given else ""
    hint = f"{near} Words that can stand here: {', '.join(words)}."
    if set(error.schema) <= {"enum", "x-also"}:  # words that can stand in the place of a block
        blocks = [one for one in entry_at(name, path).get("examples", ()) if not isinstance(one, str)]
        hint += f" Or w{_example_of(str(path[-1]), {'examples': blocks})[1:]}" if blocks else ""
    return hint.strip()


def _worded(document: Document, path: PathKey, error: Any, name: str) -> Problem:
    """The faults that keep jsonschema's own checks: type, words, limits, lengths."""
    value, wanted = error.instance, error.validator_value
    key = str(path[-1]) if path and isinstance(path[-1], str) else ""
    shown = (
        "nothing" if value is None else printable(value if isinstance(value, str) else flow_text(value), 60)
    )
    kind = error.validator
    # What a value has to be when it is no word has no description of its own.
    entry = {**entry_at(name, path), **error.schema} if kind == "type" else error.schema
    title = entry.get("description", "")
    example = _example_of(key, entry)
    if kind == "const":
        return document.problem(
            path, _at(path, f"{shown} stands here, {wanted} is read by this version"), title
        )
    if kind == "enum":
        what = "nothing stands here, a word is needed" if value is None else f"'{shown}' is not known here"
        return document.problem(path, _at(path, what), _words_hint(path, error, name))
    if kind == "type":
        names = [_TYPES[name] for name in ([wanted] if isinstance(wanted, str) else wanted)]
        found = _TYPES.get(_type_of(value), "something else")
        quoted = "" if value is None else f" ({shown})"
        message = f"{found}{quoted} stands here, {' or '.join(names)} is needed"
        return document.problem(path, _at(path, message), f"{title} {example}".strip())
    if kind in ("minimum", "exclusiveMinimum", "maximum", "exclusiveMaximum"):
        edge = {
            "minimum": "at least",
            "exclusiveMinimum": "more than",
            "maximum": "at most",
            "exclusiveMaximum": "less than",
        }[kind]
        return document.problem(path, _at(path, f"{shown} stands here, {edge} {wanted} is needed"), title)
    if kind == "minItems":
        return document.problem(path, _at(path, "the list is empty"), f"{title} {example}".strip())
    keys = " or ".join(error.schema.get("properties", ()))
    if kind in ("minProperties", "maxProperties") and keys:
        return document.problem(
            path, _at(path, f"one entry is needed here, {keys}"), f"{title} {example}".strip()
        )
    if kind in ("maxItems", "maxLength", "maxProperties"):
        what = "characters" if kind == "maxLength" else "entries"
        return document.problem(path, _at(path, f"has {len(value)} {what}, at most {wanted} are read"), title)
    if kind in ("minLength", "minProperties"):
        what = "the text is empty" if kind == "minLength" else "no entry stands here"
        return document.problem(path, _at(path, what), f"{title} {example}".strip())
    if kind == "uniqueItems":
        return document.problem(path, _at(path, "an entry stands in the list twice"), "Keep one of the two.")
    return document.problem(path, _at(path, f"'{shown}' cannot stand here"), f"{title} {example}".strip())


def _type_of(value: Any) -> str:
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "boolean"
    return {dict: "object", list: "array", str: "string", int: "integer", float: "number"}.get(
        type(value), ""
    )
