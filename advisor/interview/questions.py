"""Questions as data and what becomes of an answer; knows neither screen nor keyboard: the command lends both."""

import contextlib
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import partial
from typing import Any

from msgspec import Struct

from advisor.reading.as_written import in_file_form, plain_number
from advisor.reading.marks import path_key
from advisor.reading.problems import InputError
from advisor.reading.quantities import Refusal
from advisor.reading.schema import entries_in, entry_at, items_of, load_schema, resolved
from advisor.reading.schema_check import also_of, example_in, flow_text, kind_of
from advisor.reading.words import Also, meant
from advisor.reading.yaml_text import Document, parse_yaml

NOT_KNOWN = (
    "", "d", "?", "don't know", "dont know", "do not know", "unknown", "i don't know", "i do not know", "not known",
    "don't know yet", "not sure", "no idea", "idk", "dunno", "not yet", "not laid yet",
)  # fmt: skip
MOST_CHARACTERS = 2000  # of one answer; the longest text a schema takes has 300

_WORD = re.compile(r"[a-z]{4,}")
YES_OR_NO = ("yes", "no")  # what needs no example
_BARE = ("whet", "none", "such", "ther")  # "whether", "or none", "such boxes there are": they explain nothing
_SAME = {"deep": "depth", "long": "length", "heavy": "mass"}  # words of a question by those of its help

Answers = Mapping[str, Any]


def _nothing_more(_answers: Answers) -> str:
    return ""


def _as_typed(_answers: Answers, text: str) -> str:
    return text


class Question(Struct, frozen=True):
    """One question: the entry it fills, the words shown, an example, and how an answer becomes entries.

    `read` turns the typed text into entries by path and raises `Refusal`; `more` adds a line of help that depends on
    earlier answers, `filled` adds to the typed text what it may leave out; `words` are the answers to choose from. Of what
    is `seldom` there most have nothing: such questions come last, and a pipe may end before them.
    """

    path: str
    text: str
    help: str
    example: str
    read: Callable[[str], dict[str, Any]]
    words: tuple[str, ...] = ()
    required: bool = False
    seldom: bool = False
    more: Callable[[Answers], str] = _nothing_more
    filled: Callable[[Answers, str], str] = _as_typed


Check = Callable[[Answers], Document]
Ask = Callable[[int, Question, Answers], str | None]
Refused = Callable[[int, Question, Refusal], None]
Noted = Callable[[Question, str, dict[str, Any]], None]


def interview(
    questions: Iterable[Question],
    answers: dict[str, Any],
    check: Check,
    ask: Ask,
    refused: Refused,
    noted: Noted,
) -> tuple[str, ...]:
    """Adds all answers by entry, each before the next question is taken. Where `ask` gives None, no more is asked.

    A wrong answer goes to `refused`, which raises to stop; else the question comes again. Result: the questions, by their
    path, that got an answer, be it that there is nothing of the kind.
    """
    answered: list[str] = []
    for number, question in enumerate(questions, start=1):
        while True:
            typed = ask(number, question, answers)
            if typed is None:
                return tuple(answered)
            try:
                new = entries_of(question, typed, answers, check)
            except Refusal as refusal:
                refused(number, question, refusal)
                continue
            noted(question, typed, new)
            answers.update(new)
            if not is_not_known(typed):
                answered.append(question.path)
            break
    return tuple(answered)


def is_not_known(typed: str) -> bool:
    """Whether an answer says that it is not known."""
    text = " ".join(typed.split())
    return re.sub(r"(?<=\w)[.!]+$", "", text.lower().replace("’", "'")) in NOT_KNOWN


