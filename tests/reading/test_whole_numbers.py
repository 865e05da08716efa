"""Whole numbers are the same however they are typed: 2, 2.0 and 2e0."""

import re
from pathlib import Path

import pytest

from advisor.assess import Assessment, situation_for
from advisor.reading.plan import read_document
from advisor.reading.yaml_text import parse_yaml
from advisor.report.screen import report_lines
from advisor.rules import rule_modules
from advisor.rules.engine import judge
from tests.support import ROOT

EXAMPLES = sorted((ROOT / "examples").glob("*.yaml"))
# A whole number that is an entry or a list item: not a part of a size, a date or a temperature.
WHOLE = re.compile(r"(?<=: )(\d+)(?=[,}\]\n]|$)", re.MULTILINE)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_plan_with_whole_numbers_as_decimals_says_the_same(path: Path) -> None:
    text = path.read_text("utf-8")
    decimal, changed = WHOLE.subn(r"\1.0", text)
    assert changed >= 1

    def told(text: str) -> list[str]:
        plan, document = read_document(parse_yaml(text.encode(), "plan.yaml"))
        situation = situation_for(plan)
        report = judge(situation, rule_modules())
        return [line.text for line in report_lines(Assessment(document, situation, report))]

    assert told(decimal) == told(text)
