"""Reading and checking profiles is quick: limits of the issue, in processor time so that a busy machine does not matter."""

import time
from pathlib import Path

import pytest
from click.testing import CliRunner

from advisor.cli import main
from advisor.reading.names import profile_files
from advisor.reading.species_build import build_species
from advisor.reading.yaml_text import read_yaml

LARGEST = sorted(profile_files().values(), key=lambda path: path.stat().st_size)[-3:]


@pytest.mark.parametrize("path", LARGEST, ids=lambda path: path.stem)
def test_one_profile_is_read_in_under_15_milliseconds(path: Path) -> None:
    # Asked for in a warm process; the largest took 8 ms where this was written.
    best = 1.0
    for _ in range(7):
        start = time.process_time()
        build_species(read_yaml(path))
        best = min(best, time.process_time() - start)
    assert best < 0.015


def test_all_profiles_are_checked_in_under_5_seconds() -> None:
    # Took 0.7 s where this was written.
    start = time.process_time()
    result = CliRunner().invoke(main, ["species", "check"])
    assert time.process_time() - start < 5
    assert result.exit_code == 0
    assert len(result.stdout.splitlines()) == len(profile_files()) + 1
