"""A plan as a form: every entry of the format as a field with its words, and what was typed as changes of the plan."""

import contextlib
import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from msgspec import Struct

from advisor.advice.entries import value_at, within
from advisor.drawings.small import small_picture
from advisor.interview.commented_yaml import flow
from advisor.interview.questions import question_about
from advisor.model.changes import Setting
from advisor.reading.marks import path_key
from advisor.reading.problems import InputError, Problem
from advisor.reading.quantities import Refusal
from advisor.reading.schema import entries_in, entry_at, items_of, load_schema, resolved
from advisor.reading.schema_check import example_in, flow_text, path_text
from advisor.reading.yaml_text import Document, parse_yaml

NOT_TOLD = "don't know yet"
LIKE = {True: "yes", False: "no"}
UNITS = {"metric": "metric (°C, cm)", "us": "US (°F, inches)"}
REPEATED = ("egg_boxes", "clutches")  # lists whose items are asked for one by one
MOST_ITEMS = 20  # of such a list; more are written in the text
Typed = Mapping[str, str]


class Field(Struct, frozen=True):
    """One field: what the format says of it, what stands there; words to choose from; `block` where a list or a block with
    names of its own is written on one line; `quantity` is what kind of number or word the format says it is; `empty` is what
    it means that nothing is chosen.
    """

    path: str
    title: str
    description: str
    example: str
    value: str
    words: tuple[str, ...] = ()
    block: bool = False
    quantity: str = ""
    empty: str = NOT_TOLD

    @property
    def id(self) -> str:
        """The name of its place on the page."""
        return place_id(self.path)

    @property
    def choices(self) -> list[tuple[str, str, str]]:
        """What can be chosen, with nothing first and a word that the format does not know last: value, words, picture."""
        known = [
            (word, UNITS.get(word, word) if self.path == "units" else word, small_picture(self.path, word))
            for word in self.words
        ]
        strange = [(self.value, self.value, "")] if self.value and self.value not in self.words else []
        return [("", self.empty, ""), *known, *strange]


class FieldGroup(Struct, frozen=True):
    """Fields that belong together: an entry with entries, or one item of a list. `below_word`: the field for a word in its
    stead ("none") stands before it, and the place on the page is that field's.
    """

    path: str
    title: str
    description: str
    parts: tuple["Field | FieldGroup", ...]
    items: str = ""  # the list that it is an item of
    below_word: bool = False

    @property
    def id(self) -> str:
        """The name of its place on the page."""
        return place_id(self.path)

    @property
    def is_field(self) -> bool:
        """Whether all that it holds is the one field of its own entry."""
        return any(part.path == self.path for part in self.parts)

    @property
    def told(self) -> bool:
        """Whether anything stands in it."""
        return any(part.told if isinstance(part, FieldGroup) else bool(part.value) for part in self.parts)


def place_id(path: str) -> str:
    """The name of an entry's place on the page: letters, digits and hyphens."""
    return "at-" + path.replace("[", "-").replace("].", "-").replace("]", "").replace(".", "-")


def form_of(data: Any, typed: Typed, us: bool, more: str = "") -> tuple[FieldGroup, ...]:
    """The whole form. What was typed stands before what the plan's data hold; `more` names a list to show another item of."""
    root = load_schema("plan")
    general, blocks = [], []
    for name, schema in entries_in(root).items():
        if "const" in schema:
            continue
        made = tuple(_parts(name, schema, data, typed, us, more))
        if len(made) == 1 and made[0].path == name and isinstance(made[0], Field) and not made[0].block:
            general.append(made[0])
        else:
            blocks.append(FieldGroup(name, schema["title"], _plain(schema["description"], name), made))
    return (FieldGroup("plan", "This set-up", root["description"], tuple(general)), *blocks)


def _parts(
    path: str, schema: Mapping[str, Any], data: Any, typed: Typed, us: bool, more: str
) -> Iterator[Field | FieldGroup]:
    """The fields of an entry: its own, or those of what it holds."""
    schema = resolved(schema, load_schema("plan"))
    inner, held = entries_in(schema), value_at(data, path_key(path))
    if path in REPEATED:
        for number in range(_items(path, held, typed) + (more == path)):
            here = f"{path}[{number}]"
            parts = tuple(_inside(here, items_of(schema), data, typed, us, more))
            yield FieldGroup(here, f"{items_of(schema)['title']} {number + 1}", "", parts, path)
        return
    word = "then" in schema
    if word or not inner:
        value = held if not (word and isinstance(held, dict)) else None
        words = tuple(schema.get("then", schema).get("enum", ()))
        block = not word and (bool(items_of(schema)) or schema.get("type") == "object")
        if schema.get("x-quantity") == "yes-no":
            words = ("yes", "no")
        if word and items_of(schema):  # a word, or a list on one line
            words, block = (), True
        yield Field(
            path,
            schema["title"],
            _plain(schema["description"], path),
            _example(schema, us),
            typed.get(path, shown(value)),
            tuple(map(str, words)),
            block,
            schema.get("x-quantity", "count" if schema.get("type") == "integer" else ""),
            "as told below" if held is not value else NOT_TOLD,
        )
    if inner and path.count(".") + path.count("["):
        parts = tuple(_inside(path, schema, data, typed, us, more))
        description = "" if word else _plain(schema["description"], path)
        yield FieldGroup(path, schema["title"], description, parts, below_word=word)
    elif inner:
        yield from _inside(path, schema, data, typed, us, more)


