"""A text of the page never sends its reader to a terminal: what names a command or an option there is said as the page has it."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.cli import main
from advisor.serve.house import ON_THE_PAGE, page_words
from tests.serve.pages import Site, site, tree, words
from tests.support import ROOT

COMMAND = re.compile(rf"\badvisor (?:{'|'.join(main.commands)})\b|(?<![\w-])--[a-z]|Press Enter")
# Texts that no page shows: the commands themselves, files and papers made to be read elsewhere.
ELSEWHERE = (
    "cli.py", "commands/", "lesson/",  # the commands; the pack of the club night, written for who has them
    "interview/new_plan.py", "interview/new_species.py",  # the head of a written file
    "report/summary.py",  # a table of many plans, which the page has as its list
)  # fmt: skip


def told(path: Path) -> Iterator[str]:
    """The texts of a module, without those that explain its code."""
    module = ast.parse(path.read_text("utf-8"))
    explaining = {id(node.value) for node in ast.walk(module) if isinstance(node, ast.Expr)}
    for node in ast.walk(module):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in explaining:
            yield node.value


PACKAGE = ROOT / "advisor"
SHOWN = [
    path for path in sorted(PACKAGE.rglob("*.py")) if not path.relative_to(PACKAGE).as_posix().startswith(ELSEWHERE)
]  # fmt: skip


def test_every_command_that_a_text_names_has_its_words_for_the_page() -> None:
    texts = [(path.name, text) for path in SHOWN for text in told(path) if COMMAND.search(text)]
    assert len(texts) > 15
    for name, text in texts:
        assert name == "house.py" or not COMMAND.search(page_words(text)), (name, page_words(text))


def test_no_words_are_kept_for_what_no_text_names() -> None:
    texts = [text for path in SHOWN if path.name != "house.py" for text in told(path)]
    assert not [phrase for phrase in ON_THE_PAGE if not any(phrase in text for text in texts)]


def test_what_a_message_points_to_stands_on_a_page(page: Site) -> None:
    paths = ("/plans/a.yaml/weigh", "/plans/a.yaml/follow", "/plans/a.yaml/trial", "/mix", "/species")
    shown = " ".join(words(page.get(path).text) for path in paths)
    nav = "Species Rules Where each sensor lies"  # above every page; on a page once a log was read
    for instead in ON_THE_PAGE.values():
        for name in re.findall("“(.*?)”", instead):
            assert name in f"{shown} {nav}", name


@pytest.fixture
def page(tmp_path: Path) -> Site:
    (tmp_path / "a.yaml").write_bytes((ROOT / "examples" / "first-season.yaml").read_bytes())
    return site(tmp_path)


def shown(html: str) -> str:
    """What a page shows, without the texts of files in it."""
    root = tree(html)
    for parent in root.iter():
        for child in [one for one in parent if one.tag in ("pre", "textarea", "script", "style")]:
            parent.remove(child)
    return " ".join(" ".join(root.itertext()).split())


@pytest.mark.parametrize(
    ("plan", "part"),
    [
        ("format: 1\nclutches: [{species: lesser spotted unknown}]\n", ""),
        ("format: 1\nclutches: [{species: lesser spotted unknown}]\n", "/checklist"),
        (
            "format: 1\nclutches: [{species: corn snake}]\naccept: [{rule: no-such, because: I say so.}]\n",
            "/text",
        ),
        ("", "/weigh?box=eggs&day=20&mass=612+g&tare=90+g"),
        ("", "/weigh?box=eggs&day=20&mass=9612+g&tare=90+g"),
        ("", "/why/air-no-holes"),
    ],
)
def test_no_page_sends_its_reader_to_a_terminal(plan: str, part: str, page: Site) -> None:
    if plan:
        (page.folder / "a.yaml").write_text(plan, "utf-8")
    answer = page.get(f"/plans/a.yaml{part}")
    assert not COMMAND.search(shown(answer.text)), shown(answer.text)


def test_an_unknown_species_is_told_with_the_way_to_add_it(page: Site) -> None:
    for path in (
        "/species/lesser-unknown",
        "/club-night?species=lesser+unknown",
        "/species/compare?id=x&id=corn+snake",
    ):
        told = shown(page.get(path).text)
        assert "“Add a species” there starts a profile of your own" in told and not COMMAND.search(told)
    assert "/species/new" in page.get("/species").text
