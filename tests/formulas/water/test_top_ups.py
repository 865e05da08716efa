"""When water is added and how much: the band of the water content, or a box that grows heavier by a plan."""

import pytest

from advisor.formulas.water.egg_box_water import box_mass, plan_top_ups, run, water_content
from tests.formulas.water.boxes import GRAM, worked_budget_box


@pytest.mark.parametrize("allowed", [0.05, 0.15, 0.3])
def test_daily_top_ups_hold_the_band(allowed: float) -> None:
    box = worked_budget_box()
    top_ups = plan_top_ups(box, 60, range(1, 60), allowed)
    states = run(box, 60, {top_up.day: top_up.water for top_up in top_ups})
    contents = [water_content(box, state) for state in states]
    assert (1 - allowed) * contents[0] <= min(contents)
    # Nothing is added beyond the start.
    assert max(contents) <= contents[0] * (1 + 1e-9)
    # And no sooner than needed: without the last one the band would be left.
    fewer = run(box, 60, {top_up.day: top_up.water for top_up in top_ups[:-1]})
    assert min(water_content(box, state) for state in fewer) < (1 - allowed) * contents[0]


def test_top_ups_fall_on_check_days_only() -> None:
    box = worked_budget_box()
    top_ups = plan_top_ups(box, 60, [7, 14, 21, 26, 31, 36, 41, 44, 47, 50, 53, 56, 59])
    assert top_ups
    assert {top_up.day for top_up in top_ups} <= {7, 14, 21, 26, 31, 36, 41, 44, 47, 50, 53, 56, 59}


def test_first_top_up_comes_when_the_worked_rule_says() -> None:
    # Worked: 0.1 kg/kg of 200 g is used up in 12 days at 0.44 g/day of loss and 15 x 80 mg/day of uptake. A
    # top-up that lets w fall by 10 % at most therefore comes on day 12 at the latest.
    box = worked_budget_box(gain_at_hatching=0.08 * 60 / 12)
    first = plan_top_ups(box, 60, range(1, 60), 0.10)[0]
    assert first.day == 12
    assert first.water == pytest.approx(12 * 1.64 * GRAM, rel=0.01)


def test_no_top_up_where_none_is_needed() -> None:
    box = worked_budget_box(egg_count=0, vapour_conductance=1e-9)
    assert plan_top_ups(box, 60, range(1, 60)) == ()


@pytest.mark.parametrize("growth", [0.0, 0.02])
@pytest.mark.parametrize("checks", [[1, 7, 14, 21, 28], list(range(1, 30))])
def test_a_box_that_is_to_grow_has_its_mass_at_every_check(growth: float, checks: list[int]) -> None:
    box = worked_budget_box()
    doses = {dose.day: dose.water for dose in plan_top_ups(box, 30, checks, growth=growth)}
    assert list(doses) == checks
    states = run(box, 30, doses)
    first = box_mass(box, states[0])
    for day in checks:
        assert box_mass(box, states[day]) == pytest.approx(first + growth * day / 30, rel=1e-12)


def test_a_plan_goes_on_from_any_day_with_a_check_on_that_very_day() -> None:
    box = worked_budget_box()
    whole = plan_top_ups(box, 30, range(1, 31), growth=0.02)
    dry = run(box, 9, {dose.day: dose.water for dose in whole if dose.day < 9})[9]
    rest = plan_top_ups(box, 30, [3, *range(9, 31)], growth=0.02, start=dry)
    assert [dose.day for dose in rest] == list(range(9, 30))
    assert [dose.water for dose in rest] == pytest.approx([dose.water for dose in whole[8:]])
