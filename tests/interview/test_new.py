"""`advisor new` and `advisor species new`: answers from a pipe and at a terminal, broken off, wrong, hostile."""

import os
import re
import select
import signal
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.cli import main
from advisor.commands import asking
from advisor.interview.commented_yaml import flow, scalar
from advisor.interview.new_plan import plan_questions
from advisor.interview.new_species import scientific_name, species_questions
from advisor.interview.questions import question_lines, understood
from advisor.reading.names import profile_files
from advisor.reading.plan import read_plan
from advisor.reading.problems import InputError
from advisor.reading.quantities import Refusal
from advisor.reading.species_by_name import species_named
from advisor.reading.species_lints import check_profile
from advisor.reading.yaml_text import PURE_LOADER, parse_yaml
from tests.papers.test_reading_level import HIGHEST, grade
from tests.support import ROOT
from tests.test_cli import HOSTILE

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


def test_several_heaters_stand_with_the_watts_of_one(tmp_path: Path) -> None:
    result, target = new_plan(tmp_path, changed(10, "2 of 14 W"))
    assert result.exit_code == 0, result.output
    assert plain(target)["heat"] == {"source": "mat", "place": "lid", "count": "2", "power": "14 W"}


def test_answers_stand_at_their_entries(tmp_path: Path) -> None:
    result, target = new_plan(tmp_path, PLAN_ANSWERS)
    assert result.exit_code == 0, result.output
    assert plain(target) == {
        "format": "1",
        "title": "Spare-room box, first season",
        "units": "metric",
        "room": {"temperature": "16 to 24 °C"},
        "outer_box": {
            "inside": "55 x 35 x 22 cm",
            "wall": {"material": "expanded polystyrene", "thickness": "40 mm"},
        },
        "heat": {"source": "mat", "place": "lid", "power": "14 W"},
        "control": {
            "thermostat": "pulse",
            "set_to": "28 °C",
            "probe": {"sits_in": "probe box medium"},
        },
        "egg_boxes": [
            {
                "name": "eggs",
                "count": "2",
                "holds": "eggs",
                "inside": "20 x 14 x 9 cm",
                "lid": {"holes": {"count": "5", "diameter": "2 mm"}},
                "medium": {"material": "vermiculite", "mix": {"medium": "4", "water": "1", "by": "volume"}},
            },
            {"name": "probe", "count": "1", "holds": "probe"},
        ],
        "clutches": [
            {
                "species": "corn snake",
                "eggs": "14",
                "box": "eggs",
                "laying": {"shed_on": "2027-05-02"},
            }
        ],
    }
    assert "Run next:  advisor check" in result.stdout
    assert run("check", target).exit_code in (0, 1)


def test_nobody_knows_anything_is_a_plan_too(tmp_path: Path) -> None:
    result, target = new_plan(tmp_path, ["corn snake", *["d"] * 16])
    assert result.exit_code == 0, result.output
    plan, _ = read_plan(target)
    assert plan.control.set_to is None and plan.egg_boxes[0].inside is None
    for question in plan_questions()[1:]:
        assert question.seldom or question.path in result.stdout  # named as left out
        key = question.path.rsplit(".", 1)[-1]
        # Each left-out entry is a comment with an example, alone or in the comment of its block.
        assert re.search(rf"^ *# .*\b{key}: ", target.read_text("utf-8"), re.MULTILINE)


def commented_entries(text: str) -> Iterator[tuple[int, str]]:
    """Line number and line of every entry that is commented out."""
    for number, line in enumerate(text.splitlines()):
        found = re.match(r"( *)# ([a-z_]+: \S.*)$", line)
        if found and len(found[1]) < 10:
            yield number, found[1] + found[2]


@pytest.mark.parametrize("answers", [PLAN_ANSWERS, ["corn snake", *["d"] * 16]], ids=["all", "none"])
def test_every_comment_is_an_entry_that_can_be_used(answers: list[str], tmp_path: Path) -> None:
    """Taking the # away from any one of them gives a plan that is read."""
    _, target = new_plan(tmp_path, answers)
    text = target.read_text("utf-8")
    entries = [entry for entry in commented_entries(text) if not entry[1].startswith("Then run")]
    assert len(entries) > 10
    for number, line in entries:
        lines = text.splitlines()
        lines[number] = line
        single = tmp_path / "single.yaml"
        single.write_text("\n".join(lines), "utf-8")
        read_plan(single, known_rules=("watching-no-alarm",))


