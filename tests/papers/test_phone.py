"""On a phone: nothing reaches past the right edge of the screen, contents stand on top, ticks are kept."""

import html
import json
import re
from pathlib import Path

import pytest

from tests.lesson.test_lesson import pack
from tests.papers.browser import chromium, need, wider_than_a_phone
from tests.papers.pages import ODD, Papers, example, hostile_plan, html_of, papers_of, plan_file
from tests.papers.test_species_print import page_of, run

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("name", ["chrysemys-picta", "chamaeleo-calyptratus", "hostile"])
def test_the_page_of_a_species_is_as_narrow_as_a_phone(name: str, tmp_path: Path) -> None:
    need("chromium")
    assert wider_than_a_phone(page_of(name, tmp_path), tmp_path / "phone") == []


def test_the_comparison_is_as_narrow_as_a_phone(tmp_path: Path) -> None:
    need("chromium")
    file = tmp_path / "page.html"
    run("species", "compare", "testudo-hermanni", "correlophus-ciliatus", "python-regius", "-o", file)
    assert wider_than_a_phone(file.read_text("utf-8"), tmp_path / "phone") == []


def test_the_pages_of_a_club_night_are_as_narrow_as_a_phone(tmp_path: Path) -> None:
    need("chromium")
    for path in sorted(pack(tmp_path, "--species", "eublepharis-macularius").glob("*.html")):
        assert (path.name, wider_than_a_phone(path.read_text("utf-8"), tmp_path / "phone")) == (path.name, [])


def test_what_is_too_wide_is_found(tmp_path: Path) -> None:
    need("chromium")
    page = "<!DOCTYPE html><title>x</title><main><p style='width: 400px'>too wide</p><p>narrow</p></main>"
    assert wider_than_a_phone(page, tmp_path) == ["P too wide"]


def papers(name: str, folder: Path) -> Papers:
    if name == "hostile":
        return papers_of(hostile_plan(folder / "hostile.yaml"))
    return papers_of(plan_file(folder / "plan.yaml", ODD[name])) if name in ODD else example(name)


@pytest.mark.parametrize("kind", ["checklist", "cards"])
@pytest.mark.parametrize("name", ["first-season", "two-species", "six", "hostile"])
def test_the_papers_of_a_plan_are_as_narrow_as_a_phone(name: str, kind: str, tmp_path: Path) -> None:
    need("chromium")
    assert wider_than_a_phone(html_of(papers(name, tmp_path), kind), tmp_path / "phone") == []


@pytest.mark.parametrize("kind", ["checklist", "cards"])
@pytest.mark.parametrize("name", ["first-season", "nearly-empty", "six"])
def test_every_entry_of_the_contents_leads_to_its_place(name: str, kind: str, tmp_path: Path) -> None:
    page = html_of(papers(name, tmp_path), kind)
    before, nav, _ = re.split(r"(<nav.*?</nav>)", page, maxsplit=1, flags=re.DOTALL)
    assert "<section" not in before
    targets = re.findall(r'href="#([^"]*)"', nav)
    assert targets and set(targets) <= set(re.findall(r' id="([^"]*)"', page))


def test_ticks_are_kept_for_the_plan_alone(tmp_path: Path) -> None:
    need("chromium")
    found = example("first-season")
    key = found.checklist.key
    assert key != papers_of(plan_file(tmp_path / "other.yaml", {"title": "Other"})).checklist.key
    kept = f'<script>localStorage.setItem("clutch-advisor {key}", "[2]"); localStorage.setItem("clutch-advisor {key[1:]}", "[1]")</script>'
    told = (
        "<script>const first = boxes.filter(box => box.checked).map(box => boxes.indexOf(box)); boxes[4].click();"
        f'document.body.textContent = "KEPT" + JSON.stringify([first, JSON.parse(localStorage.getItem("clutch-advisor {key}"))]) + "TPEK";'
        "</script></body>"
    )
    page = html_of(found, "checklist").replace("<main>", f"{kept}<main>").replace("</body>", told)
    (tmp_path / "page.html").write_text(page, "utf-8")
    dumped = chromium(tmp_path, "--dump-dom", (tmp_path / "page.html").as_uri())
    result = re.search(r"KEPT(.*?)TPEK", dumped)
    assert result is not None
    assert json.loads(html.unescape(result[1])) == [[2], [2, 4]]
