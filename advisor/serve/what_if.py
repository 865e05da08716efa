"""What if: the numbers of a plan to be dragged, the heat from lid or floor, and before and after side by side."""

import math
import re
from collections.abc import Iterator, Mapping
from typing import Any

from flask import Blueprint, Response, abort, request
from msgspec import Struct

from advisor.advice.plan_text import edited
from advisor.assess import Assessment, assess_document
from advisor.drawings.canvas import NARROW
from advisor.drawings.ladder import ladder
from advisor.forecast.for_papers import paper_figures
from advisor.model.changes import Setting
from advisor.model.findings import alike
from advisor.papers.pictures import Picture, picture_of, pictures
from advisor.reading.problems import InputError, Problem
from advisor.reading.yaml_text import parse_yaml
from advisor.report.screen import verdict_text
from advisor.rules import rule_by_id
from advisor.serve.answer import cleared_since, settings_text, words_of
from advisor.serve.folder import plan_path
from advisor.serve.form import Field, entries_of, form_of, shown
from advisor.serve.house import house, page
from advisor.serve.plans import now_kept, text_now

what_if = Blueprint("what_if", __name__)

NUMBER = re.compile(r"(?<![\w.])-?[0-9]+(?:\.[0-9]+)?")
NO_DIALS = frozenset({"", "date", "date-range", "yes-no"})
DRAGGED = "w:"  # begins the name of each number that can be dragged
SIDES = ("lid", "floor")
REACH = 8.0  # K to either side of a temperature; judgement
IDS = re.compile(r'(?<=[" #])([\w-]+-(?:title|desc|hatched|dotted))(?=[" )])')


class Dial(Struct, frozen=True):
    """One number of an entry that can be dragged: its field, which number of the entry's text, its words, its reach."""

    path: str
    place: int
    words: str
    text: str
    value: float
    low: float
    high: float
    step: float

    @property
    def name(self) -> str:
        """The name of its field."""
        return f"{DRAGGED}{self.path}:{self.place}"

    @property
    def unit(self) -> str:
        """What stands behind the last number of the entry."""
        return NUMBER.split(self.text)[-1].rstrip()


@what_if.get("/plans/<name>/what-if")
def dragged(name: str) -> Response:
    """The numbers of the plan as it is saved, and what moves when they are dragged; nothing is saved by it."""
    plan_path(house().folder, name)
    text = text_now(name)
    document = parse_yaml(text.encode(), name)
    before = assess_document(document, house().own_species)
    groups = dials(document.data)
    changed = tuple(settings_of(request.args, groups, document.data))
    told = _compared(name, text, before, changed)
    side = (document.data.get("heat") or {}).get("place")
    return page(
        "what_if_part.html" if "part" in request.args else "what_if.html",
        name=name,
        groups={title: found for title, found in groups.items() if found},
        asked=request.args,
        sides=SIDES if side in SIDES else (),
        side=request.args.get("side", side),
        **told,
        **now_kept(name),
    )


def dials(data: Any) -> dict[str, list[Dial]]:
    """The numbers that a plan tells, by the groups of its form."""
    groups = form_of(data, {}, data.get("units") == "us")
    return {
        group.title: [dial for entry in entries_of(group.parts) for dial in _dials_of(entry)]
        for group in groups
    }


def _dials_of(entry: Field) -> Iterator[Dial]:
    if entry.quantity in NO_DIALS or entry.words or entry.block:
        return
    found = list(NUMBER.finditer(entry.value))
    for place, number in enumerate(found):
        value = float(number[0])
        parts = ("from", "to") if " to " in entry.value else ("length", "width", "height")
        part = f", {parts[place]}" if 1 < len(found) <= len(parts) else ""
        yield Dial(entry.path, place, words_of(entry.path) + part, entry.value, value, *_reach(entry, value))


