"""What the terminal is: its encoding, its colours, its width. Nothing of it may stop an answer."""

import json
import os
import pty
import re
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from advisor.cli import main
from tests.support import ROOT

FIRST = ROOT / "examples" / "first-season.yaml"
TITLE = "孵化箱 für Ångström’s Ящерицы → 🦎"
ENCODINGS = ["ascii", "cp437", "cp850", "cp1252", "latin-1", "utf-8"]


def plan_with(folder: Path, title: str) -> Path:
    """A plan with a title, of a file whose name has it as well."""
    path = folder / "箱 🦎.yaml"
    path.write_text(re.sub(r"(?m)^title: .*$", f"title: {title}", FIRST.read_text("utf-8")), "utf-8")
    return path


@pytest.mark.parametrize("encoding", ENCODINGS)
@pytest.mark.parametrize(
    "command",
    [
        ("check", "PLAN"),
        ("check", "PLAN", "--numbers"),
        ("check", "PLAN", "--why", "profile-thin-evidence"),
        ("check", "PLAN", "PLAN"),
        ("check", "MISSING"),
        ("checklist", "PLAN"),
        ("checklist", "PLAN", "-o", "OUT.html"),
        ("cards", "PLAN", "-o", "OUT.md"),
        ("calendar", "PLAN", "-o", "OUT.ics"),
        ("species", "show", "corn snake"),
        ("species", "list"),
        ("species", "compare", "corn snake", "leopard gecko"),
        ("lesson", "-o", "OUT"),
        ("mix", "--ratio", "4:1"),
        ("weigh", "PLAN", "--box", "eggs", "--day", "20", "--mass", "612 g", "--tare", "90 g"),
    ],
)  # fmt: skip
def test_no_encoding_stops_an_answer(command: tuple[str, ...], encoding: str, tmp_path: Path) -> None:
    plan = plan_with(tmp_path, TITLE)
    names = {"PLAN": str(plan), "MISSING": str(tmp_path / "无.yaml")}
    words = [names.get(word, word.replace("OUT", str(tmp_path / "书 🦎"))) for word in command]
    result = CliRunner(charset=encoding).invoke(main, words)
    assert result.exit_code == (2 if "MISSING" in command else 0), result.stderr_bytes
    assert b"made a mistake" not in result.stderr_bytes
    # Click writes UTF-8 where it is told of plain ASCII, since that mostly means that nobody set a language.
    told = result.stdout_bytes.decode("utf-8" if encoding == "ascii" else encoding)
    assert ("Wrote" in told) == ("OUT" in command[-1])


@pytest.mark.parametrize("encoding", ENCODINGS)
def test_json_and_html_are_utf_8_whatever_the_terminal(encoding: str, tmp_path: Path) -> None:
    plan = plan_with(tmp_path, TITLE)
    runner = CliRunner(charset=encoding)
    one = json.loads(runner.invoke(main, ["check", str(plan), "--json"]).stdout_bytes.decode("utf-8"))
    both = json.loads(
        runner.invoke(main, ["check", str(plan), str(plan), "--json"]).stdout_bytes.decode("utf-8")
    )
    assert TITLE in json.dumps(one, ensure_ascii=False)
    assert len(both) == 2
    weigh = [
        "weigh",
        str(plan),
        "--box",
        "eggs",
        "--day",
        "20",
        "--mass",
        "612 g",
        "--tare",
        "90 g",
        "--json",
    ]
    assert json.loads(runner.invoke(main, weigh).stdout_bytes.decode("utf-8"))["box"] == "eggs"
    page = runner.invoke(main, ["species", "show", "corn snake", "--html"]).stdout_bytes.decode("utf-8")
    assert '<meta charset="utf-8">' in page.lower()
    target = tmp_path / "list.html"
    assert runner.invoke(main, ["checklist", str(plan), "-o", str(target)]).exit_code == 0
    assert TITLE in target.read_text("utf-8")


def at_a_terminal(columns: int, **environment: str) -> str:
    """What a check prints at a terminal of some columns."""
    ours, theirs = pty.openpty()
    known = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "TERM", "COLUMNS")}
    command = [sys.executable, "-m", "advisor", "check", str(ROOT / "examples" / "floor-heat.yaml")]
    given = {**known, "TERM": "xterm", "COLUMNS": str(columns), "PYTHONIOENCODING": "utf-8", **environment}
    run = subprocess.Popen(
        command, stdout=theirs, stderr=theirs, stdin=subprocess.DEVNULL, env=given, cwd=ROOT
    )
    os.close(theirs)
    told = b""
    try:
        while block := os.read(ours, 65536):
            told += block
    except OSError:  # the other end is closed
        pass
    run.wait()
    os.close(ours)
    return told.decode("utf-8").replace("\r\n", "\n")


@pytest.mark.parametrize("columns", [40, 60, 80, 96, 200])
def test_the_report_fits_the_terminal(columns: int) -> None:
    lines = at_a_terminal(columns, NO_COLOR="1").splitlines()
    longest = max(len(line) for line in lines)
    # A single word, such as the name of a rule, is not cut.
    for line in lines:
        assert len(line) <= min(columns, 96) or len(line.split()) == 1, line
    assert longest > 0.8 * min(columns, 96)


def test_colours_are_left_out_where_they_are_not_wanted() -> None:
    assert "\x1b[" in at_a_terminal(80)
    assert "\x1b[" in at_a_terminal(80, NO_COLOR="")
    assert "\x1b" not in at_a_terminal(80, NO_COLOR="1")
    assert "\x1b" not in at_a_terminal(80, TERM="dumb")
