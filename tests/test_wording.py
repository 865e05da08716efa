"""Words that papers share say what they were made of: each is read back."""

import datetime
import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.model.figures import Figure
from advisor.model.plan import Control, EggBox, SetPointStep, Size
from advisor.show import Show
from advisor.units import number, number_ranges
from advisor.wording import (
    capital,
    day_words,
    hole_size,
    joined,
    middle_day,
    named_boxes,
    scale_range,
    scale_text,
    set_point_words,
    size_words,
    trial_end,
    window_words,
)

INCH, OUNCE = 0.0254, 0.45359237 / 16  # m, kg; exact
DATES = st.dates(datetime.date(2020, 1, 1), datetime.date(2035, 12, 31))
WINDOWS = st.tuples(DATES, st.integers(0, 400)).map(lambda one: (one[0], one[0] + datetime.timedelta(one[1])))


@given(value=st.floats(-1e9, 1e9).filter(lambda one: one == 0 or abs(one) > 1e-9), digits=st.integers(1, 9))
def test_a_number_is_rounded_to_its_digits_and_written_out(value: float, digits: int) -> None:
    text = number(value, digits)
    assert re.fullmatch(r"-?(0|[1-9]\d*)(\.\d*[1-9])?", text) and text != "-0"
    assert float(text) == pytest.approx(float(f"{value:.{digits}g}"), rel=1e-12, abs=1e-12)


@given(numbers=st.sets(st.integers(0, 30), min_size=1).map(sorted))
def test_runs_of_numbers_are_drawn_together_and_no_others(numbers: list[int]) -> None:
    parts = re.split(", | and ", number_ranges(numbers))
    ends = [tuple(map(int, part.split(" to "))) for part in parts]
    assert [one for end in ends for one in range(end[0], end[-1] + 1)] == numbers
    assert all(len(end) == 1 or end[1] - end[0] >= 2 for end in ends)
    threes = [one for one in numbers if {one + 1, one + 2} <= {*numbers}]
    assert all(any(len(end) == 2 and end[0] <= one <= end[1] - 2 for end in ends) for one in threes)


@given(window=WINDOWS)
def test_a_window_tells_both_days_and_once_what_they_share(
    window: tuple[datetime.date, datetime.date],
) -> None:
    first, _, last = window_words(window).rpartition(" to ")
    months, years = ({getattr(one, part) for one in window} for part in ("month", "year"))
    shared = (
        3 if window[0] == window[1] else 2 if len(years) == len(months) == 1 else 1 if len(years) == 1 else 0
    )
    end = last.split()[-3:]
    words = [*first.split(), *end[3 - shared :]]
    assert len(first.split()) == 3 - shared
    assert [datetime.datetime.strptime(" ".join(one), "%d %B %Y").date() for one in (words, end)] == [*window]


@given(window=WINDOWS)
def test_the_middle_day_is_as_far_from_both_ends(window: tuple[datetime.date, datetime.date]) -> None:
    middle = middle_day(window)
    assert 0 <= ((window[1] - middle) - (middle - window[0])).days <= 1


@given(start=DATES, days=st.floats(0, 60))
def test_a_trial_runs_through_its_last_day(start: datetime.date, days: float) -> None:
    last = trial_end(start, days)
    assert (last - start).days + 1 == max(round(days), 1)


@given(diameter=st.floats(1e-3, 0.08))
def test_a_hole_has_a_size_that_drills_come_in(diameter: float) -> None:
    told = hole_size(diameter, Show("us"))
    inches = Fraction(told.removesuffix(" in"))
    assert 64 % inches.denominator == 0
    assert abs(float(inches) - diameter / INCH) <= 1 / 128 + 1e-9
    assert hole_size(diameter, Show()) == Show().length(diameter)


@given(value=st.floats(0.01, 5.0), share=st.floats(0.0, 0.9))
@pytest.mark.parametrize("us", [False, True])
def test_a_mass_to_weigh_is_as_fine_as_the_scale_and_its_range(us: bool, value: float, share: float) -> None:
    show, unit = Show("us" if us else "metric"), OUNCE if us else 1e-3
    figure = Figure(value, value * (1 - share), value * (1 + share), "mass")
    told, between = scale_range(figure, show)
    low, _, high = (between or told.partition(" ")[0]).partition(" to ")
    wide = us and figure.high - figure.low >= 10 * OUNCE
    decimals = 1 if us and not wide else 0
    for text, end in ((told.partition(" ")[0], figure.value), (low, figure.low), (high or low, figure.high)):
        assert len(text.partition(".")[2]) == decimals
        assert abs(float(text) - end / unit) <= 0.5 * 10.0**-decimals + 1e-9
    assert scale_text(value, show) == f"{value / unit:.1f} oz" if us else f"{value / unit:.0f} g"


SIDES = st.sampled_from([0.08, 0.15, 0.2, 0.305, 0.55, 1.2])


@given(length=SIDES, width=SIDES, height=SIDES)
@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("round_", [False, True])
def test_the_size_of_a_box_tells_each_side(
    system: str, round_: bool, length: float, width: float, height: float
) -> None:
    show = Show(system)
    told = size_words(Size(length, width, height, round=round_), show)
    sides = [show.length(side) for side in (length, width, height)]
    if round_ and length == width:
        assert told == f"{sides[0]} across, {sides[2]} high"
    else:
        unit = told.rpartition(" ")[2]
        assert [side if " " in side else f"{side} {unit}" for side in told.split(" x ")] == sides


@given(
    sets=st.lists(st.integers(20, 35), min_size=1, max_size=3),
    night=st.none() | st.integers(15, 25),
    dated=st.booleans(),
)
def test_a_programme_tells_each_set_point_and_when_it_begins(
    sets: list[int], night: int | None, dated: bool
) -> None:
    if night is not None:  # a programme has nights or steps
        sets = sets[:1]
    steps = [SetPointStep(float(sets[0]), night, 12 * 3600.0)]
    begins = [datetime.date(2027, 6, 1 + place) if dated else 20 * place for place in range(1, len(sets))]
    for set_to, begin in zip(sets[1:], begins, strict=True):
        day, of_eggs = (begin, None) if isinstance(begin, datetime.date) else (None, begin)
        steps.append(SetPointStep(float(set_to), from_=day, from_day=of_eggs))
    told = set_point_words(Control(set_to=float(max(sets)), programme=tuple(steps)), Show())
    if night is not None:
        assert told == f"{sets[0]} °C by day and {night} °C by night (12 h)"
        return
    first, *later = told.split(", then ")
    assert first == f"{sets[0]} °C"
    days = [day_words(one) if isinstance(one, datetime.date) else f"day {one}" for one in begins]
    assert later == [f"{set_to} °C from {day}" for set_to, day in zip(sets[1:], days, strict=True)]
    assert set_point_words(Control(set_to=28.0), Show()) == "28 °C"
    assert set_point_words(Control(), Show()) == ""


@pytest.mark.parametrize("count", range(1, 8))
def test_more_kinds_of_boxes_than_four_are_counted(count: int) -> None:
    told = named_boxes([EggBox(name=f"b{place}") for place in range(count)])
    assert told.count("'") == 2 * (count if count <= 4 else 1)
    assert count <= 4 or told == f"'b0' and {count - 1} more kinds"


def test_lists_join_their_last_word() -> None:
    assert [joined(["a", "b", "c"][:count]) for count in range(4)] == ["", "a", "a and b", "a, b and c"]
    assert joined(["a", "b"], "or") == "a or b"
    assert [capital(text) for text in ("", "a", "eggs lie")] == ["", "A", "Eggs lie"]
