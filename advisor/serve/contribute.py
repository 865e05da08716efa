"""Contributing a species: the questions of `advisor species new` as a form, beside it what its check says, and the file."""

import re
from collections.abc import Mapping
from itertools import groupby
from pathlib import Path
from typing import Any

from flask import Blueprint, Response, redirect, url_for
from msgspec import Struct

from advisor.interview.new_species import (
    ID,
    SOURCED,
    profile_problems,
    profile_text,
    scientific_name,
    species_questions,
)
from advisor.interview.questions import Question, entries_of, is_not_known, without_path
from advisor.reading.file_bytes import read_bytes
from advisor.reading.names import profile_files
from advisor.reading.problems import InputError, Problem, file_problem
from advisor.reading.quantities import Refusal
from advisor.reading.schema import load_schema
from advisor.reading.sources import sources_for
from advisor.reading.yaml_text import parse_yaml
from advisor.serve.folder import NoSuchPlan, new_plan, plan_path
from advisor.serve.form import Field, FieldGroup, Typed, faults_by_place, place_id
from advisor.serve.house import house, page, today, typed_fields
from advisor.wording import capital

contributing = Blueprint("contributing", __name__)

LONGEST_ID = 80  # letters; longer ones make file names that some disks refuse; judgement
NOT_NAMED = "genus-species"  # stands in the file until the species is named


def _named(text: str) -> dict[str, Any]:
    identifier = "-".join(text.lower().split())
    if not re.fullmatch(ID, identifier) or len(identifier) > LONGEST_ID:
        raise Refusal(
            f"'{text}' is no scientific name", "Write genus and species, for example Lacerta agilis."
        )
    return {"id": identifier}


QUESTIONS = (
    Question("id", "Which species is it?", "Its scientific name.", "Lacerta agilis", _named, required=True),
    *species_questions(),
)


class Draft(Struct, frozen=True):
    """A profile as far as it was typed: its id, its file, the answers still needed, the faults by place on the page."""

    id: str
    text: str
    answered: int
    needed: tuple[Question, ...]
    faults: Mapping[str, list[Problem]]


@contributing.get("/species/new")
def begin() -> Response:
    """The form, empty."""
    return _form_page({})


@contributing.post("/species/new/answer")
def answer() -> Response:
    """What the check says of what was typed, as a part of a page; nothing is saved."""
    return page("contribute_answer.html", **_told(_draft(typed_fields())))


@contributing.post("/species/new")
def write() -> Any:
    """Writes the profile once nothing speaks against it; never over another."""
    typed = typed_fields()
    draft = _draft(typed)
    if draft.needed or draft.faults:
        return _form_page(typed, "Nothing was saved: put this right first.", 400)
    try:
        new_plan(_made(house().profiles), f"{draft.id}.yaml", draft.text.encode())
    except InputError as error:
        told = [f"{Path(one.file).name} {one.message}. {one.hint}" for one in error.problems]
        return _form_page(typed, f"Nothing was saved: {told[0]}", 400)
    return redirect(url_for("contributing.written", identifier=draft.id), 303)


@contributing.get("/species/<identifier>/written")
def written(identifier: str) -> Response:
    """What to do with a profile of the keeper's own."""
    return page(
        "contributed.html", id=identifier, name=scientific_name(identifier), where=str(_own_file(identifier))
    )


@contributing.get("/species/<identifier>/file")
def file_of(identifier: str) -> Response:
    """The file of a profile of the keeper's own."""
    path = _own_file(identifier)
    sent = Response(read_bytes(path), mimetype="application/yaml")
    sent.headers.set("Content-Disposition", "attachment", filename=path.name)
    return sent


def _own_file(identifier: str) -> Path:
    """The file of a profile of the keeper's own; raises `NoSuchPlan`."""
    own = house().own_species
    if own is None:
        raise NoSuchPlan(identifier)
    return plan_path(own, f"{identifier}.yaml")


def _made(place: Path) -> Path:
    """The folder of the keeper's own profiles, made where there is none; raises `InputError`."""
    try:
        place.mkdir(exist_ok=True)
    except OSError as error:
        raise file_problem(
            place, f"cannot be made: {error.strerror}", "Check the space on the disk."
        ) from error
    if house().own_species is None:
        raise file_problem(place, "is a link to another folder", "Move it away.")
    return place


def _draft(typed: Typed) -> Draft:
    """What comes of all answers; each that cannot be read is left out and told."""
    answers: dict[str, Any] = {}
    faults: dict[str, list[Problem]] = {}
    needed, answered = [], 0
    for question in QUESTIONS:
        text = typed.get(question.path, "")
        if question.required and is_not_known(text):
            needed.append(question)
            continue
        try:
            answers |= entries_of(question, text, answers, _checked_later)
            answered += not is_not_known(text)
        except Refusal as refusal:
            faults[question.path] = [Problem("", 0, 0, capital(refusal.message), refusal.hint)]
    identifier = answers.pop("id", NOT_NAMED)
    text = profile_text(identifier, answers, today())
    document = parse_yaml(text.encode(), "")
    known = frozenset(question.path for question in QUESTIONS)
    for path, found in faults_by_place(
        profile_problems(document, identifier, sources_for(house().own_species)), document, known
    ).items():
        faults.setdefault(path, []).extend(
            one._replace(message=capital(without_path(one.message))) for one in found
        )
    return Draft(identifier, text, answered, tuple(needed), faults)


def _checked_later(_answers: Any) -> Any:
    """All answers are checked together, which takes less time, and tells every fault."""


def _form(typed: Typed) -> FieldGroup:
    """The questions as fields, those about one block of the profile together."""
    parts: list[Field | FieldGroup] = []
    for block, questions in groupby(QUESTIONS, key=lambda question: question.path.partition(".")[0]):
        fields = tuple(_field(question, typed.get(question.path, "")) for question in questions)
        title = load_schema("species")["properties"][block]["title"]
        parts.extend(fields if len(fields) == 1 else [FieldGroup(block, title, "", fields)])
    return FieldGroup("species", "", "", tuple(parts))


def _field(question: Question, value: str) -> Field:
    """A question as a field; where the answer ends with its source, words are typed too."""
    sourced = SOURCED in question.help
    help = question.help.replace(SOURCED, "").strip()
    if sourced and question.words:
        help += f" Words: {'; '.join(question.words)}."
    words = () if sourced else question.words
    return Field(question.path, question.text, help, question.example, value, words)


def _form_page(typed: Typed, message: str = "", status: int = 200) -> Response:
    draft, form = _draft(typed), _form(typed)
    told = _told(draft)
    beside: dict[str, list[Problem]] = {}
    for place, _, fault in told["faults"]:
        beside.setdefault(place, []).append(fault)
    for question in draft.needed if message else ():
        lacks = Problem("", 0, 0, "This one is needed", f"For example {question.example}.")
        beside[place_id(question.path)] = [lacks]
    opened = [part.path for part in form.parts]
    sources = sources_for(house().own_species).values()
    return page(
        "contribute.html", status, form=form, opened=opened, message=message, beside=beside, sources=sources, **told
    )  # fmt: skip


def _told(draft: Draft) -> dict[str, Any]:
    """What the template of the answer needs."""
    texts = {question.path: question.text for question in QUESTIONS}
    faults = [
        (place_id(path) if path else "", texts.get(path, "The file"), one)
        for path, found in draft.faults.items()
        for one in found
    ]
    needed = [(place_id(one.path), one.text) for one in draft.needed]
    there = draft.id in profile_files(house().own_species)
    return {"draft": draft, "needed": needed, "faults": faults, "count": len(QUESTIONS), "there": there}
