"""Boxes whose course keepers know: what the water forecast has to say of them."""

import datetime
from itertools import pairwise

import pytest

from tests.forecast.egg_box.test_water import DEPTH, MIX
from tests.forecast.water_plans import (
    CHAMELEON,
    box_with,
    figure,
    findings_with,
    severities,
    situation_with,
    volume_mix,
)


@pytest.mark.parametrize("depth", ["4 cm", "5 cm"])
@pytest.mark.parametrize("holes", ["4", "5"])
def test_t1_a_usual_box_needs_no_top_up_in_60_days_and_ends_a_little_drier(depth: str, holes: str) -> None:
    """common practice, no source"""
    changes = {DEPTH: depth, "egg_boxes[0].lid.holes.count": holes}
    box = box_with(changes)
    start, end = figure(box.water.water_per_dry_mass), figure(box.water.water_at_hatching)
    assert figure(box.water.lasts_until_day).value >= 50  # hatching comes first
    # Drier than it began, and even the dry end of the range stays above the species' 0.6 g/g.
    assert 0.6 < end.low < end.value < start.value
    # "Gently": most of the water is still there.
    assert end.value > 0.5 * start.value
    assert box.water.top_ups == ()
    # Wet but usable: nothing about water, and no water stands free.
    assert figure(box.water.free_water).value == 0.0
    found = severities(findings_with(changes))
    assert not [rule for rule in found if rule.startswith("moisture-")]
    assert set(found.values()) <= {"note"}


@pytest.mark.parametrize("depth", ["4 cm", "5 cm", "1.5 in", "2 in"])
def test_t2_the_usual_depth_and_placing_pass(depth: str) -> None:
    """common practice, no source"""
    found = severities(findings_with({DEPTH: depth, "clutches[0].placed": "half buried"}))
    assert not {"moisture-medium-too-shallow", "eggs-buried"} & set(found)


def test_t2_14_eggs_have_room_for_equal_gaps() -> None:
    """common practice, no source"""
    assert figure(box_with({}).places_for_eggs).value >= 14


def test_t8_default_checks_come_every_7_5_and_3_days() -> None:
    """common practice, no source"""
    forecast = situation_with({}).forecast.clutches[0]
    days, third = (0, *forecast.check_days), figure(forecast.incubation_days).value / 3
    for earlier, later in pairwise(days):
        assert later - earlier <= (7 if earlier <= third else 5 if earlier <= 2 * third else 3)
    assert {later - earlier for earlier, later in pairwise(days)} == {7, 5, 3}
    assert not [rule for rule in severities(findings_with({})) if rule.startswith("air-checks")]


def test_t11_the_same_box_is_not_passed_as_enough_for_a_chameleon() -> None:
    """common practice, no source"""
    changes = {**CHAMELEON, "clutches[0].laying": {"laid_on": "2027-05-11"}}
    box = box_with(changes)
    end, lasts = figure(box.water.water_at_hatching), figure(box.water.lasts_until_day)
    # It usually lasts, and its likely range reaches the species' lower limit before hatching.
    assert end.low < 0.6 < end.value
    assert lasts.low < 220
    assert severities(findings_with(changes))["moisture-mix-too-short"] == "watch"
    assert box.water.top_ups
    for top_up in box.water.top_ups:
        assert top_up.date == datetime.date(2027, 5, 11) + datetime.timedelta(days=top_up.day)


@pytest.mark.parametrize("set_to", ["25 °C", "28 °C"])
def test_t11_an_8_to_1_mix_falls_short_outright(set_to: str) -> None:
    """common practice, no source"""
    changes = {**CHAMELEON, MIX: volume_mix(8), "control.set_to": set_to}
    assert figure(box_with(changes).water.water_at_hatching).value < 0.6
    assert severities(findings_with(changes))["moisture-mix-too-short"] in ("fix", "stop")


@pytest.mark.parametrize("parts", [4, 8])
def test_t11_the_top_ups_keep_the_water_near_its_start(parts: int) -> None:
    """common practice, no source (within 15 % of the start)"""
    box = box_with({**CHAMELEON, MIX: volume_mix(parts)})
    start = figure(box.water.water_per_dry_mass).value
    # A hundredth is left for whole days.
    assert min(content.value for _, content in box.water.water_by_day) >= 0.84 * start
    assert max(content.value for _, content in box.water.water_by_day) <= 1.001 * start