def test_us_answers_give_a_plan_in_us_units(tmp_path: Path) -> None:
    answers = changed(4, "61 to 75 F", changed(5, "22 x 14 x 9 in", changed(12, "82 °F")))
    result, target = new_plan(tmp_path, answers)
    assert result.exit_code == 0, result.output
    assert plain(target)["units"] == "us"
    assert "# lid_fits" in target.read_text("utf-8") and "1 °F" in target.read_text("utf-8")


@pytest.mark.parametrize(
    ("place", "wrong", "reason", "hint"),
    [
        (0, "gekko", "no profile of 'gekko'", "gekko-gecko"),
        (0, "", "this one is needed", "corn snake"),
        (2, "many", "not a whole number", "digits"),
        (2, "0", "at least 1", ""),
        (3, "next week", "does not say when the eggs come", "2027-05-02"),
        (3, "shed 2027-02-30", "does not exist", ""),
        (3, "2027-05-16 to 2027-05-09", "runs backwards", "2027-05-09"),
        (4, "16 to 24", "has no unit", "°C"),
        (4, "16 to 24 kg", "does not measure", ""),
        (5, "55 x 35 cm", "not a size", "55 x 35 x 22 cm"),
        (6, "polystyrol", "not among the words", "expanded polystyrene"),
        (6, "12", "not among the words", ""),
        (7, "40", "has no unit", "40 mm"),
        (12, "82 °C", "mix-up of units", ""),
        (13, "prob box medium", "not among the words", "Did you mean probe box medium"),
        (14, "20 x 14 x 9 cm", "how many boxes", "2 of 20 x 14 x 9 cm"),
        (15, "vermiculite, 4 to 1", "how the parts are measured", "by volume"),
        (15, "gravel, 4 to 1 by volume", "not among the words", "vermiculite"),
        (16, "some", "how many holes", "5 of 2 mm"),
        (1, "x" * 301, "301 characters", ""),
    ],
)
def test_a_wrong_answer_in_a_pipe_is_one_message(
    place: int, wrong: str, reason: str, hint: str, tmp_path: Path
) -> None:
    result, target = new_plan(tmp_path, changed(place, wrong))
    assert result.exit_code == 2
    assert not target.exists() and list(tmp_path.iterdir()) == []
    first, second = result.stderr.splitlines()
    assert first.startswith(
        f"standard input:{place + 1}:1: answer {place + 1}, '{plan_questions()[place].text}'"
    )
    assert reason in first and hint in second and "Nothing was written." in second
    assert result.stdout == ""


@pytest.mark.parametrize("count", [0, 1, 9, 16])
def test_too_few_answers_write_nothing(count: int, tmp_path: Path) -> None:
    result, target = new_plan(tmp_path, PLAN_ANSWERS[:count])
    assert result.exit_code == 2 and not target.exists()
    assert f"end before question {count + 1} of 19" in result.stderr


def test_too_many_answers_write_nothing(tmp_path: Path) -> None:
    result, target = new_plan(tmp_path, [*PLAN_ANSWERS, "", "", "one more"])
    assert result.exit_code == 2 and not target.exists()
    assert "more answers than the 19 questions" in result.stderr
    assert new_plan(tmp_path, [*PLAN_ANSWERS, "", ""])[0].exit_code == 0


@pytest.mark.parametrize("data", [b"\xff\n", b"a" * 70_000], ids=["latin-1", "huge"])
def test_answers_that_are_no_text_write_nothing(data: bytes, tmp_path: Path) -> None:
    result, target = new_plan(tmp_path, data)
    assert result.exit_code == 2 and not target.exists() and "Nothing was written" in result.stderr


def test_what_most_have_not_may_be_left_away_or_told(tmp_path: Path) -> None:
    short, _ = new_plan(tmp_path, PLAN_ANSWERS)
    none, target = new_plan(tmp_path, [*PLAN_ANSWERS, "no", "none"], "--force")
    assert "17 of 17 questions answered." in short.stdout and "19 of 19 questions answered." in none.stdout
    assert "Left out" not in short.stdout + none.stdout
    assert "repeats" not in plain(target)["clutches"][0] and "fan" not in plain(target)
    told = [*PLAN_ANSWERS, "2 more", "fan 2 W always on, glass front 4 mm, 2 low vents of 10 mm"]
    result, target = new_plan(tmp_path, told, "--force")
    assert result.exit_code == 0, result.output
    data = plain(target)
    assert data["clutches"][0]["repeats"] == {"times": "2"}
    assert "# every: 45 to 70 days" in target.read_text("utf-8")  # the profile's own
    assert data["fan"] == {"runs": "always", "power": "2 W"}
    assert data["outer_box"]["vents"] == {"count": "2", "diameter": "10 mm", "where": "low"}
    assert [part["material"] for part in data["outer_box"]["parts"]] == ["glass"]
    plan, _ = read_plan(target)
    assert len(plan.clutches) == 3 and plan.fan is not None and plan.outer_box.vents is not None


