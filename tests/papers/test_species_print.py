"""The page of a species printed by a browser: sizes, nothing cut, nothing split; axe-core; text that wishes harm."""

import re
from pathlib import Path

import html5lib
import pytest
from click.testing import CliRunner

from advisor.cli import main
from tests.papers.browser import axe_source, axe_violations, need, printed, squeezed
from tests.papers.pages import HOSTILE, HOSTILE_NAME, without_ticks
from tests.papers.test_browser import (
    SIZES,
    _letters_are_large_enough,
    _nothing_is_cut,
    _nothing_is_split,
    _nothing_lies_over_anything,
    well_filled,
)
from tests.papers.test_hostile import visible
from tests.profiles import PROFILES
from tests.support import ROOT

# Many counts, keepers' figures alone, counts and a broken curve of days, next to nothing known; each sheet and unit twice.
CASES = [
    ("chrysemys-picta", "letter", "us"),
    ("pantherophis-guttatus", "a4", "metric"),
    ("eublepharis-macularius", "a4", "us"),
    ("gekko-gecko", "letter", "metric"),
    ("hostile", "a4", "metric"),
    ("hostile", "letter", "us"),
]
PLAN = """format: 1
title: Guests
control: {set_to: 28 °C}
clutches:
  - species: chamaeleo-calyptratus
"""


def hostile_profiles(folder: Path) -> Path:
    """A folder with a profile and a bibliography that carry text that wishes harm wherever they take free text."""
    text = (ROOT / "species" / "chamaeleo-calyptratus.yaml").read_text("utf-8")
    harm = HOSTILE.replace("\x1b", "").replace("\\", "").replace("'", "")
    name = HOSTILE_NAME.replace("'", "")
    start, head = text.index("notes:"), "common: ["
    assert head in text and "sources: [practice]" in text
    text = text[:start].replace(head, f"{head}'{name}', ", 1)
    text = text.replace("sources: [practice]", "sources: [guest-source]", 1)
    folder.mkdir()
    text = re.sub(r'because: "[^"]*"', f"because: '{harm}'", text, count=1)
    (folder / "chamaeleo-calyptratus.yaml").write_text(f"{text}notes: |\n  {harm}\n", "utf-8")
    (folder / "sources.yaml").write_text(
        f"format: 1\nsources:\n  guest-source: {{cite: '{harm}', known: common practice}}\n", "utf-8"
    )
    return folder


def run(*arguments: str | Path) -> str:
    result = CliRunner().invoke(main, [str(argument) for argument in arguments])
    assert result.exit_code == 0, result.output
    return result.stdout


def page_of(name: str, folder: Path, *options: str) -> str:
    own = ["--species", str(hostile_profiles(folder / "own"))] if name == "hostile" else []
    identifier = "chamaeleo-calyptratus" if own else name
    return run("species", "show", identifier, "--html", "--date", "2027-04-01", *options, *own)


def test_text_of_a_profile_that_wishes_harm_is_shown_and_does_nothing(tmp_path: Path) -> None:
    html = page_of("hostile", tmp_path)
    html5lib.HTMLParser(strict=True).parse(html)
    lowered = html.lower()
    assert "<script" not in lowered and "<img" not in lowered
    assert set(re.findall(r"href=(..)", lowered)) == {'"#'}  # the list of contents, within the page
    assert lowered.count("<style>") == lowered.count("</style>") == 1
    assert "{display:none}" not in html.split("<style>")[1].split("</style>")[0]
    assert all(character.isprintable() or character in "\n\u00a0" for character in html)
    shown = visible(html)
    assert shown.count("<script>alert(1)</script> {{ 7*7 }}") >= 2  # a note or caution, and a source
    assert "<img src=x onerror=alert(1)>" in shown and "n" * 50 in shown


def test_the_papers_of_a_plan_with_such_a_profile_do_nothing(tmp_path: Path) -> None:
    own = hostile_profiles(tmp_path / "own")
    plan = tmp_path / "plan.yaml"
    plan.write_text(PLAN, "utf-8")
    for command in ("checklist", "cards"):
        target = tmp_path / f"{command}.html"
        run(command, plan, "-o", target, "--species", own, "--date", "2027-04-01")
        html = target.read_text("utf-8")
        html5lib.HTMLParser(strict=True).parse(html)
        assert "<script" not in without_ticks(html).lower() and "<img" not in html.lower()
        assert "<img src=x onerror=alert(1)>" in visible(html)


@pytest.mark.browser
@pytest.mark.parametrize(("name", "paper", "units"), CASES)
def test_the_page_of_a_species_prints_whole(name: str, paper: str, units: str, tmp_path: Path) -> None:
    need("chromium", "pdftotext")
    html = page_of(name, tmp_path, "--paper", paper, "--units", units)
    pages = printed(html, tmp_path / "print")
    assert 3 <= len(pages) <= 12
    for number, page in enumerate(pages, 1):
        assert (page.width, page.height) == pytest.approx(SIZES[paper], abs=1)
        assert squeezed(f"page {number} of {len(pages)}") in page.text
        assert "endofpage" in page.text and "Thu1April2027" in page.text
        assert len(page.words) > 18, f"page {number} is nearly empty"
        _nothing_is_cut(page)
        _nothing_lies_over_anything(page)
    assert "Endofthepage" in pages[-1].text
    _nothing_is_split(html, pages)
    if name != "hostile":  # texts as long as a file may hold push the first page over its end
        well_filled(tmp_path / "print")
        _letters_are_large_enough([page for page in pages if "temperatureoftheeggs" not in page.text], name)


@pytest.mark.browser
@pytest.mark.parametrize(("paper", "units"), [("a4", "metric"), ("letter", "us")])
def test_what_is_used_beside_the_box_is_one_page_for_every_species(
    paper: str, units: str, tmp_path: Path
) -> None:
    need("chromium", "pdftotext")
    wholes = [page_of(name, tmp_path, "--paper", paper, "--units", units) for name in PROFILES]
    uses = [
        whole[whole.index("<main>") : whole.index('<section class="long page" id="part-2">')]
        for whole in wholes
    ]
    head = wholes[0][: wholes[0].index("<main>")].replace("</style>", "main { break-before: page; }</style>")
    pages = printed(head + "</main>".join([*uses, "</body></html>"]), tmp_path / "print")
    starts = [page for page in pages if "Inshort" in page.text]
    assert len(starts) == len(PROFILES)
    for page in pages:
        assert "Inshort" in page.text, page.text[:300]


@pytest.fixture(scope="module")
def axe(tmp_path_factory: pytest.TempPathFactory) -> str:
    need("chromium")
    return axe_source(tmp_path_factory.mktemp("axe"))


@pytest.mark.browser
@pytest.mark.parametrize("name", ["chrysemys-picta", "gekko-gecko", "hostile"])
def test_axe_finds_no_violation(name: str, axe: str, tmp_path: Path) -> None:
    violations = axe_violations(page_of(name, tmp_path), axe, tmp_path / "axe")
    assert [(entry["id"], [node["html"][:120] for node in entry["nodes"]][:3]) for entry in violations] == []
