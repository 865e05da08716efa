"""The page of a species and the comparison of several as HTML pages, complete in themselves."""

import datetime

from msgspec import Struct

from advisor import __version__
from advisor.drawings.canvas import svg_of
from advisor.drawings.species_curve import curve_drawing
from advisor.model.curves import Curve
from advisor.model.species_compared import Comparison
from advisor.papers.page import render
from advisor.show import Show
from advisor.species_pages.comparison import comparison_parts, comparison_title
from advisor.species_pages.page import Section, SpeciesPage, Table
from advisor.wording import day_words


class _Frame(Struct, frozen=True):
    """What the page frame prints at the top and the bottom."""

    title: str
    printed_on: str
    version: str


def species_html(page: SpeciesPage, show: Show, printed_on: datetime.date, paper: str = "a4") -> str:
    """The page with its curves as inline pictures, each with its words for a screen too narrow for it."""
    drawings = [_drawn(section, page.name, show) for section in page.sections]
    frame = _Frame(page.name, day_words(printed_on), __version__)
    return render("species.html", paper, list=frame, page=page, drawings=drawings, us=show.us)


def _drawn(section: Section, name: str, show: Show) -> tuple[str, str]:
    if not isinstance(section.curve, Curve):
        return "", ""
    drawing = curve_drawing(section.curve, section.what, name, show, f"curve-{section.what}")
    return svg_of(drawing), drawing.description


def comparison_html(found: Comparison, show: Show, printed_on: datetime.date, paper: str = "a4") -> str:
    """The comparison as one page: tables, and each answer as a heading."""
    _, *parts = comparison_parts(found, show)
    told = [
        ("table", part) if isinstance(part, Table) else (part.style, part.text.strip())
        for part in parts
        if isinstance(part, Table) or part.text
    ]
    title = comparison_title(found)
    frame = _Frame(title, day_words(printed_on), __version__)
    return render("comparison.html", paper, list=frame, title=title, parts=told)
