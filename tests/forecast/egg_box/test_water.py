"""Water in whole plans: trade check values, ranges against draws of all inputs, conservation, missing entries."""

from typing import Any

import numpy as np
import psychrolib
import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from advisor.forecast.egg_box import water
from advisor.forecast.egg_box.water_inputs import (
    course,
    leakier,
    lower_limit,
    typical_values,
    uncertain_inputs,
    water_box,
)
from advisor.formulas.water.egg_box_water import daily_vapour_loss, run, start_state, water_content
from advisor.model.figures import Unknown
from advisor.reading.species import load_species
from tests.changes import changed
from tests.forecast.water_plans import (
    CHAMELEON,
    box_with,
    figure,
    mass_mix,
    model_with,
    situation_with,
    volume_mix,
)
from tests.support import ROOT, situation_of

GRAM = 1e-3
DAY = 86400.0
MIX, DEPTH = "egg_boxes[0].medium.mix", "egg_boxes[0].medium.depth"


def test_the_box_weighs_what_its_parts_weigh() -> None:
    # 14 eggs of 11 g, 1.4 l of vermiculite at 78 g a litre (grade sheets), and a quarter of 1.4 l of water.
    mass = dict(box_with({}).water.mass_by_day)[0]
    assert mass.value == pytest.approx(0.154 + 1.4 * 0.078 + 0.35, abs=1e-9)


@pytest.mark.parametrize(
    "changes", [{}, CHAMELEON, {**CHAMELEON, MIX: volume_mix(8)}], ids=["usual", "long", "long and dry"]
)
def test_ranges_hold_what_draws_of_all_inputs_give(changes: dict[str, str]) -> None:
    # 300 draws, each input from a two-sided normal whose 95 % are its low and high. A 95 % range should hold 285 of
    # them; the standard error is 4. Quadrature is exact for straight lines only, and drying is not one: 0.89 to 1.
    model, box = model_with(changes), box_with(changes)
    limit = lower_limit(model)
    assert not isinstance(limit, Unknown)
    draw = np.random.default_rng(4)
    inside = np.zeros(4)
    for _ in range(300):
        values = {}
        for entry in uncertain_inputs(model):
            step = draw.normal() / 1.96
            side = entry.typical - entry.low if step < 0 else entry.high - entry.typical
            values[entry.name] = entry.typical + step * side
        values["rim gap"] = min(max(values["rim gap"], 0.0), 0.5e-3)
        values["rim depth"] = max(values["rim depth"], 0.5e-3)
        drawn = water_box(model, values)
        start = start_state(drawn)
        content = water_content(drawn, start)
        found = course(drawn, start, values["days"], {"lasts": limit, "top-up": 0.85 * content})
        pairs = (
            (found["end"], box.water.water_at_hatching),
            (found["lasts"], box.water.lasts_until_day),
            (found["top-up"], box.water.first_top_up_day),
            (daily_vapour_loss(drawn, content) / DAY, box.water.water_loss),
        )
        inside += [figure(result).low <= value <= figure(result).high for value, result in pairs]
    assert all(count >= 0.89 * 300 for count in inside), inside


SPECIES = ("pantherophis-guttatus", "eublepharis-macularius", "pogona-vitticeps", "chamaeleo-calyptratus")


