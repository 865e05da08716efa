"""The wheel: built, installed into an empty folder, run from elsewhere; its data files are exactly the tracked ones."""

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from tests.support import ROOT

pytestmark = pytest.mark.slow


def run(*command: str, cwd: Path = ROOT, **options: str) -> str:
    done = subprocess.run(command, capture_output=True, text=True, cwd=cwd, env=options or None)
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    run(
        sys.executable,
        "-m",
        "pip",
        "wheel",
        "-q",
        "--no-deps",
        "--no-build-isolation",
        "-w",
        str(folder),
        ".",
    )
    (built,) = folder.glob("clutch_advisor-*.whl")
    return built


def test_wheel_holds_exactly_the_tracked_data_files(wheel: Path) -> None:
    tracked = set(run("git", "ls-files", "species", "schema", "examples").split())
    with zipfile.ZipFile(wheel) as archive:
        packed = {
            name.removeprefix("advisor/_data/")
            for name in archive.namelist()
            if name.startswith("advisor/_data/")
        }
        for name in tracked:
            assert archive.read(f"advisor/_data/{name}") == (ROOT / name).read_bytes()
    assert packed == tracked


def test_installed_wheel_runs_from_elsewhere(wheel: Path, tmp_path: Path) -> None:
    target = tmp_path / "installed"
    run(sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--target", str(target), str(wheel))
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "plan.yaml").write_text(
        (ROOT / "examples" / "first-season.yaml").read_text("utf-8"), "utf-8"
    )
    listed = run(sys.executable, "-m", "advisor", "species", "list", cwd=elsewhere, PYTHONPATH=str(target))
    assert "pantherophis-guttatus" in listed
    where = run(
        sys.executable,
        "-c",
        "from advisor.paths import data_folder; print(data_folder())",
        cwd=elsewhere,
        PYTHONPATH=str(target),
    )
    assert Path(where.strip()) == target / "advisor" / "_data"
    assert "Verdict" in run(
        sys.executable, "-m", "advisor", "check", "plan.yaml", cwd=elsewhere, PYTHONPATH=str(target)
    )


def test_the_checkout_reads_its_own_folders() -> None:
    assert not (ROOT / "advisor" / "_data").exists()
    where = run(sys.executable, "-c", "from advisor.paths import data_folder; print(data_folder())")
    assert Path(where.strip()) == ROOT
