"""The folder of plans, and one plan: its form with the answer beside it, its text, saving, undoing, adding."""

import base64
import json
import re
from typing import Any

from flask import Blueprint, Response, abort, redirect, request, url_for
from msgspec import Struct

from advisor.advice.judged import advised_document
from advisor.advice.plan_text import edited
from advisor.assess import Assessment, assess_document
from advisor.interview.second_round import untold
from advisor.model.changes import Setting
from advisor.reading.file_bytes import read_bytes
from advisor.reading.marks import path_key
from advisor.reading.problems import InputError, Problem
from advisor.reading.schema import entry_at
from advisor.reading.yaml_text import Document, parse_yaml
from advisor.serve.answer import PlanAnswer, answer_of, cleared_since, in_words
from advisor.serve.folder import (
    mark_of,
    new_plan,
    plan_names,
    plan_path,
    save,
    sound_name,
    step_back,
    text_before,
)
from advisor.serve.form import REPEATED, changes, faults_by_place, form_of, ids_of, opened, place_id
from advisor.serve.house import ENDLESS, every_species, house, page, paragraphs, typed_fields

plans = Blueprint("plans", __name__)

# plans of a folder whose verdict is told in its list; each takes a twentieth of a second; judgement
MOST_JUDGED = 30
CHANGED = (
    "This file has changed on the disk since you opened it. What you typed is kept in its fields; "
    "all else is as the file has it now. Look through it, then save."
)
TEXT_CHANGED = (
    "This file has changed on the disk since you opened it: nothing was saved. Below is your text, and under it the file "
    "as it is now. Save again to put yours in its place."
)


class Sheet(Struct, frozen=True):
    """A plan as the page works on it: the text that was seen, the same with what was typed, and what is wrong with it."""

    name: str
    seen: bytes
    text: bytes
    document: Document | None  # None where the text is no YAML
    assessment: Assessment | None = None
    problems: tuple[Problem, ...] = ()

    @property
    def data(self) -> Any:
        """The entries of the text, as far as it can be read."""
        return self.document.data if self.document else None

    @property
    def fits_form(self) -> bool:
        """Whether a form can show it: a file of entries."""
        return isinstance(self.data, dict)


@plans.get("/")
def every_plan() -> Response:
    """The plans of the folder, or how to begin."""
    from advisor.paths import examples_folder

    names = plan_names(house().folder)
    rows = [(name, _verdict(name) if place < MOST_JUDGED else "") for place, name in enumerate(names)]
    examples = sorted(path.name for path in examples_folder().glob("*.yaml"))
    return page(
        "folder.html", rows=rows, examples=examples, species=every_species(), where=str(house().folder)
    )


def _verdict(name: str) -> str:
    sheet = _sheet(name, read_bytes(plan_path(house().folder, name)))
    return sheet.assessment.report.verdict if sheet.assessment else "cannot be read"


@plans.post("/plans")
def begin() -> Any:
    """A new plan, of a species or as an example is."""
    from advisor.paths import examples_folder

    example, title = request.form.get("example", ""), request.form.get("title", "").strip()
    if example:
        source = examples_folder() / example
        if not sound_name(example) or not source.is_file():
            abort(404)
        name, content = example, source.read_bytes()
    else:
        name = f"{re.sub(r'[^a-z0-9]+', '-', title.lower()).strip('-')[:60] or 'my-plan'}.yaml"
        species = request.form.get("species", "").strip()
        first = (Setting("title", title or None), Setting("clutches[0].species", species))
        content = edited("format: 1\n", first).encode()
        parse_yaml(content, name)
    new_plan(house().folder, name, content)
    return redirect(url_for("plans.one_plan", name=name), 303)


@plans.get("/plans/<name>")
def one_plan(name: str) -> Any:
    """The form, with the answer beside it."""
    sheet = _sheet(name, read_bytes(plan_path(house().folder, name)), tried=True)
    if not sheet.fits_form:
        return _text_page(sheet, sheet.text.decode("utf-8-sig", "replace"))
    return _form_page(sheet, {}, since=_since(sheet) if "saved" in request.args else None)


