"""What the check refuses or asks to change stays off the papers: such entries of the plan, and every figure that rests on them."""

from collections.abc import Iterable
from typing import Any

from msgspec import NODEFAULT, Struct
from msgspec.structs import fields, replace

from advisor.assess import Assessment
from advisor.forecast import forecast_plan
from advisor.forecast.for_papers import paper_figures
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, STOP, Finding, Report, alike
from advisor.model.forecast import BoxUse, ClutchForecast, EggBoxForecast, EggWarmth, Forecast
from advisor.model.papers import PaperFigures
from advisor.model.plan import Plan
from advisor.reading.marks import path_key

WHY = "it rests on what the check wants changed"
# Facts about room and species are no choice of the plan; without names and species there is no paper.
FACTS = ("room", "people", "watching", "species", "name", "box", "holds")


def refused(report: Report) -> tuple[tuple[str, int], ...]:
    """Entries that findings refuse or ask to change, each with the place of its finding among those told (from 1)."""
    found: dict[str, int] = {}
    for place, (finding, *_) in enumerate(alike(report), 1):
        for path in _paths(finding):
            parts = path_key(path)
            inner = parts[2:] if parts[:1] in (("egg_boxes",), ("clutches",)) else parts
            if inner and inner[0] not in FACTS:
                found.setdefault(path, place)
    for path in [path for path in found if path.startswith("control.programme")]:
        found.setdefault("control.set_to", found[path])  # it is the warmest of the programme
    if "control.set_to" in found:  # the cut-out is set by it
        found.setdefault("control.cut_out", found["control.set_to"])
    return tuple(found.items())


def _paths(finding: Finding) -> tuple[str, ...]:
    if finding.severity not in (STOP, FIX):
        return ()
    works = [change for change in finding.changes if change.works]
    return tuple(setting.path for setting in works[0].settings) if works else (finding.path,)


class ChangeItems(Struct, frozen=True):
    """The item of the checklist that asks to change an entry, by the entry's path."""

    items: tuple[tuple[str, str], ...]

    def at(self, part: str) -> str:
        """The number of the first item about an entry whose path has this part in it; empty when there is none."""
        return next((number for path, number in self.items if part in path), "")


def mark_of(report: Report) -> str:
    """What stands on every page, card, label and calendar entry of a plan that is not fit for eggs; else nothing."""
    return {STOP: "STOP: not safe yet", FIX: "FIX FIRST: not ready yet"}.get(report.verdict, "")


def with_figures(assessment: Assessment) -> tuple[Assessment, PaperFigures]:
    """The judged plan without what the check refuses, and the figures that only papers show."""
    kept = for_paper(assessment)
    situation = kept.situation
    return kept, paper_figures(situation.plan, situation.species, situation.forecast)


def for_paper(assessment: Assessment) -> Assessment:
    """The assessment with a plan and a forecast that hold nothing of what the check refuses."""
    situation, paths = assessment.situation, [path for path, _ in refused(assessment.report)]
    if not paths:
        return assessment
    plan = without(situation.plan, paths)
    forecast = _kept(situation.forecast, forecast_plan(plan, situation.species))
    assert isinstance(forecast, Forecast)
    return replace(assessment, situation=replace(situation, plan=plan, forecast=forecast))


def without(plan: Plan, paths: Iterable[str]) -> Plan:
    """The plan as if the entries were not told; an entry that its block cannot do without takes the block along.

    No egg box and no clutch falls away for one of its entries: papers tell of each.
    """
    for path in paths:
        for key in _places(plan, path_key(path)):
            found = _dropped(plan, key)
            if isinstance(found, Plan) and _lists(found) == _lists(plan):
                plan = found
    return plan


def _lists(plan: Plan) -> tuple[int, int]:
    return len(plan.egg_boxes), len(plan.clutches)


def _places(plan: Plan, path: tuple[str | int, ...]) -> list[tuple[str | int, ...]]:
    """Where a path of the file leads in the plan: to each of the clutches that an entry stands for; a shape to its size."""
    if path[-1] == "shape":
        return [(*path[:-1], "inside")]
    if path[0] != "clutches" or len(path) == 1:
        return [path]
    return [
        (path[0], place, *path[2:]) for place, clutch in enumerate(plan.clutches) if clutch.entry == path[1]
    ]


def _dropped(whole: Any, path: tuple[str | int, ...]) -> Any:
    """The record, or tuple, without one entry; None where it cannot be without."""
    if not path or whole is None:
        return None
    step = path[0]
    if isinstance(whole, tuple) and isinstance(step, int):
        inner = _dropped(whole[step], path[1:]) if step < len(whole) else None
        return None if inner is None else (*whole[:step], inner, *whole[step + 1 :])
    if not isinstance(whole, Struct):
        return None
    entry = next((entry for entry in fields(whole) if entry.name in (step, f"{step}_")), None)
    if entry is None:
        return None
    inner = _dropped(getattr(whole, entry.name), path[1:])
    if inner is None:
        if entry.default is not NODEFAULT:
            inner = entry.default
        elif entry.default_factory is not NODEFAULT:
            inner = entry.default_factory()
        else:
            return None
    return replace(whole, **{entry.name: inner})


def _kept(ours: Any, other: Any) -> Any:
    """What comes out the same without the refused entries; the rest is not known."""
    if ours == other or isinstance(ours, Unknown | EggWarmth):
        return ours
    if isinstance(ours, Figure):
        return Unknown(WHY)
    if isinstance(ours, Struct):
        return replace(
            ours,
            **{
                entry.name: _kept(getattr(ours, entry.name), getattr(other, entry.name, None))
                for entry in fields(ours)
            },
        )
    if isinstance(ours, tuple):
        if ours and isinstance(ours[0], EggBoxForecast | ClutchForecast):
            return tuple(_kept(one, two) for one, two in zip(ours, other, strict=True))
        if ours and isinstance(ours[0], BoxUse | Unknown):
            return tuple(one if one == two else Unknown(WHY) for one, two in zip(ours, other, strict=True))
        return None if len(ours) == 2 and not isinstance(ours[0], tuple | Struct | int) else ()
    return None
