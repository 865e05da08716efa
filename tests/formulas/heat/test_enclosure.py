"""Views and grey exchange against closed forms."""

import math

import pytest

from advisor.formulas.heat.enclosure import (
    Block,
    Patch,
    balanced_exchange,
    grey_exchange,
    plate_view,
    traced_views,
)


def room(length: float, width: float, height: float) -> list[list[Patch]]:
    """Floor, ceiling and the four walls of an empty room, inwards."""
    x, y, z = (0, length), (1, width), (2, height)
    return [
        [Patch((0.0, 0.0, 0.0), x, y, 2, 1)],
        [Patch((0.0, 0.0, height), x, y, 2, -1)],
        [Patch((0.0, 0.0, 0.0), x, z, 1, 1)],
        [Patch((0.0, width, 0.0), x, z, 1, -1)],
        [Patch((0.0, 0.0, 0.0), y, z, 0, 1)],
        [Patch((length, 0.0, 0.0), y, z, 0, -1)],
    ]


def wall_at(axis: int, side: int, x: float, y: float, z: float) -> int:
    return {(2, 0): 0, (2, 1): 1, (1, 0): 2, (1, 1): 3, (0, 0): 4, (0, 1): 5}[axis, side]


def nowhere(tier: int, axis: int, side: int, z: float) -> int:
    raise AssertionError("there is no block")


def howell(x: float, y: float) -> float:
    """Equal aligned plates, Howell's catalogue C-11 (Incropera table 13.2), written a second time."""
    first = math.log(math.sqrt((1 + x * x) * (1 + y * y) / (1 + x * x + y * y)))
    second = x * math.sqrt(1 + y * y) * math.atan(x / math.sqrt(1 + y * y))
    third = y * math.sqrt(1 + x * x) * math.atan(y / math.sqrt(1 + x * x))
    return 2 / (math.pi * x * y) * (first + second + third - x * math.atan(x) - y * math.atan(y))


@pytest.mark.parametrize(("length", "width", "gap"), [(0.20, 0.15, 0.05), (0.6, 0.4, 0.25), (0.1, 0.1, 1.0)])
def test_plates_by_howell(length: float, width: float, gap: float) -> None:
    assert plate_view(length, width, gap) == pytest.approx(howell(length / gap, width / gap), rel=1e-12)


def test_plates_of_known_view() -> None:
    # Cube: 0.1998 (Incropera figure 13.4, from memory). Strips 40 cm wide and 25 cm apart, crossed strings: 0.5542.
    assert plate_view(1.0, 1.0, 1.0) == pytest.approx(0.1998, abs=1e-4)
    assert plate_view(math.inf, 0.40, 0.25) == pytest.approx(0.5542, abs=1e-4)
    assert plate_view(1e4, 0.40, 0.25) == pytest.approx(0.5542, abs=1e-4)


def test_rays_in_an_empty_room_find_the_closed_forms() -> None:
    size = (0.6, 0.4, 0.25)
    faces = room(*size)
    areas = [sum(patch.area for patch in face) for face in faces]
    exchange = balanced_exchange(traced_views(size, faces, (), wall_at, nowhere, 400, 6), areas)
    for low, high, view in (
        (0, 1, howell(0.6 / 0.25, 0.4 / 0.25)),
        (2, 3, howell(0.6 / 0.4, 0.25 / 0.4)),
        (4, 5, howell(0.4 / 0.6, 0.25 / 0.6)),
    ):
        # 800 rays over both directions: a standard error of 1.8 % of 1 at most, less for the evenly spread ones.
        assert exchange[low][high] / areas[low] == pytest.approx(view, abs=0.02)
    for number, row in enumerate(exchange):
        assert sum(row) == pytest.approx(areas[number], rel=1e-6)
        assert row == pytest.approx([other[number] for other in exchange], rel=1e-9)


def test_rays_in_an_endless_room_find_the_crossed_strings() -> None:
    faces = [face for face in room(1.0, 0.40, 0.25)[:4]]
    size = (math.inf, 0.40, 0.25)
    exchange = balanced_exchange(
        traced_views(size, faces, (), wall_at, nowhere, 400, 4), (0.4, 0.4, 0.25, 0.25)
    )
    assert exchange[0][1] / 0.4 == pytest.approx(0.5542, abs=0.02)


def test_a_block_hides_what_is_behind_it() -> None:
    # A slab from wall to wall between floor and ceiling: neither sees the other.
    size = (0.6, 0.4, 0.25)
    slab = Block((0.0, 0.0, 0.10), (0.6, 0.4, 0.12), 0)
    sides = {0: 6, 1: 7}

    def block_at(tier: int, axis: int, side: int, z: float) -> int:
        return sides[side]

    views = traced_views(size, room(*size)[:2], (slab,), wall_at, block_at, 200, 8)
    assert views[0][1] == views[1][0] == 0.0
    assert views[0][6] > 0.5 and views[1][7] > 0.4
    assert sum(views[0]) == pytest.approx(1.0)


def test_two_plates() -> None:
    # Emissivities 0.9 and 0.9: 1/(1/0.9 + 1/0.9 - 1) = 0.818 of black exchange.
    exchange = grey_exchange([[0.0, 2.0], [2.0, 0.0]], (2.0, 2.0), 0.9)
    assert -exchange[0][1] / 2.0 == pytest.approx(1.0 / (2.0 / 0.9 - 1.0), rel=1e-12)
    assert [sum(row) for row in exchange] == pytest.approx([0.0, 0.0], abs=1e-14)


def test_black_faces_exchange_what_they_see() -> None:
    direct = [[0.0, 0.3, 0.7], [0.3, 0.0, 0.2], [0.7, 0.2, 0.6]]
    exchange = grey_exchange(direct, (1.0, 0.5, 1.5), 1.0 - 1e-9)
    for i in range(3):
        for j in range(3):
            if i != j:
                assert -exchange[i][j] == pytest.approx(direct[i][j], rel=1e-6)
