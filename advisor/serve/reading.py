"""What is read: the species with their pages and comparisons, and the rules. All of it works without script."""

from functools import lru_cache

from flask import Blueprint, Response, abort, request
from msgspec import Struct

from advisor.forecast.clutch.curves import days_at, days_curve, expected_in_band, sexes_curve
from advisor.forecast.clutch.species_compared import compared
from advisor.model.figures import Figure, Result
from advisor.model.species import Species
from advisor.papers.markdown import render_markdown
from advisor.reading.names import profile_files
from advisor.reading.problems import InputError
from advisor.reading.quantities import Kind, Refusal, read_quantity
from advisor.reading.sources import sources_for
from advisor.reading.species import load_species
from advisor.reading.species_by_name import species_named
from advisor.report.rule_page import rule_text
from advisor.rules import all_rule_modules, rule_by_id
from advisor.serve.house import house, page, paper_page, today
from advisor.show import Show
from advisor.species_pages.html import comparison_html, species_html
from advisor.species_pages.page import species_page
from advisor.species_pages.words import sex_words

reading = Blueprint("reading", __name__)

DAYS = Kind("days", range=True, least="1", most="1000", example="60, or 50 to 70")
AT = Kind("temperature", least="0 °C", most="60 °C", example="28 °C")
MOST_COMPARED = 8  # species of one comparison; more make no table for a screen; judgement


class Shelf(Struct, frozen=True):
    """One species in the list: id, names, group, the band to aim for, what sets the sexes, days if asked for."""

    id: str
    name: str
    others: str
    group: str
    aim: str
    sexes: str
    days: str


@reading.get("/species")
def every_species() -> Response:
    """The list, narrowed by a word of the names, group, what sets the sexes, a temperature of the usual band, days."""
    show = _show()
    asked = {key: request.args.get(key, "").strip() for key in ("q", "group", "sexes", "at", "days")}
    profiles = [found for name in profile_files(house().own_species) if (found := _known(name))]
    fitting, fault = [one for one in profiles if _fits(one, asked)], ""
    days: dict[str, Figure] = {}
    notes = []
    try:
        at, within = _asked("Usual at", asked["at"], AT), _asked("Days to hatching", asked["days"], DAYS)
    except Refusal as refusal:
        at, within, fault = None, None, f"{refusal.message}. {refusal.hint}"
    if at:
        known = [one for one in fitting if one.aim]
        notes.append(f"Only the {len(known)} whose usual band is known were asked")
        fitting = [one for one in known if one.aim and one.aim.low <= at[0] <= one.aim.high]
    if within:
        days = {one.id: told for one in fitting if isinstance(told := _days(one, at and at[0]), Figure)}
        notes.append(
            f"Only the {len(days)} whose days {'there' if at else 'in their usual band'} are known were asked"
        )
        fitting = [one for one in fitting if one.id in days and _meets(days[one.id], within)]
    return page(
        "species_list.html",
        rows=[_row(one, show, days.get(one.id)) for one in fitting],
        count=len(profiles),
        asked=asked,
        groups=sorted({one.group for one in profiles}),
        us=show.us,
        fault=fault,
        notes=notes,
    )


def _asked(name: str, text: str, kind: Kind) -> tuple[float, float] | None:
    """Both ends of what was asked for, if anything was; raises `Refusal` with the name of the field."""
    if not text:
        return None
    try:
        low, high = read_quantity(text, kind)
    except Refusal as refusal:
        raise Refusal(f"{name}: {refusal.message}", refusal.hint) from None
    return round(low, 2), round(high, 2)  # 82.4 °F is 28 °C


@lru_cache(maxsize=500)
def _days(species: Species, at: float | None) -> Result | None:
    """Days to hatching at a set point [°C], or in the middle of the usual band; None where neither is told."""
    if at is None and species.aim:
        at = (species.aim.low + species.aim.high) / 2
    return None if at is None else days_at(species, at)


def _meets(days: Figure, within: tuple[float, float]) -> bool:
    return round(days.low) <= within[1] and within[0] <= round(days.high)


def _known(identifier: str) -> Species | None:
    """A profile; none where the keeper's own file has a fault: its page tells it."""
    path = profile_files(house().own_species)[identifier]
    try:
        return _loaded(identifier, str(path), path.stat().st_mtime_ns)
    except (InputError, OSError):
        return None


@lru_cache(maxsize=500)
def _loaded(identifier: str, _path: str, _written: int) -> Species:
    """Profiles are read once, and again when their file was written since."""
    return load_species(identifier, house().own_species)


def _fits(species: Species, asked: dict[str, str]) -> bool:
    names = " ".join((species.id, species.scientific, *species.common, *species.former)).lower()
    set_by = "temperature" if species.sex.set_by == "temperature" else "other"
    return (
        all(word in names for word in asked["q"].lower().split())
        and asked["group"] in ("", species.group)
        and asked["sexes"] in ("", set_by)
    )


def _row(species: Species, show: Show, days: Figure | None) -> Shelf:
    aim = show.temperature_range(species.aim.low, species.aim.high) if species.aim else "not known"
    others = ", ".join(species.common[1:])
    told = show.days_range(days.low, days.high) if days else ""
    return Shelf(species.id, species.name, others, species.group, aim, sex_words(species), told)


@reading.get("/species/<identifier>")
def one_species(identifier: str) -> Response:
    """The page of a species, as it prints."""
    found, show = _named(identifier), _show()
    told = species_page(
        found,
        days_curve(found),
        sexes_curve(found),
        expected_in_band(found),
        sources_for(house().own_species),
        show,
    )
    return paper_page(species_html(told, show, today()))


@reading.get("/species/compare")
def compare() -> Response:
    """At which set points several species could share a box."""
    names = list(dict.fromkeys(request.args.getlist("id")))
    if not 2 <= len(names) <= MOST_COMPARED:
        abort(400, f"Tick two species or more, at most {MOST_COMPARED}.")
    return paper_page(comparison_html(compared([_named(name) for name in names]), _show(), today()))


def _named(identifier: str) -> Species:
    try:
        return load_species(species_named(identifier, house().own_species), house().own_species)
    except Refusal as refusal:
        abort(404, f"{refusal.message}. {refusal.hint}")


def _show() -> Show:
    return Show("us" if request.args.get("units") == "us" else "metric")


@reading.get("/rules")
def every_rule() -> Response:
    """The rules by their area."""
    areas: dict[str, list[tuple[str, str]]] = {}
    for module in all_rule_modules():
        rule = module.RULE
        areas.setdefault(rule.id.partition("-")[0].capitalize(), []).append((rule.id, rule.title))
    return page("rules.html", areas=areas)


@reading.get("/rules/<identifier>")
def one_rule(identifier: str) -> Response:
    """One rule: what it finds, why it matters, what to do, how we know."""
    try:
        rule = rule_by_id(identifier)
    except KeyError:
        abort(404)
    text = rule_text(rule).split("\n\n", 2)[2]  # the heading of the page tells id and title
    return page("rule.html", rule=rule.id, title=rule.title, text=render_markdown(text))
