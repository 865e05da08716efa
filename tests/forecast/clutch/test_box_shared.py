"""Which species can share a box: meeting bands, conflicts and the split into the fewest boxes."""

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from advisor.forecast.clutch.box_shared import conflict, meeting, set_point_in, split
from advisor.forecast.clutch.species_compared import compared
from advisor.model.figures import Figure
from advisor.model.plan import Range
from advisor.model.species import Band, Species, Support
from advisor.reading.species import load_species

KEEPERS = Support(("practice",), "common practice")
CORN = load_species("pantherophis-guttatus")


def species_with(name: str, aim: tuple[float, float], wider: float = 1.0) -> Species:
    return replace(
        CORN,
        id=name,
        aim=Band(*aim, KEEPERS),
        tolerated=Band(aim[0] - wider, aim[1] + wider, KEEPERS),
        harmful=None,
    )


@pytest.mark.parametrize(
    ("bands", "found"),
    [
        ([(27, 29), (28, 30), (26, 33)], (28, 29)),
        ([(27, 29), (29, 30)], (29, 29)),
        ([(27, 29), (29.1, 30)], None),
    ],
)
def test_meeting_is_the_intersection(
    bands: list[tuple[float, float]], found: tuple[float, float] | None
) -> None:
    shared = meeting([Band(low, high, KEEPERS) for low, high in bands])
    assert (None if shared is None else (shared.low, shared.high)) == found


def test_a_set_point_is_named_to_half_a_degree_where_that_fits() -> None:
    assert set_point_in(Range(28, 29)) == 28.5
    assert set_point_in(Range(31, 32.2)) == 31.5
    assert set_point_in(Range(28.1, 28.3)) == pytest.approx(28.2)


AIMS = st.lists(
    st.tuples(st.integers(40, 64), st.integers(1, 8)).map(
        lambda pair: (pair[0] / 2, pair[0] / 2 + pair[1] / 2)
    ),
    min_size=1,
    max_size=7,
)


@settings(max_examples=100, deadline=None)
@given(aims=AIMS)
def test_the_split_holds_each_species_once_in_a_band_usual_for_it(aims: list[tuple[float, float]]) -> None:
    species = [species_with(f"s{number}", aim) for number, aim in enumerate(aims)]
    groups = split(species)
    assert sorted(one.id for group in groups for one in group.species) == sorted(one.id for one in species)
    for group in groups:
        for one in group.species:
            assert one.aim is not None
            assert one.aim.low - 1e-9 <= group.set_point <= one.aim.high + 1e-9
            assert all(conflict(one, other) is None for other in group.species)


@settings(max_examples=100, deadline=None)
@given(aims=AIMS)
def test_no_split_needs_fewer_boxes(aims: list[tuple[float, float]]) -> None:
    # Bands that do not meet each other need a box each: the most such bands is the least number of boxes (intervals).
    species = [species_with(f"s{number}", aim, wider=5.0) for number, aim in enumerate(aims)]
    apart: list[tuple[float, float]] = []
    for aim in sorted(aims, key=lambda pair: pair[1]):
        if not apart or aim[0] > apart[-1][1]:
            apart.append(aim)
    assert len(split(species)) == len(apart)


def test_groups_come_from_cool_to_warm() -> None:
    found = split(
        [species_with("warm", (31, 32)), species_with("cool", (22, 24)), species_with("mild", (27, 28))]
    )
    assert all(one.set_point < other.set_point for one, other in pairwise(found))


# --- Whole comparisons of shipped profiles ---


def ids(*names: str) -> list[Species]:
    return [load_species(name) for name in names]


def test_t10_corn_snakes_bearded_dragons_and_leopard_geckos_share_a_box_at_28_to_29() -> None:
    # common practice, no source: 28 to 29 °C is safe for leopard geckos, bearded dragons and most colubrids.
    found = compared(ids("pantherophis-guttatus", "pogona-vitticeps", "eublepharis-macularius"))
    assert found.usual == Range(28, 29)
    assert [row[0].temperature for row in found.expected] == [28, 28.5, 29]
    assert len(found.split) == 1
    assert all(isinstance(at.days, Figure) for at in found.expected[1])


def test_a_crested_gecko_and_a_royal_python_need_two_boxes() -> None:
    found = compared(ids("python-regius", "correlophus-ciliatus"))
    assert (found.usual, found.tolerated, found.expected) == (None, None, ())
    assert [group.species[0].id for group in found.split] == ["correlophus-ciliatus", "python-regius"]
    assert [len(expected) for expected in found.split_expected] == [1, 1]


def test_tolerated_bands_that_meet_are_second_best() -> None:
    found = compared([species_with("one", (26, 27), 2.0), species_with("other", (28, 29), 2.0)])
    assert found.usual is None
    assert found.tolerated == Range(26, 29)
    assert len(found.split) == 2


def test_tolerated_bands_that_hardly_meet_are_no_answer() -> None:
    # A box needs 1 °C or more (judgement, see the module); here they share 0.5 °C.
    found = compared([species_with("one", (25, 26), 1.0), species_with("other", (27.5, 29), 1.0)])
    assert (found.usual, found.tolerated) == (None, None)


def test_usual_bands_that_touch_are_no_answer_where_the_tolerated_ones_hardly_meet() -> None:
    # Both usual at 26 °C only, and 0.6 °C tolerated by both: a box is not held that closely.
    found = compared([species_with("one", (25, 26), 0.3), species_with("other", (26, 27), 0.3)])
    assert (found.usual, found.tolerated) == (None, None)
    assert len(found.split) == 2


def test_a_species_without_bands_is_left_out_and_named() -> None:
    found = compared([CORN, replace(CORN, id="bare", aim=None)])
    assert [one.id for one in found.without_band] == ["bare"]
    assert [one.id for one in found.species] == [CORN.id]