def entries_of(question: Question, typed: str, answers: Answers, check: Check) -> dict[str, Any]:
    """The entries of one answer, none for "don't know"; raises `Refusal`.

    The file that would come out is read and checked at once, with all earlier answers in it.
    """
    text = " ".join(typed.split())
    if is_not_known(text):
        if question.required:
            raise Refusal("this one is needed", f"Write it like this: {question.example}.")
        return {}
    try:
        text.encode()
    except UnicodeEncodeError as error:
        raise Refusal("the answer holds a character that cannot be written", "Type it again.") from error
    if len(text) > MOST_CHARACTERS:
        raise Refusal(f"the answer has {len(text)} characters", f"Write at most {MOST_CHARACTERS}.")
    new = question.read(question.filled(answers, text))
    for path, told in ((path, told) for path in new for told in answers):
        if path.startswith((f"{told}.", f"{told}[")) or told.startswith((f"{path}.", f"{path}[")):
            raise Refusal(
                f"it goes against what you told of `{told}`: {flow_text(answers[told])}",
                "Leave this one without an answer, and correct the file later.",
            )
    try:
        check({**answers, **new})
    except InputError as error:
        problem = error.problems[0]
        raise Refusal(without_path(problem.message), problem.hint) from error
    return new


def without_path(message: str) -> str:
    """What is wrong with an entry, without the entry's path before it."""
    return re.sub(r"^[\w.\[\]]+: ", "", message)


def question_lines(number: int, count: int | None, question: Question, answers: Answers) -> Iterator[str]:
    """A question as it is shown: the question, its help, the words to choose from or an example; count: of all, if known."""
    yield f"{number}{f' of {count}' if count else ''}. {question.text}"
    if question.help:
        yield f"    {question.help}"
    more = question.more(answers)
    if more:
        yield f"    {more}"
    if question.words:
        yield "    " + "   ".join(f"{place} {word}" for place, word in enumerate(question.words, start=1))
    if question.example not in (*question.words, *YES_OR_NO):
        yield f"    Example: {question.example}"


def understood(question: Question, new: Answers) -> str:
    """What was understood of an answer: its value, or each entry by its title with its value."""
    parts = []
    for path, value in new.items():
        inner = value if isinstance(value, dict) else {"": value}
        for name, told in inner.items():
            whole = f"{path}.{name}" if name else path
            title = (
                ""
                if whole == question.path
                else f"{entry_at('plan', path_key(whole)).get('title', name).lower()}: "
            )
            parts.append(f"{title}{flow_text(told)}")
    return ", ".join(parts)


def as_text(path: str) -> Callable[[str], dict[str, Any]]:
    """Takes an answer as it is."""
    return lambda text: {path: text}


def quantity(path: str) -> Callable[[str], dict[str, Any]]:
    """Takes a quantity of a plan as people write it."""
    return lambda text: {path: entry_form(path, text)}


def entry_form(path: str, text: str) -> str:
    """A quantity of a plan as the file takes it; raises `Refusal`."""
    return in_file_form(text, kind_of(entry_at("plan", path_key(path))))


def whole_number(path: str, unit: str) -> Callable[[str], dict[str, Any]]:
    """Takes a whole number of a plan, with or without the word for what is counted."""

    def read(text: str) -> dict[str, Any]:
        found = re.fullmatch(
            rf"(?P<low>\d{{1,9}})(?:\s*(?:to|or|and|-|–)\s*(?P<high>\d{{1,9}}))?(?: {unit})?",
            plain_number(text),
        )
        if not found:
            raise Refusal(f"'{text}' is not a whole number", "Write it in digits: 14.")
        if found["high"]:
            about = entry_at("plan", path_key(path))["description"]
            raise Refusal(f"'{text}' is a range, one number belongs here", f"{about} Write {found['high']}.")
        return {path: int(found["low"])}

    return read


def one_of(path: str, words: tuple[str, ...], also: Also | None = None) -> Callable[[str], dict[str, Any]]:
    """Takes one of some words, or its number in the list."""

    def read(text: str) -> dict[str, Any]:
        return {path: chosen(text, words, also)}

    return read


def chosen(text: str, words: tuple[str, ...], also: Also | None = None) -> str:
    """The word that is meant: the word, what else it is called, or its number from 1; raises `Refusal`."""
    if text.isascii() and text.isdigit() and 1 <= int(text) <= len(words):
        return words[int(text) - 1]
    found = meant(text, words, also)
    if found.sure and len(found.words) == 1:
        return found.words[0]
    raise Refusal(f"'{text}' is not among the words", f"{found.hint()} Words: {', '.join(words)}.".strip())


