"""Curves through every point whose slopes depend on the nearest places only."""

from collections.abc import Sequence

from buildsite.soil.curves.piecewise import joined, places, steeps_between
from buildsite.soil.curves.shape import Line, Points, Solids, Unfit


def akima_slopes(found: Points) -> list[float]:
    """
    Return slopes that follow the straighter side of each place.

    Parameters
    ----------
    found : sequence of tuple of float
        Three or more places: water content [%] and dry density. [kg/m³]

    Returns
    -------
    list of float
        Slope at each place. [kg/m³ over %]

    Source
    ------
    H. Akima, *Journal of the ACM* 17 (1970) 589-602, with the weights of the
    modified form, |b - a| + |b + a| / 2, which do not vanish on a level run: C. Moler,
    C. Ionita, *Makima Piecewise Cubic Interpolation*, Cleve's Corner, 29 April 2019, as
    in `scipy.interpolate.Akima1DInterpolator`, method "makima".
    """
    steeps = steeps_between(found)
    before = 2 * steeps[0] - steeps[1]
    after = 2 * steeps[-1] - steeps[-2]
    m = [2 * before - steeps[0], before, *steeps, after, 2 * after - steeps[-1]]
    slopes = []
    for i in range(len(found)):
        left = abs(m[i + 3] - m[i + 2]) + abs(m[i + 3] + m[i + 2]) / 2
        right = abs(m[i + 1] - m[i]) + abs(m[i + 1] + m[i]) / 2
        both = left + right
        mean = (m[i + 1] + m[i + 2]) / 2
        slopes.append((left * m[i + 1] + right * m[i + 2]) / both if both else mean)
    return slopes


def modified_akima(points: Points, solids: Solids | None) -> Line | Unfit:
    """
    Shape-preserving curve through all places.

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
    found = places(points)
    return joined(found, akima_slopes(found))


def parabola_slopes(found: Points, middle: int) -> tuple[float, float, float]:
    """
    Return the slopes of the parabola through a place and its neighbors, at the three.

    Parameters
    ----------
    found : sequence of tuple of float
        Places: water content [%] and dry density. [kg/m³]
    middle : int
        Which place is in the middle, neither the first nor the last. [1]

    Returns
    -------
    tuple of float
        Slopes. [kg/m³ over %]
    """
    left, right = steeps_between(found[middle - 1 : middle + 2])
    before = found[middle][0] - found[middle - 1][0]
    after = found[middle + 1][0] - found[middle][0]
    bend = (right - left) / (before + after)
    return left - bend * before, left + bend * before, right + bend * after


def tame(slope: float, steeps: Sequence[float]) -> float:
    """
    Return the nearest slope at which no adjacent piece turns.

    Parameters
    ----------
    slope : float
        As wanted. [kg/m³ over %]
    steeps : sequence of float
        Straight slopes of the adjacent pieces, one or two. [kg/m³ over %]

    Returns
    -------
    float
        Zero where they differ in sign. [kg/m³ over %]
    """
    # Up to three times the straight slope of the flatter piece: F. N. Fritsch,
    # R. E. Carlson, SIAM J. Numerical Analysis 17 (1980) 238-246 (from memory).
    if min(steeps) > 0:
        return min(max(slope, 0.0), 3 * min(steeps))
    if max(steeps) < 0:
        return max(min(slope, 0.0), 3 * max(steeps))
    return 0.0


def parabola_through_three(points: Points, solids: Solids | None) -> Line | Unfit:
    """
    Return the parabola at the highest place, and Akima's curve beyond its neighbors.

    The peak is that of the parabola, which always turns between the middles of the two
    gaps next to the highest place. The curve follows the parabola out to the neighbors,
    unless its slope there would make the next piece turn. No other piece turns between
    its ends.

    Parameters
    ----------
    points : sequence of tuple of float
        Water content [%] and dry density, by water content. [kg/m³]
    solids : Solids or None
        Not used. [1, kg/m³]

    Returns
    -------
    Line or Unfit
        The curve; Akima's alone if the highest place is the first or last.
        [kg/m³ over %]
    """
    del solids
    found = list(places(points))
    slopes = akima_slopes(found)
    top = max(range(len(found)), key=lambda i: found[i][1])
    if not 0 < top < len(found) - 1:
        return joined(found, slopes)
    steeps = steeps_between(found)
    before, at, after = parabola_slopes(found, top)
    slopes[top - 1 : top + 2] = before, at, after
    for i in range(len(found)):
        beside = {i - 1, i} - {-1, top - 1, top, len(steeps)}
        if beside and i != top:
            slopes[i] = tame(slopes[i], [steeps[k] for k in sorted(beside)])
    bend = (steeps[top] - steeps[top - 1]) / (found[top + 1][0] - found[top - 1][0])
    # The wetter gap first, so that the drier one keeps its place in the list.
    for gap in (top, top - 1):
        (left, low), (right, high) = found[gap : gap + 2]
        middle = (low + high) / 2 - bend * (right - left) ** 2 / 4
        found.insert(gap + 1, ((left + right) / 2, middle))
        slopes.insert(gap + 1, steeps[gap])
    return joined(found, slopes)
