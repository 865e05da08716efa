"""Puts the page together: folder, routes, safety, and how a fault is told."""

import secrets
from pathlib import Path

from flask import Flask, Response
from jinja2 import FileSystemLoader, StrictUndefined
from markupsafe import Markup
from werkzeug.exceptions import HTTPException, NotFound

from advisor import __version__
from advisor.papers.page import TEMPLATES
from advisor.reading.problems import InputError, problem_lines
from advisor.rules import rule_by_id
from advisor.serve.contribute import contributing
from advisor.serve.folder import ChangedSince, NoSuchPlan
from advisor.serve.form import FieldGroup
from advisor.serve.house import House, page, page_words
from advisor.serve.logs import logs
from advisor.serve.night import night
from advisor.serve.papers import papers
from advisor.serve.plans import plans
from advisor.serve.reading import reading
from advisor.serve.security import guard
from advisor.serve.suggest import suggesting
from advisor.serve.water import water
from advisor.serve.what_if import what_if
from advisor.wording import capital


def app_of(folder: Path, own_species: Path | None, port: int) -> Flask:
    """The app for the plans of a folder, answering to 127.0.0.1 at a port."""
    app = Flask(__name__, static_folder="static")
    app.extensions["house"] = House(folder, own_species, port, secrets.token_urlsafe(32))
    # The tables of the club night stand on paper too.
    app.jinja_loader = FileSystemLoader([Path(app.root_path, "templates"), TEMPLATES])
    app.jinja_env.undefined = StrictUndefined
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    app.jinja_env.filters |= {"plain": page_words, "svg": Markup, "capital": capital}
    app.jinja_env.filters |= {"rule": rule_by_id, "verdict": lambda says: says.removeprefix("Verdict: ")}
    app.jinja_env.tests["group"] = lambda part: isinstance(part, FieldGroup)
    guard(app)
    for part in (plans, suggesting, what_if, logs, papers, contributing, reading, water, night):
        app.register_blueprint(part)
    app.register_error_handler(InputError, _input)
    app.register_error_handler(ChangedSince, _changed)
    app.register_error_handler(NoSuchPlan, _no_plan)
    app.register_error_handler(HTTPException, _refused)
    app.register_error_handler(Exception, _own_mistake)
    return app


def _input(error: InputError) -> Response:
    return _told(400, "This cannot be read", problem_lines(error.problems))


def _changed(_error: ChangedSince) -> Response:
    told = "The file has changed on the disk since you opened it. Nothing was written. Open the plan again."
    return _told(409, "Changed meanwhile", [told])


def _no_plan(_error: NoSuchPlan) -> Response:
    return _told(
        404, "There is no such plan", ["A plan is a file that ends in .yaml, in the folder that is served."]
    )


def _refused(error: HTTPException) -> Response:
    if type(error) is NotFound and error.description == NotFound.description:
        return _told(404, "There is no such page", ["The address leads nowhere. Go on from the plans."])
    return _told(error.code or 500, error.name, [error.description or ""])


def _own_mistake(error: Exception) -> Response:
    told = (
        f"clutch-advisor {__version__} made a mistake of its own ({type(error).__name__}). Nothing was written. "
        "Please report it together with your plan."
    )
    return _told(500, "Our mistake", [told])


def _told(status: int, title: str, lines: list[str]) -> Response:
    return page("fault.html", status, title=title, lines=lines)
