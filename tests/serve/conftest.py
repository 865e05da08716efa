"""A browser, and the command that serves a folder to it."""

import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from tests.papers.browser import CHROMIUM, axe_source, need
from tests.support import ROOT


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    need("chromium")
    with sync_playwright() as started:
        browser = started.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def axe(tmp_path_factory: pytest.TempPathFactory) -> str:
    need("chromium")
    return axe_source(tmp_path_factory.mktemp("axe"))


@pytest.fixture
def served(tmp_path: Path) -> Iterator[tuple[str, Path]]:
    """The command itself, at a free port, over a folder of its own."""
    folder = tmp_path / "plans"
    folder.mkdir()
    running = subprocess.Popen(
        [sys.executable, "-m", "advisor", "serve", str(folder), "--port", "0", "--no-open"],
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        env={"PYTHONUNBUFFERED": "1", "PATH": "/usr/bin:/bin", "PYTHONPATH": str(ROOT)},
    )
    assert running.stdout is not None
    found = re.search(r"http://127\.0\.0\.1:\d+", running.stdout.readline())
    assert found is not None
    yield found[0], folder
    running.terminate()
    running.wait(10)
