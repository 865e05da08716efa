"""The pages as HTML: html5lib finds no fault, nothing is loaded, everything is named once."""

import itertools
import re

import html5lib
import pytest

from tests.papers.pages import (
    EXAMPLES,
    ODD,
    Papers,
    example,
    hostile_plan,
    html_of,
    papers_of,
    plan_file,
    without_ticks,
)

KINDS = ("checklist", "cards")
NAMES = [path.stem for path in EXAMPLES] + [*ODD, "hostile"]


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[tuple[str, str], str]:
    folder = tmp_path_factory.mktemp("plans")
    found: dict[str, Papers] = {path.stem: example(path.stem) for path in EXAMPLES}
    found |= {name: papers_of(plan_file(folder / f"{name}.yaml", changes)) for name, changes in ODD.items()}
    found["hostile"] = papers_of(hostile_plan(folder / "hostile.yaml"))
    return {(name, kind): html_of(papers, kind) for name, papers in found.items() for kind in KINDS}


def test_html5lib_does_find_a_fault() -> None:
    with pytest.raises(html5lib.html5parser.ParseError):
        html5lib.HTMLParser(strict=True).parse("<!DOCTYPE html><title>x</title><p></b>")


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", NAMES)
def test_the_page_parses_without_a_fault(name: str, kind: str, pages: dict[tuple[str, str], str]) -> None:
    html5lib.HTMLParser(strict=True).parse(pages[name, kind])


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", NAMES)
def test_the_page_is_complete_in_itself(name: str, kind: str, pages: dict[tuple[str, str], str]) -> None:
    document = html5lib.parse(without_ticks(pages[name, kind]), namespaceHTMLElements=False)
    tags = {
        str(element.tag).rpartition("}")[2] for element in document.iter() if isinstance(element.tag, str)
    }
    assert not tags & {
        "script",
        "img",
        "link",
        "iframe",
        "object",
        "embed",
        "form",
        "base",
        "audio",
    }
    for element in document.iter():
        for attribute in element.attrib:
            assert not str(attribute).startswith("on") and attribute not in ("src", "srcset", "style")
        assert element.attrib.get("href", "#").startswith("#")  # the list of contents, within the page
    style = "".join(element.text or "" for element in document.iter("style"))
    assert "url(" not in style and "@import" not in style


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", NAMES)
def test_ids_are_used_once_and_headings_go_down_in_steps(
    name: str, kind: str, pages: dict[tuple[str, str], str]
) -> None:
    document = html5lib.parse(pages[name, kind], namespaceHTMLElements=False)
    ids = [element.attrib["id"] for element in document.iter() if "id" in element.attrib]
    assert len(set(ids)) == len(ids)
    levels = [
        int(str(element.tag)[1])
        for element in document.iter()
        if str(element.tag) in ("h1", "h2", "h3", "h4")
    ]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))
    html = next(document.iter("html"))
    assert html.attrib["lang"] == "en"
    for table in document.iter("table"):
        assert list(table.iter("th"))


@pytest.mark.parametrize(("paper", "size"), [("a4", "A4"), ("letter", "letter")])
@pytest.mark.parametrize("kind", KINDS)
def test_the_sheet_of_paper_is_the_one_asked_for(kind: str, paper: str, size: str) -> None:
    page = html_of(example("first-season"), kind, paper)
    assert f"size: {size};" in page
    rules = re.search(r"@page \{(.*?)\n\}", page, re.DOTALL)
    assert rules is not None
    assert "counter(page)" in rules[1] and "counter(pages)" in rules[1] and "end of page" in rules[1]
    assert "Thu 1 April 2027" in rules[1] and "Spare" in rules[1]


def test_no_text_is_smaller_than_ten_points_outside_the_pictures() -> None:
    """10 pt is the least of CAP 676; em sizes count from 11.5 pt on cards. Emergencies are read from two metres: 15 pt."""
    for kind in KINDS:
        style = re.findall(r"<style>(.*?)</style>", html_of(example("first-season"), kind), re.DOTALL)[0]
        sizes = re.findall(r"font(?:-size)?: ([\d.]+)(pt|em)", style)
        points = [float(number) * (11.5 if unit == "em" else 1.0) for number, unit in sizes]
        assert points and min(points) >= (10.0 if kind == "checklist" else 11.0)
        if kind == "checklist":
            wrong = re.search(r"\.wrong \{[^}]*font-size: (\d+)pt", style)
            assert wrong and int(wrong[1]) >= 15
        colours = set(re.findall(r"#[0-9a-fA-F]{3,6}", style))
        assert colours <= {"#000", "#fff"}
