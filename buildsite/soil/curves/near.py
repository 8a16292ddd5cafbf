"""
The points near the highest, and their parabola by least squares.

Each point counts with a weight that goes to zero before the point is left out, so that
no small change of a reading makes a large one of the peak. Why these weights:
docs/curve-forms.md.
"""

from collections.abc import Sequence
from functools import lru_cache
from math import fsum
from typing import NamedTuple

from buildsite.soil.curves.algebra import solve
from buildsite.soil.curves.shape import SCATTER, Points

NEAR, FAR = 1.5, 2.5
"""
A point counts fully up to the first distance from the highest point, and not from the
second on. [%]
"""

ABOUT = (2.5, 3.5)
"""A point is counted up to the first distance from the highest, and not from the second
on: so that points are many, or not. [%]"""

MANY = (5.0, 7.0)
"""Of so many points three tell the peak, up to the first; from the second on all do."""

TIED = 0.001
"""
A point whose density is lower than the highest by less than this share is a highest
point too, to a degree: a quarter of the standard deviation of a density. [1]
"""

UNEVEN = (2.5, 3.5)
"""
Ratio of the wider to the narrower side of the points near the top: up to the first the
parabola stands, from the second on Akima's curve. [1]
"""

HIGH = (0.75 * SCATTER, SCATTER)
"""The same, for the height of the peak above the highest point. [1]"""


Powers = tuple[float, float, float]
"""Constant, slope and bend of a parabola. [kg/m³ over powers of %]"""


class Top(NamedTuple):
    """
    The points near the highest place, and their parabola.

    ``weights`` are those of the places, 0 to 1; ``powers`` those of the distance from
    the highest place, constant first; ``akima`` is the share of Akima's curve.
    """

    place: int
    weights: tuple[float, ...]
    powers: Powers
    akima: float

    @property
    def is_of_three(self) -> bool:
        """Whether the highest place and its neighbors alone count."""
        return sum(weight > 0 for weight in self.weights) == 3

    @property
    def peak(self) -> tuple[float, float]:
        """Distance from the highest place [%], and density. [kg/m³]"""
        a, b, c = self.powers
        return -b / (2 * c), a - b * b / (4 * c)


def ramp(value: float, start: float, end: float) -> float:
    """
    Return how far a value has gone from a start to an end: 0 to 1.

    Parameters
    ----------
    value : float
        Any value. [any unit]
    start : float
        Where it starts. [the same unit]
    end : float
        Where it ends. [the same unit]

    Returns
    -------
    float
        Zero before the start, one after the end. [1]

    Examples
    --------
    >>> ramp(1.0, 1.5, 2.5), ramp(1.75, 1.5, 2.5), ramp(3.0, 1.5, 2.5)
    (0.0, 0.25, 1.0)
    """
    return min(max((value - start) / (end - start), 0.0), 1.0)


def degrees_of_top(found: Points, top: int) -> list[float]:
    """
    Return to what degree each place is the highest: 1 for the highest itself.

    Parameters
    ----------
    found : sequence of tuple of float
        Places: water content [%] and dry density. [kg/m³]
    top : int
        Which is the highest, neither the first nor the last. [1]

    Returns
    -------
    list of float
        Zero at the ends. [1]

    Examples
    --------
    >>> degrees_of_top([(8, 1850), (10, 1950), (12, 1950), (14, 1900)], 1)
    [0.0, 1.0, 1.0, 0.0]
    """
    highest = found[top][1]
    inner = [1 - ramp(1 - density / highest, 0.0, TIED) for _, density in found[1:-1]]
    return [0.0, *inner, 0.0]


def weights_about(found: Points, degrees: Sequence[float], place: int) -> list[float]:
    """
    Return the weights of all places for the parabola about one of them.

    Parameters
    ----------
    found : sequence of tuple of float
        Places: water content [%] and dry density. [kg/m³]
    degrees : sequence of float
        To what degree each is the highest. [1]
    place : int
        Which one, neither the first nor the last. [1]

    Returns
    -------
    list of float
        One for the place and its neighbors, and 0 to 1 for the others. [1]

    Examples
    --------
    >>> places = [(8, 1850), (10, 1950), (12, 1945), (14, 1950), (16, 1850)]
    >>> weights_about(places, [0.0, 1.0, 0.0, 1.0, 0.0], 1)
    [1.0, 1.0, 1.0, 1.0, 0.0]
    """
    away = [abs(water - found[place][0]) for water, _ in found]
    many = ramp(fsum(1 - ramp(one, *ABOUT) for one in away), *MANY)
    return [
        1.0 if abs(i - place) <= 1 else max(many * (1 - ramp(one, NEAR, FAR)), degree)
        for i, (one, degree) in enumerate(zip(away, degrees, strict=True))
    ]


