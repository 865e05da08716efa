"""What `advisor suggest` finds for a plan, as a table: each change can be taken or left."""

import os
from itertools import groupby
from pathlib import Path
from typing import Any

from flask import Blueprint, Response, redirect, request, url_for
from msgspec import Struct

from advisor.advice.season_boxes import BoxSuggestion, suggestions_for
from advisor.advice.suggest import Bounds, Suggestion, suggestion_for
from advisor.assess import Assessment, assess
from advisor.model.changes import Setting
from advisor.reading.problems import file_problem
from advisor.report.screen import verdict_text
from advisor.report.season_boxes import boxes_lines
from advisor.report.suggestion import COST, suggestion_text
from advisor.serve.answer import settings_text, words_of
from advisor.serve.folder import plan_path
from advisor.serve.form import shown
from advisor.serve.house import ENDLESS, house, page, paragraphs, today
from advisor.serve.plans import now_kept

suggesting = Blueprint("suggesting", __name__)


class Offer(Struct, frozen=True):
    """What is taken or left as one: entries as (words, before, after, cost), what it is for, what the tick sends."""

    entries: tuple[tuple[str, str, str, str], ...]
    why: str
    clears: tuple[str, ...]
    proposed: bool
    sends: str


@suggesting.get("/plans/<name>/suggest")
def suggested(name: str) -> Response:
    """The changes, once they are asked for: to find them takes seconds."""
    path = plan_path(house().folder, name)
    kept = now_kept(name)
    if "find" not in request.args:
        return page("suggest.html", name=name, asked=request.args, offers=None, told=(), **kept)
    base, limits, fill = _asked(name)
    boxes = suggestions_for(base, limits, fill, house().own_species)
    if boxes:
        told = paragraphs(boxes_lines(base, boxes, ENDLESS))
        return page("suggest.html", name=name, asked=request.args, offers=None, told=told, files=_names(path.stem, boxes), **kept)  # fmt: skip
    found = suggestion_for(base, limits, fill, house().own_species)
    return page(
        "suggest.html",
        name=name,
        asked=request.args,
        offers=offers_of(found),
        verdicts=[(one.report.verdict, verdict_text(one.report)) for one in (found.before, found.after)],
        obstacle=found.obstacle,
        tries=found.tries,
        told=(),
        **kept,
    )


@suggesting.post("/plans/<name>/suggest")
def part(name: str) -> Any:
    """Writes the plans of a season that takes several, beside the one that it is now; none is overwritten."""
    from advisor.papers.folder import write_folder

    path = plan_path(house().folder, name)
    base, limits, fill = _asked(name)
    boxes = suggestions_for(base, limits, fill, house().own_species)
    names = _names(path.stem, boxes)
    for other in names:
        if os.path.lexists(house().folder / other):
            raise file_problem(Path(other), "exists already; nothing was written", "Move it away first.")
    texts = (suggestion_text(path, one.suggestion, one.parting) for one in boxes)
    write_folder(house().folder, dict(zip(names, texts, strict=True)))
    return redirect(url_for("plans.every_plan"), 303)


def _asked(name: str) -> tuple[Assessment, Bounds, bool]:
    """The plan, what may change, and whether to propose what it leaves out."""
    limits = Bounds(room="room" in request.values, today=today())
    return assess(plan_path(house().folder, name), house().own_species), limits, "fill" in request.values


def _names(stem: str, boxes: tuple[BoxSuggestion, ...]) -> list[str]:
    return [f"{stem}-{number}.yaml" for number in range(1, len(boxes) + 1)]


def offers_of(found: Suggestion) -> tuple[Offer, ...]:
    """Entries that are for the same go together, as the report tells them; each proposal alone."""
    offers = []
    for (why, clears, proposed, _), rows in groupby(
        found.rows, lambda row: (row.why, row.clears, row.proposed, row.proposed and row.path)
    ):
        group = list(rows)
        remarks = {row.path: f"proposed: {why}" for row in group if proposed}
        offers.append(
            Offer(
                tuple(
                    (
                        words_of(row.path),
                        shown(row.before) or "not told",
                        shown(row.after) or "taken away",
                        COST[row.cost],
                    )
                    for row in group
                ),
                why,
                clears,
                proposed,
                settings_text(tuple(Setting(row.path, row.after) for row in group), remarks),
            )
        )
    return tuple(offers)
