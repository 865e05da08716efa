"""What is told of lids, medium, water and room for the eggs, written into the plan by hand: it clears its finding.

The plans are planted faults of whole set-ups, and set-ups drawn from ranges that keepers use.
"""

from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.advice.levers import case_at, lever_of
from advisor.advice.remedies import advised
from advisor.assess import assess
from advisor.model.findings import FIX, NOTE, STOP, Finding, Report
from advisor.model.species import Species
from advisor.rules import rule_modules
from advisor.rules.engine import ask
from advisor.units import INCH
from tests.changes import with_entries
from tests.profiles import PROFILES
from tests.support import MINIMAL, ROOT, merged, plan_text, situation_of

SETUPS = ROOT / "tests" / "setups"
ROWS = yaml.load((SETUPS / "faults.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
WATER_BOX = yaml.load((ROOT / "tests/rules/bases/water_box.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
MODULES = {module.RULE.id: module for module in rule_modules()}
MINE = ("air-no", "air-short", "moisture-", "eggs-crowded", "eggs-boxes-do-not-fit", "eggs-in-probe-box")
WET_PANE = "moisture-pane-runs-wet"  # a pane is wiped; its glass is double already and the room is the room
PLANTED = [
    row for row in ROWS if row["rule"].startswith(MINE) and row["level"] != NOTE and row["rule"] != WET_PANE
]


def written(plan: Any, folder: Path) -> Path:
    path = folder / "plan.yaml"
    path.write_text(plan_text(plan), "utf-8")
    return path


def serious(report: Report) -> set[tuple[str, str]]:
    return {(found.rule, found.subject) for found in report.findings if found.severity in (STOP, FIX)}


def holds(finding: Finding, before: Report, plan: Any, folder: Path) -> None:
    """The change that a finding tells, written into the plan and read again."""
    (change,) = finding.changes
    assert change.works, (finding.message, finding.obstacle)
    assert finding.remedy.startswith(change.words)
    mended = with_entries(plan, {setting.path: setting.value for setting in change.settings})
    after = assess(written(mended, folder)).report
    left = [
        found for found in after.findings if (found.rule, found.subject) == (finding.rule, finding.subject)
    ]
    assert all(found.severity == NOTE for found in left), change.words
    assert serious(after) <= serious(before), change.words


@pytest.mark.parametrize("row", PLANTED, ids=lambda row: f"{row['rule']}-{row['plan']}")
def test_what_is_told_of_a_planted_fault_clears_it(row: dict[str, Any], tmp_path: Path) -> None:
    text = (SETUPS / "sound" / f"{row['plan']}.yaml").read_text("utf-8")
    for old, new in row["change"].items():
        text = text.replace(old, new)
    plan = yaml.load(text, Loader=yaml.BaseLoader)
    report = advised(assess(written(plan, tmp_path))).report
    for finding in report.findings:
        if finding.rule == row["rule"] and finding.severity != NOTE:
            holds(finding, report, plan, tmp_path)


DRY = {"medium": "30", "water": "1", "by": "mass"}
DRAUGHTY = {"fit": "loose", "thickness": "1 mm", "holes": {"count": "40", "diameter": "5 mm"}}
DRAWN: dict[str, tuple[str, dict[str, Any]]] = {
    "holes too narrow to make enough of": (
        "air-short-of-oxygen-late",
        {"egg_boxes[0].lid": {"fit": "gasket", "thickness": "1 mm", "holes": {"count": "5", "diameter": "1 mm"}}},
    ),
    "a lid with no room for so many holes": (
        "air-short-of-oxygen-late",
        {"egg_boxes[0].inside": "8 x 6 x 9 cm", "egg_boxes[0].lid.fit": "gasket", "clutches[0].eggs": "40"},
    ),
    "a gasket and no holes, in US units": (
        "air-no-holes",
        {"units": "us", "clutches[0].eggs": "4", "egg_boxes[0].lid": {"fit": "gasket", "thickness": "1 mm", "holes": "none"}},
    ),
    "too dry by mass": ("moisture-mix-too-dry", {"egg_boxes[0].medium.mix": DRY}),
    "too dry by volume": ("moisture-mix-too-dry", {"egg_boxes[0].medium.mix": {**DRY, "by": "volume"}}),
    "too dry, and so thin that no mix lasts": (
        "moisture-mix-too-dry",
        {"egg_boxes[0].medium.mix": DRY, "egg_boxes[0].medium.depth": "1 cm"},
    ),
    "bare eggs in a box with nothing wet": (
        "moisture-mix-too-dry",
        {"egg_boxes[0].medium": {"material": "none"}},
    ),
    "a lid that lets the water out": ("moisture-dries-too-fast", {"egg_boxes[0].lid": DRAUGHTY}),
    "a flat box full of medium": (
        "moisture-dries-too-fast",
        {"egg_boxes[0].inside": "20 x 14 x 4 cm", "egg_boxes[0].medium.depth": "2 cm", "egg_boxes[0].lid": DRAUGHTY},
    ),
    "a box too flat for the medium": (
        "moisture-medium-too-shallow",
        {"egg_boxes[0].inside": "20 x 14 x 4 cm", "egg_boxes[0].medium.depth": "1 cm"},
    ),
    "top-ups that come late": (
        "moisture-mix-too-short",
        {"egg_boxes[0].top_up": {"every": "60 days"}, "egg_boxes[0].medium.depth": "1.5 cm"},
    ),
    "kept at its first weight, but the eggs drink it dry": (
        "moisture-mix-too-short",
        {"egg_boxes[0].top_up": "by weight", "egg_boxes[0].medium.depth": "1.5 cm"},
    ),
    "grown by more than the eggs drink": (
        "moisture-mix-too-wet",
        {"egg_boxes[0].top_up": {"to": "+600 g"}, "egg_boxes[0].medium.mix": {"medium": "1", "water": "1", "by": "mass"}},
    ),
    "more eggs than boxes": ("eggs-crowded", {"clutches[0].eggs": "60", "clutches[0].parted": "while fresh"}),
    "more boxes than floor": ("eggs-boxes-do-not-fit", {"egg_boxes[0].count": "6"}),
    "two layers under a low lid": (
        "eggs-boxes-do-not-fit",
        {"egg_boxes[0].count": "2", "egg_boxes[0].tier": "two", "outer_box.inside": "55 x 35 x 19 cm"},
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", DRAWN)
def test_what_is_told_of_a_drawn_plan_clears_it(name: str, tmp_path: Path) -> None:
    rule, entries = DRAWN[name]
    plan = with_entries(merged(MINIMAL, WATER_BOX), entries)
    report = advised(assess(written(plan, tmp_path))).report
    found = [finding for finding in report.findings if finding.rule == rule and finding.severity != NOTE]
    assert found
    for finding in found:
        holds(finding, report, plan, tmp_path)


def test_an_egg_box_far_larger_than_the_outer_box_is_told_with_what_stands_in_the_way(tmp_path: Path) -> None:
    entries = {"egg_boxes[0].inside": "90 x 80 x 9 cm", "outer_box.inside": "12 x 12 x 20 cm"}
    plan = with_entries(merged(MINIMAL, WATER_BOX), entries)
    report = advised(assess(written(plan, tmp_path))).report
    (finding,) = [finding for finding in report.findings if finding.rule == "eggs-boxes-do-not-fit"]
    assert "does not fit" in finding.obstacle
    assert not any(change.works for change in finding.changes)


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("inside", ["8 x 6 x 5 cm", "20 x 14 x 9 cm", "40 x 30 x 20 cm"])
@pytest.mark.parametrize(
    "holes", ["none", {"count": "5", "diameter": "2 mm"}, {"count": "3", "diameter": "6 mm"}]
)
def test_holes_that_are_tried_find_room_on_lid_and_walls(units: str, inside: str, holes: Any) -> None:
    entries = {"units": units, "egg_boxes[0].inside": inside, "egg_boxes[0].lid.holes": holes}
    situation = situation_of(with_entries(WATER_BOX, entries))
    length, width, _ = (float(side) / 100 for side in inside.removesuffix(" cm").split(" x "))
    now = 0 if holes == "none" else int(holes["count"])
    tried, lever = 0, lever_of("egg_boxes[0].lid.holes")
    assert lever is not None
    for ladder in lever.values(case_at(situation, "egg_boxes[0].lid.holes")):
        for change in ladder.changes:
            (setting,) = change.settings
            if setting.path.endswith(".count"):
                count, size = setting.value, holes["diameter"]
            else:
                count, size = setting.value["count"], setting.value["diameter"]
            if setting.path.endswith(".count") and count < now:
                continue
            tried += 1
            number, unit = size.split(" ")[-2:]
            top, _, bottom = number.partition("/")
            metres = float(top) / float(bottom or 1) * {"mm": 0.001, "cm": 0.01, "in": INCH}[unit]
            # Ten diameters apart, each has a square of its own on the lid, or a stretch of wall.
            assert count * (10 * metres) ** 2 <= length * width + 2 * (length + width) * 10 * metres
            assert count <= 20
    assert tried


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("species", list(PROFILES.values())[::4], ids=lambda species: species.id)
def test_egg_boxes_proposed_for_a_species_hold_its_eggs(species: Species, units: str) -> None:
    clutch = {"species": species.id, "placed": "half buried", "parted": "while fresh"}
    clutch["eggs"] = f"{round(species.eggs.clutch.middle) if species.eggs.clutch else 8}"
    bare = {"units": units, "clutches": [clutch]}
    lever = lever_of("egg_boxes")
    assert lever is not None
    ladder = next(lever.values(case_at(situation_of(bare), "egg_boxes")))
    (setting,) = ladder.changes[0].settings
    whole = {**bare, "egg_boxes": setting.value, "clutches": [{**clutch, "box": setting.value[0]["name"]}]}
    eggs, probe = setting.value
    assert (eggs["holds"], probe["holds"]) == ("eggs", "probe")
    own = ("name", "count", "holds")
    assert {name: eggs[name] for name in eggs if name not in own} == {
        name: probe[name] for name in probe if name not in own
    }
    situation = situation_of(whole)
    for rule in ("eggs-crowded", "air-no-holes", "moisture-medium-too-shallow", "moisture-wet-medium-for-rigid-eggs",
                 "moisture-mix-too-dry", "moisture-mix-too-wet", "moisture-no-top-up-planned", "moisture-dried-late"):  # fmt: skip
        answers = ask(MODULES[rule].RULE, MODULES[rule].check, situation)
        assert all(answer.severity == NOTE for answer in answers if isinstance(answer, Finding)), rule


ENTRIES = (
    "inside",
    "lid.fit",
    "lid.holes",
    "medium.material",
    "medium.grade",
    "medium.depth",
    "medium.mix",
    "top_up",
)


def proposed(plan: Any, path: str) -> Any:
    lever = lever_of(path)
    assert lever is not None
    ladder = next(lever.values(case_at(situation_of(plan), path)))
    return next(setting.value for setting in ladder.changes[0].settings if setting.path == path)


@pytest.mark.parametrize("species", ["testudo-hermanni", "python-regius", "pantherophis-guttatus"])
@pytest.mark.parametrize("entry", ENTRIES)
def test_an_entry_left_out_of_the_probe_box_is_proposed_as_of_the_egg_box(species: str, entry: str) -> None:
    boxes = [{"name": "eggs", "holds": "eggs"}, {"name": "probe", "holds": "probe"}]
    plan: Any = {"egg_boxes": boxes, "clutches": [{"species": species, "eggs": "6", "box": "eggs"}]}
    eggs, probe = (proposed(plan, f"egg_boxes[{index}].{entry}") for index in (0, 1))
    assert eggs == probe


@pytest.mark.parametrize(
    ("entry", "told"),
    [
        ("inside", "31 x 22 x 13 cm"),
        ("medium.depth", "7 cm"),
        ("medium.mix", {"medium": 3, "water": 2, "by": "mass"}),
    ],
)
def test_what_the_egg_box_tells_is_proposed_for_the_probe_box(entry: str, told: Any) -> None:
    boxes = [{"name": "eggs", "holds": "eggs"}, {"name": "probe", "holds": "probe"}]
    plan: Any = {"egg_boxes": boxes, "clutches": [{"species": "python-regius", "eggs": "6", "box": "eggs"}]}
    assert proposed(with_entries(plan, {f"egg_boxes[0].{entry}": told}), f"egg_boxes[1].{entry}") == told


@pytest.mark.parametrize(("units", "step"), [("metric", 0.01), ("us", INCH / 2)])
def test_another_size_of_egg_box_changes_sides_to_steps_that_are_sold(units: str, step: float) -> None:
    told = (0.201, 0.143, 0.087)  # m
    inside = " x ".join(f"{side / (INCH if units == 'us' else 0.01):.4g}" for side in told)
    boxes = [
        {"name": "eggs", "inside": f"{inside} {'in' if units == 'us' else 'cm'}", "medium": {"depth": "4 cm"}}
    ]
    situation = situation_of({"units": units, "egg_boxes": boxes})
    lever = lever_of("egg_boxes[0].inside")
    assert lever is not None
    now = situation.plan.egg_boxes[0].inside
    assert now is not None
    sizes = 0
    for ladder in lever.values(case_at(situation, "egg_boxes[0].inside")):
        for change in ladder.changes:
            plan = with_entries(
                {"units": units, "egg_boxes": boxes}, {change.settings[0].path: change.settings[0].value}
            )
            size = situation_of(plan).plan.egg_boxes[0].inside
            assert size is not None and size != now
            sizes += 1
            for side in ("length", "width", "height"):
                new, old = getattr(size, side), getattr(now, side)
                assert abs(new - old) < 1e-4 or abs(new / step - round(new / step)) < 1e-3
            assert size.height >= 0.04 + 0.02 - 1e-9
    assert sizes >= 6


@pytest.mark.parametrize(
    ("medium", "asked"),
    [
        ({}, True),
        ({"material": "vermiculite"}, True),
        ({"material": "vermiculite", "mixed_with": {"material": "perlite", "share": "50 %"}}, True),
        ({"material": "perlite", "mixed_with": {"material": "vermiculite", "share": "50 %"}}, True),
        *(({"material": other}, False) for other in ("perlite", "sphagnum moss", "coconut fibre", "peat", "sand", "soil", "none")),
    ],
)  # fmt: skip
def test_grain_is_proposed_where_there_is_vermiculite(medium: Any, asked: bool) -> None:
    path = "egg_boxes[0].medium.grade"
    situation = situation_of({"egg_boxes": [{"name": "eggs", "holds": "eggs", "medium": medium}]})
    lever = lever_of(path)
    assert lever is not None
    assert bool(list(lever.values(case_at(situation, path)))) is asked
