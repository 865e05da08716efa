"""Water: what the forecast needs and names when it is missing, and what keepers of rigid-shelled eggs are told."""

import re

import pytest

from advisor.model.figures import Unknown
from advisor.reading.names import profile_files
from advisor.reading.species import load_species
from advisor.rules import engine, rule_modules
from tests.forecast.water_plans import box_with, figure, mass_mix, model_with, situation_with

MIX, DEPTH = "egg_boxes[0].medium.mix", "egg_boxes[0].medium.depth"

NEEDED = (
    "room.temperature",
    "room.humidity",
    "control.set_to",
    "egg_boxes[0].count",
    "egg_boxes[0].inside",
    "egg_boxes[0].lid.fit",
    "egg_boxes[0].lid.thickness",
    "egg_boxes[0].lid.holes",
    "egg_boxes[0].medium.material",
    "egg_boxes[0].medium.grade",
    "egg_boxes[0].medium.depth",
    "egg_boxes[0].medium.mix",
    "clutches[0].eggs",
    "clutches[0].egg_mass",
    "clutches[0].box",
)


@pytest.mark.parametrize("entry", NEEDED)
def test_an_entry_left_out_is_named_and_never_guessed(entry: str) -> None:
    box = box_with({entry: None})
    for result in (
        box.water.water_loss,
        box.water.lasts_until_day,
        box.water.water_at_hatching,
        box.water.water_if_kept_at_weight,
        box.water.first_top_up_day,
    ):
        assert isinstance(result, Unknown) and result.needs == (entry,)
    assert not (box.water.top_ups or box.water.mass_by_day or box.water.water_by_day)


@pytest.mark.parametrize(
    "entry", [entry for entry in NEEDED if entry.startswith("egg_boxes[0].medium") and "depth" not in entry]
)
def test_the_start_needs_the_mix_alone(entry: str) -> None:
    box = box_with({entry: None})
    for result in (box.water.water_per_dry_mass, box.water.water_potential):
        assert isinstance(result, Unknown) and result.needs == (entry,)


@pytest.mark.parametrize(
    "entry",
    [
        "control.set_to",
        "room.temperature",
        "room.humidity",
        "egg_boxes[0].inside",
        DEPTH,
        "checks.opens",
        "checks.lasting",
    ],
)
def test_what_an_opening_costs_names_what_it_lacks(entry: str) -> None:
    opened = {"checks.opens": "egg boxes"}
    result = box_with({**opened, entry: None}).water.opening_loss
    assert isinstance(result, Unknown) and result.needs == (entry,)


def test_how_dry_is_too_dry_is_known_for_vermiculite_alone() -> None:
    box = box_with({"egg_boxes[0].medium.material": "perlite"})
    assert isinstance(box.water.lasts_until_day, Unknown) and "perlite" in box.water.lasts_until_day.reason
    assert figure(box.water.water_at_hatching).value > 0


RIGID = sorted(
    identifier for identifier in profile_files(None) if load_species(identifier, None).eggs.shell == "rigid"
)
PROMISES = re.compile(r"\b(gain|swell|drink|bury|buried|cover)\w*", re.IGNORECASE)


def test_there_are_rigid_shelled_species() -> None:
    assert "testudo-hermanni" in RIGID


@pytest.mark.parametrize("identifier", RIGID)
@pytest.mark.parametrize("water", [0.05, 1.0, 3.9])
@pytest.mark.parametrize("top_up", ["none", "by weight"])
def test_rigid_eggs_are_never_told_to_gain_or_to_be_buried(
    identifier: str, water: float, top_up: str
) -> None:
    profile = load_species(identifier, None)
    changes = {
        "clutches[0].species": identifier,
        "clutches[0].egg_mass": "15 g",
        "clutches[0].eggs": "6",
        "control.set_to": f"{profile.duration[0].at.middle if profile.duration else 28:.1f} °C",
        MIX: mass_mix(water),
        "egg_boxes[0].top_up": top_up,
    }
    report = engine.judge(situation_with(changes), rule_modules())
    for found in report.findings:
        if found.rule.startswith(("moisture-", "air-")):
            assert not PROMISES.search(f"{found.message} {found.remedy}"), found
    if profile.duration:
        assert model_with(changes).load.gain.high <= 0.0
