"""The order of the questions: what every keeper knows, then only what the rules still lack, worst guess first."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path

from msgspec.structs import replace

from advisor.interview.box_answers import EXTRAS
from advisor.interview.new_plan import PROBE, SPECIES, answered_in_us, layout_of
from advisor.interview.plan_answers import BOX, REPEATS
from advisor.interview.questions import Answers, Question, question_about
from advisor.model.findings import Report
from advisor.reading.marks import path_key
from advisor.reading.schema import entry_at
from advisor.reading.species_by_name import profile_called

LAYING = "clutches[0].laying"
FIRST = ("clutches[0].species", "clutches[0].eggs", LAYING, REPEATS, "room.temperature", "outer_box.inside",
         "outer_box.wall.material", EXTRAS)  # fmt: skip
# What the keeper does later, or is much the same everywhere: proposed with its reason, not asked.
LATER = ("checks.", "trial_run.", "room.humidity", f"{BOX}.lid.thickness", f"{BOX}.medium.depth", f"{BOX}.top_up", f"{BOX}.dry_late",
         *(f"clutches[0].{entry}" for entry in ("egg_mass", "looked_for", "lay_box", "placed", "parted", "marked", "cool_period")))  # fmt: skip
HOME = ("people.", "control.checked_against")  # what is so in the home: a proposal can only hope for it
# Entries that the question of another entry asks for.
ASKED_AT = (
    {f"{BOX}.count": f"{BOX}.inside"}
    | dict.fromkeys((f"{BOX}.medium", f"{BOX}.medium.material", f"{BOX}.medium.mix"), f"{BOX}.medium")
    | {f"{LAYING}.{day}": LAYING for day in ("laid_on", "shed_on", "expected")}
)
Questions = tuple[Question, ...]


def in_rounds(
    questions: Questions, answers: Answers, report_of: Callable[[Answers], Report], own_species: Path | None
) -> Iterator[Question]:
    """The questions one by one. `answers` is looked at anew each time: what an answer makes needless is not asked."""
    own = {question.path: question for question in questions}
    asked = set(FIRST)
    for first in FIRST:
        if first != REPEATS or _may_lay_again(answers, own_species):
            yield _in_own_units(own[first], answers)
    while True:
        waiting = (ASKED_AT.get(entry, entry) for entry in untold(report_of(answers)) if "[1]" not in entry)
        later = (*LATER, f"{BOX}.tier") if _one_box(answers) else LATER
        path = next((path for path in waiting if path not in asked and not path.startswith(later)), None)
        if path is None:
            break
        asked.add(path)
        layout = layout_of(answers, own_species)
        question = own.get(path) or question_about(path, layout.examples.get(path, ""), layout.us)
        yield _in_own_units(question, answers)
    yield own["title"]


def _in_own_units(question: Question, answers: Answers) -> Question:
    """A question without the examples in units that the keeper does not use, once an answer tells which."""
    if not {"room.temperature", "outer_box.inside"} & answers.keys():
        return question
    other = r"°C|\b[cm]?m\b" if answered_in_us(answers) else r"°F|\bin\b"
    shown = question.example.split(", or ")
    own = [
        one for one in shown if "," in one or not re.search(other, one)
    ]  # a comma: the only one of its form
    return replace(question, example=", or ".join(own or shown))


def _one_box(answers: Answers) -> bool:
    """Whether one box is all that there is, in one layer."""
    return answers.get(f"{BOX}.count") == 1 and answers.get(PROBE) not in (None, "probe box medium")


def _may_lay_again(answers: Answers, own_species: Path | None) -> bool:
    """Whether the profile tells of more than one clutch a year, or of none in particular."""
    if SPECIES not in answers:
        return True
    species = profile_called(answers[SPECIES], own_species)
    following = species.laying.next_clutch if species.laying else None
    a_year = species.eggs.clutches_a_year
    return following is not None or a_year is None or a_year.high > 1


def untold(report: Report) -> list[str]:
    """Entries that rules lack: facts of the home, then by what a fault there does, then by how many rules lack them.

    Rules answer in the order of what hurts people or kills eggs first; their area stands for how bad a wrong guess is.
    """
    lacking: dict[str, dict[str, None]] = {}
    for answer in report.not_judged:
        for entry in answer.needs:
            if entry_at("plan", path_key(entry)):
                lacking.setdefault(entry, {}).setdefault(answer.rule)
    areas = list(dict.fromkeys(answer.rule.partition("-")[0] for answer in report.not_judged))

    def order(entry: str) -> tuple[bool, int, int]:
        worst = min(areas.index(rule.partition("-")[0]) for rule in lacking[entry])
        return not entry.startswith(HOME), worst, -len(lacking[entry])

    return sorted(lacking, key=order)
