"""Output files: whole or not at all, never over an existing one unasked, one clear line when it fails."""

import errno
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from advisor.cli import main
from tests.support import ROOT

FIRST = str(ROOT / "examples" / "first-season.yaml")
COMMANDS = ("checklist", "cards")


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("ending", [".html", ".md"])
def test_a_paper_is_written_and_named(command: str, ending: str, tmp_path: Path) -> None:
    target = tmp_path / f"paper{ending}"
    done = run(command, FIRST, "-o", target, "--date", "2027-04-01", "--paper", "letter")
    assert done.exit_code == 0 and done.stdout == f"Wrote {target}.\n"
    assert [path.name for path in tmp_path.iterdir()] == [target.name]
    assert "Thu 1 April 2027" in target.read_text("utf-8")


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize(
    ("units", "told", "size"), [("metric", (), "A4"), ("us", (), "letter"), ("us", ("--paper", "a4"), "A4")]
)
def test_a_paper_is_as_large_as_where_its_units_are_used(
    command: str, units: str, told: tuple[str, ...], size: str, tmp_path: Path
) -> None:
    plan, target = tmp_path / "plan.yaml", tmp_path / "paper.html"
    text = Path(FIRST).read_text("utf-8")
    plan.write_text(re.sub("^units: .*\n", "", text, flags=re.MULTILINE) + f"units: {units}\n", "utf-8")
    assert run(command, plan, "-o", target, *told).exit_code == 0
    assert f"size: {size};" in target.read_text("utf-8")


@pytest.mark.parametrize("command", COMMANDS)
def test_an_existing_file_is_replaced_only_with_force(command: str, tmp_path: Path) -> None:
    target = tmp_path / "paper.html"
    target.write_text("mine")
    refused = run(command, FIRST, "-o", target)
    assert refused.exit_code == 2 and "--force" in refused.stderr and target.read_text() == "mine"
    assert run(command, FIRST, "-o", target, "--force").exit_code == 0
    assert target.read_text("utf-8").startswith("<!DOCTYPE html>")


def test_a_link_that_leads_nowhere_is_not_replaced_unasked(tmp_path: Path) -> None:
    target = tmp_path / "paper.html"
    target.symlink_to(tmp_path / "elsewhere")
    assert run("checklist", FIRST, "-o", target).exit_code == 2
    assert target.is_symlink()


@pytest.mark.parametrize("command", COMMANDS)
def test_a_full_disk_gives_one_clear_line_and_leaves_no_half_file(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    target = tmp_path / "paper.html"
    target.write_text("the old one")
    done = run(command, FIRST, "-o", target, "--force")
    assert done.exit_code == 2
    assert done.stderr.splitlines()[0] == f"{target}: cannot be written: No space left on device"
    assert len(done.stderr.splitlines()) == 2  # the line and its hint
    assert [path.name for path in tmp_path.iterdir()] == ["paper.html"]
    assert target.read_text() == "the old one"


@pytest.mark.skipif(sys.platform == "win32", reason="limits of a process are a Unix thing")
def test_a_disk_that_ends_in_the_middle_of_the_file_leaves_no_half_file(tmp_path: Path) -> None:
    """A real limit: the process may write files of 2000 bytes at most, and the page is far longer."""
    script = (
        "import resource, signal, sys\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "from advisor.cli import main\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (2000, 2000))\n"
        f"main(['checklist', {FIRST!r}, '-o', 'paper.html'])\n"
    )
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=tmp_path, capture_output=True, text=True, env=environment
    )
    assert done.returncode == 2, done.stderr
    assert done.stderr.splitlines()[0] == "paper.html: cannot be written: File too large"
    assert list(tmp_path.iterdir()) == []


def test_a_read_only_folder_gives_one_clear_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "locked"
    folder.mkdir()
    folder.chmod(0o555)
    if os.access(folder, os.W_OK):
        # The system's owner may write anywhere: let the call fail as it would for everybody else.
        def locked(**_: object) -> None:
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

        monkeypatch.setattr("tempfile.mkstemp", locked)
    done = run("checklist", FIRST, "-o", folder / "paper.html")
    assert done.exit_code == 2
    assert done.stderr.splitlines()[0] == f"{folder / 'paper.html'}: cannot be written: Permission denied"
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize(
    ("target", "words"),
    [
        ("no-such-folder/paper.html", "No such file or directory"),
        (".", "does not end in .html or .md"),
        ("paper.pdf", "does not end in .html or .md"),
        ("n" * 300 + ".html", "File name too long"),
    ],
)
def test_a_target_that_cannot_be_is_refused_in_one_line(target: str, words: str, tmp_path: Path) -> None:
    done = run("cards", FIRST, "-o", tmp_path / target)
    assert done.exit_code == 2 and words in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_folder_with_the_name_of_a_page_is_refused(tmp_path: Path) -> None:
    (tmp_path / "paper.html").mkdir()
    done = run("cards", FIRST, "-o", tmp_path / "paper.html", "--force")
    assert done.exit_code == 2 and "is a folder" in done.stderr


def test_cards_need_a_file() -> None:
    assert run("cards", FIRST).exit_code == 2


def test_the_date_is_read_and_checked() -> None:
    assert run("checklist", FIRST, "--date", "2027-13-01").exit_code == 2
    assert "Sat 1 May 2027" in run("checklist", FIRST, "--date", "2027-05-01").stdout
