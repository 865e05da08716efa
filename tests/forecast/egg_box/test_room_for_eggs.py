"""Room in whole plans: places for eggs, egg boxes in the outer box, what to buy."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.forecast.egg_box.room_for_boxes import (
    MOST_WORK,
    Placed,
    _overlap,
    boxes_in_outer_box,
    fits_side_by_side,
)
from advisor.forecast.egg_box.room_for_eggs import egg_size
from advisor.model.figures import Unknown
from advisor.model.plan import Clutch, Range
from advisor.reading.species import load_species
from tests.forecast.water_plans import box_with, figure, fragment_with, mass_mix, situation_with
from tests.support import situation_of

INSIDE, COUNT = "egg_boxes[0].inside", "egg_boxes[0].count"


def test_places_worked_by_hand() -> None:
    # Hermann's tortoise eggs, 35 x 27.75 mm in the middle of the profile, take 45 x 37.75 mm with 1 cm between them:
    # 5 x 3 = 15 in 20 x 14 cm. The largest, 36.1 x 28 mm and 2 cm apart, take 56.1 x 48 mm: 4 x 2 = 8 either way. The
    # smallest, 33.9 x 27.5 mm and 5 mm apart, take 38.9 x 32.5 mm: 5 x 4 = 20.
    plan = {"clutches[0].species": "testudo-hermanni", "control.set_to": "31 °C"}
    places = figure(box_with(plan).places_for_eggs)
    assert (places.low, places.value, places.high) == (8, 15, 20)
    twice = figure(box_with({**plan, COUNT: "2"}).places_for_eggs)
    assert (twice.low, twice.value, twice.high) == (16, 30, 40)


def test_two_species_share_the_places() -> None:
    # 15 places for tortoise eggs or 24 for dragon eggs (test of the rule): 5 and 16 fill just one box, so 21 fit.
    clutches = [
        {"species": "testudo-hermanni", "eggs": "5", "box": "eggs"},
        {"species": "pogona-vitticeps", "eggs": "16", "box": "eggs"},
    ]
    assert figure(box_with({"clutches": clutches}).places_for_eggs).value == 21


def test_a_clutch_left_together_takes_no_place() -> None:
    lump = {"species": "pantherophis-guttatus", "eggs": "30", "box": "eggs", "parted": "left together"}
    tortoise = {"species": "testudo-hermanni", "eggs": "5", "box": "eggs"}
    assert figure(box_with({"clutches": [lump, tortoise]}).places_for_eggs).value == 15
    alone = box_with({"clutches": [lump]}).places_for_eggs
    assert isinstance(alone, Unknown) and alone.needs == ()


@pytest.mark.parametrize("ratio", [0.5, 0.6, 0.8])
def test_an_egg_known_by_its_mass_alone_has_the_volume_of_that_mass(ratio: float) -> None:
    # Ellipsoid of the density of eggs (1080 kg/m3); Tracy, Packard & Packard 1978 give an axis ratio of 0.6.
    profile = load_species("chamaeleo-calyptratus", None)
    assert profile.eggs.length is None  # else this test needs another species
    size = egg_size(Clutch("chamaeleo-calyptratus", egg_mass=1.4e-3), profile)
    assert not isinstance(size, Unknown)
    length, width = size
    long = (6 * 1.4e-3 / (math.pi * 1080 * ratio**2)) ** (1 / 3)
    assert length.low - 1e-9 <= long <= length.high + 1e-9
    # The middle egg: its own length and width give back its mass.
    assert math.pi / 6 * length.middle * width.middle**2 * 1080 == pytest.approx(1.4e-3, rel=1e-6)


def test_a_size_in_the_profile_goes_before_the_mass() -> None:
    profile = load_species("testudo-hermanni", None)
    assert egg_size(Clutch("testudo-hermanni", egg_mass=0.05), profile) == (
        Range(profile.eggs.length.low, profile.eggs.length.high),
        Range(profile.eggs.width.low, profile.eggs.width.high),
    )


@pytest.mark.parametrize("entry", [INSIDE, COUNT, "clutches[0].eggs", "clutches[0].box"])
def test_an_entry_left_out_is_named(entry: str) -> None:
    result = box_with({entry: None}).places_for_eggs
    assert isinstance(result, Unknown) and result.needs == (entry,)


def test_mass_is_asked_for_when_nothing_tells_the_size() -> None:
    plan = {"clutches[0].species": "chamaeleo-calyptratus", "clutches[0].egg_mass": None}
    result = box_with(plan).places_for_eggs
    assert isinstance(result, Unknown) and result.needs == ("clutches[0].egg_mass",)


@settings(max_examples=60, deadline=None)
@given(
    columns=st.integers(1, 4),
    rows=st.integers(1, 3),
    length=st.floats(0.08, 0.3),
    width=st.floats(0.08, 0.3),
    turned=st.booleans(),
)
def test_a_grid_of_boxes_fits_its_own_floor_and_one_more_does_not(
    columns: int, rows: int, length: float, width: float, turned: bool
) -> None:
    floor = (columns * length, rows * width)
    boxes = [(width, length) if turned else (length, width)] * (columns * rows)
    assert fits_side_by_side(boxes, floor)
    # One more is more than the area: sure to be seen.
    assert not fits_side_by_side([*boxes, boxes[0]], floor)


@settings(max_examples=60, deadline=None)
@given(
    cuts=st.lists(st.floats(0.25, 0.75), min_size=1, max_size=5),
    sides=st.tuples(st.floats(0.3, 0.8), st.floats(0.3, 0.8)),
)
def test_a_floor_cut_into_pieces_takes_them_back(cuts: list[float], sides: tuple[float, float]) -> None:
    # Cut the floor lengthwise and crosswise by turns: a jigsaw without a gap is the hardest case, so a little room is
    # left, and a miss would show as "may not fit" (never as "does not fit").
    pieces, rest = [], sides
    for number, share in enumerate(cuts):
        if number % 2:
            pieces.append((rest[0], rest[1] * share))
            rest = (rest[0], rest[1] * (1 - share))
        else:
            pieces.append((rest[0] * share, rest[1]))
            rest = (rest[0] * (1 - share), rest[1])
    pieces.append(rest)
    assert fits_side_by_side(pieces, (sides[0] + 1e-6, sides[1] + 1e-6))


FOUR_SIZES = [(0.2, 0.14), (0.18, 0.12), (0.15, 0.1), (0.12, 0.09)]


@pytest.mark.parametrize("floor", [(0.9, 0.845), (1.3, 0.58), (0.87, 0.87), (2.0, 0.3795)])
def test_the_search_gives_up_after_its_work(
    floor: tuple[float, float], monkeypatch: pytest.MonkeyPatch
) -> None:
    # Ten boxes of each of four sizes that nearly fill the floor: there are more ways to lay them than can be tried.
    compared = 0

    def counted(one: Placed, other: Placed) -> bool:
        nonlocal compared
        compared += 1
        return _overlap(one, other)

    monkeypatch.setattr("advisor.forecast.egg_box.room_for_boxes._overlap", counted)
    assert fits_side_by_side([sides for sides in FOUR_SIZES for _ in range(10)], floor) is None
    assert compared <= 3 * MOST_WORK


@pytest.mark.parametrize(
    ("changes", "fits"),
    [
        ({COUNT: "4"}, ("yes", "yes")),
        ({COUNT: "8", "egg_boxes[0].tier": "two"}, ("yes", "yes")),
        ({COUNT: "6"}, ("perhaps", "yes")),
        ({COUNT: "12"}, ("no", "yes")),
        # Two layers of 9.4 cm below a lid at 22 cm leave 3.2 cm; of 10.4 cm they leave 1.2 cm, of 11.4 cm nothing.
        ({COUNT: "2", "egg_boxes[0].tier": "two", INSIDE: "20 x 14 x 10 cm"}, ("yes", "perhaps")),
        ({COUNT: "2", "egg_boxes[0].tier": "two", INSIDE: "20 x 14 x 11 cm"}, ("yes", "no")),
    ],
)
def test_egg_boxes_in_the_outer_box(changes: dict[str, str], fits: tuple[str, str]) -> None:
    room = boxes_in_outer_box(situation_with(changes).plan)
    assert not isinstance(room, Unknown)
    assert (room.side_by_side, room.in_height) == fits


def test_stacks_are_as_high_as_their_boxes() -> None:
    kinds = [
        {"name": "a", "count": "1", "tier": "two", "inside": "30 x 20 x 6 cm"},
        {"name": "b", "count": "1", "tier": "two", "inside": "20 x 14 x 9 cm"},
    ]
    room = boxes_in_outer_box(
        situation_of({"outer_box": {"inside": "40 x 30 x 30 cm"}, "egg_boxes": kinds}).plan
    )
    assert not isinstance(room, Unknown)
    assert room.height == pytest.approx(0.06 + 0.09 + 4 * 0.002)
    assert room.side_by_side == "yes"  # side by side the two would need 32.4 + 22.4 cm


def test_shopping_worked_by_hand() -> None:
    # Two boxes of 1.4 l: 2.8 l of medium and, at 4:1, 0.7 l of water, with a tenth to spare; 78 g a litre (70 to 90).
    shopping = situation_with({COUNT: "2"}).forecast.shopping
    assert figure(shopping.medium).value == pytest.approx(3.08e-3)
    assert figure(shopping.water).value == pytest.approx(0.77e-3)
    mass = figure(shopping.medium_mass)
    assert (mass.low, mass.value, mass.high) == pytest.approx((0.2156, 0.24024, 0.2772))


def test_shopping_by_mass_follows_the_mass_of_the_medium() -> None:
    water = figure(situation_with({"egg_boxes[0].medium.mix": mass_mix(1)}).forecast.shopping.water)
    assert (water.low, water.value, water.high) == pytest.approx(
        (1.4 * 70e-6 * 1.1, 1.4 * 78e-6 * 1.1, 1.4 * 90e-6 * 1.1)
    )


@pytest.mark.parametrize(
    "entry",
    [
        INSIDE,
        COUNT,
        "egg_boxes[0].medium.depth",
        "egg_boxes[0].medium.mix",
        "egg_boxes[0].medium.grade",
        "egg_boxes[0].medium.material",
    ],
)
def test_shopping_names_what_it_lacks(entry: str) -> None:
    shopping = situation_of(fragment_with({entry: None})).forecast.shopping
    for result in (shopping.medium, shopping.medium_mass, shopping.water):
        assert isinstance(result, Unknown) and result.needs == (entry,)
