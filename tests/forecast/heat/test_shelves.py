"""Egg boxes on two shelves: the tiers follow from the heights, the gap between them counts, and they fit above each other."""

import pytest

from advisor.forecast.egg_box.room_for_boxes import BoxesInOuterBox, boxes_in_outer_box
from advisor.forecast.heat.setup import HeatSetup, heat_setup
from advisor.forecast.heat.tiers import solve
from advisor.model.plan import Plan
from tests.forecast.boxes import REFERENCE, plan_with

BOX = {**REFERENCE["egg_boxes"][0], "count": "2", "tier": "one"}


def shelves(low: str, high: str, outer: str = "60 x 40 x 40 cm") -> Plan:
    kinds = [{**BOX, "shelf_height": low}, {**BOX, "name": "more", "shelf_height": high}]
    return plan_with(
        {"egg_boxes": kinds, "outer_box.inside": outer, "control.probe.tier": "lower"}  # type: ignore[dict-item]
    )


def setup_of(plan: Plan) -> HeatSetup:
    found = heat_setup(plan)
    assert isinstance(found, HeatSetup), found
    return found


def test_kinds_on_two_shelves_are_two_tiers_as_far_apart_as_their_shelves() -> None:
    plan = shelves("2 cm", "20 cm")
    assert [box.tier for box in plan.egg_boxes] == ["lower", "upper"]
    base = setup_of(plan).base
    assert base.upper is not None
    # By hand: 20 - 2 cm less a box of 9 cm with two walls of 1 mm.
    assert base.tier_gap == pytest.approx(0.088)
    assert base.rack_height == pytest.approx(0.02)


def test_racks_that_differ_by_less_than_a_box_stay_one_tier() -> None:
    plan = shelves("2 cm", "6 cm")
    assert [box.tier for box in plan.egg_boxes] == ["one", "one"]
    assert setup_of(plan).base.upper is None


def test_under_a_warm_lid_the_higher_shelf_is_the_warmer_one() -> None:
    apart = [solve(setup_of(shelves("2 cm", high)), {}).spread for high in ("13 cm", "20 cm", "27 cm")]
    assert all(one is not None and one > 0.0 for one in apart)
    assert apart == sorted(apart, key=lambda one: one or 0.0)


def test_shelves_above_each_other_need_height_not_floor() -> None:
    def fits(plan: Plan) -> BoxesInOuterBox:
        found = boxes_in_outer_box(plan)
        assert isinstance(found, BoxesInOuterBox)
        return found

    # A floor for two boxes only: 48 x 20 cm under boxes of 20 x 15.
    high = fits(shelves("2 cm", "20 cm", "48 x 20 x 40 cm"))
    assert (high.side_by_side, high.in_height) == ("yes", "yes")
    # By hand: shelf of 20 cm, box of 9 cm, walls of 1 mm to 2 mm.
    assert high.height == pytest.approx(0.29, abs=0.006)
    assert fits(shelves("2 cm", "20 cm", "48 x 20 x 28 cm")).in_height == "no"
