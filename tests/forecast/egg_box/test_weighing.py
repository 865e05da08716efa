"""Reading a weighing: simulated boxes give back what was put in, eggs are counted in, water is conserved."""

import datetime
from collections.abc import Mapping

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from advisor.forecast.egg_box.water_inputs import leakier, typical_values, uncertain_inputs, water_box
from advisor.forecast.egg_box.weighing import forecast_weighing
from advisor.formulas.water.egg_box_water import WaterBox, WaterState, box_mass, run, water_content
from advisor.model.figures import Unknown
from advisor.model.water_answers import Weighed, WeighingAnswer
from advisor.report.weighing import weighing_lines
from advisor.show import Show
from tests.forecast.water_plans import CHAMELEON, figure, mass_mix, model_with, situation_with, volume_mix

GRAM = 1e-3
TARE = 0.090


def weighed(changes: Mapping[str, object], reading: Weighed, eggs: int | None = None) -> WeighingAnswer:
    situation = situation_with(changes)
    answer = forecast_weighing(situation.plan, situation.species, 0, reading, eggs)
    assert isinstance(answer, WeighingAnswer), answer
    return answer


def refused(changes: Mapping[str, object], reading: Weighed) -> Unknown:
    situation = situation_with(changes)
    answer = forecast_weighing(situation.plan, situation.species, 0, reading)
    assert isinstance(answer, Unknown)
    return answer


def simulated(
    changes: Mapping[str, object], leak: float, day: int, **values: float
) -> tuple[WaterBox, WaterState, float, float]:
    """A box that leaks `leak` times as much as forecast: its state on a day, and what a scale in grams showed twice."""
    model = model_with(changes)
    box = leakier(water_box(model, {**typical_values(uncertain_inputs(model)), **values}), leak)
    states = run(box, day)
    first, now = (round(box_mass(box, state) + TARE, 3) for state in (states[0], states[-1]))
    return box, states[-1], first, now


@pytest.mark.parametrize("leak", [0.5, 1.0, 2.0, 4.0])
@pytest.mark.parametrize(
    "changes", [{}, CHAMELEON, {"egg_boxes[0].medium.mix": mass_mix(1)}], ids=["usual", "long", "1:1 by mass"]
)
def test_a_simulated_leak_is_given_back_within_the_scale_step(
    changes: Mapping[str, object], leak: float
) -> None:
    box, state, first, now = simulated(changes, leak, 20)
    answer = weighed(changes, Weighed(20, now, start_mass=first))
    # Two readings to the gram may be half a gram off each; the loss of 20 days is the unit.
    step = 0.001 / (state.lost / leak)
    assert answer.leak.value == pytest.approx(leak, abs=step)
    assert answer.leak.low <= leak <= answer.leak.high
    assert answer.content.value == pytest.approx(water_content(box, state), abs=0.001 / box.dry_medium)
    assert answer.lost.value == pytest.approx(state.lost, abs=0.001)
    assert answer.drunk.value == pytest.approx(state.egg_mass - box.egg_count * box.egg_mass, abs=1e-4)


def test_without_a_first_weighing_the_truth_lies_in_the_range() -> None:
    # The box was filled with a heavier vermiculite than is typical of its grade, and leaks twice as much.
    box, state, _, now = simulated({}, 2.0, 40, density=86.0)
    answer = weighed({}, Weighed(40, now, tare=TARE))
    assert answer.content.low <= water_content(box, state) <= answer.content.high
    assert answer.leak.low <= 2.0 <= answer.leak.high
    # A first weighing takes most of that doubt away.
    known = weighed({}, Weighed(40, now, start_mass=round(box_mass(box, run(box, 1)[0]) + TARE, 3)))
    assert known.leak.high - known.leak.low < (answer.leak.high - answer.leak.low) / 3


