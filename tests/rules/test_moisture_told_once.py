"""Moisture faults with one cause are told once, and the arithmetic of the days agrees with common practice."""

import pytest

from advisor.rules import engine, rule_modules
from advisor.rules.moisture_mix_too_short import days_a_mix_lasts
from advisor.units import QUANTITIES
from tests.support import situation_of


def moisture_findings(species: str, set_to: str, mix: dict[str, str], top_up: str) -> list[str]:
    fragment = {
        "control": {"set_to": set_to},
        "egg_boxes": [
            {
                "name": "eggs",
                "medium": {"material": "vermiculite", "grade": "medium", "mix": mix},
                "top_up": top_up,
            }
        ],
        "clutches": [{"species": species, "box": "eggs"}],
    }
    report = engine.judge(situation_of(fragment), rule_modules())
    return [finding.rule for finding in report.findings if finding.rule.startswith("moisture-")]


def volume_mix(parts: int) -> dict[str, str]:
    return {"medium": str(parts), "water": "1", "by": "volume"}


def test_short_mix_tells_that_no_top_up_is_planned() -> None:
    found = moisture_findings("chamaeleo-calyptratus", "28 °C", volume_mix(4), "none")
    assert found == ["moisture-mix-too-short"]


def test_dry_mix_tells_that_the_water_does_not_last() -> None:
    found = moisture_findings("pantherophis-guttatus", "28 °C", volume_mix(30), "none")
    assert found == ["moisture-mix-too-dry"]


def test_wet_medium_for_rigid_eggs_tells_that_the_mix_is_too_wet() -> None:
    found = moisture_findings("testudo-hermanni", "31 °C", volume_mix(4), "by weight")
    assert found == ["moisture-wet-medium-for-rigid-eggs"]


def test_finding_on_a_profile_figure_names_its_sources_and_a_known_quantity() -> None:
    fragment = {
        "egg_boxes": [{"name": "eggs", "medium": {"material": "vermiculite", "mix": volume_mix(2)}}],
        "clutches": [{"species": "testudo-hermanni", "box": "eggs"}],
    }
    findings = engine.judge(situation_of(fragment), rule_modules()).findings
    wet = next(finding for finding in findings if finding.rule == "moisture-wet-medium-for-rigid-eggs")
    profile = situation_of(fragment).species["testudo-hermanni"].medium.water
    assert profile is not None
    assert (wet.sources, wet.evidence) == (profile.support.sources, profile.support.known)
    assert all(figure.quantity in QUANTITIES for _, figure in wet.figures)


def test_trade_mix_lasts_about_60_days() -> None:
    # 4 parts of vermiculite to 1 of water by volume last about 60 days: common practice, no source.
    assert days_a_mix_lasts(1 / 4) == pytest.approx(60)


def test_days_go_with_the_water() -> None:
    # The stated assumption: the same daily loss whatever the mix.
    assert days_a_mix_lasts(1 / 8) == pytest.approx(days_a_mix_lasts(1 / 4) / 2)
    assert days_a_mix_lasts(0) == 0
