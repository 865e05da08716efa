"""Docs in step with the code: generated pages, README runs, example plans, links."""

import importlib.util
import re
import shlex
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from advisor.assess import assess
from advisor.cli import main
from tests.support import ROOT

BY_HAND = [
    ROOT / "README.md",
    ROOT / "DEVELOPERS.md",
    *sorted((ROOT / "docs").glob("*.md")),
    ROOT / "species" / "README.md",
]
EXAMPLES = sorted((ROOT / "examples").glob("*.yaml"))


def test_generated_pages_say_what_the_code_says() -> None:
    spec = importlib.util.spec_from_file_location("generate", ROOT / "docs" / "generate.py")
    assert spec is not None and spec.loader is not None
    generate = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(generate)
    behind = generate.differences()
    assert not behind, "\n".join(behind[:30]) + "\nRun: python docs/generate.py --write"


def readme_runs() -> list[tuple[str, str]]:
    blocks = re.findall(
        r"```console\n\$ advisor (.*?)\n(.*?)```", (ROOT / "README.md").read_text("utf-8"), re.DOTALL
    )
    assert blocks
    return blocks


@pytest.mark.parametrize(("command", "shown"), readme_runs(), ids=[command for command, _ in readme_runs()])
def test_readme_shows_the_real_output(command: str, shown: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    assert CliRunner().invoke(main, shlex.split(command)).stdout == shown


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_example_fires_just_the_rules_it_promises(path: Path) -> None:
    first = path.read_text("utf-8").splitlines()[0]
    promised = re.fullmatch(r"# Shows: .*\. Fires: (.*)\.", first)
    assert promised, first
    rules = set() if promised[1] == "nothing" else set(promised[1].split(", "))
    assert {finding.rule for finding in assess(path).report.findings} == rules


def test_the_sound_example_has_at_most_notes_and_every_rule_judged() -> None:
    report = assess(ROOT / "examples" / "first-season.yaml").report
    assert report.verdict in ("clear", "note")
    assert report.not_judged == ()


def commands(command: click.Command, path: str) -> list[tuple[str, click.Command]]:
    found = [(path, command)]
    if isinstance(command, click.Group):
        for name, child in command.commands.items():
            found += commands(child, f"{path} {name}")
    return found


@pytest.mark.parametrize(("path", "command"), commands(main, "advisor"), ids=lambda value: str(value))
def test_every_command_and_option_has_help(path: str, command: click.Command) -> None:
    assert command.help
    assert all(option.help for option in command.params if isinstance(option, click.Option))


@pytest.mark.parametrize("page", BY_HAND, ids=lambda path: path.name)
def test_links_inside_the_project_lead_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", page.read_text("utf-8")):
        assert (page.parent / target).exists(), target


@pytest.mark.parametrize("page", BY_HAND, ids=lambda path: path.name)
def test_files_named_in_a_page_exist(page: Path) -> None:
    for name in re.findall(
        r"\b((?:advisor|species|schema|tests|examples|docs)/[\w./-]*\w)", page.read_text("utf-8")
    ):
        if not re.search(r"[A-Z]{3,}|your|own", name) or (ROOT / name).exists():
            assert (ROOT / name).exists() or "*" in name, name


@pytest.mark.parametrize(
    "command", re.findall(r"`python -m ([^`]+)`", (ROOT / "docs" / "evidence.md").read_text("utf-8"))
)
def test_every_check_of_the_evidence_can_be_repeated(command: str) -> None:
    module, *words = shlex.split(command)
    found = importlib.util.find_spec(module)
    assert found is not None and found.origin is not None
    own = Path(found.origin).read_text("utf-8")
    for word in words:
        if module == "pytest":
            assert word == "-q" or (ROOT / word).exists(), word
        else:
            assert not word.startswith("-") or f'"{word}"' in own, word
