"""The papers of one plan: seen, printed from the browser, saved; the dates as a calendar file."""

from typing import Any

from flask import Blueprint, Response, request

from advisor.advice.judged import advised_assessment
from advisor.papers.page import PAPERS, render
from advisor.papers.refused import with_figures
from advisor.serve.folder import plan_path
from advisor.serve.house import house, page, paper_page, today

papers = Blueprint("papers", __name__)


@papers.get("/plans/<name>/papers")
def every_paper(name: str) -> Response:
    """What can be printed of a plan."""
    plan_path(house().folder, name)
    return page("papers.html", name=name, sizes=PAPERS)


@papers.get("/plans/<name>/checklist")
def checklist(name: str) -> Response:
    """The sheet for the wall, with the full lists where `long` is asked for."""
    from advisor.papers.checklist.checklist import checklist_of

    content = checklist_of(*_judged(name), today(), "long" in request.args)
    return paper_page(render("checklist.html", _size(), list=content))


@papers.get("/plans/<name>/cards")
def cards(name: str) -> Response:
    """Mixing cards, labels and record sheets."""
    from advisor.papers.cards import cards_of

    return paper_page(render("cards.html", _size(), list=cards_of(*_judged(name), today())))


@papers.get("/plans/<name>/calendar.ics")
def calendar(name: str) -> Response:
    """The dates as a file for any calendar."""
    from advisor.papers.calendar.file import calendar_bytes, calendar_season

    assessment = advised_assessment(plan_path(house().folder, name), house().own_species)
    content, _ = calendar_bytes(calendar_season(assessment), assessment.document.file, today(), None)
    answer = Response(content, mimetype="text/calendar")
    answer.headers.set("Content-Disposition", "attachment", filename=f"{name.rpartition('.')[0]}.ics")
    return answer


def _judged(name: str) -> tuple[Any, Any]:
    return with_figures(advised_assessment(plan_path(house().folder, name), house().own_species))


def _size() -> str:
    size = request.args.get("paper", "a4")
    return size if size in PAPERS else "a4"
