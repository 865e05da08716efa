"""`advisor species new`: a profile from answers, its sources, and what is wrong told at its question."""

from pathlib import Path

import pytest
import yaml

from advisor.interview.new_species import scientific_name, species_questions
from advisor.interview.questions import question_lines
from advisor.reading.names import profile_files
from advisor.reading.quantities import Refusal
from advisor.reading.species_by_name import species_named
from advisor.reading.species_lints import check_profile
from tests.interview.asked import PROFILE_ANSWERS, changed, new_species, plain, run


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