@settings(max_examples=40, deadline=None)
@given(
    species=st.sampled_from(SPECIES),
    eggs=st.integers(1, 40),
    egg_mass=st.floats(1, 30),
    length=st.integers(12, 35),
    depth=st.floats(1, 6),
    mix=st.one_of(st.floats(2, 20).map(volume_mix), st.floats(0.1, 3).map(mass_mix)),
    material=st.sampled_from(("vermiculite", "perlite", "sand", "sphagnum moss")),
    fit=st.sampled_from(("gasket", "clip", "loose")),
    holes=st.integers(0, 60),
    humidity=st.integers(5, 99),
    opens=st.sampled_from(("outer lid", "egg boxes")),
    leak=st.floats(0, 5),
)
def test_no_water_is_lost_or_made(
    species: str,
    eggs: int,
    egg_mass: float,
    length: float,
    depth: float,
    mix: dict[str, str],
    material: str,
    fit: str,
    holes: int,
    humidity: float,
    opens: str,
    leak: float,
) -> None:
    # Mass balance to 1e-9 of the whole, on every day of random plans, with top-ups, dew and a leaky lid.
    changes = {
        "clutches[0].species": species,
        "clutches[0].eggs": str(eggs),
        "clutches[0].egg_mass": f"{egg_mass:.2f} g",
        "egg_boxes[0].inside": f"{length} x 12 x 9 cm",
        DEPTH: f"{depth:.2f} cm",
        MIX: mix,
        "egg_boxes[0].medium.material": material,
        "egg_boxes[0].lid": {
            "fit": fit,
            "thickness": "1 mm",
            "holes": {"count": str(holes), "diameter": "2 mm"},
        },
        "room.humidity": f"{humidity} %",
        "checks": {"opens": opens, "lasting": "30 s", "rhythm": "thirds"},
    }
    model = model_with(changes)
    tight = water_box(model, typical_values(uncertain_inputs(model)))
    box = leakier(tight, leak)
    start = start_state(box)
    whole = start.medium_water + start.egg_mass
    states = run(box, 120, {30: 0.01, 60: 0.02})
    for state in states:
        held = state.medium_water + state.egg_mass + state.lost - state.topped_up
        assert held == pytest.approx(whole, abs=1e-9 * whole)
        assert min(state.medium_water, state.egg_mass, state.topped_up) >= 0.0
    # The forecast shows the same: what the scale loses between two days is what left, top-ups counted.
    forecast = box_with(changes)
    added = {top_up.day: top_up.water for top_up in forecast.water.top_ups}
    masses = {day: mass.value for day, mass in forecast.water.mass_by_day}
    water = {day: content.value * box.dry_medium for day, content in forecast.water.water_by_day}
    plain = run(tight, max(masses), added)
    for day, mass in masses.items():
        assert mass == pytest.approx(
            box.dry_medium + whole - plain[day].lost + plain[day].topped_up, abs=1e-9 * (1 + whole)
        )
        assert mass - box.dry_medium - water[day] == pytest.approx(
            plain[day].egg_mass, abs=1e-9 * (1 + whole)
        )


def test_the_day_the_mix_runs_dry_is_that_of_a_daily_run() -> None:
    changes = {**CHAMELEON, MIX: volume_mix(8)}
    model = model_with(changes)
    box = water_box(model, typical_values(uncertain_inputs(model)))
    daily = next(state.day for state in run(box, 250) if water_content(box, state) < 0.6)
    # Whole days against a straight line inside steps of three days.
    assert figure(box_with(changes).water.lasts_until_day).value == pytest.approx(daily - 0.5, abs=0.6)


def test_days_after_hatching_do_not_count_as_lasting() -> None:
    model = model_with({**CHAMELEON, MIX: volume_mix(8)})
    box = water_box(model, typical_values(uncertain_inputs(model)))
    found = course(box, start_state(box), 100.0, {"lasts": 0.6}, shown=(0, 240))
    assert found["lasts"] == 100.0
    assert found["water content 240"] < 0.6 < found["end"]


def test_a_room_that_is_dry_at_times_widens_the_loss_upward() -> None:
    steady, changing = (
        figure(box_with({"room.humidity": text}).water.water_loss) for text in ("50 %", "10 to 90 %")
    )
    assert changing.value == pytest.approx(steady.value)
    assert changing.high > 1.03 * steady.high


def test_over_a_bath_hardly_any_water_leaves() -> None:
    # Air over warm water is nearly full of vapour: by the room's air alone the box would lose 3 g a day and want topping up.
    text = (ROOT / "examples/first-season.yaml").read_text("utf-8")
    under_mat: Any = yaml.load(text, Loader=yaml.BaseLoader)
    under_mat = changed(under_mat, "egg_boxes[0].lid.holes", {"count": "12", "diameter": "6 mm"})
    over_bath = changed(under_mat, "heat", {"source": "water bath", "place": "in water", "power": "18 W"})
    dry, moist = (situation_of(plan).forecast for plan in (under_mat, over_bath))
    loss = [figure(plan.egg_boxes[0].water.water_loss) for plan in (dry, moist)]
    assert loss[1].high < 0.2 * loss[0].low
    top_up = [figure(plan.egg_boxes[0].water.first_top_up_day).value for plan in (dry, moist)]
    assert top_up[0] < 0.5 * top_up[1]


def test_opened_boxes_lose_what_their_openings_cost() -> None:
    opened = {"checks.opens": "egg boxes", "checks.lasting": "2 min"}
    box, shut = box_with(opened), box_with({})
    checks = situation_with(opened).forecast.clutches[0].check_days
    cost = len(checks) * figure(box.water.opening_loss).value / (1.4 * 0.078)
    fall = figure(shut.water.water_at_hatching).value - figure(box.water.water_at_hatching).value
    assert fall == pytest.approx(cost, rel=0.01)


