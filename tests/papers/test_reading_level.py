"""How hard the papers are to read: Flesch-Kincaid grade, at most 8 on average.

Formula: 0.39 words per sentence + 11.8 syllables per word - 15.59 (Kincaid and co-authors 1975, from memory).
"""

import re

import pytest

from advisor.papers.cautions import CAUTIONS
from advisor.rules import rule_modules
from tests.papers.pages import EXAMPLES, Papers, example

HIGHEST = 8.0
NAMES = [path.stem for path in EXAMPLES]


def syllables(word: str) -> int:
    """Groups of vowels, less a silent e or ed at the end; at least one."""
    word = re.sub(r"[^a-z]", "", word.lower())
    if len(word) <= 3:
        return 1
    word = re.sub(r"(?<![aeiouy])(?<![^aeiouy]l)e$|(?<=[^aeiouytd])ed$|(?<=[^aeiouycgszxh])es$", "", word)
    return max(len(re.findall(r"[aeiouy]+", word)), 1)


def grade(texts: list[str]) -> float:
    """The grade of some texts together."""
    sentences = [
        part for text in texts for part in re.split(r"[.!?](?:\s|$)", text) if re.search(r"[a-zA-Z]", part)
    ]
    words = [word for part in sentences for word in re.findall(r"[A-Za-z]+(?:'[a-z]+)?|\d[\d.,]*", part)]
    spoken = sum(syllables(word) if word[0].isalpha() else 1 for word in words)
    return 0.39 * len(words) / len(sentences) + 11.8 * spoken / len(words) - 15.59


def texts_of(papers: Papers) -> list[str]:
    """All running text of a checklist, cards and labels."""
    checklist, cards = papers.checklist, papers.cards
    found = [checklist.verdict]
    for stage in checklist.stages:
        for item in stage.items:
            found += [item.action, item.passes, item.why]
    for case in checklist.emergencies:
        found += [case.condition, case.sign, *case.actions]
    found += [reason.explanation for reason in checklist.reasons]
    found += [note for picture in checklist.pictures for note in (picture.description, *picture.notes)]
    found += [sentence for caution in CAUTIONS for sentence in caution.sentences]
    found += [note for sheet in cards.sheets for note in sheet.notes]
    found += [label.foot for label in cards.labels]
    return [text for text in found if text]


@pytest.mark.parametrize(
    ("word", "count"),
    [
        ("box", 1), ("water", 2), ("temperature", 4), ("incubator", 4), ("time", 1), ("weighed", 1), ("table", 2),
        ("eggs", 1), ("needed", 2), ("thermostat", 3), ("reptile", 2), ("boxes", 2), ("makes", 1), ("the", 1),
    ],
)  # fmt: skip
def test_syllables_are_counted_as_people_speak_them(word: str, count: int) -> None:
    assert syllables(word) == count


def test_the_measure_tells_easy_from_hard() -> None:
    easy = ["The cat sat on the mat. It was warm."]
    # 9 words, 2 sentences, 9 syllables: 0.39 * 4.5 + 11.8 - 15.59 = -2.0, worked by hand.
    assert grade(easy) == pytest.approx(-2.035, abs=0.01)
    hard = [
        "Environmental considerations necessitate comprehensive documentation of incubation characteristics."
    ]
    assert grade(hard) > 20


@pytest.mark.parametrize("name", NAMES)
def test_each_paper_reads_at_grade_eight_or_below(name: str) -> None:
    assert grade(texts_of(example(name))) <= HIGHEST


def test_all_papers_together_read_at_grade_eight_or_below() -> None:
    assert grade([text for name in NAMES for text in texts_of(example(name))]) <= HIGHEST


def test_cautions_read_at_grade_eight_or_below() -> None:
    assert grade([sentence for caution in CAUTIONS for sentence in caution.sentences]) <= HIGHEST


def test_the_reasons_of_all_rules_read_at_grade_eight_or_below() -> None:
    assert grade([module.RULE.explanation for module in rule_modules()]) <= HIGHEST
