"""Uptake by eggs, water budget of an egg box and weighing, against published values and arithmetic by hand."""

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from scipy.integrate import solve_ivp

from advisor.formulas.air.moist_air import vapour_diffusivity
from advisor.formulas.air.vents import Vents, vents_conductance, wall_vapour_permeance
from advisor.formulas.water.egg_box_water import (
    EGG_KINDS,
    WaterBox,
    box_mass,
    daily_vapour_loss,
    egg_kind,
    plan_top_ups,
    run,
    start_state,
    steps_of,
    uptake_share,
)
from advisor.formulas.water.medium import (
    MEDIA,
)
from tests.formulas.water.boxes import (
    GRAM,
    KPA,
    MM,
    colubrid_box,
    vermiculite_water_content,
    worked_budget_box,
)
from tests.formulas.water.test_medium import medium_named

DAY = 86400.0
# Measured gains: shell, animal, egg g, share gained by hatching.
MEASURED_GAINS = [
    ("parchment", "turtle", 10.0, 0.60),  # Chelydra, Cunningham & Hurwitz 1938
    ("parchment", "turtle", 6.0, 0.70),  # Chrysemys, same
    ("parchment", "turtle", 10.0, 0.28),  # Terrapene carolina, same
    ("parchment", "turtle", 10.0, 0.06),  # Terrapene ornata at -150 kPa, Packard, Packard & Gutzke 1985
    ("parchment", "lizard", 0.54, 1.76),  # Phrynocephalus frontalis at 28 °C, Qu 2011 via Noble 2018
    ("parchment", "lizard", 0.51, 1.06),  # P. versicolor at 32 °C, same
    ("parchment", "lizard", 0.16, 1.26),  # Lampropholis guichenoti at 30 °C, Booth 2000 via Noble 2018
    ("parchment", "lizard", 0.35, 0.52),  # Bassiana duperreyi at 25 °C, same
    ("rigid", "turtle", 10.0, 0.0),  # Kinosternon subrubrum, Lynn & von Brand 1945: about nothing
]


@pytest.mark.parametrize(("shell", "animal", "grams", "gain"), MEASURED_GAINS)
def test_measured_gains_lie_in_the_band_of_their_kind(
    shell: str, animal: str, grams: float, gain: float
) -> None:
    band = egg_kind(shell, animal, grams * GRAM).gain_at_hatching
    assert band.low <= gain <= band.high


@pytest.mark.parametrize("animal", ["snake", "lizard", "turtle"])
def test_rigid_eggs_are_never_expected_to_gain(animal: str) -> None:
    # Thompson & Russell 1999 and Lynn & von Brand 1945: they lose a little or hold.
    band = egg_kind("rigid", animal, 5 * GRAM).gain_at_hatching
    assert max(band.low, band.typical, band.high) <= 0.0
    box = replace(colubrid_box(), gain_at_hatching=band.typical)
    states = run(box, 60)
    assert all(later.egg_mass <= states[0].egg_mass for later in states)


def test_small_lizard_eggs_gain_more_and_snake_eggs_less() -> None:
    typical = {kind.name: kind.gain_at_hatching.typical for kind in EGG_KINDS}
    assert egg_kind("parchment", "lizard", 0.5 * GRAM).name == "small lizard, parchment"
    assert egg_kind("parchment", "lizard", 1.35 * GRAM).name == "lizard, parchment"
    assert typical["snake, parchment"] < typical["lizard, parchment"] < typical["small lizard, parchment"]


def test_drying_medium_slows_uptake_to_nothing() -> None:
    # Full at -150 kPa (the tables' conditions), none at -707 kPa (Tracy, Packard & Packard 1978).
    assert uptake_share(-149 * KPA) == 1.0
    assert uptake_share(-428.5 * KPA) == pytest.approx(0.5)
    assert uptake_share(-708 * KPA) == 0.0


def test_eggs_take_their_full_gain_from_a_medium_without_a_curve() -> None:
    box = replace(colubrid_box(), medium=medium_named("sand"), start_water=0.2 * colubrid_box().dry_medium)
    start = start_state(box)
    full_gain = 14 * 11 * GRAM * box.gain_at_hatching / 60.0  # steady over the 60 days
    assert steps_of(box)(start, 1.0).egg_mass - start.egg_mass == pytest.approx(full_gain)


def test_vent_loss_worked_by_hand() -> None:
    # By hand: 2.6e-5 m2/s x (5 x 1.222 mm + 10 mm) = 4.19e-7 m3/s; 30.36 g/m3 x (0.999 - 0.6) = 12.1 g/m3; 86 400 s.
    # 99.9 % over the medium is -139 kPa.
    loss = daily_vapour_loss(worked_budget_box(), vermiculite_water_content(-139 * KPA))
    assert loss / GRAM == pytest.approx(0.437, rel=0.01)


