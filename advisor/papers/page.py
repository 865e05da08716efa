"""Lays out papers: Jinja2 templates to Markdown and to one self-contained HTML page."""

import re
from functools import cache
from pathlib import Path
from typing import Any

from advisor.drawings.canvas import fitted
from advisor.papers.markdown import render_markdown
from advisor.reading.problems import printable
from advisor.wording import capital, glued

TEMPLATES = Path(__file__).resolve().parent / "templates"
PAPERS = {"a4": "A4", "letter": "letter"}
LONGEST = 2000  # characters of one text on paper
HEADER = 330.0  # points, width of the title in the top margin of a page
HEADER_SIZE = 11.0  # points
_MARKDOWN_SIGNS = str.maketrans({sign: "\\" + sign for sign in "\\`*_[]<>|#~&$@"})
_ADDRESS = re.compile(r"(://|(?<=www)\.)")


def markdown_text(text: object) -> str:
    """A text that Markdown shows as it is: signs escaped, line breaks and unprintable characters gone."""
    plain = printable(" ".join(str(text).split()), LONGEST).translate(_MARKDOWN_SIGNS)
    # Some readers make links of bare addresses.
    return _ADDRESS.sub(lambda found: "\\" + found[0], plain)


def plain_text(text: object) -> str:
    """A text on one line, without unprintable characters, numbers kept beside their units."""
    return glued(printable(" ".join(str(text).split()), LONGEST))


def css_text(text: object) -> str:
    """A CSS string literal that shows the text, cut to the width of a page header."""
    plain = fitted(str(text), HEADER, HEADER_SIZE)
    letters = "".join(
        character
        if character.isascii() and (character.isalnum() or character in " ,.")
        else f"\\{ord(character):x} "
        for character in plain
    )
    if plain.isascii():
        return f'"{letters}"'
    # The isolates keep right-to-left letters from turning round what stands beside them.
    return f'"\\2068 {letters}\\2069 "'


@cache
def _environment(html: bool) -> Any:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined
    from markupsafe import Markup

    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=html,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["md"] = markdown_text
    environment.filters["plain"] = plain_text
    environment.filters["capital"] = capital
    environment.filters["css"] = lambda text: Markup(css_text(text))
    environment.filters["markdown"] = lambda text: Markup(render_markdown(text))
    environment.filters["svg"] = Markup
    return environment


def paper_of(told: str | None, units: str) -> str:
    """The size of the page: as told, else what printers hold where these units are used."""
    return told or ("letter" if units == "us" else "a4")


def render(template: str, paper: str = "a4", **data: Any) -> str:
    """A template with its data; names ending in .html are escaped as HTML."""
    return str(
        _environment(template.endswith(".html")).get_template(template).render(paper=PAPERS[paper], **data)
    )