def test_two_clutches_in_a_box_count_by_their_mass_and_share_the_stricter_limit() -> None:
    # A snake gains 0.3 (common practice), a rigid turtle egg loses 0.03 (judgement); 7 eggs of 11 g and 7 of 5 g.
    clutches = [
        {"species": "pantherophis-guttatus", "eggs": "7", "egg_mass": "11 g", "box": "eggs"},
        {"species": "pelodiscus-sinensis", "eggs": "7", "egg_mass": "5 g", "box": "eggs"},
    ]
    model = model_with({"clutches": clutches})
    assert model.load.eggs == 14
    assert model.load.egg_mass == pytest.approx(0.008)
    assert model.load.gain.typical == pytest.approx((11 * 0.3 - 5 * 0.03) / 16)
    assert lower_limit(model) == load_species("pelodiscus-sinensis", None).medium.water.low == 1.0


def test_eggs_take_water_though_the_scale_stands_still() -> None:
    # Mass balance: kept at its weight a box ends drier by just what the eggs took. Full uptake at these water contents.
    box, model = box_with({}), model_with({})
    start, kept = figure(box.water.water_per_dry_mass), figure(box.water.water_if_kept_at_weight)
    taken = 14 * 11 * GRAM * model.load.gain.typical / (1.4 * 0.078)
    assert start.value - kept.value == pytest.approx(taken, rel=1e-6)


def test_eggs_off_the_medium_drink_nothing() -> None:
    # Liquid water passes by contact alone; such eggs only hold or lose mass (judgement).
    lying, off = model_with({}), model_with({"clutches[0].placed": "over the medium"})
    assert lying.load.gain.typical > 0 >= off.load.gain.high


def test_a_drier_room_a_leakier_lid_and_more_holes_cost_water() -> None:
    usual = figure(box_with({}).water.water_loss).value
    for change in (
        {"room.humidity": "30 %"},
        {"egg_boxes[0].lid.fit": "loose"},
        {"egg_boxes[0].lid.holes.count": "10"},
        {"egg_boxes[0].lid.holes.diameter": "4 mm"},
        {"room.temperature": "12 to 16 °C"},
    ):
        assert figure(box_with(change).water.water_loss).value > 1.05 * usual, change


def test_a_room_in_frost_dries_a_box_as_one_at_0_degrees_does_at_most_a_little_more() -> None:
    # Air at 0 °C holds 611 Pa at most, at -15 °C 165 Pa over ice (WMO Guide No. 8), the box 3,780 Pa at 28 °C.
    frost, freezing = (
        figure(box_with({"room.temperature": room}).water.water_loss).value
        for room in ("-16 to -14 °C", "-1 to 1 °C")
    )
    assert frost == pytest.approx(freezing, rel=0.1)


@pytest.mark.parametrize(
    ("changes", "free"),
    [
        # Vermiculite of the medium grade holds 3.5 g/g: 700 g of water on 109.2 g leaves 317.8 g.
        ({MIX: volume_mix(2)}, 0.3178),
        # Perlite holds 0.28 of its volume: 1.4 l hold 392 g, the mix has 700 g.
        ({"egg_boxes[0].medium.material": "perlite", MIX: volume_mix(2)}, 0.308),
        # Sand at 1515 kg/m3: 2121 g hold 392 g; at 1:0.25 by mass there are 530 g.
        ({"egg_boxes[0].medium.material": "sand", MIX: mass_mix(0.25)}, 0.13825),
        ({MIX: volume_mix(4)}, 0.0),
    ],
)
def test_free_water_worked_by_hand(changes: dict[str, str], free: float) -> None:
    assert figure(box_with(changes).water.free_water).value == pytest.approx(free, abs=1e-6)


def test_a_weighed_litre_takes_the_density_out_of_the_range() -> None:
    weighed = box_with({"egg_boxes[0].medium.litre_mass": "85 g"})
    content = figure(weighed.water.water_per_dry_mass)
    # By hand: 4:1 by volume at 85 kg/m3 is 1000/(4 x 85) = 2.941 g/g.
    assert content.low == content.high == pytest.approx(2.941, rel=0.01)
    wide, narrow = figure(box_with({}).water.water_at_hatching), figure(weighed.water.water_at_hatching)
    assert narrow.high - narrow.low < wide.high - wide.low