def test_cooler_nights_jars_and_two_media_stand_at_their_entries(tmp_path: Path) -> None:
    answers = changed(12, "30 °C by day, 26 °C at night, 12 hours")
    answers[14:17] = [
        "2 jars 12 cm wide, 9 cm high, no lid",
        "half vermiculite half perlite, 2 to 1 by volume",
        "",
    ]
    result, target = new_plan(tmp_path, answers)
    assert result.exit_code == 0, result.output
    data, (box, probe) = plain(target), plain(target)["egg_boxes"]
    assert data["control"]["programme"] == {"day": "30 °C", "night": "26 °C", "hours": "12"}
    assert "set_to" not in data["control"] and "# set_to" not in target.read_text("utf-8")
    assert (box["lid"], box["shape"], box["inside"]) == ("none", "round", "12 cm x 12 cm x 9 cm")
    assert box["medium"]["mixed_with"] == {"material": "perlite", "share": "50 %"}
    assert box["medium"]["mix"] == {"medium": "2", "water": "1", "by": "volume"} and probe["holds"] == "probe"
    assert "control.set_to" not in result.stdout  # told, though not at its own entry


def test_windows_line_ends_and_a_byte_order_mark_are_read(tmp_path: Path) -> None:
    data = b"\xef\xbb\xbf" + "\r\n".join(PLAN_ANSWERS).encode() + b"\r\n"
    result, target = new_plan(tmp_path, data)
    assert result.exit_code == 0, result.output
    assert plain(target)["egg_boxes"][0]["lid"]["holes"]["diameter"] == "2 mm"


def test_an_existing_file_is_refused_before_the_questions(tmp_path: Path) -> None:
    target = tmp_path / "plan.yaml"
    target.write_text("mine")
    result, _ = new_plan(tmp_path, [])  # no answer at all: the refusal has to come first
    assert result.exit_code == 2 and "exists already" in result.stderr and target.read_text() == "mine"
    assert new_plan(tmp_path, PLAN_ANSWERS, "--force")[0].exit_code == 0
    assert run("new", tmp_path / "none" / "plan.yaml").exit_code == 2
    assert run("new", tmp_path / "plan.txt").exit_code == 2
    assert run("new").exit_code == 2


@pytest.mark.parametrize(
    "text", [*HOSTILE, "a: b # c", "- [x]", "yes", "12", "null", "&a *b !c", "'", '"', "\\", "’“”"]
)
def test_hostile_titles_are_kept_as_they_are(text: str, tmp_path: Path) -> None:
    result, target = new_plan(tmp_path, changed(1, text))
    assert result.exit_code == 0, result.output
    assert read_plan(target)[0].title == " ".join(text.split())


@settings(deadline=None, max_examples=100)
@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=40))
def test_any_text_survives_the_writing(text: str) -> None:
    """Read back by the project's reader and by PyYAML's pure reader."""
    for written in (f"key: {scalar(text)}", f"key: [{scalar(text)}, x]", f"key: {flow({'a': text})}"):
        document = parse_yaml(written.encode(), "x.yaml", PURE_LOADER)
        value = document.data["key"]
        assert (
            value[0] if isinstance(value, list) else value["a"] if isinstance(value, dict) else value
        ) == text
        assert yaml.load(written, Loader=yaml.BaseLoader)["key"] == value


@pytest.mark.parametrize("identifier", sorted(profile_files()))
def test_every_species_is_found_by_its_names(identifier: str) -> None:
    names = yaml.safe_load(profile_files()[identifier].read_text("utf-8"))["names"]
    assert species_named(identifier) == identifier
    assert species_named(names["scientific"]) == identifier
    for name in names["common"]:
        try:
            assert species_named(name) == identifier
        except Refusal as refusal:  # a name that two profiles share
            assert identifier in refusal.hint


