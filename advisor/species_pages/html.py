"""The page of a species as one HTML page with drawn curves."""

import datetime

from msgspec import Struct

from advisor import __version__
from advisor.drawings.canvas import svg_of
from advisor.drawings.species_curve import curve_drawing
from advisor.model.curves import Curve
from advisor.papers.page import render
from advisor.show import Show
from advisor.species_pages.page import SpeciesPage
from advisor.wording import day_words


class _Frame(Struct, frozen=True):
    """What the page frame prints at the top and the bottom."""

    title: str
    printed_on: str
    version: str


def species_html(page: SpeciesPage, show: Show, printed_on: datetime.date, paper: str = "a4") -> str:
    """The page with its curves as inline pictures; complete in itself."""
    drawings = [
        svg_of(curve_drawing(section.curve, section.what, page.name, show, f"curve-{section.what}"))
        if isinstance(section.curve, Curve)
        else ""
        for section in page.sections
    ]
    frame = _Frame(page.name, day_words(printed_on), __version__)
    return render("species.html", paper, list=frame, page=page, drawings=drawings, us=show.us)