@plans.post("/plans/<name>")
def change_plan(name: str) -> Any:
    """Saves what was typed, with the change of a button if one was pressed; or shows another item of a list to fill in."""
    sheet = _as_typed(name, tried=True)
    more = request.form.get("add", "")
    if sheet.seen != read_bytes(plan_path(house().folder, name)):
        return _form_page(
            _sheet(name, _now(name), tried=True), _differing(sheet), message=CHANGED, status=409
        )
    if more in REPEATED:
        return _form_page(sheet, typed_fields(), more=more)
    if sheet.problems:
        return _form_page(
            sheet, typed_fields(), message="Nothing was saved: put this right first.", status=400
        )
    save(house().folder, name, sheet.text, mark_of(sheet.seen))
    return redirect(url_for("plans.one_plan", name=name, saved=1), 303)


@plans.post("/plans/<name>/answer")
def answer(name: str) -> Response:
    """The answer to what was typed, as a part of a page; nothing is saved. `tried` asks for tried changes as well."""
    sheet = _as_typed(name, "tried" in request.form)
    known = _known(sheet, typed_fields())
    changed = sheet.seen != _now(name)
    return page("answer.html", changed=changed, **_answered(sheet, known))


@plans.get("/plans/<name>/mark")
def mark(name: str) -> Response:
    """What tells the file as it is now from every other text."""
    return Response(mark_of(_now(name)), mimetype="text/plain")


@plans.get("/plans/<name>/text")
def text_of(name: str) -> Response:
    """The file as text, with what is found at its lines."""
    sheet = _sheet(name, _now(name))
    return _text_page(sheet, sheet.text.decode("utf-8-sig", "replace"))


@plans.post("/plans/<name>/text")
def change_text(name: str) -> Any:
    """Saves the text as it was edited, once it can be read."""
    seen = _seen()
    typed = request.form.get("text", "").replace("\r\n", "\n")
    content = typed.replace("\n", "\r\n" if b"\r\n" in seen else "\n").encode("utf-8", "replace")
    sheet = _sheet(name, seen, content)
    if seen != _now(name):
        now = _sheet(name, _now(name), content)
        return _text_page(now, typed, TEXT_CHANGED, _now(name).decode("utf-8-sig", "replace"), 409)
    if sheet.problems:
        return _text_page(sheet, typed, "Nothing was saved: put this right first.", status=400)
    save(house().folder, name, content, mark_of(seen))
    return redirect(url_for("plans.text_of", name=name), 303)


@plans.post("/plans/<name>/undo")
def undo(name: str) -> Any:
    """Takes the last save back, or makes it again."""
    step_back(house().folder, name, request.form.get("mark", ""), "again" in request.form)
    return redirect(url_for("plans.one_plan", name=name), 303)


@plans.get("/plans/<name>/why/<rule>")
def why(name: str, rule: str) -> Response:
    """The working of one rule."""
    from advisor.report.working import working_lines
    from advisor.rules import rule_by_id

    sheet = _sheet(name, _now(name), tried=True)
    try:
        title = rule_by_id(rule).title
    except KeyError:
        abort(404)
    if sheet.assessment is None:
        raise InputError(list(sheet.problems))
    told = paragraphs(working_lines(sheet.assessment, rule, ENDLESS))
    return page(
        "lines.html", title=title, told=told[1:], back=url_for("plans.one_plan", name=name), name=name
    )


def _now(name: str) -> bytes:
    return read_bytes(plan_path(house().folder, name))


def _seen() -> bytes:
    """The text that the page was made of; it travels in base 64, since a browser changes the ends of lines."""
    try:
        return base64.b64decode(request.form.get("base", ""), validate=True)
    except ValueError:
        abort(400)


def _sheet(name: str, seen: bytes, text: bytes | None = None, tried: bool = False) -> Sheet:
    """A plan with its answer or its faults; `text` where it is not the one that was seen."""
    text = seen if text is None else text
    document = None
    try:
        document = parse_yaml(text, name)
        judge = advised_document if tried else assess_document
        return Sheet(name, seen, text, document, judge(document, house().own_species))
    except InputError as error:
        return Sheet(name, seen, text, document, None, tuple(error.problems))


def _as_typed(name: str, tried: bool = False) -> Sheet:
    """The text that was seen, with what was typed in the form and the change of a button."""
    seen = _seen()
    plan_path(house().folder, name)
    base = _sheet_of_base(name, seen)
    try:
        pressed, remarks = _pressed()
        settings = (*changes(base.data, typed_fields(), _us(base.data)), *pressed)
    except InputError as error:
        return Sheet(name, seen, seen, base.document, None, tuple(error.problems))
    if not settings:
        return _sheet(name, seen, seen, tried)
    text = edited(seen.decode("utf-8-sig"), settings, remarks)
    return _sheet(name, seen, text.encode("utf-8", "replace"), tried)