@pytest.mark.parametrize(
    ("holes", "gap", "expected"),
    [(5, 0.0, 0.17), (0, 0.05, 0.27), (0, 0.10, 0.54), (5, 0.05, 0.44), (5, 0.10, 0.71)],
)
def test_worked_losses_through_holes_and_rim(holes: int, gap: float, expected: float) -> None:
    # Worked table, g/day at 60 % outside, two decimals.
    vents = Vents(holes, 2 * MM, 1 * MM, gap * MM, 1.0, 5 * MM)
    box = worked_budget_box(vapour_conductance=vents_conductance(vents, 2.6e-5))
    assert daily_vapour_loss(box, 0.977) / GRAM == pytest.approx(expected, abs=6e-3)


@pytest.mark.parametrize(("humidity", "factor"), [(0.4, 1.5), (0.8, 0.5)])
def test_drier_air_takes_more(humidity: float, factor: float) -> None:
    # Worked: times 1.5 at 40 %, times 0.5 at 80 %.
    usual = daily_vapour_loss(worked_budget_box(), 1.0)
    other = daily_vapour_loss(worked_budget_box(outside_relative_humidity=humidity), 1.0)
    assert other / usual == pytest.approx(factor, rel=0.01)


def test_default_diffusivity_gives_that_loss_within_2_percent() -> None:
    # Massman's 2.63e-5 against the handbook's rounded 2.6e-5 m2/s.
    vents = Vents(5, 2 * MM, 1 * MM, 0.05 * MM, 1.0, 5 * MM)
    box = worked_budget_box(vapour_conductance=vents_conductance(vents, vapour_diffusivity(30.0)))
    assert daily_vapour_loss(box, 0.977) / GRAM == pytest.approx(0.437, rel=0.02)


@pytest.mark.parametrize(("hole", "lid", "expected"), [(2, 1, 0.0603), (3, 1, 0.1039), (5, 1, 0.1966)])
def test_loss_of_one_hole_to_the_air_of_a_room(hole: float, lid: float, expected: float) -> None:
    # Worked, saturated 30 °C to 20 °C and 50 %, g/day to four decimals; 0.05 % for the air over the medium.
    vents = Vents(1, hole * MM, lid * MM, 0.0, 1.0, 5 * MM)
    box = worked_budget_box(
        vapour_conductance=vents_conductance(vents, 0.2630e-4),
        outside_temperature=20.0,
        outside_relative_humidity=0.5,
    )
    assert daily_vapour_loss(box, 3.0) / GRAM == pytest.approx(expected, abs=6e-5 + 5e-4 * expected)


def test_walls_and_openings_add_to_the_loss() -> None:
    # Worked, 0.123 m2 of 1 mm polypropylene to 30 °C and 70 %: 0.26 g/day, two digits.
    permeance = wall_vapour_permeance(0.123 / MM, 1e4)
    box = worked_budget_box(vapour_conductance=0.0, wall_permeance=permeance, outside_relative_humidity=0.7)
    assert daily_vapour_loss(box, 3.0) / GRAM == pytest.approx(0.26, abs=6e-3)
    assert daily_vapour_loss(replace(box, opening_loss=1e-4), 3.0) - daily_vapour_loss(
        box, 3.0
    ) == pytest.approx(1e-4)


def random_boxes() -> st.SearchStrategy[WaterBox]:
    return st.builds(
        WaterBox,
        medium=st.sampled_from(MEDIA),
        dry_medium=st.floats(0.01, 2.0),
        start_water=st.floats(0.0, 5.0),
        egg_count=st.integers(0, 60),
        egg_mass=st.floats(2e-4, 0.2),
        gain_at_hatching=st.floats(-0.3, 3.0),
        incubation_days=st.floats(20.0, 300.0),
        temperature=st.floats(15.0, 36.0),
        outside_temperature=st.floats(10.0, 36.0),
        outside_relative_humidity=st.floats(0.0, 1.0),
        vapour_conductance=st.floats(0.0, 1e-5),
        wall_permeance=st.floats(0.0, 1e-9),
        opening_loss=st.floats(0.0, 1e-3),
    )


@settings(max_examples=100, deadline=None)
@given(random_boxes(), st.dictionaries(st.integers(1, 80), st.floats(0.0, 0.3), max_size=5))
def test_water_is_conserved_and_nothing_falls_below_zero(box: WaterBox, top_ups: dict[int, float]) -> None:
    states = run(box, 80, top_ups)
    start = states[0].medium_water + states[0].egg_mass
    for state in states:
        total = state.medium_water + state.egg_mass + state.lost - state.topped_up
        assert total == pytest.approx(start, rel=1e-9, abs=1e-9)
        assert state.medium_water >= 0.0
        assert state.egg_mass >= 0.0
        # Dry medium is constant: the scale shows what is left of water and eggs, and nothing else.
        scale = box_mass(box, state)
        assert scale - state.medium_water - state.egg_mass == pytest.approx(box.dry_medium, abs=1e-9)
    assert states[-1].topped_up == pytest.approx(sum(top_ups.values()), abs=1e-12)