def test_names_that_come_near_are_offered() -> None:
    for word, offered in (
        ("corn snak", "pantherophis-guttatus"),
        ("geckos", "gekko-gecko"),
        ("pogona", "pogona-vitticeps"),
    ):
        with pytest.raises(Refusal) as refused:
            species_named(word)
        assert offered in refused.value.hint


def test_questions_are_printed_without_asking() -> None:
    for command, questions in ((["new"], plan_questions()), (["species", "new"], species_questions())):
        shown = run(*command, "--questions").stdout
        for question in questions:
            assert question.text in shown and question.help in shown and question.example in shown
    seldom = [question.seldom for question in plan_questions()]
    assert 13 <= seldom.count(False) <= 17  # "about fifteen"
    assert seldom == sorted(seldom) and seldom.count(True) == 2  # what most have not comes last


def test_examples_are_good_answers(tmp_path: Path) -> None:
    """The example shown at each question is taken when it is typed in (the first, where it names several)."""
    answers = [
        re.split(r",? or (?=\d|below|laid|none)|, or ", question.example)[0] for question in plan_questions()
    ]
    result, target = new_plan(tmp_path, answers)
    assert result.exit_code == 0, result.output
    assert read_plan(target)


def test_an_entry_counts_once_its_sign_and_the_space_behind_it_are_gone(tmp_path: Path) -> None:
    """The plan tells how; who leaves the space is told what happened (a first key may stand further in: then nothing)."""
    result, target = new_plan(tmp_path, ["corn snake", *[""] * 16])
    assert result.exit_code == 0, result.output
    text = target.read_text("utf-8")
    assert "take the # and the space behind it away" in text
    for number, line in enumerate(text.splitlines()):
        sign = re.match(r"( *)# [a-z_]+: ", line)
        if not sign:
            continue
        for space in ("", " "):
            lines = text.splitlines()
            lines[number] = sign[1] + space + line[len(sign[1]) + 2 :]
            target.write_text("\n".join(lines) + "\n", "utf-8")
            checked = run("check", target)
            if not space:
                assert checked.exit_code in (0, 1), checked.stderr
            elif checked.exit_code == 2:
                assert "YAML" not in checked.stderr
                assert "take the space behind it away too" in checked.stderr


# --- at a terminal


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
    terminal.wait_for("Your answer: ")
    assert "Example: corn snake" in terminal.shown
    terminal.type("corn snak\n")
    terminal.wait_for("Your answer: ")
    assert "Not yet: there is no profile of 'corn snak'" in terminal.shown
    assert "pantherophis-guttatus (corn snake)" in terminal.shown
    assert "\n1. Which species" in terminal.shown.replace("\r", "")  # the same question again
    terminal.type("Corn snakes\n")
    terminal.wait_for("Your answer: ")
    assert "Noted: corn snake" in terminal.shown
    assert "The profile of corn snake has 4 to 30 eggs" in terminal.shown  # help from the profile
    terminal.type("14\n")
    terminal.wait_for("Your answer: ")
    terminal.type("shed 2027-05-02\n")
    terminal.wait_for("Your answer: ")
    assert "Enter alone: none." in terminal.shown  # of what most have not nothing is proposed
    terminal.type("no\n")
    terminal.wait_for("Your answer: ")
    assert "Enter alone: propose it." in terminal.shown
    terminal.type("29\n")
    terminal.wait_for("Your answer: ")
    assert "Not yet: the number 29 has no unit" in terminal.shown
    terminal.type("16 to 24 °C\n")
    terminal.wait_for("Your answer: ")
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
    terminal.wait_for("Your answer: ")
    terminal.type("corn snake\n")
    terminal.wait_for("Your answer: ")
    time.sleep(0.5)  # the prompt is printed just before the keyboard is read
    terminal.type(key)
    terminal.wait_for("nothing was written")
    assert terminal.status() == 2
    assert list(tmp_path.iterdir()) == []


def test_a_signal_leaves_nothing(tmp_path: Path) -> None:
    terminal = Terminal("new", str(tmp_path / "plan.yaml"))
    terminal.wait_for("Your answer: ")
    os.kill(terminal.pid, signal.SIGTERM)
    assert terminal.status() != 0
    assert list(tmp_path.iterdir()) == []


# --- species


def new_species(folder: Path, answers: list[str]) -> tuple[Result, Path]:
    target = folder / "some-lizard.yaml"
    return run("species", "new", "some-lizard", "-o", target, "--date", "2027-01-31", answers=answers), target


