"""How the pages look: at any width and zoom, in dark and light, by keyboard, on paper, and without script."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.papers.browser import need, pages_of, squeezed
from tests.serve.pages import PAGES, folder_of_every_page

pytestmark = pytest.mark.browser

# A phone; the narrowest of WCAG 2.2, 1.4.10 (1280 pixels at 400 %); windows of 800 and 1400 pixels at 200 %.
NARROW = (360, 320, 400, 700)
LEAST_TYPE = 9.0  # pixels, of a word in a drawing; less is not read on a phone, judgement
NIGHT = "/club-night?species=leopard+gecko"
MOVED = "/plans/floor-heat.yaml/what-if?side=lid"

# What is hidden though it does not fit, and what scrolls sideways though it is no table, picture or text of a file.
CUT = """() => [...document.querySelectorAll("body *")].filter(one => {
  const style = getComputedStyle(one), hidden = ["hidden", "clip"].includes(style.overflowX);
  const scrolls = ["auto", "scroll"].includes(style.overflowX) && !one.querySelector("table, svg, pre") && one.tagName !== "TEXTAREA";
  if (one.tagName === "INPUT") return false;  // a long text moves in its field
  return one.clientWidth > 1 && one.scrollWidth > one.clientWidth + 1 && (hidden || scrolls);
}).map(one => one.outerHTML.slice(0, 120))"""
SMALL = """least => [...document.querySelectorAll("svg text")].filter(one => one.getClientRects().length).map(one =>
  [parseFloat(getComputedStyle(one).fontSize) * one.getScreenCTM().a, one.textContent]).filter(([size]) => size < least)"""
BROKEN = """() => [...document.querySelectorAll("th, td")].flatMap(cell => {
  const found = [], walker = document.createTreeWalker(cell, NodeFilter.SHOW_TEXT), range = document.createRange();
  while (walker.nextNode()) for (const word of walker.currentNode.data.matchAll(/[A-Za-z]+/g)) {
    range.setStart(walker.currentNode, word.index); range.setEnd(walker.currentNode, word.index + word[0].length);
    if (new Set([...range.getClientRects()].map(one => one.top)).size > 1) found.push(word[0]);
  }
  return found; })"""
MOVING = """() => [...document.querySelectorAll("*")].filter(one => { const style = getComputedStyle(one);
  return style.animationName !== "none" || style.transitionDuration !== "0s" || style.scrollBehavior === "smooth"; }).length"""
# Each thing that takes the focus, as the keyboard would give it: whether its outline can be told from what is round it (3 : 1).
UNSEEN = """() => {
  const light = colour => { const parts = colour.match(/[\\d.]+/g).slice(0, 3).map(part => { part /= 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4; });
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]; };
  const back = getComputedStyle(document.body).backgroundColor, unseen = [];
  for (const one of document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex='0']")) {
    one.focus({ preventScroll: true });
    if (document.activeElement !== one) continue;
    const style = getComputedStyle(one), ends = [light(style.outlineColor), light(back)].sort((a, b) => b - a);
    const seen = style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2 && (ends[0] + 0.05) / (ends[1] + 0.05) >= 3;
    if (!seen) unseen.push(one.outerHTML.slice(0, 100));
  }
  return unseen; }"""


@pytest.fixture
def pages(served: tuple[str, Path], browser: Browser) -> Iterator[Any]:
    """Opens pages in a browser with some settings."""
    address, folder = served
    folder_of_every_page(folder)
    contexts = []

    def opened(**settings: Any) -> Page:
        contexts.append(browser.new_context(base_url=address, **settings))
        return contexts[-1].new_page()

    yield opened
    for context in contexts:
        context.close()


def _fits(page: Page, path: str) -> None:
    """Nothing is cut or scrolls sideways; words in drawings can be read."""
    for width in NARROW:
        page.set_viewport_size({"width": width, "height": 800})
        assert page.evaluate("document.documentElement.scrollWidth") <= width, (path, width)
        assert page.evaluate(CUT) == [], (path, width)
    page.set_viewport_size({"width": NARROW[0], "height": 800})
    page.evaluate(
        "for (const one of document.querySelectorAll('details, .slide')) { one.open = true; one.hidden = false; }"
    )
    assert page.evaluate(SMALL, LEAST_TYPE) == [], path
    assert page.evaluate("document.documentElement.scrollWidth") <= NARROW[0], path


@pytest.mark.parametrize(("scheme", "motion"), [("light", "no-preference"), ("dark", "reduce")])
def test_every_page_fits_stands_still_and_shows_the_focus(pages: Any, scheme: str, motion: str) -> None:
    """Those who ask for less motion get none, and so does everybody."""
    page = pages(color_scheme=scheme, reduced_motion=motion, viewport={"width": NARROW[0], "height": 800})
    for path in (*PAGES, MOVED, NIGHT):
        page.goto(path)
        page.keyboard.press("Tab")  # from here on the focus is that of the keyboard
        _fits(page, path)
        assert page.evaluate(MOVING) == 0, path
        assert page.evaluate(UNSEEN) == [], (path, scheme)


def test_no_word_of_a_table_is_broken(pages: Any) -> None:
    page = pages(viewport={"width": 1400, "height": 800})
    page.goto("/plans/nearly-empty.yaml/suggest?fill=1&find=1")
    assert page.locator("tr").count() > 20 and page.evaluate(BROKEN) == []


def test_dark_is_dark_and_light_is_light(pages: Any) -> None:
    for scheme, first in (("light", "252"), ("dark", "26")):
        page = pages(color_scheme=scheme)
        page.goto("/")
        assert page.evaluate("getComputedStyle(document.body).backgroundColor").startswith(f"rgb({first},")


CHROME = ("Save", "Undo", "Do this", "don't know yet", "Take this", "Show it", "Full screen", "Large type", "To the content", "Mixing", "This page runs")  # fmt: skip


@pytest.mark.parametrize(
    ("path", "told"),
    [
        ("/plans/first-season.yaml", "read the notes"),
        ("/plans/floor-heat.yaml", "The heater is under the wet medium"),
        ("/plans/nearly-empty.yaml", "Not judged yet"),
        ("/species/pantherophis-guttatus", "Days from laying to hatching"),
        ("/rules", "What is checked"),
        ("/rules/air-no-holes", "Eggs breathe through the shell"),
        (MOVED, "Cleared: The heat comes from under the wet medium"),
        (NIGHT, "What is wrong with this box?"),
    ],
)
def test_a_page_prints_as_a_paper(pages: Any, tmp_path: Path, path: str, told: str) -> None:
    need("pdftotext")
    page = pages(color_scheme="dark")
    page.goto(path)
    if path == NIGHT:
        for _ in range(3):
            page.keyboard.press("ArrowRight")
        told = "Set-up A"
    page.pdf(path=tmp_path / "page.pdf", prefer_css_page_size=True)
    sheets = pages_of(tmp_path / "page.pdf")
    text = "".join(sheet.text for sheet in sheets)
    assert squeezed(told) in text
    assert [word for word in CHROME if squeezed(word) in text] == []
    assert all(sheet.words for sheet in sheets), "a blank page"
    assert all(word.left > 30 and word.right < sheet.width - 30 for sheet in sheets for word in sheet.words)
    page.emulate_media(media="print")
    drawn = page.evaluate(
        "[...document.querySelectorAll('svg')].filter(one => one.getClientRects().length).map(one => "
        "[...one.querySelectorAll('text')].map(text => text.textContent))"
    )
    assert drawn or "rules" in path or "nearly" in path
    for labels in drawn:
        whole = [sheet for sheet in sheets if all(squeezed(label) in sheet.text for label in labels)]
        assert whole, ("a picture is cut", labels)
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"


def test_what_is_read_works_without_script(pages: Any) -> None:
    page = pages(java_script_enabled=False)
    page.goto("/species")
    page.get_by_label("Part of a name").fill("corn")
    page.get_by_role("button", name="Show").click()
    page.get_by_role("link", name="corn snake", exact=True).click()
    expect(page.locator("h1")).to_contain_text("Corn snake")
    expect(page.locator("svg").first).to_be_visible()
    page.goto("/rules")
    page.get_by_role("link", name="The egg box has no way for air to come in").click()
    expect(page.locator("main")).to_contain_text("Eggs breathe through the shell")
    page.goto("/plans/first-season.yaml/papers")
    page.get_by_role("link", name="the sheet for the wall").first.click()
    expect(page.locator("h1")).to_contain_text("Spare-room box, first season")
    page.goto("/plans/floor-heat.yaml")
    expect(page.locator(".verdict")).to_contain_text("FIX")
    page.get_by_role("link", name="Heat: heater place").click()
    expect(page.locator("#at-heat-place")).to_be_in_viewport()
    page.goto(NIGHT)
    expect(page.locator(".slide:visible")).to_have_count(7)
