"""What the case files cannot say: text that must be absent, and one cause told once."""

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.forecast.clutch.evidence import share_model
from advisor.formulas.sexes.male_share import MaleShare, SetPoint
from advisor.model.figures import Figure
from advisor.model.findings import Finding
from advisor.reading.species import load_species
from advisor.rules import engine, rule_modules, sex_not_as_wanted, sex_too_close_to_call
from advisor.rules.heat_uneven_between_boxes import change_over
from tests.changes import changed
from tests.support import ROOT, merged, situation_of

NO_SPREAD = {"clutches.0.warmth": ["0", "0", "0"]}


def plan(set_to: str, wanted: str, checked: str) -> dict[str, Any]:
    return {
        "control": {"set_to": set_to, "checked_against": checked},
        "clutches": [{"species": "trachemys-scripta", "wanted": wanted}],
    }


def test_a_missed_wish_is_not_told_a_second_time_as_too_close_to_call() -> None:
    fragment = plan("29.1 °C", "females", "nothing")
    report = engine.judge(situation_of(fragment, figures=NO_SPREAD), rule_modules())
    told = [finding.rule for finding in report.findings if finding.rule.startswith("sex-")]
    assert told == ["sex-not-as-wanted"]
    assert ("sex-too-close-to-call", "sex-not-as-wanted") in report.followers


def test_a_set_point_outside_the_band_and_the_data_is_told_once() -> None:
    report = engine.judge(situation_of({"control": {"set_to": "36 °C"}}), rule_modules())
    assert ("profile-outside-data", "heat-outside-species-band") in report.followers


def male_share(share: float, low: float, high: float) -> MaleShare:
    return MaleShare(share, low, high, 1.0, 1.0, "counts at this temperature", 100)


@pytest.mark.parametrize(
    ("wanted", "share", "low", "high", "severity"),
    # Both sexes hatch from 20 to 80 % males; 70 % of one sex is enough, and below 50 % the other one prevails (judgement).
    [
        ("both", 0.2, 0.0, 0.5, None),
        ("both", 0.8, 0.5, 1.0, None),
        ("both", 0.19, 0.0, 0.2, "watch"),
        ("both", 0.19, 0.0, 0.19, "fix"),
        ("both", 0.81, 0.8, 1.0, "watch"),
        ("both", 0.81, 0.81, 1.0, "fix"),
        ("males", 0.7, 0.0, 1.0, None),
        ("males", 0.69, 0.0, 1.0, "watch"),
        ("males", 0.3, 0.0, 0.5, "watch"),
        ("males", 0.3, 0.0, 0.49, "fix"),
        # What would be enough of the other sex, on the typical forecast, is a fix however wide the range.
        ("males", 0.31, 0.0, 1.0, "watch"),
        ("males", 0.29, 0.0, 1.0, "fix"),
        ("females", 0.71, 0.0, 1.0, "fix"),
        ("both", 0.04, 0.0, 1.0, "fix"),
        ("both", 0.96, 0.0, 1.0, "fix"),
        ("both", 0.05, 0.0, 1.0, "watch"),
        ("females", 0.69, 0.5, 1.0, "watch"),
        ("females", 0.69, 0.51, 1.0, "fix"),
    ],
)
def test_how_bad_a_missed_wish_is(
    wanted: str, share: float, low: float, high: float, severity: str | None
) -> None:
    assert sex_not_as_wanted._severity(male_share(share, low, high), wanted) == severity


@pytest.mark.parametrize(
    ("wanted", "low", "high", "severity"),
    # Open from 30 % apart, wide open from 60 % apart (judgement).
    [
        ("any", 0.5, 0.79, None),
        ("any", 0.7, 1.0, "note"),
        ("any", 0.0, 0.59, "note"),
        ("any", 0.0, 0.6, "watch"),
        ("males", 0.7, 1.0, "watch"),
    ],
)
def test_how_open_the_sexes_are(wanted: str, low: float, high: float, severity: str | None) -> None:
    assert sex_too_close_to_call._severity(low, high, wanted) == severity


@pytest.mark.parametrize(
    ("here", "there", "told"),
    # 70 % females are enough; from a gain of 5 % on another set point is worth it (judgement).
    [
        (0.352, 0.3, ""),
        (0.348, 0.302, sex_not_as_wanted.NO_WAY),
        (0.4, 0.302, sex_not_as_wanted.NEAREST),
    ],
)
def test_what_no_set_point_gives_is_told(here: float, there: float, told: str) -> None:
    # Males are wanted as females are, the other way round.
    for wanted, at, best in (("females", here, there), ("males", 1 - here, 1 - there)):
        set_point = SetPoint(30.0, male_share(best, 0.0, 1.0))
        assert sex_not_as_wanted._besides(set_point, Figure(at, 0.0, 1.0, "share"), wanted) == told


BATH = yaml.load(
    (ROOT / "tests" / "setups" / "sound" / "bath-probe-in-water.yaml").read_text("utf-8"),
    Loader=yaml.BaseLoader,
)
TELL_SEXES = (
    "sex-not-as-wanted",
    "sex-too-close-to-call",
    "profile-outside-data",
    "heat-uneven-between-boxes",
)


def over_the_bath(control: Any, wanted: str) -> list[Finding]:
    plan = changed(changed(BATH, "clutches.0.wanted", wanted), "control.set_to")
    situation = situation_of(merged(plan, {"control": control}))
    modules = [module for module in rule_modules() if module.RULE.id in TELL_SEXES]
    answers = [one for module in modules for one in engine.ask(module.RULE, module.check, situation)]
    return [one for one in answers if isinstance(one, Finding)]


def one_step(water: float) -> dict[str, Any]:
    return {"programme": {"steps": [{"from_day": "0", "set_to": f"{water} °C"}]}}


@pytest.mark.parametrize("wanted", ["females", "males", "both"])
@pytest.mark.parametrize("water", [25.5, 28.5, 29.3, 30.1, 30.9, 31.9])
def test_one_step_for_good_is_judged_as_its_set_point_over_a_bath_too(water: float, wanted: str) -> None:
    steady, stepped = (
        [
            (one.rule, one.severity, re.findall(r"(\d+) %", one.message))
            for one in over_the_bath(control, wanted)
        ]
        for control in ({"set_to": f"{water} °C"}, one_step(water))
    )
    assert stepped == steady


@pytest.mark.parametrize("water", [22.3, 33.4])
def test_the_end_of_the_days_is_told_of_the_eggs_over_a_bath(water: float) -> None:
    steady, stepped = (
        over_the_bath(control, "any") for control in ({"set_to": f"{water} °C"}, one_step(water))
    )
    assert steady[0].rule == stepped[0].rule == "profile-outside-data"
    assert steady[0].message == stepped[0].message


def test_no_width_of_the_change_over_without_a_curve() -> None:
    # The only count of this invented turtle spans a wide range of temperatures, so that no curve can be fitted.
    species = load_species("emys-exemplaris-vasta", Path(__file__).parent / "profiles")
    assert change_over(share_model(species)) is None
