"""Linear equations against numpy."""

import random

import numpy as np
import pytest

from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.numerics.matrices import eliminate, inverse


@pytest.mark.parametrize("size", [1, 2, 4, 20])
def test_equations_with_a_heavy_diagonal_are_numpys(size: int) -> None:
    chance = random.Random(size)
    matrix = [[-chance.random() for _ in range(size)] for _ in range(size)]
    for i in range(size):
        matrix[i][i] = size + chance.random()
    sides = [[chance.gauss(0, 1) for _ in range(3)] for _ in range(size)]
    rows = [[*row, *side] for row, side in zip(matrix, sides, strict=True)]
    eliminate(rows, size)
    # Well conditioned: only rounding may differ.
    assert np.array([row[size:] for row in rows]) == pytest.approx(np.linalg.solve(matrix, sides), rel=1e-9)


@pytest.mark.parametrize("size", [1, 2, 3, 4])
def test_an_inverse_is_numpys_though_rows_differ_in_scale_and_pivots_are_nought(size: int) -> None:
    chance = random.Random(size)
    matrix = [[chance.gauss(0, 1) * 10.0 ** (3 * i) for _ in range(size)] for i in range(size)]
    if size > 1:
        matrix[0][0] = 0.0
    # A condition of some 1e9 leaves seven digits.
    assert np.array(inverse(matrix)) == pytest.approx(np.linalg.inv(matrix), rel=1e-6)


@pytest.mark.parametrize("matrix", [[[0.0]], [[1.0, 2.0], [2.0, 4.0]], [[1e9, 1e9], [1e-9, 1e-9]]])
def test_what_no_single_answer_solves_is_refused(matrix: list[list[float]]) -> None:
    with pytest.raises(NoSolution):
        inverse(matrix)
