"""`advisor new` to its end: what is asked second, what is proposed, and that nobody's answer is changed unasked."""

import datetime
import re
from pathlib import Path
from typing import Any

import pytest

from advisor.advice.fill import STAGES
from advisor.advice.suggest import Bounds, suggestion_for
from advisor.assess import assess, assess_document
from advisor.interview.new_plan import plan_check, plan_questions
from advisor.interview.plan_answers import REPEATS
from advisor.interview.questions import entries_of, question_about
from advisor.interview.second_round import ASKED_AT, FIRST, HOME, LATER, in_rounds, untold
from advisor.model.findings import FIX, STOP, NotJudged, Report
from advisor.reading.marks import path_key
from advisor.reading.quantities import Refusal
from advisor.reading.schema import entry_at
from advisor.reading.species_by_name import profile_called
from advisor.report.suggestion import whole_plan_lines
from advisor.rules import rule_modules
from tests.interview.asked import Terminal, changed, new_plan, plain

TODAY = ("--date", "2027-01-31")
FILL = ("--fill", *TODAY)
SPECIES = {"clutches[0].species": "corn snake"}
# Of each group of profiles some, from dry to damp, small to large, soft shell to hard.
BEGINNERS = {
    "corn snake": 14,
    "ball python": 6,
    "carpet python": 18,
    "leopard gecko": 2,
    "crested gecko": 2,
    "tokay gecko": 2,
    "central bearded dragon": 20,
    "veiled chameleon": 40,
    "Hermann's tortoise": 5,
    "leopard tortoise": 12,
    "red-eared slider": 10,
    "green iguana": 35,
}
QUICK = ("corn snake", "crested gecko", "Hermann's tortoise")  # the others are for the slow tests


def five_answers(species: str, eggs: int) -> list[str]:
    """Species, eggs, when, room and box; the other lines are empty."""
    told = [species, "", str(eggs), "2027-05-10 to 2027-05-17", "17 to 23 °C", "55 x 35 x 22 cm"]
    return [*told, "expanded polystyrene", *[""] * 10]


def set_entries(data: Any, path: str = "") -> dict[str, Any]:
    """Every value of a plan by its path."""
    if isinstance(data, dict):
        pairs = [(f"{path}.{key}" if path else key, value) for key, value in data.items()]
    elif isinstance(data, list):
        pairs = [(f"{path}[{place}]", value) for place, value in enumerate(data)]
    else:
        return {path: data}
    return {inner: value for here, entry in pairs for inner, value in set_entries(entry, here).items()}


@pytest.mark.parametrize(
    "species",
    [pytest.param(name, marks=() if name in QUICK else pytest.mark.slow) for name in BEGINNERS],
)
def test_five_answers_end_without_stop_or_fix(species: str, tmp_path: Path) -> None:
    """And with nothing left that a rule lacks, but for what the profile cannot say; that is named."""
    result, target = new_plan(tmp_path, five_answers(species, BEGINNERS[species]), *FILL)
    assert result.exit_code == 0, result.output
    report = assess(target).report
    assert not [finding for finding in report.findings if finding.severity in (STOP, FIX)]
    told = " ".join(result.stdout.split())
    missing = re.search(r"Still missing, and nothing was found to propose: ([^:]*)\. Wrote", told)
    named = set(missing[1].split(", ")) if missing else set()
    assert named == set(untold(report))
    if profile_called(species, None).aim is not None:
        assert named == set()
    data = plain(target)
    assert data["clutches"][0]["species"] == species and data["room"]["temperature"] == "17 to 23 °C"
    assert data["outer_box"]["inside"] == "55 x 35 x 22 cm"


def test_a_whole_plan_marks_what_was_proposed_and_shows_no_set_entry_as_a_comment(tmp_path: Path) -> None:
    (tmp_path / "told").mkdir()
    _, told_file = new_plan(tmp_path / "told", changed(16, ""))
    result, target = new_plan(tmp_path, changed(16, ""), *FILL)
    assert result.exit_code == 0, result.output
    told, whole = set_entries(plain(told_file)), set_entries(plain(target))
    assert told.items() <= whole.items()
    assert len(whole) > len(told) + 15
    text = target.read_text("utf-8")
    proposed = {
        line.partition(" #")[0].strip(" -").partition(":")[0]
        for line in text.splitlines()
        if "# proposed: " in line
    }
    for path in whole.keys() - told.keys():
        assert proposed & {str(part) for part in path_key(path)}, path
    assert "laying: {shed_on: 2027-05-02} " in text  # told as one, and one of three ways to tell it
    for name in ("lid", "medium", "watching", "checks", "trial_run", "people", "marked", "placed"):
        assert re.search(rf"^ *(- )?{name}:", text, re.MULTILINE)
        assert not re.search(rf"^ *# {name}:", text, re.MULTILINE)