def question_about(path: str, example: str, us: bool) -> Question:
    """A question made of what the schema of the plan says about an entry; example: one that fits better than the schema's."""
    entry = entry_at("plan", path_key(path))
    words = tuple(word for word in entry.get("then", entry).get("enum", ()) if word != "unknown")
    text = entry.get("x-ask") or f"{entry_at('plan', path_key(path)[:1])['title']}: {entry['title'].lower()}?"
    return Question(
        path,
        text,
        _beyond(text, entry["description"]),
        example or _shown(entry, us),
        partial(_read, path, entry, words),
        words,
    )


def _beyond(asked: str, help_text: str) -> str:
    """A help without the sentences that repeat its question: no word of four letters or more in them is new, but for an ending."""
    words = _WORD.findall(asked.lower())
    known = {*_BARE, *(word[:4] for word in words), *(_SAME.get(word, "")[:4] for word in words)}
    sentences = re.split(r"(?<=\.) ", help_text)
    return " ".join(one for one in sentences if {word[:4] for word in _WORD.findall(one.lower())} - known)


def _shown(entry: dict[str, Any], us: bool) -> str:
    """An example as it may be typed: of a block with one entry its value alone will do."""
    shown = example_in(entry, us)
    return flow_text(next(iter(shown.values())) if isinstance(shown, dict) and len(shown) == 1 else shown)


def _read(path: str, entry: dict[str, Any], words: tuple[str, ...], text: str) -> dict[str, Any]:
    if "x-quantity" in entry:
        return {path: in_file_form(text, kind_of(entry))}
    if entry.get("type") in ("integer", "number"):
        counted = "|".join((entry["x-unit"], entry["title"].lower(), path.rpartition(".")[2]))
        return whole_number(path, f"(?:{counted})")(text)
    also = also_of(entry.get("then", entry))
    if words and ("else" not in entry or text.isdigit() or meant(text, words, also).sure):
        return {path: chosen(text, words, also)}
    return {path: _block(entry, words, text)}


def _block(entry: dict[str, Any], words: tuple[str, ...], text: str) -> Any:
    """A block from one of its quantities alone, "32 °C", or as a file has it, "{set_to: 32 °C}"; a list from one block of it."""
    listed = items_of(entry)
    for name, inner in entries_in(listed or entry).items():
        part = resolved(inner, load_schema("plan"))
        if "x-quantity" in part and listed.get("required", [name]) == [name]:
            with contextlib.suppress(Refusal):
                block = {name: in_file_form(text, kind_of(part))}
                return [block] if listed else block
    with contextlib.suppress(InputError):
        found = parse_yaml(f"answer: {text}".encode(), "your answers").data["answer"]
        if isinstance(found, dict | list):
            return [found] if listed and isinstance(found, dict) else found
    ways = dict.fromkeys((_shown(entry, False), *words))
    raise Refusal(f"'{text}' is not understood", f"Write it like this: {', or '.join(ways)}.")


NUMBER = r"\d{1,9}(?:\.\d{1,9})?"  # no longer: 400 digits are no float
PARTS = rf"(?P<medium>{NUMBER}) ?(?:to|:|parts to) ?(?P<water>{NUMBER})"
_MIX = re.compile(rf"{PARTS},? (?:by )?(?P<by>volume|mass|weight)", re.IGNORECASE)
_MIX_WITHOUT_BY = re.compile(PARTS)


def mix_of(text: str) -> dict[str, Any]:
    """A mix from "4 to 1 by volume": parts of dry medium, parts of water, how they are measured; raises `Refusal`."""
    found = _MIX.fullmatch(text)
    if found:
        by = "volume" if found["by"].lower() == "volume" else "mass"
        return {"medium": part_of(found["medium"]), "water": part_of(found["water"]), "by": by}
    if _MIX_WITHOUT_BY.fullmatch(text):
        raise Refusal(
            f"'{text}' does not say how the parts are measured",
            f"Write {text} by volume, or {text} by mass. They differ a lot.",
        )
    raise Refusal(f"'{text}' is not a mix", "Parts of dry medium first, then water: 4 to 1 by volume.")


def part_of(text: str) -> int | float:
    """A number without a needless decimal point."""
    value = float(text)
    return int(value) if value == int(value) else value
