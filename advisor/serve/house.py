"""What every route needs: the folder, the keeper's own profiles, the token; and how a page is laid out."""

import base64
import datetime
import hashlib
import re
from pathlib import Path
from typing import Any

from flask import Response, current_app, g, render_template
from msgspec import Struct

from advisor import __version__
from advisor.papers.page import TEMPLATES
from advisor.reading.names import listed_names
from advisor.reading.quantities import Refusal
from advisor.report.screen import Line

NAV = (
    ("/", "Plans"),
    ("/species", "Species"),
    ("/rules", "Rules"),
    ("/mix", "Mixing"),
    ("/club-night", "Club night"),
)
ENDLESS = 100_000  # columns: a browser breaks the lines itself
OURS = '<link rel="stylesheet" href="/static/bar.css">\n<link rel="icon" href="data:,">'
TICKS = (TEMPLATES / "ticks.js").read_text("utf-8")
FIELDS = {
    "--dates": "Order of the date",
    "--degrees": "Unit of the log",
    "--starts": "It begins at",
    "--sensor": "Where each sensor lies",
    "--happened": "What you noted",
    "--litre-mass": "One litre of it, weighed dry",
}  # what a page calls the options of the commands
STYLE = re.compile(r"<style>(.*?)</style>", re.DOTALL)


class House(Struct, frozen=True):
    """The folder of plans, the folder of the keeper's own profiles, the port, and the token of every change."""

    folder: Path
    own_species: Path | None
    port: int
    token: str


def house() -> House:
    """The house of this app."""
    found: House = current_app.extensions["house"]
    return found


def today() -> datetime.date:
    """The day to print on papers."""
    return datetime.date.today()


def page(template: str, status: int = 200, **data: Any) -> Response:
    """A page in our frame."""
    told = render_template(template, nav=NAV, token=house().token, version=__version__, **data)
    return Response(told, status, mimetype="text/html")


def paper_page(html: str) -> Response:
    """A page that is complete in itself (papers, species), with our ways back above it, which do not print.

    Its own styles, and the one script that keeps ticks, are let through by their hashes (CSP level 3, 6.7.2.3).
    """
    bar = render_template("bar.html", nav=NAV)
    html = html.replace("</head>", f"{OURS}\n</head>", 1)
    g.styles = [_hash_source(style) for style in STYLE.findall(html)]
    g.scripts = [_hash_source(TICKS)]
    return Response(html.replace("<body>", f"<body>\n{bar}", 1), mimetype="text/html")


def _hash_source(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def page_words(text: str) -> str:
    """A message with its options of a command named as the fields of a page."""
    return re.sub(
        r"--[a-z-]+", lambda found: f"“{FIELDS[found[0]]}”" if found[0] in FIELDS else found[0], text
    )


def paragraphs(lines: Any) -> list[tuple[int, str, str]]:
    """Lines of the screen, folded by the browser instead: indent in steps of two spaces, style, text."""
    return [_paragraph(line) for line in lines if line.text.strip()]


def _paragraph(line: Line) -> tuple[int, str, str]:
    text = page_words(line.text.lstrip())
    return min((len(line.text) - len(line.text.lstrip())) // 2, 4), line.style, text


def whole(name: str, text: str, most: int) -> int:
    """A whole number from 1 on, as it was typed; raises `Refusal`."""
    if not (text.isascii() and text.isdigit() and len(text) < 6 and 1 <= int(text) <= most):
        raise Refusal(f"{name}: '{text[:60]}' is no whole number from 1 to {most}", "Write it in digits: 14")
    return int(text)


def every_species() -> list[str]:
    """The names that a profile goes by, for the field of the species."""
    found = [name for _, names in listed_names(house().own_species) for name in names.split(", ") if name]
    return sorted(dict.fromkeys(found))
