"""Every page printed by a browser: sizes, page numbers, nothing cut, nothing over anything else, nothing split."""

from html.parser import HTMLParser
from pathlib import Path

import pytest

from advisor.reading.problems import printable
from tests.papers.browser import Page, Word, axe_source, axe_violations, filled, need, printed, squeezed
from tests.papers.pages import ODD, Papers, example, hostile_plan, html_of, papers_of, plan_file

pytestmark = pytest.mark.browser

KINDS = ("checklist", "cards")
SIZES = {"a4": (595.3, 841.9), "letter": (612.0, 792.0)}  # points: ISO 216, ANSI/ASME Y14.1
MARGINS = {"checklist": 13.0 * 72 / 25.4, "cards": 16.0 * 72 / 25.4}  # points, left and right of the text
HEIGHT_OF_TYPE = 1.164  # box of a word over its size: DejaVu Sans 2.37, ascent and descent (read)
# Both sizes, both systems of units; plans that are sound, refused, crowded, long and hostile.
CASES = [
    ("first-season", "a4", "metric"),
    ("first-season", "letter", "us"),
    ("two-species", "letter", "metric"),
    ("chameleon-short-mix", "a4", "metric"),
    ("nearly-empty", "a4", "us"),
    ("six", "a4", "metric"),
    ("crowd", "letter", "us"),
    ("hostile", "a4", "metric"),
]
STRESS = ("crowd", "hostile")  # as much as a plan may hold: what counts on their cards is that all is there
MOST_PAGES = {"first-season": 5, "six": 8}  # of the long checklist on A4 and Letter, the sheet among them
LEAST_FILLED = 0.45  # of the page area, on every page but the last
CELL = 10.0  # mm, side of the cells that hold a mark or do not


def papers(name: str, units: str, folder: Path) -> Papers:
    if name == "hostile":
        return papers_of(hostile_plan(folder / "hostile.yaml"))
    if name in ODD:
        return papers_of(plan_file(folder / f"{name}.yaml", {**ODD[name], "units": units}))
    if units == "metric":
        return example(name)
    return papers_of(plan_file(folder / f"{name}.yaml", {"units": "us"}, name))


class _Blocks(HTMLParser):
    """Texts of the smallest blocks of a page: list items, paragraphs, cells, headings, labels in pictures."""

    BLOCKS = ("li", "p", "td", "th", "h1", "h2", "h3", "caption", "text", "pre")

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.open: list[str] = []
        self.skipped = 0

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        inside = bool(self.skipped) and tag == "span"
        if inside or tag in ("style", "title", "desc", "nav") or ("class", "number") in attributes:
            self.skipped += 1
        elif tag in self.BLOCKS:
            self.open.append("")

    def handle_endtag(self, tag: str) -> None:
        if self.skipped and tag in ("style", "title", "desc", "nav", "span"):
            self.skipped -= 1
        elif tag in self.BLOCKS:
            self.found.append(self.open.pop())

    def handle_data(self, data: str) -> None:
        if not self.skipped and self.open:
            self.open[-1] += data


def blocks(html: str) -> list[str]:
    reader = _Blocks()
    reader.feed(html)
    return [squeezed(text) for text in reader.found if squeezed(text)]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(("name", "paper", "units"), CASES)
def test_the_print_is_sound(name: str, paper: str, units: str, kind: str, tmp_path: Path) -> None:
    need("chromium", "pdftotext")
    content = papers(name, units, tmp_path)
    html = html_of(content, kind, paper)
    pages = printed(html, tmp_path / "print")
    _sizes_and_numbers(pages, paper, kind)
    for page in pages:
        _nothing_is_cut(page, kind)
        _nothing_lies_over_anything(page)
    _nothing_is_split(html, pages)
    if name != "hostile":
        _letters_are_large_enough(pages, kind)
    if content.checklist.mark:
        assert all(squeezed(content.checklist.mark) in page.text for page in pages)
    if kind == "checklist":
        _items_carry_their_numbers(content, pages)
        _the_sheet_is_one_leaf(pages)
        assert len(pages) <= MOST_PAGES.get(name, 10)
    else:
        assert len(pages) >= 3 or not content.cards.labels
    if kind == "checklist" or name not in STRESS:
        well_filled(tmp_path / "print")


def well_filled(folder: Path) -> None:
    """No page but the last is left half empty."""
    shares = filled(folder / "page.pdf", CELL)
    assert min(shares[:-1], default=1.0) >= LEAST_FILLED, shares


def _the_sheet_is_one_leaf(pages: list[Page]) -> None:
    """Front and back are the first two pages, and what follows begins a third."""
    assert all(
        f"{number}.{name}" in pages[0].text
        for number, name in enumerate(("Beforepoweron", "Beforeeggs", "Eggday"), 1)
    )
    assert "Ifsomethinggoeswrong" in pages[1].text and "Whatthescaleshouldread" in pages[1].text
    assert not any("1.Putrightnow" in page.text for page in pages[:2])
    large = [word for word in pages[1].words if (word.bottom - word.top) / HEIGHT_OF_TYPE >= 14.9]
    assert len(large) > 100  # what to do is read from two metres


