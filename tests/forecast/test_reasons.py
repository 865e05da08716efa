"""Reasons for what is not known are words for keepers, whatever a formula answered."""

import ast
import re
from pathlib import Path

import pytest

from advisor import forecast
from advisor.forecast.edge import reason_of
from advisor.formulas.air.moist_air import NoSolution, check_range
from advisor.model.figures import Unknown
from advisor.rules import rule_modules
from advisor.rules.engine import judge
from tests.support import ROOT, situation_of

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


def test_heat_beyond_the_formulas_leaves_all_of_it_untold_and_every_rule_answers(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def refuse(*_: object) -> None:
        raise NoSolution("conductance is 1e9 W/K: must be at most 1e6")

    monkeypatch.setattr(forecast, "forecast_heat", refuse)
    for control in (
        {"set_to": "28.7 °C"},
        {"programme": {"day": "28.7 °C", "night": "26.3 °C", "hours": "11"}},
    ):
        situation = situation_of({"control": control})
        heat = situation.forecast.heat
        assert isinstance(heat.watts_needed, Unknown)
        nights = "programme" in control
        assert isinstance(heat.night_reached, Unknown) is isinstance(heat.day_reached, Unknown) is nights
        assert judge(situation, rule_modules()).not_judged