def weighted_parabola(found: Points, weights: Sequence[float], origin: float) -> Powers:
    """
    Return the parabola of least squares, by the powers of distance from an origin.

    Parameters
    ----------
    found : sequence of tuple of float
        Places: water content [%] and dry density. [kg/m³]
    weights : sequence of float
        Of the places; three or more above zero. [1]
    origin : float
        Water content from which distances are taken. [%]

    Returns
    -------
    tuple of float
        Constant, slope and bend. [kg/m³ over powers of %]
    """
    rows = [
        (water - origin, density, weight)
        for (water, density), weight in zip(found, weights, strict=True)
        if weight > 0
    ]
    powers = [fsum([k * x**n for x, _, k in rows]) for n in range(5)]
    right = [fsum([k * y * x**n for x, y, k in rows]) for n in range(3)]
    a, b, c = solve([powers[n : n + 3] for n in range(3)], right)
    return a, b, c


def near_top(found: Points) -> Top | None:
    """
    Return the points near the highest place and their parabola.

    Parameters
    ----------
    found : sequence of tuple of float
        Places: water content [%] and dry density. [kg/m³]

    Returns
    -------
    Top or None
        None if the highest place is the first or the last, or no soil is there. [any]

    Examples
    --------
    >>> near_top([(10, 1850), (10.5, 1880), (11, 1900), (15, 1800)]).akima
    1.0
    """
    return _near_top(tuple(found))


@lru_cache(8)
def _near_top(found: Points) -> Top | None:
    """Return it once: the default rule and its curves ask it of the same points."""
    top = max(range(len(found)), key=lambda i: found[i][1])
    if not 0 < top < len(found) - 1 or found[top][1] <= 0:
        return None
    degrees = degrees_of_top(found, top)
    origin = found[top][0]
    three = [float(abs(i - top) <= 1) for i in range(len(found))]
    powers, kept = weighted_parabola(found, three, origin), three
    several, weights = _of_all_tops(found, degrees, origin)
    if weights != three:
        share = _soundness(found, top, several)
        kept = [max(a, share * b) for a, b in zip(three, weights, strict=True)]
        powers = _between(powers, several, share)
        degrees = [k if i == top else share * k for i, k in enumerate(degrees)]
    made = Top(top, tuple(kept), powers, 0.0)
    uneven = ramp(_unevenness(found, degrees, kept), *UNEVEN)
    high = ramp(made.peak[1] / found[top][1] - 1, *HIGH)
    return made._replace(akima=max(uneven, high))


def _of_all_tops(
    found: Points, degrees: Sequence[float], origin: float
) -> tuple[Powers, list[float]]:
    """Return the mean parabola of all highest places, and the weights behind it."""
    weights, sums = [0.0] * len(found), (0.0, 0.0, 0.0)
    for place, degree in enumerate(degrees):
        if degree > 0:
            own = weights_about(found, degrees, place)
            weights = [max(a, degree * b) for a, b in zip(weights, own, strict=True)]
            made = weighted_parabola(found, own, origin)
            share = degree / fsum(degrees[: place + 1])
            sums = _between(sums, made, share)  # a mean that grows by one each time
    return sums, weights


def _between(alone: Powers, several: Powers, share: float) -> Powers:
    """Return the parabola at a share of the way from the first to the second."""
    a, b, c = (
        (1 - share) * one + share * other
        for one, other in zip(alone, several, strict=True)
    )
    return a, b, c


def _soundness(found: Points, top: int, powers: Powers) -> float:
    """
    Return how sound a parabola is, 0 to 1: of points that scatter wildly, three count.

    Its peak is near the highest place, between the points, and not below the highest.
    """
    a, b, c = powers
    if c >= 0:
        return 0.0
    origin, highest = found[top]
    water, density = origin - b / (2 * c), a - b * b / (4 * c)
    beyond = max(found[top - 1][0] - water, water - found[top + 1][0])
    inside = min(water - found[0][0], found[-1][0] - water)
    unsound = (
        ramp(1 - density / highest, SCATTER, 1.5 * SCATTER),
        ramp(beyond, NEAR, FAR),
        1 - ramp(inside, 0.0, 1.0),
    )
    return 1 - max(unsound)


def _unevenness(
    found: Points, degrees: Sequence[float], weights: Sequence[float]
) -> float:
    """Return the ratio of the wider to the narrower side of the points that count."""
    middle = fsum(k * w for (w, _), k in zip(found, degrees, strict=True)) / fsum(
        degrees
    )
    reach = [k * (w - middle) for (w, _), k in zip(found, weights, strict=True)]
    sides = (-min(reach), max(reach))
    return max(sides) / min(sides)
