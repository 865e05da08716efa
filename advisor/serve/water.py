"""The calculators: what a mix needs and how wet it is; what a weighed egg box tells. They work without script."""

from collections.abc import Callable, Iterable
from typing import Any

from flask import Blueprint, Response, request

from advisor.assess_water import mix_told, weighing_told
from advisor.model.figures import Unknown
from advisor.reading.plan import read_plan
from advisor.reading.quantities import Refusal
from advisor.reading.schema import entries_in, items_of, load_schema
from advisor.reading.species_by_name import profiles_of
from advisor.report.mix import mix_lines
from advisor.report.screen import Line
from advisor.report.weighing import weighing_lines
from advisor.serve.folder import plan_path
from advisor.serve.house import ENDLESS, house, page, paragraphs, whole
from advisor.show import Show

water = Blueprint("water", __name__)

_MEDIUM = entries_in(items_of(load_schema("plan")["properties"]["egg_boxes"]))["medium"]
WORDS = {
    "material": tuple(word for word in entries_in(_MEDIUM)["material"]["enum"] if word != "none"),
    "grade": tuple(entries_in(_MEDIUM)["grade"]["enum"]),
}
MASSES = ("mass", "tare", "start-mass", "egg-mass-now", "added", "scale-step")


@water.get("/mix")
def mix() -> Response:
    """What a mix needs and how wet it is."""
    asked = _asked()
    us = asked.get("units") == "us"

    def told() -> Any:
        return mix_told(
            asked["ratio"],
            asked.get("by") or "volume",
            asked.get("medium-amount"),
            asked.get("material") or "vermiculite",
            asked.get("grade") or "unknown",
            asked.get("litre-mass"),
            us,
        )

    lines, fault = _answered(told, mix_lines, Show("us" if us else "metric"), "ratio" in asked)
    return page("mix.html", asked=asked, words=WORDS, lines=lines, fault=fault)


@water.get("/plans/<name>/weigh")
def weigh(name: str) -> Response:
    """What a weighed egg box tells."""
    plan, _ = read_plan(plan_path(house().folder, name), own_species=house().own_species)
    asked = _asked()

    def told() -> Any:
        masses = {key: asked.get(key) for key in MASSES}
        eggs = whole("eggs", asked["eggs"], 1000) if "eggs" in asked else None
        species = profiles_of(plan.clutches, house().own_species)
        return weighing_told(
            plan, species, asked.get("box", ""), whole("day", asked["day"], 600), masses, eggs
        )

    lines, fault = _answered(told, weighing_lines, Show(plan.units), "day" in asked)
    boxes = [box.name for box in plan.egg_boxes]
    return page("weigh.html", name=name, asked=asked, boxes=boxes, lines=lines, fault=fault)


def _asked() -> dict[str, str]:
    """What was filled in."""
    return {key: text.strip() for key, text in request.args.items() if text.strip()}


def _answered(
    told: Callable[[], Any], lines: Callable[[Any, Show, int], Iterable[Line]], show: Show, asked: bool
) -> tuple[list[tuple[int, str, str]], str]:
    """The lines of an answer, or why there is none; neither where nothing was asked."""
    if not asked:
        return [], ""
    try:
        found = told()
    except Refusal as refusal:
        return [], f"{refusal.message}. {refusal.hint}"
    if isinstance(found, Unknown):
        needs = f" Add to the plan: {', '.join(found.needs)}." if found.needs else ""
        return [], f"This cannot be worked out: {found.reason}.{needs}"
    return paragraphs(lines(found, show, ENDLESS)), ""
