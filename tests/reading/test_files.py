"""Files that cannot be read or written: one clear line, status 2, and nothing lost."""

import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from click.testing import CliRunner

from advisor.cli import main
from advisor.papers.files import write_file
from advisor.papers.folder import write_folder
from advisor.reading.problems import InputError
from tests.support import ROOT

FIRST = str(ROOT / "examples" / "first-season.yaml")
LONG = "a" * 300 + ".yaml"


def refused(*arguments: str) -> str:
    """The message of a command that has to end with status 2."""
    result = CliRunner().invoke(main, list(arguments))
    assert result.exit_code == 2, (arguments, result.output)
    assert "mistake of its own" not in result.stderr
    return result.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        ["check", LONG],
        ["checklist", LONG],
        ["checklist", FIRST, "-o", LONG.replace("yaml", "html")],
        ["new", LONG],
        ["check", FIRST, "--species", LONG],
        ["species", "check", LONG],
        ["lesson", "-o", LONG],
    ],
    ids=" ".join,
)
def test_a_name_of_300_letters_is_refused(
    arguments: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert "File name too long" in refused(*arguments)


@pytest.mark.parametrize(
    "arguments",
    [
        ["check", ""],
        ["checklist", FIRST, "-o", ""],
        ["check", FIRST, "--species", ""],
        ["new", ""],
        ["species", "check", ""],
    ],
    ids=" ".join,
)
def test_an_empty_name_is_refused(arguments: list[str]) -> None:
    assert "the name is empty" in refused(*arguments)


def folder_of(kind: str, tmp_path: Path) -> Path:
    own = tmp_path / "own"
    own.mkdir()
    profile = own / "corpus-exempla.yaml"
    if kind == "pipe":
        os.mkfifo(profile)
    elif kind == "folder":
        profile.mkdir()
    elif kind == "broken link":
        profile.symlink_to("nowhere")
    else:
        with profile.open("wb") as file:
            file.truncate(1_000_000_000)
    return own


@pytest.mark.parametrize(
    ("kind", "told"),
    [
        ("pipe", "is not an ordinary file"),
        ("folder", "is a folder, a file is needed"),
        ("broken link", "is a link that leads nowhere"),
        ("film", "is too large"),
    ],
)
def test_what_is_no_profile_in_a_folder_is_told_and_not_read(kind: str, told: str, tmp_path: Path) -> None:
    own = folder_of(kind, tmp_path)
    assert told in refused("species", "show", "corpus-exempla", "--species", str(own))
    checked = refused("species", "check", str(own / "corpus-exempla.yaml"))
    assert ("no profile is there" if kind == "folder" else told) in checked
    # A plan for another species does not need it.
    assert CliRunner().invoke(main, ["check", FIRST, "--species", str(own)]).exit_code == 0
    # Nor does a hint for a misspelt one.
    plan = tmp_path / "plan.yaml"
    plan.write_text("format: 1\nclutches: [{species: corny snake}]\n")
    assert "there is no profile of 'corny snake'" in refused("check", str(plan), "--species", str(own))


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs /dev/full")
@pytest.mark.parametrize("arguments", [["check", FIRST], ["species", "list"], ["--help"]], ids=" ".join)
def test_a_full_disk_behind_a_redirect_is_one_line(arguments: list[str]) -> None:
    with open("/dev/full", "w") as full:
        result = subprocess.run(
            [sys.executable, "-m", "advisor", *arguments],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            cwd=ROOT,
        )
    assert result.returncode == 2
    assert result.stderr.splitlines() == [
        "No space left on device. Check the name, the folder and the space on the disk."
    ]


@pytest.mark.parametrize("arguments", [["new", "a.yaml"], ["species", "new", "corpus-exempla"]], ids=" ".join)
def test_questions_need_an_open_standard_input(arguments: list[str], tmp_path: Path) -> None:
    result = subprocess.run(
        ["sh", "-c", '"$0" -m advisor "$@" <&-', sys.executable, *arguments],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert result.returncode == 2
    assert result.stderr.startswith("your answers: standard input is closed")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("links", [True, False])
def test_of_two_writers_of_a_new_file_one_is_told(
    links: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if not links:

        def no_link(*_: object) -> None:
            raise PermissionError("no hard links here")

        monkeypatch.setattr(os, "link", no_link)
    target = tmp_path / "plan.yaml"
    together = threading.Barrier(8)
    really = os.chmod

    def wait(*arguments: object) -> None:
        really(*arguments)  # type: ignore[arg-type]
        together.wait()  # all have looked whether the file exists, none has put its own there

    monkeypatch.setattr(os, "chmod", wait)
    told: list[str] = []

    def write(number: int) -> None:
        try:
            write_file(target, f"writer {number}")
        except InputError as error:
            told.append(error.problems[0].message)

    writers = [threading.Thread(target=write, args=(number,)) for number in range(8)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert told == ["exists since a moment ago; nothing was written"] * 7
    assert target.read_text().startswith("writer ")
    assert list(tmp_path.iterdir()) == [target]


def test_force_keeps_the_mode_of_the_file(tmp_path: Path) -> None:
    target = tmp_path / "plan.yaml"
    write_file(target, "old")
    target.chmod(0o600)
    write_file(target, "new", force=True)
    assert (target.read_text(), target.stat().st_mode & 0o777) == ("new", 0o600)


def test_force_never_deletes_a_folder(tmp_path: Path) -> None:
    kept = tmp_path / "night" / "1-talk.html" / "kept.txt"
    kept.parent.mkdir(parents=True)
    kept.write_text("mine")
    with pytest.raises(InputError) as caught:
        write_folder(tmp_path / "night", {"1-talk.html": "talk", "2-set-ups.html": "x"}, force=True)
    assert "is a folder" in caught.value.problems[0].message
    assert kept.read_text() == "mine"
    assert [path.name for path in (tmp_path / "night").iterdir()] == ["1-talk.html"]


@pytest.mark.parametrize("name", ["list.HTML", "list.Md"])
def test_endings_are_read_in_capitals_too(name: str, tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["checklist", FIRST, "-o", str(tmp_path / name)])
    assert result.exit_code == 0, result.stderr
    assert (tmp_path / name).read_text("utf-8").startswith("<!" if name.endswith("HTML") else "#")
