"""Quick commands stay quick: which modules a fresh process loads (counting modules is steadier than milliseconds)."""

import re
import subprocess
import sys

import pytest

from tests.support import ROOT

HEAVY = (
    "flask",
    "waitress",
    "werkzeug",
    "jsonschema",
    "jinja2",
    "markdown_it",
    "icalendar",
    "numpy",
    "importlib.metadata",
    "http",
)


@pytest.mark.parametrize(
    "command",
    [
        ["--help"],
        ["--version"],
        ["rules", "list"],
        ["species", "list"],
        ["check", "--help"],
        ["new", "--help"],
        ["lesson", "--help"],
        ["serve", "--help"],
        ["calendar", "--help"],
    ],
)
def test_quick_command_loads_nothing_heavy(command: list[str]) -> None:
    script = (
        "import sys\nfrom advisor.cli import main\n"
        f"try: main({command!r})\nexcept SystemExit: pass\n"
        "print(' '.join(sorted(sys.modules)), file=sys.stderr)"
    )
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, cwd=ROOT, check=True)
    loaded = run.stderr.split()
    assert [name for name in HEAVY if name in loaded] == []
    assert "yaml" not in loaded


def test_a_check_loads_nothing_of_other_commands() -> None:
    script = (
        "import sys\nfrom advisor.cli import main\n"
        "try: main(['check', 'examples/first-season.yaml'])\nexcept SystemExit: pass\n"
        "print(' '.join(sorted(sys.modules)), file=sys.stderr)"
    )
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, cwd=ROOT, check=True)
    loaded = set(run.stderr.split())
    assert not {"jinja2", "markdown_it", "icalendar", "numpy", "statistics"} & loaded
    # Of the commands only its own; what follows a log or a programme stays shut where there is none.
    commands = {name for name in loaded if name.startswith("advisor.commands.")}
    assert commands == {"advisor.commands.check", "advisor.commands.common"}
    assert not [
        name for name in loaded if name.startswith(("advisor.forecast.follow", "advisor.forecast.trial"))
    ]


def test_a_check_never_looks_through_its_memory() -> None:
    # What python looks through for garbage; the 58,000 objects of a check, looked through as it ended, took a fifth of its time.
    script = "import gc, sys\ngc.set_debug(gc.DEBUG_STATS)\nsys.argv = ['advisor', 'check', 'examples/first-season.yaml']\nfrom advisor.__main__ import main\nmain()"
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, cwd=ROOT, check=True)
    looked = re.findall(r"objects in each generation: (\d+) (\d+) (\d+)", run.stderr)
    assert looked
    assert max(sum(map(int, generations)) for generations in looked) < 20_000
