"""The club night: a species, units and a number chosen; set-ups to judge on a projector; the pack to print."""

import io
import zipfile
from typing import Any

from flask import Blueprint, Response, request

from advisor.drawings.canvas import NARROW, WIDTH
from advisor.lesson import MOST_SEED
from advisor.papers.page import PAPERS
from advisor.reading.quantities import Refusal
from advisor.reading.species import load_species
from advisor.reading.species_by_name import species_named
from advisor.serve.house import every_species, house, page, today, whole

night = Blueprint("night", __name__)

FIRST = {"species": "", "units": "metric", "seed": "1", "paper": "a4"}


@night.get("/club-night")
def shown() -> Response:
    """Asks for the species; once it is told, the set-ups to judge."""
    asked = _asked()
    if not asked["species"]:
        return page("night_begin.html", asked=asked, fault="", sizes=PAPERS, species=every_species())
    try:
        pack = _worked(asked, NARROW).pack
    except Refusal as refusal:
        told = f"{refusal.message}. {refusal.hint}"
        return page("night_begin.html", 400, asked=asked, fault=told, sizes=PAPERS, species=every_species())
    return page("night.html", list=pack, asked=asked)


@night.get("/club-night/pack.zip")
def pack() -> Response:
    """The whole pack to print, the files of `advisor lesson`."""
    asked = _asked()
    try:
        files = _worked(asked).files(asked["paper"] if asked["paper"] in PAPERS else "a4")
    except Refusal as refusal:
        return page("fault.html", 400, title="No pack", lines=[f"{refusal.message}. {refusal.hint}"])
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in files.items():
            archive.writestr(zipfile.ZipInfo(f"club-night/{name}"), text, zipfile.ZIP_DEFLATED)
    answer = Response(packed.getvalue(), mimetype="application/zip")
    answer.headers.set("Content-Disposition", "attachment", filename="club-night.zip")
    return answer


def _asked() -> dict[str, str]:
    return {key: request.args.get(key, first).strip() for key, first in FIRST.items()}


def _worked(asked: dict[str, str], width: float = WIDTH) -> Any:
    """The night that is asked for; raises `Refusal`."""
    from advisor.lesson.night import night_of

    own = house().own_species
    species = load_species(species_named(asked["species"], own), own)
    units = "us" if asked["units"] == "us" else "metric"
    return night_of(species, whole("number", asked["seed"], MOST_SEED), units, today(), own, width)
