"""Splines: curves through every point whose bend, too, has no break."""

from itertools import pairwise

from buildsite.soil.curves.algebra import solve
from buildsite.soil.curves.piecewise import joined, places, steeps_between
from buildsite.soil.curves.shape import Line, Points, Solids, Unfit


def _spline(points: Points, *, natural: bool) -> Line | Unfit:
    """Twice smooth curve through all places, by the equations for its slopes."""
    found = places(points)
    steeps = steeps_between(found)
    widths = [b - a for (a, _), (b, _) in pairwise(found)]
    size = len(found)
    matrix = [[0.0] * size for _ in range(size)]
    right = [0.0] * size
    for i in range(1, size - 1):
        a, b = widths[i - 1], widths[i]
        matrix[i][i - 1 : i + 2] = [b, 2 * (a + b), a]
        right[i] = 3 * (b * steeps[i - 1] + a * steeps[i])
    if natural:
        matrix[0][:2], right[0] = [2.0, 1.0], 3 * steeps[0]
        matrix[-1][-2:], right[-1] = [1.0, 2.0], 3 * steeps[-1]
    else:
        # Not a knot: one cubic over the first two pieces, one over the last two.
        for end, a, b, s, t in (
            (0, widths[0], widths[1], steeps[0], steeps[1]),
            (-1, widths[-1], widths[-2], steeps[-1], steeps[-2]),
        ):
            near, far = (0, 1) if end == 0 else (-1, -2)
            matrix[end][near], matrix[end][far] = b, a + b
            right[end] = ((a + 2 * (a + b)) * b * s + a * a * t) / (a + b)
    return joined(found, solve(matrix, right))


def cubic_spline(points: Points, solids: Solids | None) -> Line | Unfit:
    """
    Spline through all places; its ends have no knot of their own ("not a knot").

    Parameters
    ----------
    points : sequence of tuple of float
        Water content [%] and dry density, by water content. [kg/m³]
    solids : Solids or None
        Not used. [1, kg/m³]

    Returns
    -------
    Line or Unfit
        The curve; through four places, one cubic. [kg/m³ over %]
    """
    del solids
    return _spline(points, natural=False)


def natural_spline(points: Points, solids: Solids | None) -> Line | Unfit:
    """
    Spline through all places, straight at both ends.

    Parameters
    ----------
    points : sequence of tuple of float
        Water content [%] and dry density, by water content. [kg/m³]
    solids : Solids or None
        Not used. [1, kg/m³]

    Returns
    -------
    Line or Unfit
        The curve. [kg/m³ over %]
    """
    del solids
    return _spline(points, natural=True)
