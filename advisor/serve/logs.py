"""A log beside its plan: dropped, its sensors named, its curve and findings seen, what it measured taken into the plan.

Nothing of a log is kept: the browser sends the file along each time.
"""

import datetime
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from flask import Blueprint, Response, redirect, request, url_for
from msgspec.structs import replace

from advisor.advice.measured_text import with_measured
from advisor.assess_log import assess_follow, assess_trial
from advisor.drawings.canvas import svg_of
from advisor.drawings.log_course import log_drawing, log_picture, mark_words
from advisor.model.logs import PLACES
from advisor.reading.file_bytes import read_bytes
from advisor.reading.logs.cells import bare_name
from advisor.reading.logs.columns import Asked
from advisor.reading.logs.readings import sensor_names
from advisor.reading.plan import read_document, read_plan
from advisor.reading.problems import InputError, Problem, printable
from advisor.reading.yaml_text import parse_yaml
from advisor.report.follow import follow_lines, follow_marks
from advisor.report.trial import trial_lines, trial_marks
from advisor.serve.folder import mark_of, plan_path, save
from advisor.serve.house import ENDLESS, house, page, paragraphs

logs = Blueprint("logs", __name__)

PLACED = "at:"  # begins the name of each field that tells where a sensor lies
ORDERS = {"dmy": "day, month, year", "mdy": "month, day, year", "ymd": "year, month, day"}


@logs.get("/plans/<name>/trial")
def trial(name: str) -> Response:
    """Asks for the log of a trial run."""
    return _page(name, "trial")


@logs.get("/plans/<name>/follow")
def follow(name: str) -> Response:
    """Asks for the log of a box with eggs in it."""
    return _page(name, "follow")


@logs.post("/plans/<name>/trial")
def read_trial(name: str) -> Any:
    """Judges the log of a trial run, or takes what it measured into the plan."""
    return _answered(name, "trial")


@logs.post("/plans/<name>/follow")
def read_follow(name: str) -> Any:
    """Judges the log of a box with eggs in it."""
    return _answered(name, "follow")


def _page(name: str, kind: str, status: int = 200, **told: Any) -> Response:
    """The form with what is told of the log in it; this alone where the script asks for it."""
    plan_path(house().folder, name)
    part = "part" in request.form
    asked = {key: request.form.get(key, "") for key in ("order", "degrees", "starts")}
    data = {"names": (), "given": {}, "report": None, "faults": (), "takes": ()} | told
    template = "log_part.html" if part else "log.html"
    return page(
        template, 200 if part else status, name=name, kind=kind, asked=asked, orders=ORDERS, places=PLACES, **data
    )  # fmt: skip


def _answered(name: str, kind: str) -> Any:
    path = plan_path(house().folder, name)
    sent = request.files.get("log")
    if sent is None or not sent.filename:
        return _page(
            name, kind, 400, faults=[Problem("", 0, 0, "no log was chosen", "Choose the file first.")]
        )
    named = printable(Path(sent.filename.replace("\\", "/")).name, 100)
    with TemporaryDirectory() as folder:
        log = Path(folder) / "log"
        sent.save(log)
        told: dict[str, Any] = {}
        try:
            plan, _ = read_plan(path, own_species=house().own_species)
            told["names"] = sensor_names(log, bool(request.form.get("starts")))
            told["given"] = _given(told["names"], dict(plan.watching.sensors or ()))
            if not any(told["given"].values()):
                return _page(name, kind, **told)
            assessed = _assessed(path, kind, log, told["given"])
        except InputError as error:
            faults = [one._replace(file=named if one.file == str(log) else Path(one.file).name) for one in error.problems]  # fmt: skip
            return _page(name, kind, 400, faults=faults, **told)
    if kind == "trial":
        text, takes = _with_measured(name, assessed)
        if "take" in request.form and takes:
            save(house().folder, name, text, request.form.get("mark", ""))
            return redirect(url_for("plans.one_plan", name=name, saved=1), 303)
        told |= {"takes": takes, "mark": mark_of(read_bytes(path))}
    return _page(
        name, kind, report=_report(kind, replace(assessed, log=replace(assessed.log, file=named))), **told
    )


def _given(names: list[str], planned: dict[str, str]) -> dict[str, str]:
    """The place of each sensor: as it was just told, else as the plan tells it."""
    known = {bare_name(name).lower(): place for name, place in planned.items()}
    told = {name: request.form.get(PLACED + name, known.get(name.lower(), "")) for name in names}
    return {name: place if place in PLACES else "" for name, place in told.items()}


def _assessed(path: Path, kind: str, log: Path, given: dict[str, str]) -> Any:
    form = request.form
    order = form.get("order") if form.get("order") in ORDERS else None
    degrees = form.get("degrees") if form.get("degrees") in ("C", "F") else None
    asked = Asked(
        {name: place for name, place in given.items() if place}, frozenset(), order, degrees, _starts()
    )
    if kind == "trial":
        return assess_trial(path, log, asked, house().own_species)
    noted = request.files.get("happened")
    happened = log.with_name("noted.yaml") if noted is not None and noted.filename else None
    if happened is not None and noted is not None:
        noted.save(happened)
    return assess_follow(path, log, asked, happened, house().own_species)


def _starts() -> float | None:
    """When a log begins that counts from its start [s since 1970], by its own clock; raises `InputError`."""
    text = request.form.get("starts", "").strip().replace("T", " ")
    if not text:
        return None
    try:
        begun = datetime.datetime.strptime(text[:16], "%Y-%m-%d %H:%M")
    except ValueError:
        wrong = f"It begins at: '{printable(text, 40)}' is no day and time"
        raise InputError([Problem("", 0, 0, wrong, "Write 2027-04-20 18:00.")]) from None
    return begun.replace(tzinfo=datetime.UTC).timestamp()


def _with_measured(name: str, assessed: Any) -> tuple[bytes, tuple[str, ...]]:
    """The plan's text with what was measured, and the entries that this sets; read as a plan before it is offered."""
    before = read_bytes(plan_path(house().folder, name)).decode("utf-8-sig")
    text, entries = with_measured(before, assessed.taken, assessed.assessment.situation.plan.units)
    if entries:
        read_document(parse_yaml(text.encode(), name), own_species=house().own_species)
    return text.encode(), entries


def _report(kind: str, assessed: Any) -> dict[str, Any]:
    lines: Callable[..., Any] = trial_lines if kind == "trial" else follow_lines
    marks: Callable[..., Any] = trial_marks if kind == "trial" else follow_marks
    title = "The trial run" if kind == "trial" else "The box with the eggs"
    picture = log_picture(assessed.log, assessed.assessment.situation, marks(assessed))
    drawing = log_drawing(picture, title)
    *told, (_, _, says) = paragraphs(lines(assessed, ENDLESS))  # the verdict stands last on a screen
    return {
        "verdict": assessed.assessment.report.verdict,
        "says": says,
        "svg": svg_of(drawing),
        "description": drawing.description,
        "marks": mark_words(picture),
        "told": told,
        "title": title,
    }