def test_a_profile_passes_its_own_check(tmp_path: Path) -> None:
    result, target = new_species(tmp_path, PROFILE_ANSWERS)
    assert result.exit_code == 0, result.output
    checked = run("species", "check", target)
    assert checked.exit_code == 0 and "no fault found" in checked.stdout
    data = plain(target)
    assert data["names"] == {
        "scientific": "Some lizard",
        "common": ["some lizard", "garden lizard"],
        "former": ["Oldgenus minor"],
    }
    assert data["reviewed"] == "2027-01-31"
    assert data["temperature"]["aim"] == {"low": "27 °C", "high": "29 °C", "sources": ["practice"]}
    assert data["temperature"]["harmful"] == {"below": "22 °C", "above": "32 °C", "sources": ["practice"]}
    assert data["duration"] == [
        {"at": "26 to 28 °C", "days": "60 to 70", "sources": ["practice"]},
        {"at": "28 °C", "days": "62.5", "eggs": "24", "sources": ["practice"]},
    ]
    assert data["sex"]["observed"] == [
        {"at": "26 °C", "male_share": "0.9", "eggs": "20", "sources": ["practice"]},  # 18 of 20
        {"at": "32 °C", "male_share": "0.05", "eggs": "20", "sources": ["practice"]},  # 1 of 20
    ]
    assert data["medium"]["mixes"] == [{"medium": "4", "water": "1", "by": "volume", "sources": ["practice"]}]
    assert data["cool_period"]["when"] == "after four weeks of warmth"
    assert data["cautions"] == [{"word": "protected", "because": "Trade in this species needs papers."}]
    species = check_profile(target)
    assert species.laying is not None and species.laying.shed_to_laying is not None
    assert (species.laying.shed_to_laying.low, species.laying.shed_to_laying.high) == (7, 14)
    following = species.laying.next_clutch
    assert following is not None and (following.low, following.high) == (45, 70)
    assert species.climate is not None and species.climate.kind == "temperate"
    assert species.eggs.clutches_a_year is not None and species.eggs.clutches_a_year.high == 2


@pytest.mark.parametrize("word", ["", "unknown", "d"])
def test_unknown_is_an_answer(word: str, tmp_path: Path) -> None:
    result, target = new_species(tmp_path, ["some lizard", word, "skink", *[word] * 23])
    assert result.exit_code == 0, result.output
    species = check_profile(target)
    assert species.aim is None and species.duration == () and not species.pause_known
    assert species.sex.set_by is None and species.eggs.shell is None


@pytest.mark.parametrize(
    ("place", "wrong", "reason"),
    [
        (2, "fish", "not among the words"),
        (3, "27 to 29 °C", "the source is missing"),
        (3, "27 to 29 °C [practise]", "is not in species/sources.yaml"),
        (3, "27 to 29 [practice]", "has no unit"),
        (4, "28 to 30 °C [practice]", "not inside tolerated"),  # the aim of the answer before is 27 to 29
        (5, "below 26 °C [practice]", "cuts into the band"),
        (6, "28 °C 60 days [practice]", "not a temperature with its days"),
        (6, "26 °C: 60 days [practice]; 30 °C: 70 days [practice]", "longer than"),
        (8, "magic [practice]", "not among the words"),
        (10, "26 °C: 30 of 20 [practice]", "too many"),
        (
            10,
            "26 °C: 1 of 20 [practice]; 28 °C: 9 of 20 [practice]; 32 °C: 19 of 20 [practice]",
            "the eggs counted give",
        ),
        (17, "4 to 1 [practice]", "how the parts are measured"),
        (21, "cold [practice]", "not among the words"),
        (22, "two weeks [practice]", "cannot be read as a time"),
        (23, "soon [practice]", "stands where a number of days belongs"),
        (23, "400 days [practice]", "is too large"),
        (24, "poison: It bites.", "not among the words"),
    ],
)
def test_a_wrong_figure_is_refused_at_its_question(
    place: int, wrong: str, reason: str, tmp_path: Path
) -> None:
    """By the words of the schema and the lints, at the answer that brings the fault in."""
    result, target = new_species(tmp_path, changed(place, wrong, PROFILE_ANSWERS))
    assert result.exit_code == 2 and not target.exists()
    first, second = result.stderr.splitlines()
    assert f"answer {place + 1}," in first and reason in first and "Nothing was written." in second


