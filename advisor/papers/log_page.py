"""A judged log as one page to print: its picture, the picture in words, and the report."""

import datetime
from collections.abc import Iterable

from msgspec import Struct

from advisor import __version__
from advisor.drawings.canvas import svg_of
from advisor.drawings.log_course import LogPicture, log_drawing
from advisor.papers.page import render
from advisor.report.screen import Line
from advisor.wording import day_words


class _LogPage(Struct, frozen=True):
    """What the template shows."""

    name: str
    title: str
    printed_on: str
    version: str
    svg: str
    description: str
    lines: tuple[Line, ...]


def log_page(
    name: str, title: str, picture: LogPicture, lines: Iterable[Line], day: datetime.date, paper: str
) -> str:
    """The page; `lines` are those of the report for the screen, each in one piece."""
    drawing = log_drawing(picture, f"{name}: {title}")
    page = _LogPage(
        name, title, day_words(day), __version__, svg_of(drawing), drawing.description, tuple(lines)
    )
    return render("log.html", paper, list=page)
