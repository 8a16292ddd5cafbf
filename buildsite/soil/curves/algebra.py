"""Small algebra in plain Python: importing numpy would slow every check."""

from collections.abc import Sequence
from math import fsum, sqrt
from operator import mul


def solve(matrix: Sequence[Sequence[float]], right: Sequence[float]) -> list[float]:
    """
    Solve a few linear equations, by elimination with the largest pivot.

    Parameters
    ----------
    matrix : sequence of sequence of float
        Square. [any]
    right : sequence of float
        Right-hand side. [any]

    Returns
    -------
    list of float
        The unknowns. [any]

    Raises
    ------
    ZeroDivisionError
        If the equations have no single solution.

    Examples
    --------
    >>> solve([[0, 2], [1, 1]], [4, 5])
    [3.0, 2.0]
    """
    rows = [
        [*map(float, row), float(end)] for row, end in zip(matrix, right, strict=True)
    ]
    size = len(rows)
    for column in range(size):
        heads = [abs(row[column]) for row in rows[column:]]
        best = column + heads.index(max(heads))
        rows[column], rows[best] = rows[best], rows[column]
        head, *tail = rows[column][column:]
        for row in rows[column + 1 :]:
            share = row[column] / head
            row[column + 1 :] = [
                a - share * b for a, b in zip(row[column + 1 :], tail, strict=True)
            ]
    found = [0.0] * size
    for i in reversed(range(size)):
        row = rows[i]
        known = fsum(map(mul, row[i + 1 : size], found[i + 1 :]))
        found[i] = (row[size] - known) / row[i]
    return found


def quadratic_roots(a: float, b: float, c: float) -> tuple[float, ...]:
    """
    Real roots of a x² + b x + c, ascending, without loss of digits.

    Parameters
    ----------
    a : float
        Of the square; may be zero. [any]
    b : float
        Of the first power. [any]
    c : float
        Constant. [any]

    Returns
    -------
    tuple of float
        None, one or two roots; a line that is zero everywhere has none. [any]

    Examples
    --------
    >>> quadratic_roots(1, -3, 2), quadratic_roots(0, 2, -1), quadratic_roots(1, 0, 1)
    ((1.0, 2.0), (0.5,), ())
    """
    inside = b * b - 4 * a * c
    if inside < 0:
        return ()
    half = -(b + sqrt(inside)) / 2 if b > 0 else (sqrt(inside) - b) / 2
    roots = [top / bottom for top, bottom in ((half, a), (c, half)) if bottom]
    return tuple(sorted(set(roots)))
