"""Inverse of the small matrices (at most 4 by 4) that the curve fits need."""

from collections.abc import Sequence

from advisor.formulas.air.moist_air import NoSolution

Matrix = list[list[float]]


def inverse(matrix: Sequence[Sequence[float]]) -> Matrix:
    """Invert a square matrix by Gauss-Jordan elimination with row pivoting.

    Arguments: matrix, rows of equal length [any unit].
    Result: the inverse, rows of floats [the inverse unit].
    Errors: ValueError when the matrix is not square or is singular to working precision (then NoSolution).
    Reference: Golub & Van Loan, Matrix Computations, section 3.4 (partial pivoting), from memory.
    """
    size = len(matrix)
    if any(len(row) != size for row in matrix):
        raise ValueError("the matrix must be square")
    work = [
        [*map(float, row), *(1.0 if i == j else 0.0 for j in range(size))] for i, row in enumerate(matrix)
    ]
    # Rows differ in scale (a slope per K beside a level), so each pivot is judged against its own row.
    scales = [max(abs(value) for value in row) for row in matrix]
    for column in range(size):
        pivot = max(range(column, size), key=lambda i: abs(work[i][column]))
        if abs(work[pivot][column]) <= 1e-14 * scales[pivot]:
            raise NoSolution("the figures of the profile do not settle one single curve")
        work[column], work[pivot] = work[pivot], work[column]
        scales[column], scales[pivot] = scales[pivot], scales[column]
        divisor = work[column][column]
        top = [value / divisor for value in work[column]]
        work[column] = top
        for i in range(size):
            factor = work[i][column]
            if i != column and factor != 0.0:
                work[i] = [value - factor * above for value, above in zip(work[i], top, strict=True)]
    return [row[size:] for row in work]


def times(matrix: Sequence[Sequence[float]], vector: Sequence[float]) -> list[float]:
    """Multiply a matrix by a vector [units as given]; the result has one entry a row."""
    return [sum(a * b for a, b in zip(row, vector, strict=True)) for row in matrix]


def quadratic_form(matrix: Sequence[Sequence[float]], vector: Sequence[float]) -> float:
    """Return vector' matrix vector, the variance along a gradient when the matrix is a covariance."""
    return sum(a * b for a, b in zip(times(matrix, vector), vector, strict=True))
