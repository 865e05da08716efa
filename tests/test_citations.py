"""Nothing cites a document that isn't in the project: a figure names what was published, or shows its arithmetic."""

import re
import subprocess

from tests.support import ROOT

# Ways to point at notes that no reader has.
ABSENT = re.compile(
    r"\bfacts\s+\d|heat\s+facts|facts\s+on\s+\w|worked\s+value|fact\s+sheet|papers'\s+brief|design\s+section|\.{2}/shared",
    re.I,
)
KINDS = (".py", ".yaml", ".md", ".html", ".json", ".toml")


def cited(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines() if ABSENT.search(line)]


def test_no_file_cites_what_is_not_there() -> None:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    paths = [
        ROOT / name
        for name in listed.splitlines()
        if name.endswith(KINDS) and name != "tests/test_citations.py"
    ]
    found = {
        str(path.relative_to(ROOT)): cited(path.read_text("utf-8", errors="replace"))
        for path in paths
        if path.exists()
    }
    assert len(found) > 300
    assert {name: lines for name, lines in found.items() if lines} == {}


def test_such_a_citation_is_found() -> None:
    notes, value = " ".join(("# Heat, facts", "9: never")), " ".join(("b = 2  # worked value", "e1"))
    assert cited(f"a = 1\n{notes}\n{value}\n") == [notes, value]
    assert cited("# By hand: 2 + 2 = 4; the facts that a keeper needs\n") == []
