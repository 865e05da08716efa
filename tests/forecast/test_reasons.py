"""Reasons for what is not known are words for keepers, whatever a formula answered."""

import ast
import re
from pathlib import Path

import pytest

from advisor.forecast.edge import reason_of
from advisor.formulas.air.moist_air import check_range
from tests.support import ROOT

FORMULAS = [*(ROOT / "advisor" / "formulas").rglob("*.py")]


def said_by_formulas() -> list[str]:
    """What our formulas say of a bad input, each value written as an awkward number."""
    texts = [
        "gain at hatching is 9.14679 : must be from -0.9 to 4",
        "power is 1.5e+06 W: must be from 0.001 to 10000 W",
    ]
    for path in FORMULAS:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if not (
                isinstance(node, ast.Call)
                and getattr(node.func, "id", "") in ("ValueError", "NoSolution")
                and node.args
            ):
                continue
            parts = node.args[0].values if isinstance(node.args[0], ast.JoinedStr) else [node.args[0]]
            texts.append(
                "".join(str(part.value) if isinstance(part, ast.Constant) else "9.14679" for part in parts)
            )
    return [text for text in texts if "must" in text]


def test_no_refusal_reaches_the_keeper_as_it_stands() -> None:
    texts = said_by_formulas()
    assert len(texts) > 30
    for text in texts:
        told = reason_of(ValueError(text))
        assert "must" not in told, text
        assert not re.search(r" is \S*\d|e\+0", told), (text, told)
        assert told[:1] == told[:1].lower()


def test_a_refused_gain_is_told_in_words() -> None:
    with pytest.raises(ValueError, match="must be from") as refused:
        check_range("gain at hatching", 9.14679, -0.9, 4.0, "")
    assert reason_of(refused.value) == "what the eggs gain until they hatch: too large for our formulas"


def test_a_reason_of_our_own_stays() -> None:
    assert reason_of(ValueError("The box never warms up.")) == "the box never warms up"


@pytest.mark.parametrize(
    "path", sorted((ROOT / "advisor" / "forecast").rglob("*.py")), ids=lambda path: path.stem
)
def test_no_forecast_hands_on_a_raw_error(path: Path) -> None:
    assert "Unknown(str(" not in path.read_text("utf-8")