def test_what_stays_missing_and_what_only_the_keeper_can_know_is_named() -> None:
    base = assess_document(plan_check()(SPECIES))
    limits = Bounds(("heat", "people"), today=datetime.date(2027, 1, 31))
    *_, hoped, missing = [
        line.text for line in whole_plan_lines(suggestion_for(base, limits, fill=True), 10_000)
    ]
    assert hoped.endswith("Make it so, or correct it: control.checked_against.")
    named = missing.rpartition(": ")[2].rstrip(".").split(", ")
    assert all(entry.startswith("people.") for entry in named[:3])
    assert {"people.residual_current_device", "heat.source", "heat.power"} <= set(named)
    assert "watching.alarm" not in named  # proposed


def test_us_answers_end_with_a_whole_plan_in_us_units(tmp_path: Path) -> None:
    answers = five_answers("corn snake", 14)
    answers[4:6] = ["63 to 73 °F", "22 x 14 x 9 in"]
    result, target = new_plan(tmp_path, answers, *FILL)
    assert result.exit_code == 0, result.output
    assert plain(target)["units"] == "us" and plain(target)["clutches"][0]["egg_mass"] == "0.3 oz"


def test_a_room_too_warm_is_named(tmp_path: Path) -> None:
    result, target = new_plan(tmp_path, changed(4, "29 to 34 °C"), *FILL)
    assert result.exit_code == 0, result.output
    shown = " ".join(result.stdout.split())
    assert "What stands in the way: The warmest room is 34 °C" in shown
    assert "eggs of corn snake come to harm from 33 °C" in shown
    assert plain(target)["room"]["temperature"] == "29 to 34 °C"


WET = changed(15, "vermiculite, 1 to 3 by volume")


def test_an_answer_that_cannot_stay_is_told_and_kept(tmp_path: Path) -> None:
    result, target = new_plan(tmp_path, WET, *FILL)
    assert result.exit_code == 0, result.output
    assert "This would have to change:" in result.stdout
    assert "egg_boxes[0].medium.mix: {medium: 1, water: 3, by: volume} ->" in result.stdout
    assert "What stands in the way" in result.stdout
    assert plain(target)["egg_boxes"][0]["medium"]["mix"] == {"medium": "1", "water": "3", "by": "volume"}


def at_the_end(target: Path, answers: list[str]) -> Terminal:
    """A terminal where these answers were given, each at its own question, and all else was left to be proposed."""
    by_text = {question.text: answer for question, answer in zip(plan_questions(), answers, strict=False)}
    terminal = Terminal("new", str(target), *TODAY)
    while True:
        terminal.wait_for("Answer: ", "? [y/N]", "[Y/n]")
        if "[y/N]" in terminal.shown or "[Y/n]" in terminal.shown:
            return terminal
        asked = re.findall(r"^\d+\. (.*)$", terminal.shown.replace("\r", ""), re.MULTILINE)[-1]
        terminal.type(by_text.get(asked, "") + "\n")


def test_at_a_terminal_told_answers_change_only_when_agreed(tmp_path: Path) -> None:
    for word, mix in (("n", {"medium": "1", "water": "3", "by": "volume"}), ("y", None)):
        target = tmp_path / f"{word}.yaml"
        terminal = at_the_end(target, WET)
        assert "This would have to change:" in terminal.shown
        terminal.type(f"{word}\n")
        terminal.wait_for("[Y/n]")
        terminal.type("\n")
        terminal.wait_for("Run next")
        assert terminal.status() == 0
        data = plain(target)
        assert data["title"] == "Spare-room box, first season" and data["people"]
        if mix:
            assert data["egg_boxes"][0]["medium"]["mix"] == mix
        else:
            remarks = " ".join(target.read_text("utf-8").replace("#", " ").split())
            assert "changed from {medium: 1, water: 3, by: volume}: clears moisture-mix-too-wet" in remarks
            assert not [one for one in assess(target).report.findings if one.severity in (STOP, FIX)]


def test_another_room_is_offered_where_nothing_else_helps(tmp_path: Path) -> None:
    terminal = at_the_end(tmp_path / "plan.yaml", changed(4, "29 to 34 °C"))
    assert "room.temperature: 29 to 34 °C -> " in terminal.shown
    terminal.type("y\n")
    terminal.wait_for("[Y/n]")
    assert "room.temperature" not in terminal.shown.rpartition("[y/N]")[2]  # told once
    terminal.type("\n")
    terminal.wait_for("Run next")
    assert terminal.status() == 0
    report = assess(tmp_path / "plan.yaml").report
    assert not [one.message for one in report.findings if one.severity in (STOP, FIX)]


