"""What holds for every shipped profile: rules about a figure stay silent inside the profile's own range of it."""

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.model.figures import Figure
from advisor.model.findings import FIX, SEVERITIES, STOP, WATCH, Finding
from advisor.model.species import Species
from advisor.rules import rule_modules
from advisor.rules.engine import ask
from advisor.rules.heat_outside_species_band import FURTHEST
from advisor.rules.shared import cool_period_is_borne
from tests.changes import with_entries
from tests.profiles import PROFILES
from tests.support import situation_of

HERE = Path(__file__).parent
HEAT_BOX = yaml.load((HERE / "bases" / "heat_box.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
MODULES = {module.RULE.id: module for module in rule_modules()}


def findings(rule: str, plan: Any, own: Path | None = None) -> list[Finding]:
    answers = ask(MODULES[rule].RULE, MODULES[rule].check, situation_of(plan, own))
    return [answer for answer in answers if isinstance(answer, Finding)]


@pytest.mark.parametrize("species", PROFILES.values(), ids=PROFILES)
def test_a_room_that_stays_in_the_usual_band_is_nothing_to_put_right(species: Species) -> None:
    if species.aim is None:
        pytest.skip("no usual band is known")
    for set_to in (species.aim.low, species.aim.high):
        plan = {
            "room": {"temperature": f"18 to {species.aim.high:.3f} °C"},
            "control": {"set_to": f"{set_to:.3f} °C"},
            "clutches": [{"species": species.id}],
        }
        assert all(answer.severity not in (FIX, STOP) for answer in findings("heat-room-too-warm", plan))


@pytest.mark.parametrize("species", PROFILES.values(), ids=PROFILES)
def test_far_outside_the_usual_band_is_put_right_and_great_heat_stops_whatever_a_profile_leaves_open(
    species: Species,
) -> None:
    if species.aim is None:
        pytest.skip("no usual band is known")
    if species.tolerated is not None:
        assert species.aim.low - species.tolerated.low <= FURTHEST
        assert species.tolerated.high - species.aim.high <= FURTHEST

    def worst(set_to: float, room: str = "10 to 15 °C") -> set[str]:
        plan = {
            "room": {"temperature": room},
            "control": {"set_to": f"{set_to:.3f} °C"},
            "clutches": [{"species": species.id}],
        }
        rules = ("heat-outside-species-band", "heat-room-too-warm")
        return {one.severity for rule in rules for one in findings(rule, plan)}

    for set_to in (species.aim.low - FURTHEST - 0.1, species.aim.high + FURTHEST + 0.1):
        assert worst(set_to) & {FIX, STOP}
    assert worst(43.0) == worst((species.aim.low + species.aim.high) / 2, "30 to 43 °C") == {STOP}


@pytest.mark.parametrize(
    "species", [one for one in PROFILES.values() if one.cool_period], ids=lambda one: one.id
)
def test_a_cool_step_of_a_programme_is_judged_as_the_cool_period_that_the_profile_tells(
    species: Species,
) -> None:
    own, aim = species.cool_period, species.aim
    assert own is not None and aim is not None

    def steps(cool: float, days: float) -> list[str]:
        warm = f"{(aim.low + aim.high) / 2:.2f} °C"
        programme = [
            {"from_day": "0", "set_to": warm},
            {"from_day": "20", "set_to": f"{cool:.2f} °C"},
            {"from_day": f"{20 + days:.0f}", "set_to": warm},
        ]
        plan = {"control": {"programme": {"steps": programme}}, "clutches": [{"species": species.id}]}
        answers = findings("heat-outside-species-band", plan)
        return [answer.severity for answer in answers if "From day 20 on" in answer.message]

    for cool in (own.at.low, own.at.high):
        assert steps(cool, own.days.high) == []
    outside = own.at.low - 1.0
    if outside < aim.low:
        assert steps(outside, own.days.high) != []
        assert (own.at.low >= aim.low) or steps(own.at.low, own.days.high + 8.0) != []


JUDGE_EGGS = (
    "heat-outside-species-band",
    "heat-uneven-between-boxes",
    "profile-thin-evidence",
    "sex-heat-overrides",
    "control-never-checked",
)


@pytest.mark.parametrize("rule", JUDGE_EGGS)
@pytest.mark.parametrize("species", PROFILES.values(), ids=PROFILES)
def test_over_a_bath_the_eggs_are_judged_and_not_the_water_that_the_probe_reads(
    species: Species, rule: str
) -> None:
    if species.aim is None:
        pytest.skip("no usual band is known")
    middle, cooler = (species.aim.low + species.aim.high) / 2, 3.0

    def found(water: float, sits_in: str) -> list[tuple[str, str]]:
        checked = "nothing" if rule == "control-never-checked" else "ice point"
        fixed = {"set_to": f"{water:.3f} °C", "checked_against": checked}
        bath = {"heat": {"source": "water bath", "place": "in water"}} if sits_in == "water" else {}
        plan = {
            **bath,
            "control": {**fixed, "probe": {"sits_in": sits_in}},
            "egg_boxes": [{"name": "eggs", "count": "2"}],
            "clutches": [{"species": species.id, "box": "eggs"}],
        }
        way = [-cooler, -cooler - 1, -cooler + 1] if bath else [0.0, -0.1, 0.1]
        figures = {"clutches.0.warmth": way, "heat.spread": [0.8, 0.4, 1.2]}
        module = MODULES[rule]
        answers = ask(module.RULE, module.check, situation_of(plan, figures=figures))
        told = [one for one in answers if isinstance(one, Finding)]
        return [
            (one.severity, re.split(": |, (?=below|above)|, some | that can | is ", one.message)[-1])
            for one in told
        ]

    ends = (species.tolerated.low + 0.3, species.tolerated.high - 0.3) if species.tolerated else ()
    for eggs in (middle - 8.0, middle - 3.0, middle, middle + 3.0, *ends):
        assert found(eggs + cooler, "water") == found(eggs, "air")


BANDS = sorted((one.aim.low, one.aim.high, one.id) for one in PROFILES.values() if one.aim is not None)


@pytest.mark.parametrize("species", PROFILES.values(), ids=PROFILES)
def test_an_outer_box_of_their_own_is_for_eggs_that_no_shared_set_point_suits(species: Species) -> None:
    if species.aim is None:
        pytest.skip("no usual band is known")
    for low, high, other in (BANDS[0], BANDS[len(BANDS) // 2], BANDS[-1]):
        plan = {
            "control": {"set_to": f"{species.aim.high + 0.5:.3f} °C"},
            "clutches": [{"species": species.id}, {"species": other}],
        }
        told = findings("heat-outside-species-band", plan)[0]
        apart = max(low, species.aim.low) > min(high, species.aim.high)
        assert ("outer box of their own" in told.remedy, bool(told.obstacle)) == (apart, apart)


@pytest.mark.parametrize("species", PROFILES.values(), ids=PROFILES)
def test_the_cool_period_of_a_profile_is_no_fault_and_any_other_cold_is(species: Species) -> None:
    def found(at: str, days: str) -> list[Finding]:
        clutch = {"species": species.id, "cool_period": {"at": at, "days": days}}
        return findings("eggs-cool-period-unsuited", {"clutches": [clutch]})

    assert [answer.severity for answer in found("8 °C", "45")][:1] == [STOP]
    own = species.cool_period
    if own is not None:
        at = f"{own.at.low:.2f} to {own.at.high:.2f} °C"
        assert found(at, f"{own.days.low:.0f} to {own.days.high:.0f}") == []


@pytest.mark.parametrize("species", PROFILES.values(), ids=PROFILES)
def test_no_paper_orders_a_cool_period_that_a_rule_stops(species: Species) -> None:
    for tenths in range(50, 300, 15):
        clutch = {"species": species.id, "cool_period": {"at": f"{tenths / 10} °C", "days": "45"}}
        situation = situation_of({"clutches": [clutch]})
        planned = situation.plan.clutches[0].cool_period
        assert planned is not None
        module = MODULES["eggs-cool-period-unsuited"]
        answers = ask(module.RULE, module.check, situation)
        stopped = any(isinstance(answer, Finding) and answer.severity == STOP for answer in answers)
        assert stopped != cool_period_is_borne(planned, species)


@pytest.mark.parametrize("species", PROFILES.values(), ids=PROFILES)
def test_the_eggs_of_a_profile_are_like_themselves_and_a_slip_of_the_point_is_not(species: Species) -> None:
    eggs = species.eggs

    def severities(number: float, mass: float) -> list[str]:
        clutch = {"species": species.id, "eggs": f"{number:.0f}", "egg_mass": f"{mass * 1e3:.5g} g"}
        return [answer.severity for answer in findings("eggs-unlike-species", {"clutches": [clutch]})]

    numbers = (eggs.clutch.low, eggs.clutch.high) if eggs.clutch else (5.0,)
    masses = (eggs.mass.low, eggs.mass.high) if eggs.mass else (0.01,)
    assert all(severities(number, mass) == [] for number in numbers for mass in masses)
    if eggs.mass:
        if eggs.mass.high * 10 <= 1.0:  # the most that a plan may say
            assert severities(numbers[0], eggs.mass.high * 10) == [FIX]
        if eggs.mass.low / 10 >= 5e-5:  # the least that a plan may say
            assert severities(numbers[0], eggs.mass.low / 10) == [FIX]


@pytest.mark.parametrize("species", PROFILES.values(), ids=PROFILES)
def test_a_heater_too_weak_is_judged_by_what_the_eggs_get_and_not_by_what_the_probe_reads(
    species: Species,
) -> None:
    module = MODULES["heat-too-weak-for-room"]

    def worst(set_to: float, off: float, sits_in: str) -> list[str]:
        control = {**HEAT_BOX["control"], "set_to": f"{set_to:.3f} °C", "probe": {"sits_in": sits_in}}
        plan = {
            **HEAT_BOX,
            "control": control,
            "clutches": [{**HEAT_BOX["clutches"][0], "species": species.id}],
        }
        figures = {
            "heat.power_share": [2.0, 1.8, 2.2],
            "heat.watts_needed": [20.0, 18.0, 22.0],
            "clutches.0.warmth": [off, off - 1.0, off + 1.0],
        }
        answers = ask(module.RULE, module.check, situation_of(plan, figures=figures))
        return [one.severity for one in answers if isinstance(one, Finding)]

    for eggs in (22.0, 26.0, 30.0):
        for off in (-6.0, 4.0):
            told = worst(eggs - off, off, "water" if off < 0.0 else "air")
            assert told == worst(eggs, 0.0, "egg box medium")


@pytest.mark.parametrize(
    "material", ["vermiculite", "perlite", "sphagnum moss", "coconut fibre", "peat", "sand", "soil"]
)
def test_soft_eggs_in_hardly_any_water_are_stopped_in_every_medium_and_never_less_the_drier(
    material: str,
) -> None:
    def worst(water: float) -> int:
        mix = {"medium": "100", "water": f"{water:g}", "by": "mass"}
        medium = {"material": material, "grade": "unknown", "mix": mix}
        plan = {
            "egg_boxes": [{"name": "eggs", "medium": medium}],
            "clutches": [{"species": "pantherophis-guttatus", "box": "eggs"}],
        }
        found = findings("moisture-mix-too-dry", plan)
        return min((SEVERITIES.index(one.severity) for one in found), default=len(SEVERITIES))

    graded = [worst(water) for water in (0, 0.5, 1, 2, 3, 5, 8, 20, 50, 100)]
    assert graded == sorted(graded)
    assert graded[3] == SEVERITIES.index(STOP)


DRY_BOX = {
    "room": {"temperature": "18 to 24 °C", "humidity": "40 %"},
    "egg_boxes": [
        {
            "name": "eggs",
            "count": "1",
            "holds": "eggs",
            "inside": "20 x 14 x 9 cm",
            "lid": {"fit": "loose", "thickness": "1 mm", "holes": {"count": "12", "diameter": "8 mm"}},
            "medium": {"material": "none"},
        }
    ],
}


@pytest.mark.parametrize("species", PROFILES.values(), ids=PROFILES)
def test_bare_soft_eggs_in_dry_air_are_put_right_whatever_the_species(species: Species) -> None:
    if species.eggs.shell != "parchment" or species.aim is None:
        pytest.skip("no soft shell, or no band to set the box to")
    clutch = {
        "species": species.id,
        "eggs": "6",
        "egg_mass": "10 g",
        "box": "eggs",
        "placed": "over the medium",
    }
    plan = {**DRY_BOX, "control": {"set_to": f"{species.aim.low:.2f} °C"}, "clutches": [clutch]}
    situation = situation_of(plan)
    (found,) = findings("moisture-mix-too-dry", plan)
    known = isinstance(situation.forecast.clutches[0].incubation_days, Figure)
    assert found.severity in ((FIX, STOP) if known else (WATCH,))


@pytest.mark.parametrize("place", ["lid", "floor", "one side", "all sides"])
@pytest.mark.parametrize("source", ["mat", "cable", "bulb", "ceramic emitter", "water bath"])
@pytest.mark.parametrize("stands", ["on a rack", "on the floor", "on the heater"])
def test_no_fix_for_drops_where_docs_call_the_sign_rough_or_nothing_is_computed(
    place: str, source: str, stands: str
) -> None:
    mix = {"medium": "4", "water": "1", "by": "volume"}
    box = {
        "name": "eggs",
        "holds": "eggs",
        "stands": stands,
        "medium": {"material": "vermiculite", "mix": mix},
    }
    told = with_entries(
        HEAT_BOX,
        {
            "heat.place": place,
            "heat.source": source,
            "heat.size": "30 x 20 cm",
            "egg_boxes[0].stands": stands,
        },
    )
    untold = {"heat": {"place": place, "source": source}, "egg_boxes": [box]}
    for plan in (told, untold):
        for rule in ("heat-from-below-wet-medium", "heat-condensation-on-lid"):
            for answer in findings(rule, plan, HERE / "species_heat"):
                sure = place in ("lid", "floor") and source in ("mat", "cable") and plan is told
                assert sure or answer.severity not in (FIX, STOP)
