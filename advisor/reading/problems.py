"""Faults of an input file, told in one form: `file:line:column: message` and an indented hint."""

from pathlib import Path
from typing import NamedTuple

MOST_SHOWN = 20
MOST_FAULTS = 200  # looked for in one file, ten times what is shown


class Problem(NamedTuple):
    """One fault: where it is (line and column from 1; 0 for the file as a whole), what it is, what to do."""

    file: str
    line: int
    column: int
    message: str
    hint: str = ""


class InputError(Exception):
    """Carries every fault found in the input; the command prints them and ends with status 2."""

    def __init__(self, problems: list[Problem]) -> None:
        """Keeps the problems sorted by file and place."""
        self.problems = sorted(problems, key=lambda problem: (problem.file, problem.line, problem.column))
        super().__init__(f"{len(problems)} problem(s) in the input")


def printable(text: str, most: int = 300) -> str:
    """The text with control, direction-changing and other unprintable characters shown as escapes, cut to `most` characters."""
    shown = "".join(
        character if character.isprintable() else character.encode("unicode_escape").decode("ascii")
        for character in text
    )
    return shown if len(shown) <= most else shown[: most - 1] + "…"


def file_problem(path: Path, message: str, hint: str = "") -> InputError:
    """An error about a file as a whole."""
    return InputError([Problem(str(path), 0, 0, message, hint)])


def problem_lines(problems: list[Problem]) -> list[str]:
    """The printed form: one line each with its hint indented below, at most `MOST_SHOWN` of them and a count of the rest."""
    lines: list[str] = []
    for problem in problems[:MOST_SHOWN]:
        place = f":{problem.line}:{problem.column}" if problem.line else ""
        lines.append(f"{printable(problem.file)}{place}: {printable(problem.message)}")
        if problem.hint:
            lines.append(f"    {printable(problem.hint, 600)}")
    if len(problems) > MOST_SHOWN:
        more = len(problems) - MOST_SHOWN
        least = "at least " if len(problems) >= MOST_FAULTS else ""  # nobody looked for more
        lines.append(f"… and {least}{more} more {'problem' if more == 1 else 'problems'}")
    return lines