def test_a_paper_in_a_bibliography_beside_the_profile_is_a_source(tmp_path: Path) -> None:
    """What `species check` takes of a folder of one's own, the questions take; a fault in it is told before them."""
    answers = changed(5, "above 32 °C [invented-2027]", PROFILE_ANSWERS)
    assert "is not in species/sources.yaml" in new_species(tmp_path, answers)[0].stderr
    own = tmp_path / "sources.yaml"
    own.write_text("format: 1\nsources:\n  invented-2027: {cite: Invented 2027, known: published}\n", "utf-8")
    result, target = new_species(tmp_path, answers)
    assert result.exit_code == 0, result.stderr
    assert run("species", "check", target).exit_code == 0
    own.write_text("invented-2027: {cite: Invented 2027}\n", "utf-8")
    target.unlink()
    result, target = new_species(tmp_path, answers)
    assert result.exit_code == 2 and not target.exists()
    assert result.stderr.startswith(str(own)) and "answer" not in result.stderr


@pytest.mark.parametrize("place", [7, 20])
def test_none_with_a_source_is_told_to_stand_alone(place: int, tmp_path: Path) -> None:
    result, _ = new_species(tmp_path, changed(place, "none [practice]", PROFILE_ANSWERS))
    assert result.exit_code == 2 and "Write none alone" in result.stderr


def test_the_id_is_the_file_name_and_the_scientific_name(tmp_path: Path) -> None:
    assert scientific_name("vipera-aspis-francisciredi") == "Vipera aspis francisciredi"
    assert run("species", "new", "Some lizard").exit_code == 2
    assert run("species", "new").exit_code == 2
    assert run("species", "new", "some-lizard", "-o", tmp_path / "other.yaml").exit_code == 2
    target = tmp_path / "some-lizard.yaml"
    target.write_text("mine")
    result, _ = new_species(tmp_path, [])
    assert result.exit_code == 2 and "exists already" in result.stderr and target.read_text() == "mine"


def test_the_same_answers_and_date_give_the_same_bytes(tmp_path: Path) -> None:
    for name, make, answers in (
        ("plan", new_plan, PLAN_ANSWERS),
        ("profile", new_species, PROFILE_ANSWERS),
    ):
        found = []
        for turn in ("a", "b"):
            folder = tmp_path / f"{name}-{turn}" / "same"
            folder.mkdir(parents=True)
            _, target = make(folder, answers)
            found.append(target.read_bytes().replace(str(folder).encode(), b""))
        assert found[0] == found[1]


@pytest.mark.parametrize("failing", [("os.fsync",), ("os.link", "os.replace")], ids=" ".join)
def test_a_folder_that_cannot_be_written_leaves_nothing(
    failing: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    for name in failing:
        monkeypatch.setattr(name, full)
    result, target = new_plan(tmp_path, PLAN_ANSWERS)
    assert result.exit_code == 2 and "No space left" in result.stderr
    assert list(tmp_path.iterdir()) == []
    with pytest.raises(InputError):
        read_plan(target)


def test_the_questions_read_at_grade_8_or_below() -> None:
    for questions in (plan_questions(), species_questions()):
        assert grade([text for question in questions for text in (question.text, question.help)]) <= HIGHEST


def test_a_source_left_out_is_that_of_the_answer_before(tmp_path: Path) -> None:
    full = [answer.replace("[judgement]", "[practice]") for answer in PROFILE_ANSWERS]
    first = next(number for number, answer in enumerate(full) if "[practice]" in answer)
    spared = full[: first + 1] + [answer.replace(" [practice]", "") for answer in full[first + 1 :]]
    assert spared != full
    texts = []
    for name, answers in (("full", full), ("spared", spared)):
        (tmp_path / name).mkdir()
        result, target = new_species(tmp_path / name, answers)
        assert result.exit_code == 0, result.stderr
        texts.append(target.read_text("utf-8"))
    assert texts[0] == texts[1]


def test_the_source_of_the_answer_before_is_offered() -> None:
    asked = next(question for question in species_questions() if question.path == "temperature.tolerated")
    before = {"temperature.aim": {"low": "27 °C", "high": "29 °C", "sources": ["viets-1993", "practice"]}}
    shown = list(question_lines(5, 22, asked, before))
    assert "    Without a source, that of the answer before is taken: [viets-1993, practice]." in shown
    assert not any("Without a source" in line for line in question_lines(5, 22, asked, {}))