def _sizes_and_numbers(pages: list[Page], paper: str, kind: str) -> None:
    for number, page in enumerate(pages, 1):
        # Chromium rounds a sheet to whole pixels of 0.75 points.
        assert (page.width, page.height) == pytest.approx(SIZES[paper], abs=0.75)
        assert f"page{number}of{len(pages)}" in page.text
        assert "endofpage" in page.text and "Thu1April2027" in page.text
        assert squeezed({"checklist": "Checklist:", "cards": "Cards:"}[kind]) in page.text
        # Head and foot are about a dozen words: a page without more is an accident.
        assert len(page.words) > 18, f"page {number} is nearly empty"
    assert (
        squeezed({"checklist": "End of the checklist", "cards": "End of the cards"}[kind]) in pages[-1].text
    )


def _nothing_is_cut(page: Page, kind: str = "cards") -> None:
    margin = MARGINS[kind]
    for word in page.words:
        assert word.left >= margin - 1.0 and word.right <= page.width - margin + 1.5, word
        assert word.top >= 20.0 and word.bottom <= page.height - 15.0, word


def _nothing_lies_over_anything(page: Page) -> None:
    words = sorted(page.words, key=lambda word: word.top)
    for number, one in enumerate(words):
        for other in words[number + 1 :]:
            if other.top >= one.bottom:
                break
            assert not _overlap(one, other), (one, other)


def _overlap(one: Word, other: Word) -> bool:
    across = min(one.right, other.right) - max(one.left, other.left)
    down = min(one.bottom, other.bottom) - max(one.top, other.top)
    # The rectangle of a word has room above and below its letters: a fifth of it may be shared with the next line.
    return across > 0.5 and down > 0.2 * min(one.bottom - one.top, other.bottom - other.top)


def _nothing_is_split(html: str, pages: list[Page]) -> None:
    for text in blocks(html):
        assert any(text in page.text for page in pages), text


def _letters_are_large_enough(pages: list[Page], kind: str) -> None:
    for page in pages:
        # Labels in pictures are 9 pt or more; text of the checklist is 10 pt, the least that CAP 676 asks for.
        signs = (
            "Yourouterbox",
            "Yourseason",
            "dayofincubation",
            "thickline",
            "Setpoint",
            "Whatthescale",
            "Males",
        )
        pictures = any(sign in page.text for sign in signs)
        least = 9.0 if pictures else 10.0 if kind == "checklist" else 11.0
        for word in page.words:
            # Signs from another font have boxes of another height.
            if word.text.isascii():
                assert (word.bottom - word.top) / HEIGHT_OF_TYPE >= least - 0.1, (kind, word)


def _items_carry_their_numbers(content: Papers, pages: list[Page]) -> None:
    for stage in content.checklist.stages:
        for item in stage.items:
            action = squeezed(printable(item.action))
            holding = [page for page in pages if action in page.text]
            assert any(word.text == item.number for page in holding for word in page.words), item


def test_the_papers_of_the_sound_example_have_the_pages_they_should(tmp_path: Path) -> None:
    """One mixing card, one page of labels, one record sheet: by the templates, each begins a page."""
    need("chromium", "pdftotext")
    pages = printed(html_of(example("first-season"), "cards"), tmp_path)
    assert len(pages) == 3
    assert [
        title in page.text
        for title, page in zip(("Mixingcard", "Alabelforeachbox", "Record:"), pages, strict=True)
    ]


def test_a_fault_in_a_page_would_be_seen(tmp_path: Path) -> None:
    """The checks above do fail: a word outside the sheet, words over each other, an item torn apart."""
    need("chromium", "pdftotext")
    style = "@page{size:A4;margin:16mm}body{font:12pt DejaVu Sans;margin:0}"
    torn = "<br>".join(f"word{number}" for number in range(90))
    page = (
        f"<!DOCTYPE html><title>x</title><style>{style}</style><p>first</p>"
        "<div style='position:absolute;left:-30pt;top:60pt'>outside</div>"
        "<div style='position:absolute;left:50pt;top:90pt'>under</div>"
        "<div style='position:absolute;left:55pt;top:92pt'>over</div>"
        f"<div style='margin-top:100pt'><ul><li>{torn}</li></ul></div>"
    )
    pages = printed(page, tmp_path)
    with pytest.raises(AssertionError):
        _nothing_is_cut(pages[0])
    with pytest.raises(AssertionError):
        _nothing_lies_over_anything(pages[0])
    with pytest.raises(AssertionError):
        _nothing_is_split(page, pages)


@pytest.fixture(scope="session")
def axe(tmp_path_factory: pytest.TempPathFactory) -> str:
    need("chromium")
    return axe_source(tmp_path_factory.mktemp("axe"))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", ["first-season", "two-species", "hostile"])
def test_axe_finds_no_violation(name: str, kind: str, axe: str, tmp_path: Path) -> None:
    html = html_of(papers(name, "metric", tmp_path), kind)
    violations = axe_violations(html, axe, tmp_path / "axe")
    assert [(entry["id"], [node["html"][:120] for node in entry["nodes"]][:3]) for entry in violations] == []


def test_axe_does_find_a_violation(axe: str, tmp_path: Path) -> None:
    page = "<!DOCTYPE html><html><head><title>x</title></head><body><main><h1>x</h1><img src='a.png'></main></body></html>"
    assert {"image-alt", "html-has-lang"} <= {entry["id"] for entry in axe_violations(page, axe, tmp_path)}
