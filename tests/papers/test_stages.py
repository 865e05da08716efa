"""Stages: 5 to 9 items each, whatever the plan; nothing lost, nothing reordered."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.papers.checklist.stages import FEWEST_ITEMS, MOST_ITEMS, Item, ItemGroup, numbered, stages_from

# From memory: checklist practice in surgery and aviation, 5 to 9 items a pause.
assert (FEWEST_ITEMS, MOST_ITEMS) == (5, 9)


def groups(sizes: list[int]) -> list[ItemGroup]:
    return [
        ItemGroup(f"group {number}", tuple(Item(f"{number}-{place}") for place in range(size)))
        for number, size in enumerate(sizes)
    ]


@settings(max_examples=100, deadline=None)
@given(st.lists(st.integers(0, 30), max_size=6))
def test_items_keep_their_order_and_none_is_lost(sizes: list[int]) -> None:
    wanted = [item for group in groups(sizes) for item in group.items]
    stages = stages_from("Stage", "some day", groups(sizes))
    assert [item for stage in stages for item in stage.items] == wanted


@settings(max_examples=100, deadline=None)
@given(st.lists(st.integers(0, 30), max_size=6))
def test_every_stage_has_five_to_nine_items_when_there_are_five(sizes: list[int]) -> None:
    stages = stages_from("Stage", "some day", groups(sizes))
    if sum(sizes) >= FEWEST_ITEMS:
        assert all(FEWEST_ITEMS <= len(stage.items) <= MOST_ITEMS for stage in stages)


@settings(max_examples=100, deadline=None)
@given(st.lists(st.integers(0, 30), max_size=6))
def test_every_stage_has_a_name_of_its_own(sizes: list[int]) -> None:
    names = [stage.name for stage in stages_from("Stage", "some day", groups(sizes))]
    assert len(set(names)) == len(names)


def test_a_short_stage_keeps_its_plain_name() -> None:
    (stage,) = stages_from("Gather", "soon", groups([4, 5]))
    assert stage.name == "Gather"


def test_a_long_stage_is_split_into_named_ones() -> None:
    assert [stage.name for stage in stages_from("Gather", "soon", groups([6, 7]))] == [
        "Gather: group 0",
        "Gather: group 1",
    ]


def test_numbers_run_through_stage_and_item() -> None:
    stages = numbered(stages_from("Gather", "soon", groups([6, 7])))
    assert [item.number for item in stages[1].items][:2] == ["2.1", "2.2"]


@pytest.mark.parametrize("size", range(1, 40))
def test_one_long_group_is_cut_evenly(size: int) -> None:
    sizes = [len(stage.items) for stage in stages_from("Build", "soon", groups([size]))]
    assert max(sizes) - min(sizes) <= 1
