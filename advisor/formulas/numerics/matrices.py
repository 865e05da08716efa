"""Linear equations: by Gauss elimination, for the heat balance, radiation and the curve fits."""

from collections.abc import Sequence

from advisor.formulas.air.moist_air import NoSolution

Matrix = list[list[float]]


def eliminate(rows: Matrix, size: int, scales: list[float] | None = None) -> None:
    """Solve linear equations in place.

    Arguments: rows, of `size` equations [any unit]: coefficients, then any number of right-hand sides, which become
    the solutions; scales, what each row's pivot is judged against, and rows are then exchanged for the greatest one.
    Without scales they are taken as they stand, which is sound where each diagonal outweighs its row or column.
    Errors: NoSolution, with scales, when the equations are singular to working precision.
    Reference: Golub & Van Loan, Matrix Computations, sections 3.2 and 3.4 (partial pivoting), from memory.
    """
    for k in range(size):
        if scales is not None:
            _exchange(rows, scales, k)
        pivot_row = rows[k]
        scale = 1.0 / pivot_row[k]
        tail = [(j, v * scale) for j, v in enumerate(pivot_row[k + 1 :], k + 1) if v]
        _clear(rows[k + 1 :], k, tail)
        for j, v in tail:
            pivot_row[j] = v
    for k in range(size - 1, 0, -1):
        _clear(rows[:k], k, list(enumerate(rows[k][size:], size)))


def _clear(rows: Matrix, k: int, pivots: Sequence[tuple[int, float]]) -> None:
    """Take from each row as much of the pivot's row as clears column k: most rows of a heat balance are half empty."""
    for row in rows:
        factor = row[k]
        if factor:
            for j, v in pivots:
                row[j] -= factor * v


def _exchange(rows: Matrix, scales: list[float], k: int) -> None:
    """Bring the row with the greatest pivot of column k up."""
    best = max(range(k, len(rows)), key=lambda i: abs(rows[i][k]))
    if abs(rows[best][k]) <= 1e-14 * scales[best]:
        raise NoSolution("the figures of the profile do not settle one single curve")
    rows[k], rows[best] = rows[best], rows[k]
    scales[k], scales[best] = scales[best], scales[k]


def inverse(matrix: Sequence[Sequence[float]]) -> Matrix:
    """Invert a square matrix.

    Arguments: matrix, rows of equal length [any unit]. Result: the inverse, rows of floats [the inverse unit].
    Errors: NoSolution when the matrix is singular to working precision.
    """
    size = len(matrix)
    rows = [[*row, *(1.0 if i == j else 0.0 for j in range(size))] for i, row in enumerate(matrix)]
    # Rows differ in scale (a slope per K beside a level), so each pivot is judged against its own row.
    eliminate(rows, size, [max(map(abs, row)) for row in matrix])
    return [row[size:] for row in rows]


def times(matrix: Sequence[Sequence[float]], vector: Sequence[float]) -> list[float]:
    """Multiply a matrix by a vector [units as given]; the result has one entry a row."""
    return [sum(a * b for a, b in zip(row, vector, strict=True)) for row in matrix]


def quadratic_form(matrix: Sequence[Sequence[float]], vector: Sequence[float]) -> float:
    """Return vector' matrix vector, the variance along a gradient when the matrix is a covariance."""
    return sum(a * b for a, b in zip(times(matrix, vector), vector, strict=True))
