"""What every route needs: the folder, the keeper's own profiles, the token; and how a page is laid out."""

import base64
import datetime
import hashlib
import re
from pathlib import Path
from typing import Any

from flask import Response, current_app, g, render_template, request
from msgspec import Struct

from advisor import __version__
from advisor.papers.page import TEMPLATES, plain_text
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
TYPED = "e:"  # begins the name of each field of a form of entries
ENDLESS = 100_000  # columns: a browser breaks the lines itself
OURS = '<link rel="stylesheet" href="/static/bar.css">\n<link rel="icon" href="data:,">'
TICKS = (TEMPLATES / "ticks.js").read_text("utf-8")
# What a page calls the commands and their options, where a message tells what to do next.
ON_THE_PAGE = {
    "--dates": "“Order of the date”",
    "--degrees": "“Unit of the log”",
    "--starts": "“It begins at”",
    "--sensor": "“Where each sensor lies”",
    "--happened": "“What you noted”",
    "--litre-mass": "“One litre of it, weighed dry”",
    "--mass": "“The whole box with lid and eggs”",
    "--tare": "“The empty box with its lid”",
    "--start-mass": "“The whole box on laying day”",
    "--egg-mass-now": "“One egg now”",
    "--added": "“Water added so far”",
    "--eggs": "“Eggs in this box”",
    "Add --force to replace it, or name": "Name",
    "`advisor trial`": "the page of logs",
    "`advisor rules list`": "“Rules”",
    "advisor rules show": "“Rules”,",
    "`advisor species list`": "“Species”",
    "`advisor species new`": "“Add a species” there",
    "; --species FOLDER reads it": "",
    ", then run advisor species check": "",
    "species/sources.yaml": "the list of sources",
}
_COMMANDS = re.compile(rf"(?<!/)(?:{'|'.join(map(re.escape, ON_THE_PAGE))})(?![\w-])")
STYLE = re.compile(r"<style>(.*?)</style>", re.DOTALL)


class House(Struct, frozen=True):
    """The folder of plans, the folder of own profiles that was named at the start, the port, the token of every change."""

    folder: Path
    named_species: Path | None
    port: int
    token: str

    @property
    def profiles(self) -> Path:
        """Where the keeper's own profiles lie, or will: the folder that was named, else `species` beside the plans."""
        return self.named_species or self.folder / "species"

    @property
    def own_species(self) -> Path | None:
        """The folder of the keeper's own profiles, if there is one; a link out of the folder of plans is none."""
        inside = self.named_species or self.profiles.resolve().is_relative_to(self.folder.resolve())
        return self.profiles if inside and self.profiles.is_dir() else None


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
    html = html.replace(
        "<figure>", '<figure tabindex="0">'
    )  # on a phone a wide picture moves in its frame, by keyboard too
    g.styles = [_hash_source(style) for style in STYLE.findall(html)]
    g.scripts = [_hash_source(TICKS)]
    return Response(html.replace("<body>", f"<body>\n{bar}", 1), mimetype="text/html")


def _hash_source(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def page_words(text: object) -> str:
    """A text on one line, with what a page has in place of the commands and options that it names."""
    return plain_text(_COMMANDS.sub(lambda found: ON_THE_PAGE[found[0]], str(text)))


def paragraphs(lines: Any) -> list[tuple[int, str, str]]:
    """Lines of the screen, folded by the browser instead: indent in steps of two spaces, style, text."""
    return [_paragraph(line) for line in lines if line.text.strip()]


def _paragraph(line: Line) -> tuple[int, str, str]:
    text = line.text.lstrip()
    return min((len(line.text) - len(text)) // 2, 4), line.style, text


def typed_fields() -> dict[str, str]:
    """What was typed into a form of entries, by path."""
    return {name.removeprefix(TYPED): text for name, text in request.form.items() if name.startswith(TYPED)}


def whole(name: str, text: str, most: int) -> int:
    """A whole number from 1 on, as it was typed; raises `Refusal`."""
    if not (text.isascii() and text.isdigit() and len(text) < 6 and 1 <= int(text) <= most):
        raise Refusal(f"{name}: '{text[:60]}' is no whole number from 1 to {most}", "Write it in digits: 14")
    return int(text)


def every_species() -> list[str]:
    """The names that a profile goes by, for the field of the species."""
    found = [name for _, names in listed_names(house().own_species) for name in names.split(", ") if name]
    return sorted(dict.fromkeys(found))