# 200 g of vermiculite (2 l of 100 g) and 200 g of water, 15 eggs of 12 g.
B1: dict[str, object] = {
    "egg_boxes[0].inside": "20 x 20 x 9 cm",
    "egg_boxes[0].medium.litre_mass": "100 g",
    "egg_boxes[0].medium.mix": mass_mix(1),
    "clutches[0].eggs": "15",
    "clutches[0].egg_mass": "12 g",
}


def test_eggs_take_72_grams_and_the_scale_stands_still() -> None:
    # By hand: 15 eggs of 12 g that gained 40 % weigh 16.8 g each and took 72 g; the box weighs what it did; 128/200 = 0.64.
    answer = weighed(B1, Weighed(50, 0.67, start_mass=0.67, egg_mass=0.0168))
    assert answer.drunk.value == pytest.approx(0.072)
    assert answer.content.value == pytest.approx(0.64, rel=0.01)
    assert answer.lighter.value == 0.0
    # 580 g of medium, water and eggs in a box of 90 g say the same.
    assert weighed(B1, Weighed(50, 0.67, tare=TARE, egg_mass=0.0168)).content.value == pytest.approx(
        0.64, rel=0.01
    )
    shown = " ".join(line.text for line in weighing_lines(answer, Show(), width=1000))
    assert "72 g, by their own weight" in shown
    assert "so the scale does not show it" in shown
    assert "as heavy as on laying day" in shown


def test_eggs_weighed_narrow_the_range() -> None:
    reading = Weighed(30, 0.66, start_mass=0.67)
    guessed, known = weighed(B1, reading), weighed(B1, replace(reading, egg_mass=0.0135))
    assert known.content.high - known.content.low < (guessed.content.high - guessed.content.low) / 2
    for answer, words in ((guessed, "as such eggs usually do"), (known, "by their own weight")):
        assert words in " ".join(line.text for line in weighing_lines(answer, Show(), width=1000))


@settings(max_examples=40, deadline=None)
@given(
    day=st.integers(1, 50),
    lost=st.floats(0, 0.08),
    added=st.floats(0, 0.08),
    egg_mass=st.floats(0.0095, 0.0135),
    tare=st.floats(0, 0.3),
)
def test_no_water_is_lost_or_made_in_reading_a_weighing(
    day: int, lost: float, added: float, egg_mass: float, tare: float
) -> None:
    # Medium water now + eggs now + what left = medium water then + eggs then + what was added, to 1e-9 kg.
    start = tare + 0.200 + 0.200 + 15 * 0.012
    mass = start - lost + added
    answer = weighed(B1, Weighed(day, mass, start_mass=start, added=added, egg_mass=egg_mass))
    held = answer.content.value * 0.2 + 15 * egg_mass + answer.lost.value
    assert held == pytest.approx(0.2 + 15 * 0.012 + added, abs=1e-9)
    assert answer.lost.value == pytest.approx(lost, abs=1e-9)
    if answer.add_now.value:
        assert answer.content.value + answer.add_now.value / 0.2 == pytest.approx(1.0, abs=1e-9)


def test_water_added_since_counts_as_lost_when_the_box_weighs_the_same() -> None:
    answer = weighed(B1, Weighed(30, 0.67, start_mass=0.67, added=0.02))
    assert answer.lost.value == pytest.approx(0.02)


def test_a_dry_box_is_told_what_to_add_today_and_the_dates_of_the_next() -> None:
    changes = {
        **CHAMELEON,
        "egg_boxes[0].medium.mix": volume_mix(8),
        "clutches[0].laying": {"laid_on": "2027-05-11"},
    }
    _, _, first, now = simulated(changes, 2.0, 60)
    answer = weighed(changes, Weighed(60, now, start_mass=first))
    start = answer.content_at_start
    assert answer.add_now.value == pytest.approx((start - answer.content.value) * 1.4 * 0.078, rel=1e-9)
    assert answer.top_ups[0].day == 60
    assert all(
        top_up.date == datetime.date(2027, 5, 11) + datetime.timedelta(days=top_up.day)
        for top_up in answer.top_ups
    )
    # A leak twice as large: it dries sooner than forecast, and the top-ups that are told keep it near its start.
    assert figure(answer.lasts).value < figure(answer.before.lasts_until_day).value
    shown = " ".join(line.text for line in weighing_lines(answer, Show(), width=1000))
    assert (
        f"Add {answer.add_now.value * 1000:.0f} g of water to this box now, at the edge and never on the eggs"
        in shown
    )
    assert "Look at the lid" in shown


