"""Runs tests with the lowest versions that pyproject.toml allows, in an environment of its own.

`python -m tests.versions` takes the quick part, `--whole` all tests, `--newest` what a fresh environment gets, and `--with`
another Python. The lowest versions are for the lowest Python: later ones need later builds of some.
"""

import argparse
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

from tests.support import ROOT

QUICK = ("tests/reading", "tests/input", "tests/formulas", "tests/report", "tests/serve", "tests/test_cli.py", "tests/rules")  # fmt: skip


def needs(project: dict[str, object], lowest: bool) -> list[str]:
    """What to install for product, tests and build: as it is written, or each held at its floor."""
    project_table, build = project["project"], project["build-system"]
    assert isinstance(project_table, dict) and isinstance(build, dict)
    written = [
        *project_table["dependencies"],
        *project_table["optional-dependencies"]["test"],
        *build["requires"],
    ]
    return [one.replace(">=", "==") if lowest else one for one in written]


def run(python: str, lowest: bool, whole: bool) -> int:
    """Makes the environment and runs the tests in it; the status is that of pytest."""
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([python, "-m", "venv", folder], check=True)
        own = str(Path(folder) / ("Scripts" if sys.platform == "win32" else "bin") / "python")
        install = [own, "-m", "pip", "install", "-q", "--disable-pip-version-check"]
        wanted = needs(tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8")), lowest)
        subprocess.run([*install, *dict.fromkeys(wanted)], check=True)
        subprocess.run([*install, "--no-deps", "--no-build-isolation", str(ROOT)], check=True)
        what = [] if whole else ["-m", "not browser and not slow", *QUICK]
        return subprocess.run([own, "-m", "pytest", *what], cwd=ROOT, check=False).returncode


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--newest", action="store_true")
    parser.add_argument("--whole", action="store_true")
    parser.add_argument("--with", dest="python", default=sys.executable, metavar="PYTHON")
    asked = parser.parse_args()
    sys.exit(run(asked.python, not asked.newest, asked.whole))
