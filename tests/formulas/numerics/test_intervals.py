"""Boxes for stays: never two in one box, and as few as trying all cases finds."""

import itertools
from collections.abc import Iterator, Sequence

from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.formulas.numerics.intervals import fewest_lines, left_edge, most_in_at_once

Stay = tuple[int, int]
STAYS = st.lists(
    st.tuples(st.integers(0, 30), st.integers(0, 12)).map(lambda pair: (pair[0], pair[0] + pair[1])),
    min_size=1,
    max_size=7,
)
BANDS = st.lists(
    st.tuples(st.integers(20, 34), st.integers(0, 4)).map(
        lambda pair: (float(pair[0]), float(pair[0] + pair[1]))
    ),
    min_size=7,
    max_size=7,
)


def meet(one: Stay, other: Stay) -> bool:
    return max(one[0], other[0]) <= min(one[1], other[1])


def partitions(items: Sequence[int]) -> Iterator[list[list[int]]]:
    """All ways to part items into groups."""
    if not items:
        yield []
        return
    first, rest = items[0], items[1:]
    for parted in partitions(rest):
        yield [[first], *parted]
        for at in range(len(parted)):
            yield [*parted[:at], [first, *parted[at]], *parted[at + 1 :]]


# --- left_edge ---


def test_three_clutches_that_follow_one_another_take_two_boxes_by_turns() -> None:
    # Day 0 to 50, 30 to 80, 60 to 110: the third finds the first box free, empty since day 51.
    assert left_edge([(0, 50), (30, 80), (60, 110)], [1, 1, 1]) == [(0,), (1,), (0,)]


def test_the_box_that_has_been_free_longest_is_taken() -> None:
    assert left_edge([(0, 10), (0, 20), (30, 40)], [1, 1, 1])[2] == (0,)


def test_one_that_comes_on_the_last_day_of_another_meets_it() -> None:
    assert left_edge([(0, 10), (10, 20)], [1, 1]) == [(0,), (1,)]
    assert left_edge([(0, 10), (11, 20)], [1, 1]) == [(0,), (0,)]


@given(STAYS, st.lists(st.integers(1, 3), min_size=7, max_size=7))
def test_no_two_stays_meet_in_a_box_and_no_fewer_boxes_would_do(stays: list[Stay], wanted: list[int]) -> None:
    wanted = wanted[: len(stays)]
    taken = left_edge(stays, wanted)
    assert [len(set(boxes)) for boxes in taken] == wanted
    for one, other in itertools.combinations(range(len(stays)), 2):
        assert not (meet(stays[one], stays[other]) and set(taken[one]) & set(taken[other]))
    # On one day so many lie in, and fewer boxes than that cannot do.
    most = max(
        sum(number for (first, last), number in zip(stays, wanted, strict=True) if first <= day <= last)
        for day in range(50)
    )
    assert 1 + max(box for boxes in taken for box in boxes) == most


# --- most_in_at_once ---


@given(st.integers(1, 200), st.integers(1, 60))
def test_so_many_lie_in_at_once_as_a_row_of_clutches_shows(stay: int, gap: int) -> None:
    row = [(gap * number, gap * number + stay) for number in range(210)]
    on_one_day = sum(first <= stay <= last for first, last in row)
    assert most_in_at_once(stay, gap) == on_one_day


# --- fewest_lines ---


def holds(group: list[int], stays: list[Stay], bands: list[tuple[float, float]]) -> bool:
    """Whether stays can share a box whose set point changes only while it is empty."""
    chain: list[int] = []
    end = -1
    for at in sorted(group, key=lambda at: stays[at]):
        if stays[at][0] > end:
            chain = []
        chain.append(at)
        if max(bands[one][0] for one in chain) > min(bands[one][1] for one in chain):
            return False
        end = max(end, stays[at][1])
    return True


def test_species_that_meet_in_time_part_where_their_bands_do_not_meet() -> None:
    assert fewest_lines([(0, 60), (30, 90)], [(26.0, 29.0), (31.0, 32.0)]) == [0, 1]
    assert fewest_lines([(0, 60), (61, 90)], [(26.0, 29.0), (31.0, 32.0)]) == [0, 0]
    assert fewest_lines([(0, 60), (30, 90)], [(26.0, 31.0), (31.0, 32.0)]) == [0, 0]


def test_the_nearest_box_is_not_always_the_right_one() -> None:
    # The second goes well with the first, but then the third, which the second alone suits, finds both boxes wrong.
    stays, bands = (
        [(0, 100), (10, 100), (20, 100), (30, 100)],
        [(26.0, 28.0), (27.0, 31.0), (30.0, 33.0), (26.0, 26.5)],
    )
    assert len(set(fewest_lines(stays, bands))) == 2


@settings(max_examples=150)
@given(STAYS.filter(lambda stays: len(stays) <= 6), BANDS)
def test_as_few_boxes_as_trying_all_cases_finds_and_each_in_its_band(
    stays: list[Stay], bands: list[tuple[float, float]]
) -> None:
    bands = bands[: len(stays)]
    lines = fewest_lines(stays, bands)
    for line in set(lines):
        assert holds([at for at, on in enumerate(lines) if on == line], stays, bands)
    least = min(
        len(parted)
        for parted in partitions(range(len(stays)))
        if all(holds(group, stays, bands) for group in parted)
    )
    assert len(set(lines)) == least