def test_a_keeper_sees_examples_in_units_of_his_own() -> None:
    for room, other in (("17 to 23 °C", r"°F|\d in\b"), ("63 to 73 °F", r"°C|\d [cm]m\b")):
        answers: dict[str, Any] = {**SPECIES, "room.temperature": room}
        shown = [
            question.example
            for question in in_rounds(
                plan_questions(), answers, lambda told: assess_document(plan_check()(told)).report, None
            )
            if question.path not in (*SPECIES, "room.temperature")
        ]
        assert len(shown) > 20
        # What has but one form in all is shown as it is: a list of parts, nights.
        assert [one for one in shown if re.search(other, one) and "," not in one] == []


def test_broken_off_at_the_end_nothing_is_written(tmp_path: Path) -> None:
    terminal = Terminal("new", str(tmp_path / "plan.yaml"), *TODAY)
    for answer in ("corn snake", "rest"):
        terminal.wait_for("Answer: ")
        terminal.type(f"{answer}\n")
    terminal.wait_for("[Y/n]")
    terminal.type("\x04")
    terminal.wait_for("nothing was written")
    assert terminal.status() == 2 and list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("source", ["mat", "cable", "water bath"])
def test_every_question_is_a_sentence(source: str) -> None:
    """What the rules may lack has its question in the schema, so that nobody is asked "Clutches: ready on?"."""
    check = plan_check()
    answers: dict[str, Any] = {"heat.source": source, **SPECIES}
    own = {question.path for question in plan_questions()}
    report = assess_document(check(answers)).report
    lacking = {path for path in map(ASKED_AT.get, untold(report), untold(report)) if path and path not in own}
    assert len(lacking) > 10
    assert [path for path in lacking if "x-ask" not in entry_at("plan", path_key(path))] == []


def asked_in_turn(answer_all: bool) -> tuple[list[str], dict[str, Any]]:
    """The entries that are asked for one after another, and the answers: each the example that is shown, or none."""
    check, answers = plan_check(), dict[str, Any](SPECIES)
    paths = []
    for question in in_rounds(
        plan_questions(), answers, lambda told: assess_document(check(told)).report, None
    ):
        paths.append(question.path)
        if answer_all and question.path not in SPECIES:
            typed = re.split(r",? or (?=\d|below|laid|none)|, or ", question.example)[0]
            answers |= entries_of(question, typed, answers, check)
    return paths, answers


def test_nothing_is_asked_twice_and_the_home_comes_before_what_can_be_proposed() -> None:
    paths, _ = asked_in_turn(answer_all=False)
    assert len(set(paths)) == len(paths) and tuple(paths[: len(FIRST)]) == FIRST
    home = [path.startswith(HOME) for path in paths[len(FIRST) :]]
    assert home == sorted(home, reverse=True) and sum(home) == 4
    assert {question.path for question in plan_questions()} <= set(paths)


def test_who_answers_everything_by_the_examples_leaves_nothing_unjudged_but_what_is_proposed() -> None:
    """So every question that is made of the schema takes its own example, and stands for what the rules lack."""
    paths, answers = asked_in_turn(answer_all=True)
    left = untold(assess_document(plan_check()(answers)).report)
    later = [entry for entry in left if "[1]" not in entry]  # the probe box is like the egg boxes
    assert later and not [path for path in paths if path.startswith(LATER)]
    proposed = tuple(pattern.replace("[]", "[0]") for stage in STAGES for pattern in stage)
    assert [entry for entry in later if not (entry.startswith(LATER) and entry.startswith(proposed))] == []


def test_who_lays_once_is_not_asked_how_often() -> None:
    """Unless the profile tells of one clutch a year and no days to another."""
    asked = {}
    for name in ("corn snake", "leopard gecko", "ball python"):
        answers: dict[str, Any] = {"clutches[0].species": name}
        rounds = in_rounds(plan_questions(), answers, lambda _: Report((), (), (), ()), None)
        asked[name] = REPEATS in {question.path for question in rounds}
    assert asked == {"corn snake": True, "leopard gecko": True, "ball python": False}


def test_how_far_apart_is_asked_only_where_the_profile_does_not_tell() -> None:
    for name, lacks in (("leopard gecko", False), ("ball python", True)):
        answers = {
            "clutches[0].species": name,
            "clutches[0].eggs": 4,
            "clutches[0].egg_mass": "9 g",
            f"{REPEATS}.times": 2,
        }
        found = untold(assess_document(plan_check()(answers)).report)
        assert (f"{REPEATS}.every" in found) is lacks


def test_untold_entries_stand_in_the_order_of_the_harm() -> None:
    lacks = [
        NotJudged(("clutches[0].eggs",), "people-infection"),
        NotJudged(("heat.power", "heat.place"), "heat-too-weak-for-room"),
        NotJudged(("heat.place", "watching.alarm"), "heat-stuck-on-harms-eggs"),
        NotJudged(("watching.alarm", "people.drip_loop"), "watching-no-alarm"),
        NotJudged(("no entry of a plan",), "watching-no-alarm"),
    ]
    assert untold(Report((), (), tuple(lacks), ())) == [
        "people.drip_loop", "clutches[0].eggs", "heat.place", "watching.alarm", "heat.power",
    ]  # fmt: skip


