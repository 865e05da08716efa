"""Which egg box is in use when: as many boxes as the worst season takes, whatever the days turn out to be."""

import datetime
import math
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.forecast.clutch.dates import hatch_window, laying_window
from advisor.forecast.egg_box.use import box_use
from advisor.model.figures import Figure, Unknown
from advisor.model.forecast import BoxUse, ClutchForecast
from advisor.model.plan import Clutch, EggBox, Laying, Plan, Range, Repeats
from advisor.reading.species import load_species
from tests.support import situation_of

GECKO = load_species("eublepharis-macularius")
START = datetime.date(2027, 2, 1)
ENTRIES = st.lists(
    st.tuples(
        st.integers(0, 90),  # first likely laying day
        st.integers(0, 20),  # days the first laying is open
        st.integers(5, 40),  # shortest interval
        st.integers(0, 20),  # and how much longer the longest is
        st.integers(0, 6),  # times
    ),
    min_size=1,
    max_size=3,
)


def season(entries: list[tuple[int, int, int, int, int]], longest: int) -> tuple[Plan, list[ClutchForecast]]:
    clutches, forecasts = [], []
    for entry, (first, open_for, every, more, times) in enumerate(entries):
        window = (START + datetime.timedelta(first), START + datetime.timedelta(first + open_for))
        repeats = Repeats(Range(every, every + more), times) if times else None
        for nth in range(times + 1):
            clutch = Clutch(
                GECKO.id,
                2,
                3e-3,
                "eggs",
                laying=Laying(expected=window),
                repeats=repeats,
                entry=entry,
                nth=nth,
            )
            days = Figure(longest - 5, longest - 10, longest, "days")
            laid = laying_window(clutch, GECKO)
            clutches.append(clutch)
            forecasts.append(
                ClutchForecast(GECKO.id, days, Unknown("-"), laid, hatch_window(laid, days), None, ())
            )
    return Plan(tuple(clutches), egg_boxes=(EggBox("eggs", count=1),)), forecasts


def use_of(plan: Plan, forecasts: list[ClutchForecast]) -> BoxUse:
    found = box_use(plan, 0, {GECKO.id: GECKO}, forecasts)
    assert isinstance(found, BoxUse)
    return found


@settings(max_examples=200)
@given(ENTRIES, st.integers(15, 100), st.randoms(use_true_random=False))
def test_no_season_that_the_plan_allows_takes_more_boxes(
    entries: list[tuple[int, int, int, int, int]], longest: int, chance: Any
) -> None:
    plan, forecasts = season(entries, longest)
    use = use_of(plan, forecasts)
    stays = []
    for first, open_for, every, more, times in entries:
        day = first + chance.randint(0, open_for)
        for _ in range(times + 1):
            stays.append((day, day + longest))
            day += chance.randint(every, every + more)
    assert max(sum(one <= day <= last for one, last in stays) for day, _ in stays) <= use.needed


@settings(max_examples=200)
@given(ENTRIES, st.integers(15, 100))
def test_some_season_that_the_plan_allows_takes_all_of_them(
    entries: list[tuple[int, int, int, int, int]], longest: int
) -> None:
    """One is made for the worst day, which is the first of some clutch."""
    plan, forecasts = season(entries, longest)
    use = use_of(plan, forecasts)
    worst = max(forecasts[place].laying_window[0] for place in use.together)  # type: ignore[index]
    day, count = (worst - START).days, 0
    for entry, (first, open_for, every, more, _) in enumerate(entries):
        there = sorted(
            plan.clutches[place].nth for place in use.together if plan.clutches[place].entry == entry
        )
        if not there:
            continue
        # The oldest is laid so late that it still lies in, the others after it at the shortest interval.
        oldest = max(day - longest, first + there[0] * every)
        for nth in there:
            laid = oldest + (nth - there[0]) * every
            assert first + nth * every <= laid <= first + open_for + nth * (every + more)
            count += laid <= day <= laid + longest
    assert count == use.needed


@settings(max_examples=200)
@given(ENTRIES, st.integers(15, 100))
def test_no_two_clutches_lie_in_one_box_at_a_time_if_all_goes_as_likely(
    entries: list[tuple[int, int, int, int, int]], longest: int
) -> None:
    use = use_of(*season(entries, longest))
    assert max(max(stay.boxes) for stay in use.stays) <= use.needed
    for place, one in enumerate(use.stays):
        for other in use.stays[:place]:
            meet = max(one.days[0], other.days[0]) <= min(one.days[1], other.days[1])
            assert not (meet and set(one.boxes) & set(other.boxes))


def test_the_eggs_of_a_box_are_those_of_one_clutch_where_clutches_take_turns() -> None:
    """Ten clutches of two eggs in five boxes: two eggs a box, not four; worked by hand."""
    plan = {
        "control": {"set_to": "28 °C"},
        "egg_boxes": [{"name": "eggs", "count": 5, "inside": "12 x 9 x 7 cm"}],
        "clutches": [
            {"species": GECKO.id, "eggs": 2, "egg_mass": "3 g", "box": "eggs", "parted": "while fresh",
             "laying": {"expected": "2027-02-01"}, "repeats": {"every": "15 to 22 days", "times": 9}}
        ],
    }  # fmt: skip
    forecast = situation_of(plan).forecast
    alone = situation_of(
        {**plan, "egg_boxes": [{**plan["egg_boxes"][0], "count": 1}],  # type: ignore[index]
         "clutches": [{key: value for key, value in plan["clutches"][0].items() if key != "repeats"}]}  # type: ignore[index]
    ).forecast  # fmt: skip
    assert forecast.egg_boxes[0].air == alone.egg_boxes[0].air
    use = forecast.box_use[0]
    assert isinstance(use, BoxUse) and use.needed == 5 and use.by_turns
    # 63.6 days at the longest hold four intervals of 15 days.
    assert math.floor(63.6 / 15) + 1 == 5


def test_medium_is_bought_for_each_filling() -> None:
    def litres(times: int) -> float:
        box = {"name": "eggs", "count": 5, "inside": "12 x 9 x 7 cm",
               "medium": {"material": "vermiculite", "grade": "medium", "depth": "5 cm", "mix": {"medium": 4, "water": 1, "by": "volume"}}}  # fmt: skip
        clutch = {"species": GECKO.id, "eggs": 2, "egg_mass": "3 g", "box": "eggs", "laying": {"expected": "2027-02-01"},
                  **({"repeats": {"every": "15 to 22 days", "times": times}} if times else {})}  # fmt: skip
        found = situation_of({"control": {"set_to": "28 °C"}, "egg_boxes": [box], "clutches": [clutch]})
        medium = found.forecast.shopping.medium
        assert isinstance(medium, Figure)
        return medium.value

    # 12 x 9 x 5 cm are 0.54 litres; five boxes, or ten fillings, and a tenth to spare.
    assert litres(0) == litres(3) and abs(litres(0) - 5 * 0.54e-3 * 1.1) < 1e-9
    assert abs(litres(9) - 10 * 0.54e-3 * 1.1) < 1e-9
