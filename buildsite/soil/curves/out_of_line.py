"""The point that its neighbors do not explain: a slip of a digit stands out so."""

from math import fsum

from buildsite.soil.curves.near import weighted_parabola
from buildsite.soil.curves.piecewise import places
from buildsite.soil.curves.shape import Points
from buildsite.values import dataclass

NEIGHBORS = 4
"""So many places tell where another one is expected: a parabola and one to spare."""


@dataclass(frozen=True)
class Miss:
    """
    A place, and the density that its neighbors tell there.

    ``share`` is how far it lies above that, of the density; ``places`` are the five
    that were compared, by water content, and ``judged`` is which of them it is.
    [%, kg/m³, 1, %, 1]
    """

    water_content: float
    expected: float
    share: float
    places: Points
    judged: int

    @property
    def span(self) -> float:
        """Distance from the driest to the wettest of the five places. [%]"""
        return self.places[-1][0] - self.places[0][0]

    @property
    def suspect(self) -> float:
        """The place, or the end without which the others are far more of a parabola."""
        return self.places[_suspect(self.places, self.judged)][0]


def greatest_miss(points: Points) -> Miss | None:
    """
    Return the inner place that lies farthest from the parabola of its neighbors.

    Of each inner place the four nearest others are taken, where some are drier and some
    wetter. The first and the last place are not judged: nothing is extrapolated.

    Parameters
    ----------
    points : sequence of tuple of float
        Water content [%] and dry density, in any order. [kg/m³]

    Returns
    -------
    Miss or None
        None with fewer than five different water contents. [any]

    Source
    ------
    Leave-one-out residual of a least-squares parabola; common practice.

    Examples
    --------
    >>> points = [(8, 1840), (10, 1900), (12, 1920), (14, 1900), (16, 1840)]
    >>> abs(greatest_miss(points).share) < 1e-9
    True
    >>> points[1] = (10, 1957)
    >>> found = greatest_miss(points)
    >>> found.water_content, round(found.expected, 1), round(found.share, 3)
    (10.0, 1900.0, 0.03)
    >>> points[:2] = [(8, 1640), (10, 1900)]
    >>> found = greatest_miss(points)
    >>> found.water_content, found.suspect
    (10.0, 8.0)
    """
    found = places(sorted(points))
    greatest: tuple[int, list[int], float, float] | None = None
    for i in range(1, len(found) - 1):
        others = [k for k in range(len(found)) if k != i]
        others.sort(key=lambda k: (abs(found[k][0] - found[i][0]), k))
        taken = others[:NEIGHBORS]
        if len(taken) < NEIGHBORS or min(taken) > i or max(taken) < i:
            continue
        weights = [float(k in taken) for k in range(len(found))]
        water, density = found[i]
        expected = weighted_parabola(found, weights, water)[0]
        share = density / expected - 1
        if greatest is None or abs(share) > abs(greatest[3]):
            greatest = (i, sorted((*taken, i)), expected, share)
    if greatest is None:
        return None
    i, five, expected, share = greatest
    taken_places = [found[k] for k in five]
    return Miss(found[i][0], expected, share, taken_places, five.index(i))


DECISIVE = 0.25
"""An end is the suspect if without it so little is left, of what is left without the
judged place: otherwise both may be wrong. [1]"""


def _suspect(found: Points, judged: int) -> int:
    """Return the judged place, or an end without which the others fit far better."""
    best, end = min((_left_without(found, k), k) for k in (0, len(found) - 1))
    return end if best < DECISIVE * _left_without(found, judged) else judged


def _left_without(found: Points, out: int) -> float:
    """Return the sum of squares that a parabola through the others leaves of them."""
    weights = [float(k != out) for k in range(len(found))]
    origin = found[out][0]
    a, b, c = weighted_parabola(found, weights, origin)
    away = [(water - origin, density) for water, density in found]
    return fsum(
        weight * (density - a - b * x - c * x * x) ** 2
        for weight, (x, density) in zip(weights, away, strict=True)
    )
