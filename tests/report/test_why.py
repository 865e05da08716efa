"""`--why` shows the formula that made the figure: each function it names was called while the plan was computed."""

import gc
import sys
from functools import _lru_cache_wrapper
from pathlib import Path
from types import FrameType
from typing import Any

import pytest
from click.testing import CliRunner

from advisor.assess import situation_for
from advisor.cli import main
from advisor.model.figures import Figure
from advisor.reading.plan import read_plan
from advisor.report.formulas import FORMULAS, formulas_of
from advisor.rules.engine import Situation
from tests.support import ROOT

PLANS = sorted((ROOT / "examples").glob("*.yaml")) + sorted(
    (ROOT / "tests" / "setups" / "sound").glob("*.yaml")
)
FIRST = (ROOT / "examples" / "first-season.yaml").read_text("utf-8")
FOLDER = str(ROOT / "advisor")
CHANGES = {
    "by mass": ("mix: {medium: 4, water: 1, by: volume}", "mix: {medium: 1, water: 1, by: mass}"),
    "on-off": ("thermostat: pulse", "thermostat: on-off\n  switching_band: 1 °C"),
    "two layers": ("tier: one", "tier: two"),
    "floor": ("place: lid", "place: floor"),
}


def traced(path: Path) -> tuple[Situation, set[str]]:
    """The computed plan, and every function of ours that was called for it, nothing being remembered from before."""
    plan, _ = read_plan(path)
    for known in gc.get_objects():
        if isinstance(known, _lru_cache_wrapper) and getattr(known, "__module__", "").startswith("advisor."):
            known.cache_clear()
    called: set[str] = set()

    def seen(frame: FrameType, event: str, _argument: Any) -> None:
        code = frame.f_code
        if event == "call" and code.co_filename.startswith(FOLDER):
            module = code.co_filename.removeprefix(FOLDER).removesuffix(".py").strip("/").replace("/", ".")
            called.add(f"{module}.{code.co_name}")

    before = sys.getprofile()
    sys.setprofile(seen)
    try:
        situation = situation_for(plan)
    finally:
        sys.setprofile(before)
    return situation, called


def figures_of(situation: Situation) -> list[tuple[str, Figure]]:
    forecast = situation.forecast
    parts: tuple[Any, ...] = (forecast.heat, *forecast.egg_boxes, *forecast.clutches)
    named = [(name, getattr(part, name)) for part in parts for name in part.__slots__]
    return [(name, result) for name, result in named if isinstance(result, Figure)]


def changed(folder: Path, name: str) -> Path:
    old, new = CHANGES[name]
    assert old in FIRST, name
    path = folder / "plan.yaml"
    path.write_text(FIRST.replace(old, new), "utf-8")
    return path


@pytest.mark.parametrize("plan", [*PLANS, *CHANGES], ids=lambda plan: getattr(plan, "stem", plan))
def test_each_formula_was_called(plan: Path | str, tmp_path: Path) -> None:
    situation, called = traced(plan if isinstance(plan, Path) else changed(tmp_path, plan))
    assert len(called) > 100 or "nearly" in str(plan)
    for name, figure in figures_of(situation):
        for function in formulas_of(name, figure, situation.plan):
            assert function in called, (name, figure.basis)


def test_every_figure_has_its_formula_somewhere() -> None:
    known = {name for plan in PLANS for name, _ in figures_of(traced(plan)[0])}
    assert set(FORMULAS) <= known


def why(path: Path, rule: str) -> str:
    result = CliRunner().invoke(main, ["check", str(path), "--why", rule])
    assert result.exit_code in (0, 1), result.output
    return result.stdout


def test_a_mix_by_mass_is_not_told_by_volume(tmp_path: Path) -> None:
    path = tmp_path / "plan.yaml"
    path.write_text(
        FIRST.replace("mix: {medium: 4, water: 1, by: volume}", "mix: {medium: 1, water: 9, by: mass}"),
        "utf-8",
    )
    shown = why(path, "moisture-mix-too-wet")
    assert "water_content_from_mass_mix" in shown
    assert "water_content_from_volume_mix" not in shown


def test_a_fixed_spread_has_no_formula(tmp_path: Path) -> None:
    assert "state_at_set_point" not in why(
        ROOT / "examples" / "first-season.yaml", "heat-uneven-between-boxes"
    )


def test_pulses_are_not_told_as_switching() -> None:
    shown = why(ROOT / "examples" / "first-season.yaml", "control-swing-too-wide")
    assert "formulas.heat.thermostat.switching" not in shown
