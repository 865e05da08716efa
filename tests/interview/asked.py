"""Answers to the questions of `advisor new` and `advisor species new`, from a pipe and at a terminal."""

import os
import select
import signal
import sys
import time
from pathlib import Path
from typing import Any

import yaml
from click.testing import CliRunner, Result

from advisor.cli import main
from tests.support import ROOT

PLAN_ANSWERS = [
    "corn snake",
    "Spare-room box, first season",
    "14",
    "shed 2027-05-02",
    "16 to 24 °C",
    "55 x 35 x 22 cm",
    "expanded polystyrene",
    "40 mm",
    "mat",
    "lid",
    "14 W",
    "pulse",
    "28 °C",
    "probe box medium",
    "2 of 20 x 14 x 9 cm",
    "vermiculite, 4 to 1 by volume",
    "5 of 2 mm",
]
PROFILE_ANSWERS = [
    "some lizard, garden lizard",
    "Oldgenus minor",
    "other lizard",
    "27 to 29 °C [practice]",
    "25 to 30 °C [practice]",
    "below 22 °C, above 32 °C [practice]",
    "26 to 28 °C: 60 to 70 days [practice]; 28 °C: 62.5 days, 24 eggs [practice]",
    "none",
    "temperature [practice]",
    "cool males",
    "26 °C: 18 of 20 [practice]; 32 °C: 1 of 20 [practice]",
    "parchment [practice]",
    "8 to 20",
    "1 to 2",
    "8 to 14 g",
    "30 to 45 mm",
    "15 to 22 mm",
    "4 to 1 by volume [practice]",
    "0.6 to 3.8 g/g [judgement]",
    "not usually",
    "16 to 20 °C for 45 to 60 days, after four weeks of warmth [practice]",
    "temperate [judgement]",
    "7 to 14 days [practice]",
    "45 to 70 days [practice]",
    "protected: Trade in this species needs papers.",
    "The days are thin.",
]


def run(*arguments: str | Path, answers: list[str] | bytes = b"") -> Result:
    piped = answers if isinstance(answers, bytes) else "".join(f"{answer}\n" for answer in answers).encode()
    return CliRunner().invoke(main, [str(argument) for argument in arguments], input=piped)


def new_plan(folder: Path, answers: list[str] | bytes, *options: str) -> tuple[Result, Path]:
    target = folder / "plan.yaml"
    return run("new", target, *options, answers=answers), target


def plain(path: Path) -> dict[str, Any]:
    """The file as another reader sees it: PyYAML's base loader, everything as text."""
    return yaml.load(path.read_text("utf-8"), Loader=yaml.BaseLoader)


def changed(place: int, answer: str, answers: list[str] = PLAN_ANSWERS) -> list[str]:
    return [*answers[:place], answer, *answers[place + 1 :]]


class Terminal:
    """The command behind a pseudo-terminal, as a person meets it."""

    def __init__(self, *arguments: str) -> None:
        import pty

        self.pid, self.end = pty.fork()
        if self.pid == 0:
            os.chdir(ROOT)
            signal.signal(signal.SIGINT, signal.SIG_DFL)  # a test run in the background ignores it
            os.execv(sys.executable, [sys.executable, "-m", "advisor", *arguments])
        self.shown = ""

    def wait_for(self, *texts: str, seconds: float = 60) -> None:
        """Until one of the texts is shown."""
        until = time.monotonic() + seconds
        while not any(text in self.shown for text in texts):
            ready, _, _ = select.select([self.end], [], [], max(until - time.monotonic(), 0))
            assert ready, f"no {texts!r} in {self.shown[-600:]!r}"
            try:
                data = os.read(self.end, 65536)
            except OSError:
                data = b""
            assert data, f"ended before {texts!r}: {self.shown[-600:]!r}"
            self.shown += data.decode("utf-8", "replace")

    def type(self, text: str) -> None:
        self.shown = ""
        os.write(self.end, text.encode())

    def status(self) -> int:
        while True:
            try:
                if not os.read(self.end, 65536):
                    break
            except OSError:
                break
        _, status = os.waitpid(self.pid, 0)
        os.close(self.end)
        return os.waitstatus_to_exitcode(status)


def new_species(folder: Path, answers: list[str]) -> tuple[Result, Path]:
    target = folder / "some-lizard.yaml"
    return run("species", "new", "some-lizard", "-o", target, "--date", "2027-01-31", answers=answers), target