def needed_entries() -> list[str]:
    """Every entry of the plan that a rule always reads."""
    needs = {entry for module in rule_modules() for entry in module.RULE.needs}
    paths = (re.sub(r"^clutch\b", "clutches[0]", re.sub(r"^box\b", "egg_boxes[0]", entry)) for entry in needs)
    return sorted(path for path in paths if entry_at("plan", path_key(path)))


def test_what_is_asked_of_an_entry_is_a_sentence_and_not_the_name_of_a_field() -> None:
    """Of every entry that rules read or that is proposed, and that no question of its own asks for."""
    own = {question.path for question in plan_questions()} | set(ASKED_AT) | {"clutches", "egg_boxes"}
    paths = {pattern.replace("[]", "[0]") for stage in STAGES for pattern in stage} | set(needed_entries())
    asked = {path: question_about(path, "", False).text for path in paths - own}
    assert len(asked) > 30
    assert {path for path, text in asked.items() if ": " in text or not text.endswith("?")} == set()


@pytest.mark.parametrize("source", entry_at("plan", ("heat", "source"))["enum"])
def test_what_a_heater_makes_the_rules_lack_is_asked_in_a_sentence(source: str) -> None:
    """A cable has a length and a bath has water, which no rule reads of any other heater."""
    told = {**SPECIES, "clutches[0].eggs": 9, "heat.source": source}
    asked = {entry for entry in untold(assess_document(plan_check()(told)).report) if "[1]" not in entry}
    own = {question.path for question in plan_questions()} | set(ASKED_AT)
    texts = {path: question_about(path, "", False).text for path in asked - own}
    assert texts
    assert {path: text for path, text in texts.items() if ": " in text} == {}


def test_a_help_that_says_its_question_again_is_left_away() -> None:
    assert question_about("power_cut.prepared", "", False).help == ""
    assert question_about("egg_boxes[0].stands", "", False).help == ""
    assert "test button" in question_about("people.residual_current_device", "", False).help
    assert "airtight" in question_about("egg_boxes[0].lid.fit", "", False).help


@pytest.mark.parametrize("us", [False, True], ids=["metric", "us"])
@pytest.mark.parametrize("path", needed_entries())
def test_a_question_made_of_the_schema_takes_its_example_and_refuses_nonsense(path: str, us: bool) -> None:
    question = question_about(path, "", us)
    assert not question.example.startswith("{") or "," in question.example  # one value needs no braces
    found = question.read(question.example)
    assert list(found) == [path]
    if entry_at("plan", path_key(path)).get("x-unit") != "text":
        with pytest.raises(Refusal) as refused:
            question.read("no such thing at all")
        assert refused.value.hint


@pytest.mark.parametrize(
    ("path", "typed", "takes"),
    [
        ("control.cut_out", "32 °C", {"set_to": "32 °C"}),
        ("control.cut_out", "no", "none"),
        ("control.cut_out", "{set_to: 32 °C}", {"set_to": "32 °C"}),
        ("egg_boxes[0].top_up", "every 14 days", {"every": "every 14 days"}),
        ("egg_boxes[0].top_up", "2", "by weight"),
        ("people.residual_current_device", "y", "yes"),
        ("watching.thermometers", "two", 2),
        ("watching.thermometers", "2 thermometers", 2),
        ("trial_run.days", "7 days", 7),
        ("trial_run.from", "20 April 2027", "2027-04-20"),
        ("outer_box.lid_fits", "tightly", "well"),
    ],
)
def test_questions_made_of_the_schema_take_answers_as_people_write_them(
    path: str, typed: str, takes: Any
) -> None:
    assert question_about(path, "", False).read(typed) == {path: takes}


@pytest.mark.parametrize("told", ["", "none", "fan 2 W always on"])
def test_what_is_said_not_to_be_there_is_not_proposed(told: str, tmp_path: Path) -> None:
    """Vents help the open tray of a large clutch; they are not asked of a keeper who said what the box has."""
    answers = [
        "Burmese python",
        "Big box",
        "70",
        "2027-05-09 to 2027-05-16",
        "18 to 24 °C",
        "90 x 60 x 35 cm",
    ]
    answers += ["expanded polystyrene", "40 mm", "mat", "lid", "50 W", "pulse", "31 °C", ""]
    answers += ["1 of 70 x 50 x 20 cm", "vermiculite, 1 to 1 by mass", "no lid", "no", told]
    result, target = new_plan(tmp_path, answers, *FILL)
    assert result.exit_code == 0, result.output
    assert ("vents" in plain(target)["outer_box"]) is (told == "")