@settings(max_examples=100, deadline=None)
@given(random_boxes())
def test_dry_medium_gives_nothing(box: WaterBox) -> None:
    dry = replace(
        box, start_water=0.0, gain_at_hatching=max(0.0, box.gain_at_hatching), outside_relative_humidity=0.0
    )
    end = run(dry, 30)[-1]
    assert (end.medium_water, end.lost) == (0.0, 0.0)
    assert end.egg_mass == pytest.approx(dry.egg_count * dry.egg_mass)


@settings(max_examples=100, deadline=None)
@given(st.floats(0.0, 0.3), st.floats(1e-6, 0.05))
def test_more_water_at_the_start_never_leaves_less(water: float, more: float) -> None:
    less, greater = (
        run(worked_budget_box(start_water=amount), 60)[-1].medium_water for amount in (water, water + more)
    )
    assert less <= greater + 1e-12


def test_loss_fades_smoothly_as_the_medium_dries() -> None:
    # scipy integrates dW/dt = -L min(1, W / (0.1 dry mass)) for a box without eggs, in a medium without a
    # curve.
    box = worked_budget_box(
        medium=medium_named("perlite"),
        egg_count=0,
        start_water=0.03,
        vapour_conductance=2e-6,
        outside_relative_humidity=0.0,
    )
    loss = daily_vapour_loss(box, 0.1)
    solution = solve_ivp(
        lambda _, water: [-loss * min(1.0, water[0] / 0.02)],
        (0.0, 20.0),
        [0.03],
        rtol=1e-9,
        atol=1e-12,
        max_step=0.05,
    )
    assert run(box, 20)[-1].medium_water == pytest.approx(solution.y[0][-1], rel=1e-5)


def test_whole_days_are_short_enough_steps() -> None:
    # Steps of a tenth of a day against whole days: the difference is the error of the step, well below the
    # scale.
    box = colubrid_box()
    state = start_state(box)
    for _ in range(600):
        state = steps_of(box)(state, 0.1)
    assert state.medium_water == pytest.approx(run(box, 60)[-1].medium_water, abs=1e-5)


def test_eggs_take_less_from_a_dry_medium() -> None:
    # One day at -428.5 kPa, half-way between -150 and -707 kPa: half the usual 1/60 of 40 % of 180 g.
    dry = 0.2 * vermiculite_water_content(-428.5 * KPA)
    box = worked_budget_box(start_water=dry)
    start = start_state(box)
    assert steps_of(box)(start, 1.0).egg_mass - start.egg_mass == pytest.approx(0.5 * 72 * GRAM / 60)


def test_uptake_stops_at_hatching() -> None:
    states = run(colubrid_box(), 80)
    assert states[60].egg_mass == pytest.approx(1.3 * 14 * 11 * GRAM)
    assert states[80].egg_mass == pytest.approx(states[60].egg_mass)


def test_damper_air_outside_wets_the_medium() -> None:
    # Physics: vapour flows to where there is less of it. A cool egg box over warm water gains.
    box = worked_budget_box(outside_temperature=33.0, outside_relative_humidity=1.0, egg_count=0)
    end = run(box, 10)[-1]
    assert end.medium_water > box.start_water
    assert end.lost < 0.0


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: egg_kind("leathery", "snake", 0.01), "must be parchment or rigid"),
        (lambda: egg_kind("parchment", "bird", 0.01), "and snake, lizard or turtle"),
        (lambda: run(worked_budget_box(dry_medium=0.0), 5), "dry medium is 0 kg"),
        (lambda: run(worked_budget_box(outside_relative_humidity=50.0), 5), "must be from 0 to 1"),
        (lambda: run(worked_budget_box(), 0), "must be from 1 to 600 days"),
        (lambda: run(worked_budget_box(), 5, {9: 0.01}), "day of a top-up is 9"),
        (lambda: run(worked_budget_box(), 5, {2: -0.01}), "water added is -0.01 kg"),
        (
            lambda: steps_of(worked_budget_box())(start_state(worked_budget_box()), 30.0),
            "must be from 1e-06 to 7 days",
        ),
        (lambda: plan_top_ups(worked_budget_box(), 60, [7], 0.0), "allowed change is 0"),
    ],
)
def test_out_of_range_input_names_the_range(call: Callable[[], object], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        call()