def _reach(entry: Field, value: float) -> tuple[float, float, float]:
    """From where to where a number can be dragged, and in which steps."""
    if entry.quantity == "temperature":
        reach, step = (REACH * 1.8, 0.2) if "F" in entry.value else (REACH, 0.1)
        return value - reach, value + reach, step
    if "%" in entry.value:
        return 0.0, 100.0, 1.0
    high = max(3.0 * abs(value), 1.0)
    step = 1.0 if entry.quantity == "count" else 10.0 ** (math.floor(math.log10(high)) - 2)
    return min(step, value), high, step


def settings_of(sent: Mapping[str, str], groups: dict[str, list[Dial]], data: Any) -> Iterator[Setting]:
    """What was dragged away from where it stood, one setting an entry, and the other side for the heat."""
    texts: dict[str, str] = {}
    for dial in (dial for found in groups.values() for dial in found):
        to = _number(sent.get(dial.name, ""))
        if to is not None and abs(to - dial.value) > 0.75 * dial.step:
            text = texts.get(dial.path, dial.text)
            at = list(NUMBER.finditer(text))[dial.place]
            texts[dial.path] = f"{text[: at.start()]}{to:g}{text[at.end() :]}"
    yield from (Setting(path, texts[path]) for path in sorted(texts))
    side, now = sent.get("side"), (data.get("heat") or {}).get("place")
    if side in SIDES and now in SIDES and side != now:
        yield Setting("heat.place", side)


def _number(text: str) -> float | None:
    if not text:
        return None
    if not re.fullmatch(r"-?[0-9]{1,9}(\.[0-9]{1,9})?", text):
        abort(400)
    return float(text)


def _compared(name: str, text: str, before: Assessment, changed: tuple[Setting, ...]) -> dict[str, Any]:
    """Before and after: verdicts, what is cleared and what is new, the pictures in pairs where they differ."""
    after, faults = before, list[Problem]()
    if changed:
        try:
            after = assess_document(parse_yaml(edited(text, changed).encode(), name), house().own_species)
        except InputError as error:
            faults = error.problems
    cleared, brought = cleared_since(before, after)
    entries = {entry.path: entry.value for group in form_of(before.document.data, {}, False) for entry in entries_of(group.parts)}  # fmt: skip
    pairs, same = _pairs(before, after)
    return {
        "changed": [(words_of(one.path), entries.get(one.path, ""), shown(one.value)) for one in changed],
        "sends": settings_text(changed),
        "faults": faults,
        "verdicts": [(one.report.verdict, verdict_text(one.report)) for one in (before, after)],
        "cleared": cleared,
        "brought": brought,
        "findings": [
            (one.severity, rule_by_id(one.rule).title, one.message) for one, *_ in alike(after.report)
        ],
        "pairs": pairs,
        "same": same,
    }


def _pairs(before: Assessment, after: Assessment) -> tuple[list[tuple[Picture, Picture]], list[Picture]]:
    """The pictures that differ, by their headings, and those that do not."""
    drawn = [{one.title: one for one in _drawn(side)} for side in (before, after)]
    pairs, same = [], []
    for title, old in drawn[0].items():
        new = drawn[1].get(title, Picture(title, "", "", ("Not drawn.",)))
        if new == old:
            same.append(old)
        else:
            pairs.append((old, Picture(title, _named_apart(new.svg), new.description, new.notes)))
    return pairs, [one for one in same if one.svg]


def _drawn(assessment: Assessment) -> Iterator[Picture]:
    situation = assessment.situation
    plan, forecast = situation.plan, situation.forecast
    kinds = [situation.species[name] for name in dict.fromkeys(one.species for one in plan.clutches)]
    first, *others = pictures(situation, paper_figures(plan, situation.species, forecast), NARROW)
    yield first
    yield picture_of("Its temperatures", ladder(plan, forecast, kinds, situation.show))
    yield from others


def _named_apart(svg: str) -> str:
    """A picture whose names may stand on one page with those of the same picture before."""
    return re.sub(r"<[^>]*>", lambda tag: IDS.sub(r"after-\1", tag[0]), svg)
