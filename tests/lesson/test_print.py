"""The pages of the club-night pack printed by a browser: page counts, nothing cut, nothing split; axe-core."""

from pathlib import Path

import pytest

from tests.lesson.test_lesson import PAGES, pack
from tests.papers.browser import Page, axe_source, axe_violations, need, printed, squeezed
from tests.papers.test_browser import (
    SIZES,
    _letters_are_large_enough,
    _nothing_is_cut,
    _nothing_is_split,
    _nothing_lies_over_anything,
)

pytestmark = pytest.mark.browser

# A usual snake and a python with large eggs in a large box, on both papers and in both kinds of units.
CASES = [
    ("pantherophis-guttatus", "a4", "metric", 1),
    ("pantherophis-guttatus", "letter", "us", 2),
    ("python-regius", "letter", "metric", 3),
    ("chamaeleo-calyptratus", "a4", "us", 4),
    ("eublepharis-macularius", "letter", "us", 5),
]
FEWEST, MOST = (
    {"1-talk": 1, "2-comparison": 1, "3-set-ups": 4, "4-answers": 2, "5-take-home": 2, "6-sexes": 1},
    {"1-talk": 1, "2-comparison": 1, "3-set-ups": 4, "4-answers": 6, "5-take-home": 2, "6-sexes": 1},
)


def numbered(pages: list[Page], paper: str) -> None:
    for number, page in enumerate(pages, 1):
        assert (page.width, page.height) == pytest.approx(SIZES[paper], abs=1)
        assert squeezed(f"page {number} of {len(pages)}") in page.text
        assert "endofpage" in page.text


@pytest.mark.parametrize(("species", "paper", "units", "seed"), CASES)
def test_the_pack_prints_whole(species: str, paper: str, units: str, seed: int, tmp_path: Path) -> None:
    need("chromium", "pdftotext")
    folder = pack(tmp_path, "--species", species, "--paper", paper, "--units", units, "--seed", str(seed))
    for name in [path.stem for path in sorted(folder.glob("*.html"))]:
        html = (folder / f"{name}.html").read_text("utf-8")
        pages = printed(html, tmp_path / "print")
        # A talk plan, the comparison and the sexes are one page, a list is one sheet, each set-up has its own page.
        assert FEWEST[name] <= len(pages) <= MOST[name], name
        numbered(pages, paper)
        for page in pages:
            _nothing_is_cut(page)
            _nothing_lies_over_anything(page)
        _nothing_is_split(html, pages)
        # The sheet to take home has letters of 10 pt, the least that CAP 676 asks for (from memory).
        if "<svg" not in html and name != "5-take-home":
            _letters_are_large_enough(pages, name)


def test_each_set_up_stands_on_its_own_page(tmp_path: Path) -> None:
    need("chromium", "pdftotext")
    pages = printed((pack(tmp_path) / "3-set-ups.html").read_text("utf-8"), tmp_path / "print")
    for letter, page in zip("ABCD", pages, strict=True):
        assert f"Setup{letter}" in page.text and "Whatcomesfirst?" in page.text


@pytest.fixture(scope="module")
def axe(tmp_path_factory: pytest.TempPathFactory) -> str:
    need("chromium")
    return axe_source(tmp_path_factory.mktemp("axe"))


def test_axe_finds_no_violation(axe: str, tmp_path: Path) -> None:
    folder = pack(tmp_path)
    for name in PAGES:
        violations = axe_violations((folder / f"{name}.html").read_text("utf-8"), axe, tmp_path / "axe")
        assert [(name, entry["id"]) for entry in violations] == []
