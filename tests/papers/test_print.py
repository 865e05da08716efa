"""Papers printed by headless Chromium: sizes, words on the page, items whole; HTML by html5lib; hostile text."""

import json
import re
import shutil
import subprocess
from pathlib import Path

import html5lib
import pytest
from click.testing import CliRunner

from advisor.cli import main
from tests.papers.pages import without_ticks
from tests.support import ROOT

EXAMPLES = ["first-season", "floor-heat", "nearly-empty"]
CHROMIUM = [
    "chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-pdf-header-footer",
]  # fmt: skip
SIZES = {"a4": (595, 842), "letter": (612, 792)}  # points: ISO 216 and ANSI/ASME Y14.1


def written(command: str, plan: Path, folder: Path, paper: str = "a4") -> Path:
    page = folder / f"{command}-{paper}.html"
    result = CliRunner().invoke(
        main, [command, str(plan), "-o", str(page), "--paper", paper, "--date", "2027-04-01"]
    )
    assert result.exit_code == 0, result.output
    return page


def printed(page: Path, folder: Path) -> Path:
    if shutil.which("chromium") is None:
        pytest.fail(
            "these tests need Debian's chromium and poppler-utils; deselect them with -m 'not browser'"
        )
    pdf = page.with_suffix(".pdf")
    command = [*CHROMIUM, f"--user-data-dir={folder / 'profile'}", f"--print-to-pdf={pdf}", page.as_uri()]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    return pdf


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("command", ["checklist", "cards"])
def test_page_is_html_without_a_parse_error_and_without_a_network(
    command: str, name: str, tmp_path: Path
) -> None:
    text = written(command, ROOT / "examples" / f"{name}.yaml", tmp_path).read_text("utf-8")
    parser = html5lib.HTMLParser(strict=True)
    parser.parse(text)
    assert not re.search(r"<script|<link|@import|src=|url\((?!#)", without_ticks(text))


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("command", ["checklist", "cards"])
def test_printed_words_lie_inside_pages_of_the_right_size(command: str, paper: str, tmp_path: Path) -> None:
    page = written(command, ROOT / "examples" / "floor-heat.yaml", tmp_path, paper)
    pdf = printed(page, tmp_path)
    boxes = subprocess.run(
        ["pdftotext", "-bbox", str(pdf), "-"], capture_output=True, text=True, errors="replace", check=True
    ).stdout
    sizes = re.findall(r'<page width="([\d.]+)" height="([\d.]+)"', boxes)
    assert 2 <= len(sizes) <= 14
    for width, height in sizes:
        assert (round(float(width)), round(float(height))) == pytest.approx(SIZES[paper], abs=1)
    words = re.findall(r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)"', boxes)
    assert len(words) > 200
    for left, top, right, bottom in words:
        assert 0 <= float(left) < float(right) <= SIZES[paper][0] + 1
        assert 0 <= float(top) < float(bottom) <= SIZES[paper][1] + 1


@pytest.mark.browser
def test_every_page_says_its_number_and_the_total(tmp_path: Path) -> None:
    pdf = printed(written("checklist", ROOT / "examples" / "first-season.yaml", tmp_path), tmp_path)
    pages = subprocess.run(
        ["pdftotext", "-layout", str(pdf), "-"], capture_output=True, text=True, errors="replace", check=True
    ).stdout
    sheets = [sheet for sheet in pages.split("\f") if sheet.strip()]
    for number, sheet in enumerate(sheets, 1):
        assert f"page {number} of {len(sheets)}" in sheet


@pytest.mark.browser
def test_hostile_text_prints_unbroken(tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    title = "<script>alert(1)</script> {{ 7*7 }} \u202e 🦎 " + "n" * 200
    text = (ROOT / "examples" / "first-season.yaml").read_text("utf-8")
    plan.write_text(
        text.replace("Spare-room box, first season", json.dumps(title, ensure_ascii=False)), "utf-8"
    )
    page = written("checklist", plan, tmp_path)
    assert "<script" not in without_ticks(page.read_text("utf-8"))
    boxes = subprocess.run(
        ["pdftotext", "-bbox", str(printed(page, tmp_path)), "-"],
        capture_output=True,
        text=True,
        errors="replace",
        check=True,
    ).stdout
    assert all(
        float(right) <= SIZES["a4"][0] + 1 for right in re.findall(r'<word [^>]*xMax="([\d.]+)"', boxes)
    )
