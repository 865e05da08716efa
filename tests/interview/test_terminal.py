"""The questions at a terminal: width, words, a wrong answer, broken off."""

import os
import re
import signal
import time
from pathlib import Path

import pytest

from advisor.commands import asking
from advisor.interview.new_plan import plan_questions
from advisor.interview.questions import question_lines, understood
from tests.interview.asked import (
    Terminal,
    plain,
)


@pytest.mark.parametrize("columns", [30, 40, 80, 200])
def test_what_is_asked_breaks_between_words_and_fits_the_terminal(
    columns: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(asking, "screen_width", lambda: columns)
    for question in plan_questions():
        lines = list(question_lines(1, 19, question, {}))
        for line in lines:
            asking.say(line)
        shown = capsys.readouterr().out
        assert max(map(len, shown.splitlines())) <= columns
        assert shown.split() == " ".join(lines).split()
        assert (
            not re.search(r"\b\d$", shown, re.MULTILINE) or not question.words
        )  # "4" at its end, "plywood" on the next
        assert "\u00a0" not in shown


def test_what_was_noted_is_told_by_the_names_of_the_entries() -> None:
    own = {question.path: question for question in plan_questions()}
    for path, typed, shown in (
        ("clutches[0].repeats", "3 more", "clutches that follow: 3"),
        ("clutches[0].laying", "10 June 2027 to 24 June 2027", "expected: 2027-06-10 to 2027-06-24"),
        ("outer_box.wall.material", "1", "expanded polystyrene"),
    ):
        assert understood(own[path], own[path].read(typed)) == shown


def test_at_a_terminal_a_wrong_answer_is_asked_again(tmp_path: Path) -> None:
    target = tmp_path / "plan.yaml"
    terminal = Terminal("new", str(target), "--date", "2027-01-31")
    terminal.wait_for("Answer: ")
    assert "Example: corn snake" in terminal.shown
    assert "Enter alone leaves out one question" in " ".join(terminal.shown.split())
    terminal.type("corn snak\n")
    terminal.wait_for("Answer: ")
    assert "Not yet: there is no profile of 'corn snak'" in terminal.shown
    assert "pantherophis-guttatus (corn snake)" in terminal.shown
    assert "\n1. Which species" in terminal.shown.replace("\r", "")  # the same question again
    terminal.type("Corn snakes\n")
    terminal.wait_for("Answer: ")
    assert "Noted: corn snake" in terminal.shown
    assert "The profile of corn snake has 4 to 30 eggs" in terminal.shown  # help from the profile
    terminal.type("14\n")
    terminal.wait_for("Answer: ")
    terminal.type("shed 2027-05-02\n")
    terminal.wait_for("Answer: ")
    terminal.type("no\n")
    terminal.wait_for("Answer: ")
    assert "Enter alone" not in terminal.shown  # told once, before the first question
    terminal.type("29\n")
    terminal.wait_for("Answer: ")
    assert "Not yet: the number 29 has no unit" in terminal.shown
    terminal.type("16 to 24 °C\n")
    terminal.wait_for("Answer: ")
    terminal.type("rest\n")
    terminal.wait_for("Write the whole plan?")
    terminal.type("n\n")
    terminal.wait_for("Run next")
    assert terminal.status() == 0
    assert plain(target)["clutches"] == [
        {"species": "corn snake", "eggs": "14", "box": "eggs", "laying": {"shed_on": "2027-05-02"}}
    ]
    assert "proposed" not in target.read_text("utf-8")


@pytest.mark.parametrize("key", ["\x03", "\x04"], ids=["Ctrl-C", "end of input"])
@pytest.mark.parametrize(
    "command", [("new", "plan.yaml"), ("species", "new", "some-lizard", "-o", "some-lizard.yaml")]
)
def test_broken_off_at_a_terminal_nothing_is_written(
    command: tuple[str, ...], key: str, tmp_path: Path
) -> None:
    terminal = Terminal(*command[:-1], str(tmp_path / command[-1]))
    terminal.wait_for("Answer: ")
    terminal.type("corn snake\n")
    terminal.wait_for("Answer: ")
    time.sleep(0.5)  # the prompt is printed just before the keyboard is read
    terminal.type(key)
    terminal.wait_for("nothing was written")
    assert terminal.status() == 2
    assert list(tmp_path.iterdir()) == []


def test_a_signal_leaves_nothing(tmp_path: Path) -> None:
    terminal = Terminal("new", str(tmp_path / "plan.yaml"))
    terminal.wait_for("Answer: ")
    os.kill(terminal.pid, signal.SIGTERM)
    assert terminal.status() != 0
    assert list(tmp_path.iterdir()) == []
