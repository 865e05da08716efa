"""What is told for faults of heat, done literally: it clears, it brings nothing, it ends, and it fits the box."""

from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.advice.levers import all_levers, case_at, lever_of
from advisor.forecast.heat.egg_limits import bearing_of
from advisor.forecast.heat.stuck_heater import NIGHT, STAGE
from advisor.formulas.heat.short_exposures import FACTOR, allowed_heat
from advisor.model.changes import Change
from advisor.model.findings import FIX, STOP
from advisor.model.species import Species
from advisor.reading.quantities import Kind, read_quantity
from tests.advice.followed import applied, checked, told_for, whole
from tests.changes import with_entries
from tests.profiles import PROFILES
from tests.setups.test_setups import HERE as SETUPS
from tests.setups.test_setups import ROWS, planted
from tests.support import situation_of

RULES = Path(__file__).parents[1] / "rules"
OWN = RULES / "species_heat"
HEAT_BOX = yaml.load((RULES / "bases" / "heat_box.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
ANOTHER_BOX = "heat-species-need-different-temperatures"  # no change of one box clears it
# What is built in cannot be altered, and a probe back in the medium makes this heater too hot for the foam when it sticks.
NO_CHANGE = {
    ("control-swing-too-wide", "leopard-gecko-ready-built"),
    ("control-probe-misplaced", "bath-probe-in-water"),
}
PLANTED = [
    row
    for row in ROWS
    if row["rule"].startswith(("heat-", "control-"))
    and row["rule"] != ANOTHER_BOX
    and (row["rule"], row["plan"]) not in NO_CHANGE
    and row["level"] in ("stop", "fix", "watch")
]


@pytest.mark.parametrize("row", PLANTED, ids=[f"{row['rule']}: {row['plan']}" for row in PLANTED])
def test_what_is_told_for_a_planted_fault_clears_it_and_brings_nothing(row: dict[str, Any]) -> None:
    own = SETUPS / row["species_dir"] if "species_dir" in row else None
    found = told_for(planted(row), row["rule"], own)
    assert found
    for told in found:
        assert told.after is not None, told.finding.obstacle
        assert told.clears and not told.brings, told.finding.remedy


# A plan for each fault that no whole set-up plants: entries laid over a box whose heat is told in full.
FAULTS: dict[str, list[dict[str, Any]]] = {
    "heat-condensation-on-lid": [{"heat.place": "one side", "heat.size": "40 x 20 cm", "outer_box.wall.thickness": "20 mm"}],
    "heat-from-below-wet-medium": [
        {"heat.place": "floor"},
        {"heat.place": "floor", "egg_boxes[0].stands": "on the heater"},
        {"heat.source": "water bath", "heat.place": "in water"},
    ],
    "heat-stuck-on-softens-foam": [{"heat.power": "60 W"}, {"heat.power": "300 W", "heat.size": "20 x 20 cm"}],
    "heat-surface-too-hot": [
        {"heat.size": "61 x 40 cm"},
        {"heat.size": "20 x 15 cm"},
        {"heat.place": "one side", "heat.size": "20 x 20 cm"},
    ],
    "heat-power-cut-cools-eggs": [{"room.temperature": "12 to 20 °C", "power_cut.prepared": "nothing"}],
    "heat-room-too-warm": [{"room.temperature": "18 to 27 °C"}, {"room.temperature": "18 to 33 °C"}],
    "heat-egg-box-on-heater": [
        {"heat.place": "floor", "egg_boxes[0].stands": "on the floor"},
        {"heat.place": "floor", "egg_boxes[0].shelf_height": "1 cm", "egg_boxes[1].shelf_height": "1 cm"},
    ],
    "heat-too-weak-for-room": [{"heat.count": "2", "heat.power": "3 W", "heat.size": "20 x 30 cm"}],
    "heat-uneven-between-boxes": [{"egg_boxes[0].tier": "two", "control.set_to": "29.8 °C"}],
}  # fmt: skip
NIGHTS = {"day": "29 °C", "night": "26 °C", "hours": "12"}
STEPS = {"steps": [{"from_day": "0", "set_to": "28 °C"}, {"from_day": "30", "set_to": "28.5 °C"}]}
FAULTS["heat-outside-species-band"] = [
    {"control.set_to": None, "control.programme": NIGHTS | {"day": "27 °C", "night": "25 °C"}},
    {"control.set_to": None, "control.programme": NIGHTS | {"day": "33 °C"}, "control.cut_out.set_to": "35 °C"},
    {"control.set_to": None, "control.programme": STEPS | {"steps": [*STEPS["steps"][:1], {"from_day": "30", "set_to": "31 °C"}]}},
]  # fmt: skip
LAID_OVER = [(rule, entries) for rule, plans in FAULTS.items() for entries in plans]


@pytest.mark.parametrize(("rule", "entries"), LAID_OVER)
def test_what_is_told_for_a_fault_of_the_heat_box_clears_it(rule: str, entries: dict[str, Any]) -> None:
    for told in told_for(whole(with_entries(HEAT_BOX, entries)), rule, OWN):
        assert told.after is not None, told.finding.obstacle
        assert told.clears and not told.brings, told.finding.remedy


HEATERS = [
    ("20 °C", "5 W", "30 mm", "none"),
    ("22 to 24 °C", "40 W", "40 mm", "none"),
    ("12 to 26 °C", "10 W", "30 mm", "none"),
    ("12 to 26 °C", "200 W", "20 mm", "none"),
    ("19 to 21 °C", "7 W", "60 mm", {"set_to": "30 °C"}),
    ("19 to 21 °C", "90 W", "60 mm", {"set_to": "30 °C"}),
]


@pytest.mark.parametrize(("room", "power", "wall", "cut_out"), HEATERS)
def test_who_follows_one_advice_after_the_other_comes_to_an_end(
    room: str, power: str, wall: str, cut_out: Any
) -> None:
    """No round such as a stronger heater, a weaker one, the stronger one again."""
    entries = {
        "room.temperature": room,
        "heat.power": power,
        "outer_box.wall.thickness": wall,
        "control.cut_out": cut_out,
    }
    plan = whole(with_entries(HEAT_BOX, entries))
    done: list[Change] = []
    while faults := _faults_of_heat(plan):
        told = told_for(plan, faults[0], OWN)[0]
        assert told.after is not None, (done, told.finding.obstacle)
        assert told.finding.changes[0] not in done
        done.append(told.finding.changes[0])
        assert len(done) <= 4, [change.words for change in done]
        plan = applied(plan, done[-1])


def _faults_of_heat(plan: Any) -> list[str]:
    return [
        one.rule
        for one in checked(plan, OWN).report.findings
        if one.severity in (STOP, FIX) and one.rule.startswith(("heat-", "control-"))
    ]


def test_species_whose_bands_do_not_meet_are_sent_to_a_second_box() -> None:
    row = next(row for row in ROWS if row["rule"] == ANOTHER_BOX)
    (told,) = told_for(planted(row), ANOTHER_BOX)
    assert told.after is None
    assert "one set point" in told.finding.obstacle and "2 outer boxes" in told.finding.remedy
    for band in told_for(planted(row), "heat-outside-species-band"):
        assert band.after is None and "do not meet" in band.finding.obstacle
        assert "an outer box of their own" in band.finding.remedy and "thermostat" not in band.finding.remedy


def test_boxes_that_nothing_makes_even_enough_are_told_with_what_stands_in_the_way() -> None:
    narrow = {
        "egg_boxes[0].tier": "two",
        "control.set_to": "28.4 °C",
        "clutches[0].species": "exempla-angusta",
    }
    (told,) = told_for(whole(with_entries(HEAT_BOX, narrow)), "heat-uneven-between-boxes", OWN)
    assert told.after is None and "The nearest: Stand all egg boxes side by side" in told.finding.obstacle


WITH_AIM = [species for species in PROFILES.values() if species.aim]


@pytest.mark.parametrize("species", WITH_AIM[::6], ids=lambda species: species.id)
@pytest.mark.parametrize("units", ["metric", "us"])
def test_a_cut_out_that_is_told_is_borne_for_a_night_at_the_short_end(species: Species, units: str) -> None:
    """By the time-temperature rule itself, for set points at the warm end of the usual band."""
    assert species.aim is not None
    entries = {
        "units": units,
        "heat.power": "30 W",
        "control.set_to": f"{species.aim.high} °C",
        "control.cut_out": "none",
        "watching": {"alarm": "yes"},
        "clutches": [{"species": species.id, "box": "eggs"}],
    }
    plan = with_entries(HEAT_BOX, entries)
    found = [*told_for(plan, "heat-stuck-on-harms-eggs", OWN), *told_for(plan, "control-no-cut-out", OWN)]
    assert found
    allowed = allowed_heat(bearing_of(species), halvings=STAGE)
    for told in found:
        assert told.after is not None, told.finding.obstacle
        cut_out = told.after.situation.plan.control.cut_out
        assert told.clears and not told.brings
        if cut_out is not None and cut_out.set_to is not None:
            assert allowed(cut_out.set_to) / FACTOR >= NIGHT * (1 - 1e-9)


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize(
    ("place", "floor", "size"),
    [
        ("lid", "40 x 30", "10 x 6 cm"),
        ("lid", "40 x 30", "38 x 28 cm"),
        ("floor", "30 x 40", "45 x 20 cm"),
        ("one side", "60 x 40", "10 x 10 cm"),
        ("all sides", "60 x 40", "60 x 5 cm"),
    ],
)
def test_a_heater_that_is_tried_lies_flat_where_it_is_to_lie(
    place: str, floor: str, size: str, units: str
) -> None:
    entries = {"units": units, "heat.place": place, "heat.size": size, "outer_box.inside": f"{floor} x 25 cm"}
    situation = checked(whole(with_entries(HEAT_BOX, entries)), OWN).situation
    floor_sides = sorted(float(side) / 100 for side in floor.split(" x "))
    walls = {
        "lid": floor_sides,
        "floor": floor_sides,
        "one side": [0.25, floor_sides[1]],
        "all sides": [0.25, 2 * sum(floor_sides)],
    }
    tried = 0
    for lever in ("heat.size", "heat.place", "heat"):
        for ladder in all_levers()[lever].values(case_at(situation, lever)):
            for change in ladder.changes:
                told = {setting.path: setting.value for setting in change.settings}
                length, width = read_quantity(told.get("heat.size", size), Kind("size2"))
                wall = walls[told.get("heat.place", place)]
                assert min(length, width) <= wall[0] + 1e-9 and max(length, width) <= wall[1] + 1e-9, (
                    change.words
                )
                tried += 1
    assert tried


def test_thicker_foam_leaves_the_inside_of_the_box_as_it_is() -> None:
    inside = HEAT_BOX["outer_box"]["inside"]
    length, width, height = read_quantity(inside, Kind("size3"))
    outside = " x ".join(f"{100 * side + 6:g}" for side in (length, width, height)) + " cm"
    plan = whole(with_entries(HEAT_BOX, {"outer_box.outside": outside, "outer_box.wall.thickness": "30 mm"}))
    del plan["outer_box"]["inside"]
    situation = checked(plan, OWN).situation
    (ladder,) = all_levers()["outer_box.wall.thickness"].values(case_at(situation, "outer_box"))
    for change in ladder.changes:
        box = checked(applied(plan, change), OWN).situation.plan.outer_box
        assert box.outside is not None and box.wall.thickness is not None
        assert box.outside.length - 2 * box.wall.thickness == pytest.approx(length, abs=1e-4)


@pytest.mark.parametrize("room", [None, "16 to 22 °C"])
def test_no_probe_stays_in_the_water_of_a_bath_that_goes(room: str | None) -> None:
    plan: Any = {
        "heat": {"source": "water bath", "place": "in water"},
        "control": {"probe": {"sits_in": "water"}},
    }
    plan |= {"room": {"temperature": room}, "outer_box": {"inside": "60 x 40 x 35 cm"}} if room else {}
    lever = lever_of("heat")
    assert lever is not None
    changes = [one for ladder in lever.values(case_at(situation_of(plan), "heat")) for one in ladder.changes]
    told = [{setting.path: setting.value for setting in one.settings} for one in changes]
    assert told and all(one["control.probe.sits_in"] == "air" for one in told if one["heat.source"] == "mat")


@pytest.mark.parametrize(("units", "steps"), [("metric", 2), ("us", 1)])
@pytest.mark.parametrize("set_to", ["84 °F", "28.7 °C", "26.1 °C"])
@pytest.mark.parametrize("above", ["1.6 °C", "2.9 °F"])
def test_what_is_proposed_for_a_dial_stands_on_its_scale(
    units: str, steps: int, set_to: str, above: str
) -> None:
    """Half °C or whole °F, for the cut-out too that moves with the set point: no 30.61 °C."""
    number, unit = set_to.split()
    gap, step = above.split()
    scale = 1.8 if (unit, step) == ("°F", "°C") else 1 / 1.8 if (unit, step) == ("°C", "°F") else 1.0
    cut_out = f"{float(number) + scale * float(gap):.2f} {unit}"
    entries = {"units": units, "control.set_to": set_to, "control.cut_out": {"set_to": cut_out}}
    situation = situation_of(whole(with_entries(HEAT_BOX, entries)), OWN)
    lever = lever_of("control.set_to")
    assert lever is not None
    told = [
        setting.value
        for ladder in lever.values(case_at(situation, "control.set_to"))
        for one in ladder.changes
        for setting in one.settings
        if setting.path in ("control.set_to", "control.cut_out.set_to")
    ]
    assert len(told) > 4
    assert [value for value in told if float(value.split()[0]) * steps % 1] == []