def test_an_unknown_grade_widens_the_range_and_a_grade_left_out_is_asked_for() -> None:
    unknown = figure(box_with({"egg_boxes[0].medium.grade": "unknown"}).water.water_per_dry_mass)
    known = figure(box_with({}).water.water_per_dry_mass)
    assert unknown.low < known.low < known.high < unknown.high
    left_out = box_with({"egg_boxes[0].medium.grade": None}).water.water_per_dry_mass
    assert left_out == Unknown("the grade of the vermiculite is not told", ("egg_boxes[0].medium.grade",))


def test_an_opening_costs_at_least_the_moist_air_that_leaves() -> None:
    # 20 s change all the air over the medium (judgement: any opening over 20 s is a full change). Vapour by
    # psychrolib: 28 °C full of vapour inside, 20 °C and 50 % around; 20 x 14 x 4 cm of air.
    psychrolib.SetUnitSystem(psychrolib.SI)

    def vapour(temperature: float, humidity: float) -> float:
        return psychrolib.GetVapPresFromRelHum(temperature, humidity) / (461.5 * (temperature + 273.15))

    air = 0.20 * 0.14 * 0.04 * (vapour(28, 1.0) - vapour(20, 0.5))
    cost = figure(box_with({"checks.opens": "egg boxes", "checks.lasting": "20 s"}).water.opening_loss)
    assert cost.value > 0.99 * air
    # It goes on while the lid is off. ASHRAE's equation for a still water surface (from memory) gives A 0.089 (p - p_a)/Y,
    # in kPa and kJ/kg, 2.6 mg/s here; wet medium, a smaller surface and no draught: within a factor of 1.6.
    longer = figure(box_with({"checks.opens": "egg boxes", "checks.lasting": "60 s"}).water.opening_loss)
    ashrae = 0.028 * 0.089 * (psychrolib.GetSatVapPres(28) - 0.5 * psychrolib.GetSatVapPres(20)) / 1000 / 2436
    assert (longer.value - cost.value) / 40 == pytest.approx(ashrae, rel=0.6)
    assert longer.low < longer.value < longer.high
    assert figure(box_with({"checks.opens": "outer lid"}).water.opening_loss).high == 0.0


@pytest.mark.parametrize("changes", [{}, CHAMELEON], ids=["usual", "long"])
@pytest.mark.parametrize("parts", [4, 8])
def test_a_box_that_grows_ends_as_heavy_and_as_wet_as_planned(changes: dict[str, str], parts: int) -> None:
    contents = []
    for grams in (0, 20, 40, 120):
        box = box_with(
            {**changes, MIX: volume_mix(parts), "egg_boxes[0].top_up": {"to": f"+{grams} g by hatching"}}
        )
        days, masses = box.water.mass_by_day[-1][0], [mass.value for _, mass in box.water.mass_by_day]
        # The last check is days before the end: what passes the lid since then, and the growth of those days, are lacking.
        assert masses[-1] - masses[0] == pytest.approx(grams / 1000, abs=4e-3)
        for top_up in box.water.top_ups:
            grown = masses[0] + grams / 1000 * top_up.day / days
            assert dict(box.water.mass_by_day)[top_up.day].value == pytest.approx(grown, abs=1e-9)
        kept = figure(box.water.water_if_kept_at_weight)
        assert box.water.water_by_day[-1][1].value == pytest.approx(kept.value, abs=0.05)
        contents.append(kept.value)
    dry = 1.4 * 0.078  # kg, see above
    assert contents[1] - contents[0] == pytest.approx(0.020 / dry, rel=0.02)
    assert contents == sorted(contents)


def test_kept_at_its_first_weight_is_grown_by_nothing() -> None:
    kept, grown = (box_with({"egg_boxes[0].top_up": way}) for way in ("by weight", {"to": "+0 g"}))
    assert kept.water.water_if_kept_at_weight == replace(
        figure(grown.water.water_if_kept_at_weight), basis=figure(kept.water.water_if_kept_at_weight).basis
    )


@pytest.mark.parametrize("lid", [{}, {"egg_boxes[0].lid": "none"}])
def test_boxes_that_are_alike_share_their_water_and_each_asks_about_itself(lid: dict[str, str]) -> None:
    renamed = {**lid, "egg_boxes[0].name": "others", "clutches[0].box": "others"}
    water._results.cache_clear()
    first = box_with(lid).water
    before = water._results.cache_info().misses
    shared = box_with(renamed).water
    assert water._results.cache_info().misses == before
    water._results.cache_clear()
    assert shared == box_with(renamed).water
    assert "'eggs'" in figure(first.water_loss).matters_most
    assert figure(shared.water_loss).matters_most == figure(first.water_loss).matters_most.replace(
        "'eggs'", "'others'"
    )
