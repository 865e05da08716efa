"""Headless Chromium and what reads its prints: pages as words with their places, pages as text, axe-core."""

import html
import json
import os
import re
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

CHROMIUM = next(
    (path for name in ("chromium", "chromium-browser", "google-chrome") if (path := shutil.which(name))), ""
)
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-pdf-header-footer",
)
LONGEST = 120  # s, of one run of the browser
AXE = Path(__file__).parent / "axe"
REQUIRED = bool(os.environ.get("CLUTCH_ADVISOR_BROWSER_REQUIRED"))


def need(*programs: str) -> None:
    """Skips where a program is missing; fails instead where the environment says that all are there (as in CI)."""
    missing = [name for name in programs if not (CHROMIUM if name == "chromium" else shutil.which(name))]
    if missing and REQUIRED:
        pytest.fail(f"missing: {', '.join(missing)}")
    if missing:
        pytest.skip(f"missing: {', '.join(missing)}")


@dataclass(frozen=True, slots=True)
class Word:
    """One printed word and its rectangle [points from the top left]."""

    text: str
    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True, slots=True)
class Page:
    """One printed page: its size [points], its words, and its text without spaces."""

    width: float
    height: float
    words: tuple[Word, ...]
    text: str


def chromium(folder: Path, *arguments: str) -> str:
    """Runs the browser with a profile of its own; the result is what it prints."""
    profile = folder / "profile"
    done = subprocess.run(
        [CHROMIUM, *FLAGS, f"--user-data-dir={profile}", *arguments],
        capture_output=True,
        text=True,
        timeout=LONGEST,
    )
    shutil.rmtree(profile, ignore_errors=True)
    assert done.returncode == 0, done.stderr[-2000:]
    return done.stdout


def printed(page: str, folder: Path) -> list[Page]:
    """The pages that the browser prints from an HTML text."""
    folder.mkdir(parents=True, exist_ok=True)
    source, target = folder / "page.html", folder / "page.pdf"
    source.write_text(page, "utf-8")
    chromium(folder, f"--print-to-pdf={target}", source.as_uri())
    return pages_of(target)


def pages_of(target: Path) -> list[Page]:
    """The pages of a PDF file."""
    boxes, texts = (_read(str(target), option) for option in ("-bbox", "-raw"))
    pages = re.findall(r'<page width="([\d.]+)" height="([\d.]+)">(.*?)</page>', boxes, re.DOTALL)
    return [
        Page(float(width), float(height), tuple(_words(inside)), squeezed(text))
        for (width, height, inside), text in zip(pages, texts.split("\f"), strict=False)
    ]


def _read(target: str, option: str) -> str:
    # Signs that no font has can come out as half a pair of UTF-16.
    done = subprocess.run(["pdftotext", option, target, "-"], capture_output=True, check=True)
    return done.stdout.decode("utf-8", "replace")


def _words(inside: str) -> list[Word]:
    pattern = r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word>'
    return [
        Word(html.unescape(text), *(float(number) for number in numbers))
        for *numbers, text in re.findall(pattern, inside)
    ]


def squeezed(text: str) -> str:
    """The text without spaces, hyphens and signs beyond ASCII, which a font may lack: what must be found in print."""
    return "".join(sign for sign in text if sign.isascii() and sign.isprintable() and sign not in " -")


def filled(target: Path, cell: float) -> list[float]:
    """The share of each page's cells [mm] that hold a mark, margins left away."""
    dots = 4  # to a cell
    done = subprocess.run(
        ["pdftoppm", "-gray", "-r", f"{dots * 25.4 / cell:.4f}", str(target)], capture_output=True, check=True
    ).stdout
    shares = []
    while done:
        found = re.match(rb"P5\s+(\d+)\s+(\d+)\s+\d+\s", done)
        assert found is not None
        width, height, start = int(found[1]), int(found[2]), found.end()
        dark, done = done[start : start + width * height], done[start + width * height :]
        rows = range(dots * 2, height - dots * 2 - dots + 1, dots)
        columns = range(dots, width - dots - dots + 1, dots)
        cells = [
            any(min(dark[(row + line) * width + column :][:dots]) < 250 for line in range(dots))
            for row in rows
            for column in columns
        ]
        shares.append(sum(cells) / len(cells))
    return shares


def axe_source(folder: Path) -> str:
    """The script of axe-core, from npm; installed once into a folder that lasts for the test run."""
    need("npm")
    script = folder / "node_modules" / "axe-core" / "axe.min.js"
    if not script.exists():
        folder.mkdir(parents=True, exist_ok=True)
        for name in ("package.json", "package-lock.json"):
            shutil.copy(AXE / name, folder / name)
        done = subprocess.run(
            ["npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund"],
            cwd=folder,
            capture_output=True,
            text=True,
        )
        if done.returncode != 0 and not REQUIRED:
            pytest.skip("npm cannot fetch axe-core here")
        assert done.returncode == 0, done.stderr
    return script.read_text("utf-8")


def axe_violations(page: str, script: str, folder: Path) -> list[dict[str, Any]]:
    """The violations that axe-core finds in a page; the script is put into a copy of it."""
    folder.mkdir(parents=True, exist_ok=True)
    copy = folder / "page.html"
    (folder / "axe.js").write_text(script, "utf-8")
    runner = (
        '<script src="axe.js"></script><script>axe.run(document).then(found => {'
        "document.title = 'done';"
        "document.body.textContent = 'AXE' + JSON.stringify({violations: found.violations, "
        "passes: found.passes.length}) + 'EXA';});</script></body>"
    )
    copy.write_text(page.replace("</body>", runner), "utf-8")
    dumped = chromium(folder, "--virtual-time-budget=20000", "--dump-dom", copy.as_uri())
    found = re.search(r"AXE(\{.*\})EXA", dumped, re.DOTALL)
    assert found is not None, dumped[-500:]
    result = json.loads(html.unescape(found[1]))
    assert result["passes"] > 10
    violations: list[dict[str, Any]] = result["violations"]
    return violations


PHONE = 360  # pixels, a narrow phone


def wider_than_a_phone(page: str, folder: Path) -> list[str]:
    """What of a page reaches past the right edge of a phone's screen: tags with their first words, the outermost first."""
    folder.mkdir(parents=True, exist_ok=True)
    frame = folder / "frame.html"
    inside = html.escape(page, quote=True)
    frame.write_text(
        f'<iframe width="{PHONE}" height="700" style="border:0" srcdoc="{inside}"></iframe><script>'
        "onload = () => { const inner = document.querySelector('iframe').contentDocument;"
        f"const wide = [...inner.querySelectorAll('main *')].filter(one => one.getBoundingClientRect().right > {PHONE + 0.5});"
        "document.body.textContent = 'WIDE' + JSON.stringify([inner.documentElement.clientWidth, "
        "wide.map(one => one.tagName + ' ' + one.textContent.trim().slice(0, 40))]) + 'EDIW'; };</script>",
        "utf-8",
    )
    dumped = chromium(folder, "--virtual-time-budget=5000", "--dump-dom", frame.as_uri())
    found = re.search(r"WIDE(\[.*\])EDIW", dumped, re.DOTALL)
    assert found is not None, dumped[-500:]
    width, wide = json.loads(html.unescape(found[1]))
    assert 0 < width <= PHONE
    return list(wide)
