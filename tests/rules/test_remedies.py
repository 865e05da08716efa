"""What a remedy says with a number, put literally into the plan: it fits, it clears its rule, it wakes no sibling.

The plans are drawn from ranges that keepers use; nothing here knows how a remedy was reckoned.
"""

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.model.findings import NOTE, WATCH, Finding
from advisor.model.species import Species
from advisor.rules import rule_modules
from advisor.rules.engine import ask
from tests.changes import changed, with_entries
from tests.profiles import PROFILES
from tests.support import situation_of

HERE = Path(__file__).parent
MODULES = {module.RULE.id: module for module in rule_modules()}
WATER_BOX = yaml.load((HERE / "bases" / "water_box.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)


def findings(plan: Any, *rules: str, own: str | None = None) -> list[Finding]:
    situation = situation_of(plan, HERE / own if own else None)
    answers = [answer for rule in rules for answer in ask(MODULES[rule].RULE, MODULES[rule].check, situation)]
    return [answer for answer in answers if isinstance(answer, Finding)]


def usual_plan(species: Species, entries: dict[str, Any]) -> Any:
    """The water box with a usual clutch of a species, at the middle of its band."""
    assert species.aim is not None
    eggs, mass = species.eggs.clutch, species.eggs.mass
    clutch = {
        "species": species.id,
        "eggs": str(round(eggs.middle) if eggs else 8),
        "egg_mass": f"{(mass.middle if mass else 0.005) * 1000:.4g} g",
        "box": "eggs",
        "placed": "half buried",
        "parted": "while fresh",
    }
    plan = {
        **WATER_BOX,
        "clutches": [clutch],
        "control": {"set_to": f"{(species.aim.low + species.aim.high) / 2:.2f} °C"},
    }
    return with_entries(plan, entries)


SOFT = [species for species in PROFILES.values() if species.aim and species.medium.water]


@pytest.mark.parametrize("species", SOFT[::3], ids=lambda species: species.id)
@pytest.mark.parametrize("by", ["mass", "volume"])
def test_a_wetter_mix_that_is_named_suits_and_lasts(species: Species, by: str) -> None:
    assert species.medium.water is not None
    dry = {"medium": f"{30 / species.medium.water.low:.0f}", "water": "1", "by": by}
    size = {"egg_boxes[0].inside": "30 x 22 x 12 cm", "egg_boxes[0].medium.depth": "6 cm"}
    plan = usual_plan(species, {"egg_boxes[0].medium.mix": dry, **size})
    (found,) = findings(plan, "moisture-mix-too-dry")
    parts = re.search(r"Mix (\d+) parts of vermiculite to 1 part", found.remedy)
    water = re.search(r"water of ([\d.]+) times", found.remedy)
    told = parts or water
    assert told, found.remedy
    mix = [told[1], "1", "volume"] if parts else ["1", told[1], "mass"]
    mended = changed(plan, "egg_boxes[0].medium.mix", dict(zip(("medium", "water", "by"), mix, strict=True)))
    siblings = ["moisture-mix-too-dry", "moisture-wet-medium-for-rigid-eggs", "moisture-free-water"]
    siblings += [] if "top-ups" in found.remedy else ["moisture-mix-too-short"]
    assert findings(mended, *siblings) == []
    assert all(answer.severity == NOTE for answer in findings(mended, "moisture-mix-too-wet"))


@pytest.mark.parametrize("species", SOFT[::4], ids=lambda species: species.id)
@pytest.mark.parametrize("every", ["60 days", "200 days"])
@pytest.mark.parametrize("depth", ["1.5 cm", "3 cm"])
def test_top_ups_that_are_to_come_sooner_come_soon_enough(species: Species, every: str, depth: str) -> None:
    entries = {"egg_boxes[0].top_up": {"every": every}, "egg_boxes[0].medium.depth": depth}
    plan = usual_plan(species, entries)
    for found in findings(plan, "moisture-mix-too-short"):
        sooner = re.search(r"every (\d+ days?) or more often", found.remedy)
        assert sooner or "Add water" in found.remedy or "Mix in more water" in found.remedy
        assert not sooner or "on day" not in found.remedy
        if sooner:
            mended = changed(plan, "egg_boxes[0].top_up", {"every": sooner[1]})
            assert findings(mended, "moisture-mix-too-short") == []


@pytest.mark.parametrize("species", SOFT[::3], ids=lambda species: species.id)
@pytest.mark.parametrize("parts", ["5", "12"])
@pytest.mark.parametrize("size", ["20 x 14 x 9 cm", "120 x 80 x 9 cm"])
@pytest.mark.parametrize("growth", ["by weight", {"to": "+1 g"}, {"to": "+3 kg"}])
def test_a_growth_that_is_told_suits(species: Species, parts: str, size: str, growth: Any) -> None:
    mix = {"medium": parts, "water": "1", "by": "volume"}
    entries = {"egg_boxes[0].medium.mix": mix, "egg_boxes[0].inside": size}
    plan = usual_plan(species, {**entries, "egg_boxes[0].top_up": growth})
    rules = ("moisture-mix-too-short", "moisture-mix-too-wet")
    for found in findings(plan, *rules):
        told = re.search(r"`top_up: (?:\{to: (.*?)\}|by weight)`", found.remedy)
        if found.path != "egg_boxes[0].top_up":
            continue
        if told is None:
            assert "more medium" in found.remedy and size == "20 x 14 x 9 cm"
            continue
        mended = changed(plan, "egg_boxes[0].top_up", {"to": told[1]} if told[1] else "by weight")
        left = [answer for answer in findings(mended, *rules) if answer.path == found.path]
        # In a box that is small for its eggs no growth is right for all that they may drink.
        assert all(answer.severity == WATCH for answer in left)
        assert not left or size == "20 x 14 x 9 cm"


@pytest.mark.parametrize("height", ["6.5 cm", "8 cm", "15 cm"])
@pytest.mark.parametrize("water", ["4", "6", "12", "40"])
def test_dry_medium_that_is_to_be_mixed_in_fits_into_the_box(height: str, water: str) -> None:
    mix = {"medium": "1", "water": water, "by": "mass"}
    plan = with_entries(
        WATER_BOX, {"egg_boxes[0].inside": f"20 x 14 x {height}", "egg_boxes[0].medium.mix": mix}
    )
    (found,) = findings(plan, "moisture-free-water")
    told = re.search(r"Mix ([\d.]+) (ml|litre)s? ", found.remedy)
    if told is None:
        assert "does not fit into the box" in found.remedy
        return
    litres = float(told[1]) / (1000 if told[2] == "ml" else 1)
    depth = 5 + litres * 1000 / (20 * 14)
    assert depth + 2 <= float(height.split()[0]) + 0.1
    mended = {"egg_boxes[0].medium.depth": f"{depth:.3f} cm"}
    mended["egg_boxes[0].medium.mix"] = {**mix, "water": f"{float(water) * 5 / depth:.3f}"}  # type: ignore[assignment]
    assert findings(with_entries(plan, mended), "moisture-free-water") == []


@pytest.mark.parametrize("species", SOFT[1::6], ids=lambda species: species.id)
@pytest.mark.parametrize("height", ["3.5 cm", "6 cm", "6.5 cm", "9 cm", "12 cm"])
def test_a_depth_of_medium_that_is_named_fits_into_the_box(species: Species, height: str) -> None:
    plan = usual_plan(
        species, {"egg_boxes[0].inside": f"20 x 14 x {height}", "egg_boxes[0].medium.depth": "1 cm"}
    )
    (found,) = findings(plan, "moisture-medium-too-shallow")
    depth = re.search(r"to a depth of ([\d.]+) cm", found.remedy)
    higher = re.search(r"an egg box ([\d.]+) cm high", found.remedy)
    assert depth
    tall = float(higher[1]) if higher else float(height.split()[0])
    assert float(depth[1]) + 2 <= tall + 0.01
    mended = {"egg_boxes[0].inside": f"20 x 14 x {tall} cm", "egg_boxes[0].medium.depth": f"{depth[1]} cm"}
    assert findings(with_entries(plan, mended), "moisture-medium-too-shallow") == []


@pytest.mark.parametrize("depth", ["1 cm", "3 cm", "5 cm"])
def test_no_deeper_medium_is_asked_of_a_full_box(depth: str) -> None:
    height = f"{float(depth.split()[0]) + 2.5} cm"
    entries = {"egg_boxes[0].inside": f"20 x 14 x {height}", "egg_boxes[0].medium.depth": depth}
    plan = with_entries(WATER_BOX, {**entries, "egg_boxes[0].lid.holes": {"count": "40", "diameter": "5 mm"}})
    mixes = [{"medium": "2", "water": "1", "by": "mass"}, {"medium": "1", "water": "0.7", "by": "mass"}]
    rules = ("moisture-mix-too-dry", "moisture-mix-too-short", "moisture-dries-too-fast")
    found = [
        answer for mix in mixes for answer in findings(changed(plan, "egg_boxes[0].medium.mix", mix), *rules)
    ]
    assert found and not [answer for answer in found if "deeper" in answer.remedy]


@pytest.mark.parametrize("eggs", ["20", "35", "60", "140", "400"])
@pytest.mark.parametrize("outer", ["55 x 35 x 22 cm", "40 x 30 x 22 cm", "90 x 60 x 30 cm"])
def test_so_many_egg_boxes_as_are_named_fit_into_the_outer_box(eggs: str, outer: str) -> None:
    plan = with_entries(WATER_BOX, {"clutches[0].eggs": eggs, "outer_box.inside": outer})
    for found in findings(plan, "eggs-crowded"):
        told = re.search(r"Plan (\d+) such boxes", found.remedy)
        if told is None:
            assert "larger outer box" in found.remedy
            continue
        assert (
            findings(changed(plan, "egg_boxes[0].count", told[1]), "eggs-crowded", "eggs-boxes-do-not-fit")
            == []
        )


@pytest.mark.parametrize("species", PROFILES.values(), ids=lambda species: species.id)
def test_the_band_to_stay_in_is_named(species: Species) -> None:
    band = species.aim or species.tolerated
    plan = {"control": {"set_to": "28 °C"}, "clutches": [{"species": species.id, "wanted": "any"}]}
    for found in findings(plan, "profile-thin-evidence"):
        middle = re.search(
            r"Stay near (-?[\d.]+) °C, the middle of the (usual|tolerated) band of", found.remedy
        )
        if band is None:
            assert "No band is known" in found.remedy
            continue
        assert middle and float(middle[1]) == pytest.approx((band.low + band.high) / 2, abs=0.06)
        assert (middle[2] == "usual") == (species.aim is not None)
