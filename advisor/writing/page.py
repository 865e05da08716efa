"""Lays out papers: Jinja2 templates to Markdown and to one self-contained HTML page."""

from functools import cache
from pathlib import Path
from typing import Any

from advisor.reading.problems import inert

TEMPLATES = Path(__file__).resolve().parent / "templates"
PAPERS = {"a4": "A4", "letter": "letter"}
_MARKDOWN_SIGNS = str.maketrans({sign: "\\" + sign for sign in "\\`*_[]<>|#"})


def markdown_text(text: object) -> str:
    """A text that Markdown shows as it is: signs escaped, line breaks and unprintable characters gone."""
    return inert(" ".join(str(text).split()), 2000).translate(_MARKDOWN_SIGNS)


@cache
def _environment(html: bool) -> Any:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=html,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["md"] = markdown_text
    environment.filters["plain"] = lambda text: inert(str(text), 2000)
    return environment


def render(template: str, paper: str = "a4", **data: Any) -> str:
    """A template with its data; names ending in .html are escaped as HTML."""
    return str(
        _environment(template.endswith(".html")).get_template(template).render(paper=PAPERS[paper], **data)
    )