def test_a_box_that_holds_its_water_gets_none() -> None:
    _, _, first, now = simulated({}, 1.0, 14)
    answer = weighed({}, Weighed(14, now, start_mass=first))
    assert answer.add_now.value == 0.0
    assert all(top_up.day > 14 for top_up in answer.top_ups)
    shown = " ".join(line.text for line in weighing_lines(answer, Show(), width=1000))
    assert "Add nothing now." in shown and "Look at" not in shown


def test_a_weighing_as_forecast_changes_nothing() -> None:
    _, _, first, now = simulated({}, 1.0, 20)
    answer = weighed({}, Weighed(20, now, start_mass=first))
    before, after = figure(answer.before.water_at_hatching), figure(answer.end)
    # The scale's gram on 12 g of loss is 8 %, the loss until hatching a tenth of the water: 0.05 g/g is ample.
    assert after.value == pytest.approx(before.value, abs=0.05)
    assert after.high - after.low < before.high - before.low


def test_little_loss_asks_for_the_holes() -> None:
    _, _, first, now = simulated({}, 0.2, 40)
    answer = weighed({}, Weighed(40, now, start_mass=first))
    shown = " ".join(line.text for line in weighing_lines(answer, Show(), width=1000))
    assert "Look at the holes" in shown


def test_rigid_eggs_are_said_to_take_up_nothing() -> None:
    changes = {
        "clutches[0].species": "testudo-hermanni",
        "control.set_to": "31 °C",
        "egg_boxes[0].medium.mix": mass_mix(1),
    }
    _, _, first, now = simulated(changes, 1.0, 20)
    answer = weighed(changes, Weighed(20, now, start_mass=first))
    assert answer.drunk.high <= 1e-4
    shown = " ".join(line.text for line in weighing_lines(answer, Show(), width=1000))
    assert "rigid eggs take up next to no water" in shown
    assert "keep it in the box" not in shown and "--egg-mass-now" not in shown


def test_more_eggs_in_one_box_drink_more() -> None:
    reading = Weighed(30, 0.64, start_mass=0.67)
    more, planned = weighed(B1, reading, eggs=20).drunk.value, weighed(B1, reading).drunk.value
    # A third more, and a little less of it since the medium gets drier.
    assert 1.3 * planned < more < 20 / 15 * planned


@pytest.mark.parametrize(
    ("reading", "said"),
    [
        (Weighed(20, 0.90, tare=0.0), "heavier than the plan allows"),
        (Weighed(20, 0.30, start_mass=0.67, egg_mass=0.02), "more water is gone than the box held"),
        (Weighed(200, 0.60, start_mass=0.67), "after the likely hatching"),
    ],
)
def test_a_weighing_that_cannot_be_is_refused(reading: Weighed, said: str) -> None:
    assert said in refused(B1, reading).reason


@pytest.mark.parametrize(
    "entry",
    [
        "room.humidity",
        "control.set_to",
        "egg_boxes[0].lid.fit",
        "egg_boxes[0].medium.mix",
        "clutches[0].eggs",
    ],
)
def test_an_entry_left_out_of_the_plan_is_named(entry: str) -> None:
    assert refused({entry: None}, Weighed(20, 0.6)).needs == (entry,)


def test_eggs_overdue_can_still_be_weighed() -> None:
    late = figure(situation_with({}).forecast.clutches[0].incubation_days)
    day = round(late.value) + 3
    assert day < late.high
    _, _, first, now = simulated({}, 1.0, day)
    answer = weighed({}, Weighed(day, now, start_mass=first))
    assert answer.top_ups == ()
    assert figure(answer.lasts).low >= day
