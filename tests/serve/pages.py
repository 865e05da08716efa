"""A page to ask without a network: the app with a folder of its own, and its forms as a browser would send them."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import html5lib
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from advisor.serve.app import app_of
from tests.papers.pages import hostile_plan
from tests.support import ROOT

WIDTHS = (360, 800, 1400)
PAGES = (
    "/", "/plans/floor-heat.yaml", "/plans/nearly-empty.yaml", "/plans/hostile.yaml", "/plans/broken.yaml",
    "/plans/first-season.yaml/text", "/plans/first-season.yaml/trial", "/plans/first-season.yaml/follow", "/plans/first-season.yaml/papers", "/plans/first-season.yaml/weigh?box=eggs&day=20&mass=612+g",
    "/plans/floor-heat.yaml/why/heat-from-below-wet-medium", "/plans/floor-heat.yaml/suggest?find=1", "/species?group=tortoise", "/species/pantherophis-guttatus",
    "/species/compare?id=corn+snake&id=pogona-vitticeps", "/rules", "/rules/air-no-holes", "/mix?ratio=4:1", "/nothing", "/club-night", "/plans/floor-heat.yaml/what-if",
    "/species/new", "/species?days=50+to+60&at=28+°C",
    "/plans/first-season.yaml/checklist", "/plans/first-season.yaml/checklist?long=1", "/plans/first-season.yaml/cards",
)  # fmt: skip

PORT = 8317
HOST = f"127.0.0.1:{PORT}"


@dataclass(frozen=True, slots=True)
class Site:
    """The folder that is served, the client that asks, and the token of a change."""

    folder: Path
    client: FlaskClient
    token: str

    def get(self, path: str, **options: Any) -> TestResponse:
        return self.client.get(path, base_url=f"http://{HOST}", **options)

    def post(self, path: str, data: dict[str, str], **options: Any) -> TestResponse:
        return self.client.post(
            path, data={"token": self.token, **data}, base_url=f"http://{HOST}", **options
        )

    def form(self, name: str) -> dict[str, str]:
        """The form of a plan as it would be sent untouched."""
        return form_in(self.get(f"/plans/{name}").text, "plan")

    def save(self, name: str, changes: dict[str, str], form: dict[str, str] | None = None) -> TestResponse:
        """Saves a plan with some fields typed into."""
        typed = {path if path in ("set", "add") else f"e:{path}": text for path, text in changes.items()}
        return self.post(f"/plans/{name}", {**(form or self.form(name)), **typed})

    def text(self, name: str) -> str:
        return (self.folder / name).read_text("utf-8")


def site(folder: Path, *examples: str) -> Site:
    """A site of a folder with copies of examples in it."""
    for name in examples:
        (folder / name).write_bytes((ROOT / "examples" / name).read_bytes())
    app = app_of(folder, None, PORT)
    return Site(folder, app.test_client(), app.extensions["house"].token)


def tree(html: str) -> Any:
    return html5lib.parse(html, namespaceHTMLElements=False)


def words(html: str) -> str:
    """What a page shows, on one line."""
    return " ".join("".join(next(tree(html).iter("main")).itertext()).split())


def form_in(html: str, identifier: str) -> dict[str, str]:
    """The fields of a form and what stands in them, as a browser sends them when no button with a name is pressed."""
    form = next(one for one in tree(html).iter("form") if one.get("id") == identifier)
    sent: dict[str, str] = {}
    for one in form.iter():
        name = one.get("name")
        if one.tag == "input" and name and (one.get("type") != "radio" or one.get("checked") is not None):
            sent[name] = one.get("value") or ""
        elif one.tag == "select" and name:
            options = list(one.iter("option"))
            chosen = next((option for option in options if option.get("selected") is not None), options[0])
            sent[name] = chosen.get("value", "".join(chosen.itertext()).strip())
    return sent


def example(folder: Path, *names: str) -> None:
    for name in names:
        (folder / name).write_bytes((ROOT / "examples" / name).read_bytes())


def folder_of_every_page(folder: Path) -> None:
    """The plans that `PAGES` shows."""
    example(folder, "floor-heat.yaml", "first-season.yaml", "nearly-empty.yaml")
    hostile_plan(folder / "hostile.yaml")
    (folder / "broken.yaml").write_bytes((ROOT / "tests" / "input" / "unclosed-quote.yaml").read_bytes())