def _sheet_of_base(name: str, seen: bytes) -> Sheet:
    document = parse_yaml(seen, name)
    if not isinstance(document.data, dict):
        abort(400)
    return Sheet(name, seen, seen, document)


def _pressed() -> tuple[tuple[Setting, ...], dict[str, str]]:
    """The settings of the button that was pressed, or of what was ticked, and the remarks by path that some carry."""
    try:
        texts = [json.loads(text) for text in request.form.getlist("set")]
        sent = [one for text in texts for one in text]
        settings = tuple(Setting(path, value) for path, value, *_ in sent)
        remarks = {path: " ".join(remark.split()) for path, _, *rest in sent for remark in rest}
        sound = all(isinstance(text, list) for text in texts) and all(
            one.path and entry_at("plan", path_key(one.path)) for one in settings
        )
    except (ValueError, TypeError, AttributeError, RecursionError):
        sound = False
    if not sound:
        abort(400)
    return settings, remarks


def _differing(sheet: Sheet) -> dict[str, str]:
    """What was typed that the text which was seen did not have."""
    base = parse_yaml(sheet.seen, sheet.name).data
    typed = typed_fields()
    paths = {one.path for one in changes(base, typed, _us(base))}
    return {path: text for path, text in typed.items() if path in paths}


def _us(data: Any) -> bool:
    return isinstance(data, dict) and data.get("units") == "us"


def _known(sheet: Sheet, typed: dict[str, str]) -> frozenset[str]:
    return frozenset(ids_of(form_of(sheet.data, typed, _us(sheet.data))))


def _answered(sheet: Sheet, known: frozenset[str]) -> dict[str, Any]:
    """What the template of the answer needs."""
    found: PlanAnswer | None = answer_of(sheet.assessment, known) if sheet.assessment else None
    faults = faults_by_place(list(sheet.problems), sheet.document, known)
    beside = [
        (place_id(path) if path else "", problem._replace(message=in_words(problem.message)))
        for path, problems in faults.items()
        for problem in problems
    ]
    return {"found": found, "faults": beside, "name": sheet.name}


def _form_page(
    sheet: Sheet,
    typed: dict[str, str],
    more: str = "",
    message: str = "",
    since: tuple[tuple[str, ...], tuple[str, ...]] | None = None,
    status: int = 200,
) -> Response:
    base = parse_yaml(sheet.seen, sheet.name)
    form = form_of(base.data, typed, _us(base.data), more)
    told = _answered(sheet, frozenset(ids_of(form)))
    beside: dict[str, list[Problem]] = {}
    for place, problem in told["faults"]:
        beside.setdefault(place, []).append(problem)
    return page(
        "plan.html",
        status,
        form=form,
        opened=opened(form, untold(sheet.assessment.report) if sheet.assessment else ()),
        message=message,
        unsaved=bool(typed),
        more=more,
        since=since,
        beside=beside,
        species=every_species(),
        changed=False,
        **told,
        **_kept(sheet),
    )


def text_now(name: str) -> str:
    """The text of a plan as it is now."""
    return _now(name).decode("utf-8-sig", "replace")


def now_kept(name: str) -> dict[str, Any]:
    """What a form needs that is to be saved into a plan as it is now."""
    seen = _now(name)
    return {"base": base64.b64encode(seen).decode(), "mark": mark_of(seen)}


def _kept(sheet: Sheet) -> dict[str, Any]:
    folder = house().folder
    return {
        "base": base64.b64encode(sheet.seen).decode(),
        "mark": mark_of(sheet.seen),
        "can_undo": text_before(folder, sheet.name) is not None,
        "can_redo": text_before(folder, sheet.name, again=True) is not None,
    }


def _since(sheet: Sheet) -> tuple[tuple[str, ...], tuple[str, ...]] | None:
    """What the last save cleared and brought."""
    before = text_before(house().folder, sheet.name)
    was = _sheet(sheet.name, before).assessment if before else None
    return cleared_since(was, sheet.assessment) if was and sheet.assessment else None


def _text_page(sheet: Sheet, text: str, message: str = "", other: str = "", status: int = 200) -> Response:
    found = sheet.assessment.report.findings if sheet.assessment else ()
    lines = answer_of(sheet.assessment, frozenset()).told if sheet.assessment and found else ()
    return page(
        "text.html",
        status,
        name=sheet.name,
        text=text,
        message=message,
        other=other,
        problems=sheet.problems,
        told=lines,
        **_kept(sheet),
    )
