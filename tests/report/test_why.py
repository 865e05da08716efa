"""Figures name the formulas that made them, for `--why` and the JSON: each was called while the plan was computed."""

import gc
import re
import sys
from collections.abc import Iterator
from functools import _lru_cache_wrapper
from pathlib import Path
from types import FrameType
from typing import Any

import pytest
from click.testing import CliRunner
from msgspec import Struct
from msgspec.structs import astuple

from advisor.assess import assess, situation_for
from advisor.cli import main
from advisor.model.figures import Figure, formula_name
from advisor.reading.plan import read_plan
from advisor.report.json_report import report_data
from advisor.rules.engine import Situation
from tests.support import ROOT

PLANS = sorted((ROOT / "examples").glob("*.yaml")) + sorted(
    (ROOT / "tests" / "setups" / "sound").glob("*.yaml")
)
FIRST = (ROOT / "examples" / "first-season.yaml").read_text("utf-8")
FOLDER = str(ROOT / "advisor")
# Figures that no formula makes: guesses, and sums of the plan's own numbers.
WITHOUT_FORMULA = {
    "boxes in one layer: corners run colder (common practice, no source)",
    "the egg boxes stay shut",
    "the room is as warm already",
    "base times depth of every box, 10 % to spare",
    "the same volume at the density of the medium",
}
CHANGES = {
    "by mass": ("mix: {medium: 4, water: 1, by: volume}", "mix: {medium: 1, water: 1, by: mass}"),
    "on-off": ("thermostat: pulse", "thermostat: on-off\n  switching_band: 1 °C"),
    "two layers": ("tier: one", "tier: two"),
    "floor": ("place: lid", "place: floor"),
    "too hot": ("power: 14 W", "power: 900 W"),
    "no network": ("place: lid, ", ""),
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


def figures_in(part: object) -> Iterator[Figure]:
    """Every figure in a record, however deep."""
    if isinstance(part, Figure):
        yield part
    elif isinstance(part, Struct | tuple):
        inside = part if isinstance(part, tuple) else astuple(part)
        for entry in inside:
            yield from figures_in(entry)


def listed() -> set[str]:
    """The functions of docs/formulas.md, by module and name."""
    module, found = "", set()
    for line in (ROOT / "docs" / "formulas.md").read_text("utf-8").splitlines():
        if line.startswith("## "):
            module = line.removeprefix("## ").removesuffix(".py").replace("/", ".")
        elif line.startswith("### "):
            found.add(f"formulas.{module}.{line.removeprefix('### ')}")
    return found


def named_in(data: Any) -> Iterator[str]:
    """The formulas that the figures of a JSON report name."""
    if isinstance(data, dict):
        yield from data["formulas"] if "unit" in data else ()
    if isinstance(data, dict | list):
        for entry in data.values() if isinstance(data, dict) else data:
            yield from named_in(entry)


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
    for figure in figures_in(situation.forecast):
        assert {formula_name(formula) for formula in figure.formulas} <= called, figure


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.stem)
def test_every_figure_names_formulas_of_the_docs_unless_it_has_none(plan: Path) -> None:
    assessment = assess(plan)
    for figure in figures_in((assessment.situation.forecast, assessment.report)):
        assert bool(figure.formulas) == (figure.basis not in WITHOUT_FORMULA), figure
    named = set(named_in(report_data(assessment)))
    assert named <= listed()
    assert len(named) > 10 or "nearly" in str(plan)


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


@pytest.mark.parametrize("path", sorted((ROOT / "examples").glob("*.yaml")), ids=lambda path: path.stem)
def test_the_working_tells_the_same_remedies_as_the_check(path: Path) -> None:
    checked = CliRunner().invoke(main, ["check", str(path)]).stdout
    for rule in sorted(set(re.findall(r"advisor rules\s+show\s+([a-z-]+)", checked))):
        shown = why(path, rule)
        assert re.search(r"Do:\s+\w", shown), rule
        for told in re.findall(r"^ +Do: (?:.+\n)+? +Why:", shown, re.M):
            assert told in checked, rule


def test_formulas_are_told_without_what_only_a_caller_needs() -> None:
    shown = why(ROOT / "examples" / "floor-heat.yaml", "heat-from-below-wet-medium")
    formula = shown[shown.index("Formulas") : shown.index("Sources")]
    assert (
        "Raises" not in formula
        and "ValueError" not in formula
        and "between them; water_potential" in " ".join(formula.split())
    )
