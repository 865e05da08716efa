"""A ladder is climbed to the least change that works, with few tries."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from advisor.advice.levers.lever import Ladder
from advisor.advice.seek import BEYOND, Attempt, climbed
from advisor.advice.trials import brought, is_clear_of
from advisor.model.changes import Change, Setting
from advisor.model.findings import FIX, WATCH, Finding, NotJudged, Report


class Box:
    """Stands for a plan with one number: clear from a step on, and bringing something from another on."""

    def __init__(self, clear_from: int, brings_until: int = 0, brings_from: int = 10**6) -> None:
        self.clear_from, self.brings_until, self.brings_from = clear_from, brings_until, brings_from
        self.tried: list[int] = []

    def attempt(self, change: Change) -> Attempt:
        step = change.settings[0].value
        self.tried.append(step)
        brings = ("other",) if step < self.brings_until or step >= self.brings_from else ()
        return Attempt(replace(change, clears=step >= self.clear_from, brings=brings), None)  # type: ignore[arg-type]


def ladder(steps: int, steady: bool) -> Ladder:
    return Ladder(tuple(Change((Setting("entry", step),), f"{step}") for step in range(steps)), steady)


@given(st.integers(1, 200), st.integers(0, 220), st.booleans())
def test_the_least_step_that_clears_is_found(steps: int, clear_from: int, steady: bool) -> None:
    box = Box(clear_from)
    found = [attempt.change for attempt in climbed(ladder(steps, steady), box.attempt)]
    if clear_from >= steps:
        assert not any(change.works for change in found)
    else:
        assert found[-1].works and found[-1].settings[0].value == clear_from
    if steady:
        assert len(set(box.tried)) <= math.log2(steps) + 3


@given(st.integers(5, 60), st.integers(0, 40), st.integers(1, BEYOND))
def test_a_step_further_is_tried_where_the_first_brings_something(
    steps: int, clear_from: int, more: int
) -> None:
    box = Box(clear_from, brings_until=clear_from + more)
    found = [attempt.change for attempt in climbed(ladder(steps, True), box.attempt)]
    works = [change.settings[0].value for change in found if change.works]
    assert works == ([clear_from + more] if clear_from + more < steps else [])


def test_a_ladder_that_never_clears_still_tells_its_last_step() -> None:
    box = Box(100)
    found = [attempt.change for attempt in climbed(ladder(20, True), box.attempt)]
    assert [change.settings[0].value for change in found] == [19]


@pytest.mark.parametrize("subject", ["egg box 'eggs'", "clutch 1 (corn snake)"])
@pytest.mark.parametrize(
    ("need", "clear"),
    [
        ("room.humidity", False),
        ("nobody knows how dry perlite suits eggs", False),
        ("species/exempla.yaml: duration", False),
        ("species/exempla.yaml: sex.observed", False),
        ("species/exempla.yaml: tolerated", True),
    ],
)
def test_what_can_no_longer_be_judged_is_not_cleared(subject: str, need: str, clear: bool) -> None:
    """Whatever it is told about; a profile that lacks a figure at all temperatures lacked it before."""
    fault = Finding(FIX, "", "heat.power", rule="one", subject="egg box 'eggs'")
    unjudged = NotJudged((need,), "one", subject)
    before, after = Report((fault,), (), (), ()), Report((), (), (unjudged,), ())
    assert is_clear_of(fault, before, after) is clear
    assert is_clear_of(fault, before, Report((), ("one",), (), ()))
    elsewhere = replace(unjudged, rule="two")
    assert is_clear_of(fault, before, replace(after, not_judged=(elsewhere,)))
    other = replace(unjudged, subject="clutch 2 (corn snake)")
    both = replace(before, not_judged=(other,)), replace(after, not_judged=(other,))
    assert is_clear_of(fault, *both)


def test_to_trade_one_watch_for_another_is_no_remedy() -> None:
    """It is one for what has to be put right: a watch is less than that."""
    watch, new = Finding(WATCH, "", "heat.power", rule="one"), Finding(WATCH, "", "checks.rhythm", rule="new")
    fix = replace(watch, severity=FIX)
    change = Change((Setting("heat.power", "20 W"),), "Use it.")
    after = Report((new,), (), (), ())
    assert brought(watch, Report((watch,), (), (), ()), after, change) == ("new",)
    assert brought(fix, Report((fix,), (), (), ()), after, change) == ()
