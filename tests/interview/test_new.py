"""`advisor new`: answers from a pipe, wrong, hostile, at the edge."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.interview.commented_yaml import flow, scalar
from advisor.interview.new_plan import plan_questions
from advisor.interview.new_species import species_questions
from advisor.reading.plan import read_plan
from advisor.reading.problems import InputError
from advisor.reading.yaml_text import PURE_LOADER, parse_yaml
from tests.interview.asked import PLAN_ANSWERS, PROFILE_ANSWERS, changed, new_plan, new_species, plain, run
from tests.papers.test_reading_level import HIGHEST, grade
from tests.test_cli import HOSTILE


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
