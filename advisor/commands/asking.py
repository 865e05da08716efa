"""Asks questions at a terminal, or takes the answers from a pipe, one a line; nothing is written when it breaks off."""

import contextlib
import re
import shlex
import sys
import textwrap
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NoReturn

import click

from advisor.commands.common import screen_width
from advisor.interview.questions import Answers, Check, Question, interview, question_lines, understood
from advisor.reading.problems import InputError, Problem, file_problem, printable
from advisor.reading.quantities import Refusal

MOST_BYTES = 64_000  # of all answers from a pipe
BROKEN_OFF = "broken off; nothing was written"
LEAVING_OUT = "Type an answer and press Enter. Press Enter alone when you don't know: you can add it later."
PROPOSING = (
    "Type an answer, a word or its number. Enter alone leaves out one question, `rest` all that follow: what you leave out "
    "is proposed."
)

Rounds = Callable[[Answers], Iterator[Question]]


Answered = tuple[dict[str, Any], tuple[str, ...]]


def answers_to(questions: tuple[Question, ...], check: Check, rounds: Rounds | None = None) -> Answered:
    """The answers by entry, and the questions that got one; raises `InputError` when it is broken off, or when a pipe brings a wrong answer.

    rounds: at a terminal the order of the questions, from the answers so far; what gets no answer is proposed later.
    """
    if sys.stdin is None:
        raise InputError(
            [
                Problem(
                    "your answers",
                    0,
                    0,
                    "standard input is closed, so nothing can be asked",
                    "Run it at a terminal.",
                )
            ]
        )
    if sys.stdin.isatty():
        return _from_terminal(questions, check, rounds)
    return _from_pipe(questions, check)


def keep_existing(path: Path, force: bool) -> None:
    """Refuses a file that exists and a folder that does not, before anything is asked."""
    if path.is_dir():
        raise file_problem(path, "is a folder", "Name a file in it.")
    if path.exists() and not force:
        raise file_problem(
            path, "exists already; nothing was asked", "Add --force to replace it, or name another file."
        )
    if not path.parent.is_dir():
        raise file_problem(path, "cannot be written: there is no such folder", "Make the folder first.")


def print_questions(questions: tuple[Question, ...]) -> None:
    """Prints the questions without asking them."""
    for number, question in enumerate(questions, start=1):
        for line in question_lines(number, len(questions), question, {}):
            click.echo(line)
        click.echo()


def agreed(text: str, default: bool) -> bool:
    """Whether a question at the terminal is answered with yes; raises `InputError` when it is broken off."""
    try:
        return click.confirm(text, default=default)
    except click.Abort:
        raise InputError([Problem("your answers", 0, 0, BROKEN_OFF)]) from None


def _from_terminal(questions: tuple[Question, ...], check: Check, rounds: Rounds | None) -> Answered:
    with contextlib.suppress(ImportError):
        import readline  # noqa: F401  # lets people step back in the line they type; not there on Windows
    say(PROPOSING if rounds else LEAVING_OUT)
    click.echo("Ctrl-C breaks off: nothing is written.")
    count = None if rounds else len(questions)

    def ask(number: int, question: Question, answers: Answers) -> str | None:
        click.echo()
        for line in question_lines(number, count, question, answers):
            say(line)
        offered = rounds is not None and not question.required
        typed = input("    Answer: ")
        return None if offered and typed.strip().lower() == "rest" else typed

    def refused(_number: int, _question: Question, refusal: Refusal) -> None:
        say(f"    Not yet: {refusal.message}. {refusal.hint}")

    def noted(question: Question, typed: str, new: dict[str, Any]) -> None:
        shown = understood(question, new)
        if shown and shown != " ".join(typed.split()):
            say(f"    Noted: {shown}")

    answers: dict[str, Any] = {}
    try:
        asked = rounds(answers) if rounds else questions
        return answers, interview(asked, answers, check, ask, refused, noted)
    except (KeyboardInterrupt, EOFError):
        click.echo()
        raise InputError([Problem("your answers", 0, 0, BROKEN_OFF)]) from None


def say(line: str) -> None:
    """A line of a question, broken between words as the terminal is wide; a number stays with the word to choose."""
    start = " " * (len(line) - len(line.lstrip()))
    kept = re.sub(r"(?<= )(\d+) (?=\S)", "\\1\u00a0", printable(line, 1000))
    rows = textwrap.wrap(kept, screen_width(), subsequent_indent=start, break_on_hyphens=False)
    click.echo("\n".join(rows).replace("\u00a0", " "))


def _from_pipe(questions: tuple[Question, ...], check: Check) -> Answered:
    lines = _piped_lines()
    count = 0

    def ask(number: int, question: Question, _answers: Answers) -> str:
        nonlocal count
        try:
            count = number
            return next(lines)
        except StopIteration:
            if question.seldom:
                return ""
            raise _fault(
                number,
                f"the answers end before question {number} of {len(questions)}, '{question.text}'",
                "Write one answer a line; an empty line or d stands for don't know. Nothing was written.",
            ) from None

    def refused(number: int, question: Question, refusal: Refusal) -> NoReturn:
        raise _fault(
            number,
            f"answer {number}, '{question.text}': {refusal.message}",
            f"{refusal.hint} Nothing was written.",
        ) from refusal

    answers: dict[str, Any] = {}
    answered = interview(questions, answers, check, ask, refused, lambda *_: None)
    rest = [line for line in lines if line.strip()]
    if rest:
        raise _fault(
            count + 1,
            f"there are more answers than the {len(questions)} questions: '{rest[0]}'",
            "Write one answer a line, in the order of --questions. Nothing was written.",
        )
    return answers, answered


def _fault(line: int, message: str, hint: str) -> InputError:
    return InputError([Problem("standard input", line, 1, message, hint)])


def _piped_lines() -> Iterator[str]:
    data = sys.stdin.buffer.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise _fault(
            1, f"more than {MOST_BYTES} bytes of answers", "Write one answer a line. Nothing was written."
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise _fault(line, "the answers are not UTF-8 text", "Nothing was written.") from error
    return iter(text.replace("\r\n", "\n").removesuffix("\n").split("\n") if text else [])


def show_path(path: Path) -> str:
    """A path as it can be typed into a shell."""
    return printable(shlex.quote(str(path)), 500)
