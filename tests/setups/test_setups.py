"""Judges whole set-ups by the real command: sound ones, and ones with one planted fault each.

sound/ holds complete plans as keepers write them. faults.yaml is the table of planted faults. A row names the sound `plan`,
the `change` to its text (old text: new text; where the old text stands more than once, all of it changes), the `rule`
that has to find the fault and the `level`. The finding has to point at the line that was changed: the first line in
which the two texts differ. A row where the rule points elsewhere on purpose says so with `line_of`, a piece of text
that stands in that line only. `also` names a rule that tells another harm of the same fault, with the reason.
`species_dir` names a folder beside this file with profiles of invented species, for what no shipped profile says.
"""

import json
import re
from dataclasses import dataclass
from functools import cache
from itertools import zip_longest
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner

from advisor.cli import main
from advisor.model.findings import FIX, STOP
from advisor.rules import RULE_IDS
from advisor.rules.engine import ENGINE_RULES

HERE = Path(__file__).parent
SOUND = {path.stem: path for path in sorted((HERE / "sound").glob("*.yaml"))}
ROWS = yaml.load((HERE / "faults.yaml").read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
BAD = (STOP, FIX)
MOST_HIDDEN = 13  # the same of a bought incubator of which inside size, watts and display are known
MOST_NOT_JUDGED = 6  # rules that may stay open in a sound plan, all for want of a figure that nobody knows


@dataclass(frozen=True, slots=True)
class Told:
    """What the report says of one finding."""

    rule: str
    level: str
    line: int


def report_of(path: Path, species_dir: Path | None = None) -> Any:
    """The report on a plan file, as `advisor check --json` prints it."""
    own = ["--species", str(species_dir)] if species_dir else []
    result = CliRunner().invoke(main, ["check", str(path), "--json", *own])
    assert result.exit_code in (0, 1), result.output
    report = json.loads(result.stdout)
    for entry in report["findings"]:
        assert not re.search(r"  | \.|\.\.|None|nan", f"{entry['message']} {entry['remedy']}"), entry
    return report


def told_in(report: Any) -> set[Told]:
    return {Told(entry["rule"], entry["severity"], entry["line"]) for entry in report["findings"]}


@cache
def sound_report(plan: str) -> Any:
    return report_of(SOUND[plan])


def planted(row: dict[str, Any]) -> str:
    """The text of the row's sound plan with its fault planted."""
    text = SOUND[row["plan"]].read_text(encoding="utf-8")
    for old, new in row["change"].items():
        assert old in text, f"{row['plan']} does not hold: {old}"
        text = text.replace(old, new)
    return text


def expected_line(row: dict[str, Any], faulty: str) -> int:
    lines = faulty.splitlines()
    if "line_of" in row:
        found = [number for number, line in enumerate(lines, start=1) if row["line_of"] in line]
        assert len(found) == 1, f"{row['line_of']} stands in lines {found}"
        return found[0]
    sound = SOUND[row["plan"]].read_text(encoding="utf-8").splitlines()
    pairs = enumerate(zip_longest(sound, lines), start=1)
    return next(number for number, (before, after) in pairs if before != after)


@pytest.mark.parametrize("plan", SOUND)
def test_sound_set_up_has_nothing_to_put_right(plan: str) -> None:
    report = sound_report(plan)
    assert [entry for entry in report["findings"] if entry["severity"] in BAD] == []


@pytest.mark.parametrize("plan", SOUND)
def test_sound_set_up_is_told_in_full(plan: str) -> None:
    """What stays open waits for a figure of the species or the medium that nobody knows, never for an entry of the plan."""
    open_rules = sound_report(plan)["not_judged"]
    hidden = "kind: ready-built" in SOUND[plan].read_text(
        encoding="utf-8"
    )  # its owner cannot know, and is told what to measure
    assert len({entry["rule"] for entry in open_rules}) <= (MOST_HIDDEN if hidden else MOST_NOT_JUDGED)
    needs = [need for entry in open_rules for need in entry["needs"]]
    nobody_knows = ("species/", "no measured curve", *(["this ready-built box"] if hidden else []))
    assert [need for need in needs if not any(words in need for words in nobody_knows)] == []


@pytest.mark.parametrize("row", ROWS, ids=[f"{row['rule']}: {row['plan']}" for row in ROWS])
def test_planted_fault_is_found_at_its_line_and_nothing_else(row: dict[str, Any], tmp_path: Path) -> None:
    faulty = planted(row)
    path = tmp_path / "plan.yaml"
    path.write_text(faulty, encoding="utf-8")
    told = told_in(report_of(path, HERE / row["species_dir"] if "species_dir" in row else None))
    wanted = Told(row["rule"], row["level"], expected_line(row, faulty))
    assert wanted in told
    before = {(entry.rule, entry.level) for entry in told_in(sound_report(row["plan"]))}
    assert (wanted.rule, wanted.level) not in before, "the sound plan has this fault already"
    excused = row.get("also", {})
    others = {entry for entry in told if entry.level in BAD and entry.rule not in excused} - {wanted}
    assert others == set()
    assert set(excused) <= {entry.rule for entry in told if entry.level in BAD}


def test_every_rule_has_a_set_up_with_its_fault() -> None:
    every_rule = (*RULE_IDS, *(rule.id for rule in ENGINE_RULES))
    assert {row["rule"] for row in ROWS} == set(every_rule)


def test_faults_are_spread_over_the_sound_set_ups() -> None:
    assert {row["plan"] for row in ROWS} == set(SOUND)
