"""Broken profiles: each YAML file in broken/ has its exact messages in the .txt file of the same name (read by hand).

`python -m pytest tests/species --update-messages` rewrites the .txt files; read the difference before committing it.
"""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from advisor.cli import main
from tests.support import ROOT

HERE = Path(__file__).parent / "broken"
FILES = sorted(HERE.glob("*.yaml"))
LINTS = ROOT / "advisor" / "reading" / "species_lints.py"


def check(monkeypatch: pytest.MonkeyPatch, folder: Path, *names: str) -> Result:
    monkeypatch.chdir(folder)
    return CliRunner().invoke(main, ["species", "check", *names])


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_broken_profile_gives_its_messages(
    path: Path, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    result = check(monkeypatch, HERE, path.name)
    assert (result.exit_code, result.stdout) == (2, "")
    expected = path.with_suffix(".txt")
    if request.config.getoption("--update-messages"):
        expected.write_text(result.stderr, encoding="utf-8")
    assert result.stderr == expected.read_text(encoding="utf-8")


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_message_names_its_line_and_what_to_do(path: Path) -> None:
    shown = path.with_suffix(".txt").read_text("utf-8").splitlines()
    lines = path.read_text("utf-8").splitlines()
    told = [line for line in shown if line.startswith(path.name)]
    assert told and len(shown) == 2 * len(told), "each message has one hint below it"
    for line in told:
        assert 1 <= int(line.split(":")[1]) <= len(lines)
    assert all(hint.startswith("    ") and hint.strip() for hint in shown[1::2])


def test_every_lint_has_a_broken_profile() -> None:
    # What the lints say stands in their module between quotes; each sentence's fixed part occurs in some .txt file.
    told = "\n".join(path.with_suffix(".txt").read_text("utf-8") for path in FILES)
    for part in (
        "differs from the file name",
        "is not the scientific name",
        "low is above high",
        "is not inside tolerated",
        "cuts into the band that starts",
        "cuts into the band that ends",
        "is not in species/sources.yaml",
        "in the same source",
        "yet pause is none",
        "is the same as",
        "not a whole number",
        "yet the eggs counted give",
        "`from` is above `to`",
        "does not exist",
        "yet eggs.clutches_per_year tells of one clutch",
        "more than a year",
        "a keeper's record lacks",
    ):
        assert part in LINTS.read_text("utf-8") and part in told
    problems = LINTS.read_text("utf-8").count("yield document.problem(")
    # Two more are faults of a bibliography, below.
    assert problems == 17 + 2


def test_the_same_profile_without_its_fault_passes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The broken files are broken only by their fault: mended, they pass."""
    text = (HERE / "lacerta-warmer-takes-longer.yaml").read_text("utf-8")
    (tmp_path / "lacerta-warmer-takes-longer.yaml").write_text(text.replace("days: 62", "days: 48"), "utf-8")
    result = check(monkeypatch, tmp_path, "lacerta-warmer-takes-longer.yaml")
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.endswith("Lacerta warmer takes longer, no fault found\n")


def test_a_note_explains_what_would_be_a_fault(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    text = (HERE / "lacerta-warmer-takes-longer.yaml").read_text("utf-8")
    noted = text.replace("days: 62, eggs: 20, sources", 'days: 62, eggs: 20, note: "Dry medium.", sources')
    (tmp_path / "lacerta-warmer-takes-longer.yaml").write_text(noted, "utf-8")
    assert check(monkeypatch, tmp_path, "lacerta-warmer-takes-longer.yaml").exit_code == 0


def test_clutches_of_two_keepers_may_disagree(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    text = (HERE / "lacerta-warmer-takes-longer.yaml").read_text("utf-8")
    name = "lacerta-warmer-takes-longer.yaml"
    clutches = re.sub(
        r"sources: \[practice\]}(?=\n(?:  - \{at|pause))",
        "sources: [keepers-record], group: Box of 2027}",
        text,
    )
    assert clutches.count("keepers-record") == 2
    (tmp_path / name).write_text(clutches, "utf-8")
    assert "in the same source" in check(monkeypatch, tmp_path, name).stderr
    (tmp_path / name).write_text(clutches.replace("Box of 2027", "Box of 2028", 1), "utf-8")
    assert check(monkeypatch, tmp_path, name).exit_code == 0


# --- Bibliographies of one's own ---

STUDY = 'format: 1\nsources:\n  nobody-1999:\n    cite: "Nobody 1999, a study that does not exist"\n    known: published\n'


def own_folder(tmp_path: Path, bibliography: str) -> Path:
    text = (HERE / "lacerta-source-unknown.yaml").read_text("utf-8")
    (tmp_path / "lacerta-source-unknown.yaml").write_text(text, "utf-8")
    (tmp_path / "sources.yaml").write_text(bibliography, "utf-8")
    return tmp_path


def test_a_bibliography_beside_a_profile_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    result = check(monkeypatch, own_folder(tmp_path, STUDY), ".")
    assert (result.exit_code, result.stderr) == (0, "")
    assert "sources.yaml: 1 sources, no fault found" in result.stdout
    shown = CliRunner().invoke(
        main, ["species", "show", "lacerta-source-unknown", "--species", str(tmp_path)]
    )
    assert "[published: nobody-1999]" in shown.stdout
    assert "Nobody 1999, a study that does not exist" in shown.stdout


@pytest.mark.parametrize(
    ("bibliography", "message"),
    [
        (
            STUDY + '  another-1998: {cite: "Another 1998", known: published}\n',
            "sources.yaml:6:3: the key 'another-1998' stands after 'nobody-1999'",
        ),
        (
            STUDY + '  zealot-2000: {cite: "Zealot 2000", known: published, via: nowhere-2001}\n',
            "sources.yaml:6:56: 'zealot-2000' was read through 'nowhere-2001', which is not in the bibliography",
        ),
        (
            STUDY.replace("known: published", "known: heard"),
            "sources.yaml:5:5: sources.nobody-1999.known: 'heard'",
        ),
    ],
    ids=["order", "via", "shape"],
)
def test_a_faulty_bibliography_is_told(
    bibliography: str, message: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    result = check(monkeypatch, own_folder(tmp_path, bibliography), "sources.yaml")
    assert result.exit_code == 2
    assert message in result.stderr


def test_a_folder_without_profiles_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert check(monkeypatch, tmp_path, ".").exit_code == 2
