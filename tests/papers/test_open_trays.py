"""No paper of a plan with open trays alone speaks of egg-box lids; the papers of lidded boxes do."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from advisor.cli import main
from tests.support import ROOT

SOUND = ROOT / "tests/setups/sound"
PAPERS = (("checklist", "--long"), ("cards",), ("calendar",))
# What is no lid of an egg box: that of the outer box, and that there is none.
OTHER_LIDS = re.compile(r"outer lid|lid of the outer box|without lids|open trays?", re.IGNORECASE)


def lids_in(plan: str, paper: tuple[str, ...], tmp_path: Path) -> list[str]:
    """The lines of a paper that name a lid of an egg box."""
    command, *options = paper
    path = tmp_path / ("paper.ics" if command == "calendar" else "paper.md")
    args = [command, str(SOUND / f"{plan}.yaml"), *options, "-o", str(path)]
    args += ["--date", "2026-11-26"]
    result = CliRunner().invoke(main, args)
    assert result.exit_code == 0, result.output
    text = OTHER_LIDS.sub("", path.read_text("utf-8").replace("\r\n ", ""))
    return [line for line in text.splitlines() if re.search(r"\blids?\b", line, re.IGNORECASE)]


@pytest.mark.parametrize("paper", PAPERS, ids=lambda paper: paper[0])
def test_papers_of_open_trays_name_no_lid(paper: tuple[str, ...], tmp_path: Path) -> None:
    assert lids_in("open-trays-over-bath", paper, tmp_path) == []


@pytest.mark.parametrize("paper", PAPERS[:2], ids=lambda paper: paper[0])
def test_papers_of_lidded_boxes_name_them(paper: tuple[str, ...], tmp_path: Path) -> None:
    assert lids_in("both-sides", paper, tmp_path)


@pytest.mark.parametrize(("plan", "told"), [("open-trays-over-bath", True), ("both-sides", False)])
def test_a_mesh_is_asked_for_where_hatchlings_can_climb_out(plan: str, told: bool, tmp_path: Path) -> None:
    path = tmp_path / "paper.md"
    args = ["checklist", str(SOUND / f"{plan}.yaml"), "--long", "-o", str(path), "--date", "2026-11-26"]
    assert CliRunner().invoke(main, args).exit_code == 0
    assert ("fine mesh over each open tray" in path.read_text("utf-8")) == told
