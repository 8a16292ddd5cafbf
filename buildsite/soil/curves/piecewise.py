"""Curves through every point, made of cubics that meet with one slope; splines."""

from bisect import bisect_right
from collections.abc import Sequence
from functools import cached_property, lru_cache
from itertools import pairwise
from math import fsum

from buildsite.soil.curves.algebra import quadratic_roots, solve
from buildsite.soil.curves.shape import Line, Points, Solids, Unfit, within
from buildsite.values import dataclass

SAME = 0.1
"""Water contents closer than this are one place on a curve through points. [%]"""

FLAT = 1e-9
"""A cube that adds less than this share of the density is rounding. [1]"""


@dataclass(frozen=True)
class Piecewise:
    """Cubics between places, given by density and slope at each place."""

    places: tuple[float, ...]
    densities: tuple[float, ...]
    slopes: tuple[float, ...]

    @property
    def span(self) -> tuple[float, float]:
        """Water contents at its two ends [%]."""
        return self.places[0], self.places[-1]

    @cached_property
    def pieces(self) -> tuple[tuple[float, float, float, float], ...]:
        """Each as powers of the distance from its drier end, constant first."""
        return tuple(map(self._powers, range(len(self.places) - 1)))

    def _powers(self, i: int) -> tuple[float, float, float, float]:
        width = self.places[i + 1] - self.places[i]
        steep = (self.densities[i + 1] - self.densities[i]) / width
        here, there = self.slopes[i], self.slopes[i + 1]
        square = (3 * steep - 2 * here - there) / width
        cube = (here + there - 2 * steep) / width**2
        return self.densities[i], here, square, cube

    def is_parabola(self, i: int) -> bool:
        """Whether the cube of piece ``i`` adds no more than rounding."""
        constant, _, _, cube = self.pieces[i]
        width = self.places[i + 1] - self.places[i]
        return abs(cube) * width**3 < FLAT * abs(constant)

    def piece(self, water_content: float) -> tuple[int, float]:
        """Return the piece of a water content, and the distance from its drier end."""
        places = self.places
        if places[0] <= water_content < places[-1]:
            i = bisect_right(places, water_content) - 1
            return i, water_content - places[i]
        water = within(self.span, water_content)
        i = min(bisect_right(places, water), len(places) - 1) - 1
        return i, water - places[i]

    def __call__(self, water_content: float) -> float:
        """Dry density on the curve [kg/m³]."""
        i, t = self.piece(water_content)
        a, b, c, d = self.pieces[i]
        return a + t * (b + t * (c + t * d))

    def slope(self, water_content: float) -> float:
        """Slope of the curve [kg/m³ over %]."""
        i, t = self.piece(water_content)
        _, b, c, d = self.pieces[i]
        return b + t * (2 * c + t * 3 * d)

    def turns(self) -> tuple[float, ...]:
        """Water contents inside the span where the curve turns [%]."""
        found = set()
        for (left, right), (_, b, c, d) in zip(
            pairwise(self.places), self.pieces, strict=True
        ):
            width = right - left
            # A turn at a place must not be lost between its two pieces by rounding.
            hair = 1e-12 * width
            for t in quadratic_roots(3 * d, 2 * c, b):
                if -hair <= t <= width + hair:
                    found.add(min(max(left + t, left), right))
        first, last = self.span
        inner = sorted(water for water in found if first < water < last)
        # Two pieces that meet at a turn may each have found it.
        return tuple(w for i, w in enumerate(inner) if not i or w - inner[i - 1] > 1e-9)


@dataclass(frozen=True)
class Straight:
    """Straight lines from place to place."""

    places: tuple[float, ...]
    densities: tuple[float, ...]

    @property
    def span(self) -> tuple[float, float]:
        """Water contents at its two ends [%]."""
        return self.places[0], self.places[-1]

    def __call__(self, water_content: float) -> float:
        """Dry density on the line [kg/m³]."""
        water = within(self.span, water_content)
        i = min(bisect_right(self.places, water), len(self.places) - 1) - 1
        share = (water - self.places[i]) / (self.places[i + 1] - self.places[i])
        return self.densities[i] * (1 - share) + self.densities[i + 1] * share

    def turns(self) -> tuple[float, ...]:
        """Corners between the ends [%]."""
        return self.places[1:-1]


def together(points: Points) -> list[list[tuple[float, float]]]:
    """
    Return points in groups of one water content (within `SAME` of the driest of them).

    Parameters
    ----------
    points : sequence of tuple of float
        Water content [%] and dry density, by water content. [kg/m³]

    Returns
    -------
    list of list of tuple of float
        Each group, by water content [%], with its dry densities. [kg/m³]

    Examples
    --------
    >>> [len(group) for group in together([(10.0, 1.9), (10.05, 1.9), (12.0, 2.0)])]
    [2, 1]
    """
    groups: list[list[tuple[float, float]]] = []
    for point in points:
        if groups and point[0] - groups[-1][0][0] < SAME:
            groups[-1].append(point)
        else:
            groups.append([point])
    return groups


def places(points: Points) -> tuple[tuple[float, float], ...]:
    """
    Return points, those at one water content (within `SAME`) merged to their mean.

    Parameters
    ----------
    points : sequence of tuple of float
        Water content [%] and dry density, by water content. [kg/m³]

    Returns
    -------
    tuple of tuple of float
        Water content [%] and dry density, by water content. [kg/m³]

    Examples
    --------
    >>> places([(10.0, 1900.0), (10.0, 1910.0), (12.0, 1950.0)])
    ((10.0, 1905.0), (12.0, 1950.0))
    """
    return _places(tuple(points))


@lru_cache(8)
def _places(points: Points) -> tuple[tuple[float, float], ...]:
    """Return them once: every curve type asks it of the same points."""
    return tuple(
        (fsum(w for w, _ in group) / len(group), fsum(d for _, d in group) / len(group))
        for group in together(points)
    )


def steeps_between(found: Points) -> list[float]:
    """
    Slopes of the straight lines from place to place.

    Parameters
    ----------
    found : sequence of tuple of float
        Places: water content [%] and dry density. [kg/m³]

    Returns
    -------
    list of float
        One slope fewer than places. [kg/m³ over %]
    """
    pairs = pairwise(found)
    return [(d2 - d1) / (w2 - w1) for (w1, d1), (w2, d2) in pairs]


def joined(found: Points, slopes: Sequence[float]) -> Piecewise:
    """
    Build the curve through places with the given slopes.

    Parameters
    ----------
    found : sequence of tuple of float
        Places: water content [%] and dry density. [kg/m³]
    slopes : sequence of float
        Slope at each place. [kg/m³ over %]

    Returns
    -------
    Piecewise
        The curve. [kg/m³ over %]
    """
    waters, densities = zip(*found, strict=True)
    return Piecewise(tuple(waters), tuple(densities), tuple(slopes))


def _spline(points: Points, *, natural: bool) -> Line | Unfit:
    """Return the spline through all places, by the equations for its slopes."""
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
        # Not-a-knot: one cubic over the first two pieces, one over the last two.
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
    Spline through all places, with not-a-knot ends.

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
