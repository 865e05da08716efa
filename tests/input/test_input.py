"""Broken files: each YAML file here has its exact messages in the .txt file of the same name (written and read by hand).

`python -m pytest tests/input --update-messages` rewrites the .txt files; read the difference before committing it.
"""

from pathlib import Path

import pytest
from click.testing import CliRunner

from advisor.cli import main
from advisor.reading.file_bytes import LARGEST_FILE
from advisor.reading.problems import InputError
from advisor.reading.yaml_text import LOADER, PURE_LOADER, parse_yaml

HERE = Path(__file__).parent
FILES = sorted(HERE.glob("*.yaml"))


def run(path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[int, str, str]:
    monkeypatch.chdir(path.parent)
    result = CliRunner().invoke(main, ["check", path.name])
    return result.exit_code, result.stdout, result.stderr


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_broken_file_gives_its_messages(
    path: Path, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    status, printed, messages = run(path, monkeypatch)
    assert (status, printed) == (2, "")
    expected = path.with_suffix(".txt")
    if request.config.getoption("--update-messages"):
        expected.write_text(messages, encoding="utf-8")
    assert messages == expected.read_text(encoding="utf-8")


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_message_names_a_line_that_exists(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    lines = path.read_bytes().count(b"\n") + 1
    for message in run(path, monkeypatch)[2].splitlines():
        if message.startswith(path.name):
            assert 1 <= int(message.split(":")[1]) <= lines


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_both_yaml_loaders_agree(path: Path) -> None:
    def outcome(loader: object) -> object:
        try:
            return parse_yaml(path.read_bytes(), path.name, loader).data
        except InputError as error:
            return error.problems

    assert outcome(LOADER) == outcome(PURE_LOADER)


def test_missing_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    status, printed, messages = run(tmp_path / "none.yaml", monkeypatch)
    assert (status, printed) == (2, "")
    assert messages.startswith("none.yaml: there is no such file")


def test_folder_instead_of_a_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "folder").mkdir()
    status, _, messages = run(tmp_path / "folder", monkeypatch)
    assert status == 2
    assert "is a folder without plan files" in messages
    result = CliRunner().invoke(main, ["checklist", "folder"])
    assert result.exit_code == 2
    assert "is a folder, a file is needed" in result.stderr


def test_file_that_is_too_large(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    large = tmp_path / "large.yaml"
    large.write_text("format: 1\n" + "# x\n" * (LARGEST_FILE // 4))
    status, _, messages = run(large, monkeypatch)
    assert status == 2
    assert "is too large" in messages


def test_no_message_carries_control_characters(monkeypatch: pytest.MonkeyPatch) -> None:
    for path in FILES:
        messages = run(path, monkeypatch)[2]
        assert all(character.isprintable() or character == "\n" for character in messages), path