def _example(schema: Mapping[str, Any], us: bool) -> str:
    """An example in the plan's units; where US units are not chosen, both ways that a quantity can be written."""
    ways = dict.fromkeys(flow_text(example_in(schema, one)) for one in ((True,) if us else (False, True)))
    return ", or ".join(ways) if "x-quantity" in schema else next(iter(ways))


def _inside(
    path: str, schema: Mapping[str, Any], data: Any, typed: Typed, us: bool, more: str
) -> Iterator[Field | FieldGroup]:
    for name, entry in entries_in(schema).items():
        yield from _parts(f"{path}.{name}", entry, data, typed, us, more)


def _plain(description: str, path: str) -> str:
    """A description with the names of entries, as the file has them, put as the form calls them."""

    def called(name: re.Match[str]) -> str:
        block = path_key(path)
        for deep in range(len(block), -1, -1):
            entry = entry_at("plan", block[:deep]) if deep else load_schema("plan")
            if name[1] in entries_in(entry):
                return f"“{entries_in(entry)[name[1]]['title']}”"
        return f"“{name[1]}”"

    return re.sub(r"`([^`]+)`", called, description)


def _items(path: str, held: Any, typed: Typed) -> int:
    """How many items of a list to show: those of the plan, and those that were typed into."""
    known = len(held) if isinstance(held, list) else 0
    while any(entry.startswith(f"{path}[{known}].") for entry in typed):
        known += 1
    return min(known, MOST_ITEMS)


def shown(value: Any) -> str:
    """A value of the plan's data as a field shows it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return LIKE[value]
    return flow(value) if isinstance(value, dict | list) else flow_text(value)


def entries_of(parts: tuple[Field | FieldGroup, ...]) -> Iterator[Field]:
    """All fields, in their order."""
    for part in parts:
        if isinstance(part, FieldGroup):
            yield from entries_of(part.parts)
        else:
            yield part


def ids_of(parts: tuple[Field | FieldGroup, ...]) -> Iterator[str]:
    """The paths of all fields and blocks."""
    for part in parts:
        yield part.path
        if isinstance(part, FieldGroup):
            yield from ids_of(part.parts)


def opened(parts: tuple[Field | FieldGroup, ...], wanted: Iterable[str]) -> frozenset[str]:
    """The paths of the blocks to show unfolded: those that tell something, and those in which an entry is wanted."""
    return frozenset(
        path
        for part in parts
        if isinstance(part, FieldGroup)
        for path in (
            *((part.path,) if part.told or any(within(one, part.path) for one in wanted) else ()),
            *opened(part.parts, wanted),
        )
    )


def nearest_place(path: str, known: frozenset[str]) -> str:
    """The entry of the form that shows a path: itself, the one it lies in, or nothing."""
    while path and path not in known:
        path = path[: max(path.rfind("."), path.rfind("["), 0)]
    return path


def changes(data: Any, typed: Typed, us: bool) -> tuple[Setting, ...]:
    """What was typed, where it differs from what the plan holds; raises `InputError` for a list that cannot be read.

    A word in place of a block ("none") goes before what was typed inside the block.
    """
    settings: list[Setting] = []
    before = {entry.path: entry.value for entry in entries_of(form_of(data, {}, us))}
    faults: list[Problem] = []
    words: list[str] = []
    for entry in entries_of(form_of(data, typed, us)):
        text = entry.value.strip()
        if any(within(entry.path, word) and entry.path != word for word in words):
            continue
        if text and entry.words:
            words.append(entry.path)
        if text == before.get(entry.path, "").strip():
            continue
        try:
            settings.append(Setting(entry.path, _value(entry, text) if text else None))
        except InputError as error:
            faults += [one._replace(message=f"{entry.path}: {one.message}") for one in error.problems]
    if faults:
        raise InputError(faults)
    taken_away = [one for one in settings if one.value is None]
    return (*taken_away, *(one for one in settings if one.value is not None))


def _value(entry: Field, text: str) -> Any:
    """What goes into the file: a list or a block as written, a quantity as `advisor new` would take it, where that can be read."""
    if entry.block or entry.quantity:
        with contextlib.suppress(Refusal):
            return question_about(entry.path, "", False).read(text)[entry.path]
    return parse_yaml(text.encode(), "").data if entry.block else text


def faults_by_place(
    problems: list[Problem], document: Document | None, known: frozenset[str]
) -> dict[str, list[Problem]]:
    """The faults by the entry of the form that they are told beside; "" for those of the file as a whole.

    A message begins with the path of its entry, or else its line and column tell it.
    """
    marks = document.marks if document else {}
    # The first entry of a block stands where the block begins: the deeper one is meant.
    places = {place: path for path, place in sorted(marks.items(), key=lambda mark: len(mark[0]))}
    found: dict[str, list[Problem]] = {}
    for problem in problems:
        told = nearest_place(problem.message.partition(": ")[0], known)
        if not told:
            told = nearest_place(path_text(places.get((problem.line, problem.column), ())), known)
        found.setdefault(told, []).append(problem)
    return found
