"""On a phone: nothing reaches past the right edge of the screen, so nothing scrolls sideways."""

from pathlib import Path

import pytest

from tests.lesson.test_lesson import pack
from tests.papers.browser import need, wider_than_a_phone
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
