"""A few drawn command lines and visits to the page, and that the watch over them sees what it is there to see.

More of them: `python -m tests.fuzz.run`.
"""

import random
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from advisor.cli import main
from tests.fuzz.commands import COMMANDS, drawn_line, live_in, try_command
from tests.fuzz.pages import routes, try_page
from tests.fuzz.yard import LIVE, yard
from tests.support import ROOT

EXAMPLES = ROOT / "examples"
PLAN = (EXAMPLES / "first-season.yaml").read_bytes()
LOG = ("plan.yaml", "log.csv", "--sensor", "T1=egg box medium", "--sensor", "T2=room")


@pytest.mark.parametrize("seed", range(12))
def test_no_drawn_line_ends_in_a_fault(seed: int) -> None:
    try_command(b"# %d\n%s" % (seed, PLAN))


@pytest.mark.parametrize("seed", range(8))
def test_no_drawn_visit_ends_in_a_fault(seed: int) -> None:
    try_page(b"# %d\n%s" % (seed, PLAN))


def test_every_command_every_option_and_every_route_is_drawn() -> None:
    lines = [drawn_line(random.Random(seed)) for seed in range(3000)]
    for way, command in COMMANDS.items():
        used = {word for line in lines if tuple(line[: len(way)]) == way for word in line}
        for one in command.params:
            assert used & set(one.opts) or one.param_type_name == "argument", (way, one.opts)
    assert {rule for rule, _, _ in routes()} > {
        "/",
        "/plans/<name>/trial",
        "/plans/<name>/undo",
        "/club-night",
    }


def test_the_watch_sees_writing_outside_and_markup_that_lives(tmp_path: Path) -> None:
    with (
        pytest.raises(RuntimeError, match=r"outside of the folder: \['open .*secret.txt"),
        yard(PLAN, random.Random(1)),
    ):
        (tmp_path / "secret.txt").write_text("x", "utf-8")
    with yard(PLAN, random.Random(1)) as home:
        (home / "inside.txt").write_text("x", "utf-8")
    assert (
        live_in(f"<p title='{LIVE}'>") and live_in(f"<p>{LIVE}</p>") and live_in("<a href=' javascript:x'>")
    )
    assert not live_in("<p title='&lt;zz-live onzz=1&gt;'>&lt;script&gt;zz()&lt;/script&gt;</p>")


@pytest.mark.parametrize(
    "line",
    [
        ("trial", *LOG, "--write", "-o", "there.html"),
        ("trial", *LOG, "--write", "-o", "folder.html"),
        ("trial", *LOG, "--write", "-o", "new.html", "--date", "soon"),
        ("trial", *LOG, "--write", "-o", "new.txt"),
        ("follow", *LOG, "--calendar", "new.ics", "-o", "there.html"),
        ("follow", *LOG, "--calendar", "new.ics", "-o", "new.html", "--date", "soon"),
        ("follow", *LOG, "--calendar", "there.ics", "-o", "new.html"),
        ("follow", *LOG, "--calendar", "new.txt", "-o", "new.html"),
    ],
    ids=" ".join,
)
def test_what_cannot_be_written_in_the_end_is_refused_before_anything_is(
    line: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copy(EXAMPLES / "first-season.yaml", "plan.yaml")
    shutil.copy(EXAMPLES / "logs" / ("trial-run.csv" if line[0] == "trial" else "season.csv"), "log.csv")
    Path("there.html").write_text("mine", "utf-8")
    Path("there.ics").write_text("mine", "utf-8")
    Path("folder.html").mkdir()
    laid = Path("plan.yaml").read_text("utf-8").replace("laying: {", "laying: {laid_on: 2027-05-11} #")
    Path("plan.yaml").write_text(laid, "utf-8")
    before = {path: path.read_bytes() for path in Path().iterdir() if path.is_file()}
    result = CliRunner().invoke(main, list(line))
    assert result.exit_code == 2, result.output
    assert {path: path.read_bytes() for path in Path().iterdir() if path.is_file()} == before
