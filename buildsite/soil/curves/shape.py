"""Results of a fit: a line, and its peak or the reason for none."""

from collections.abc import Callable, Hashable, Sequence
from functools import lru_cache
from typing import NamedTuple, Protocol

from buildsite.values import dataclass

Points = Sequence[tuple[float, float]]
"""Pairs of water content [%] and dry density [kg/m³]."""


class Solids(NamedTuple):
    """Specific gravity [1] and density of water [kg/m³], for zero air voids."""

    specific_gravity: float
    water_density: float


class Line(Hashable, Protocol):
    """A curve between the first and the last measured point, and nowhere else."""

    @property
    def span(self) -> tuple[float, float]:
        """Water contents at its two ends [%]."""

    def __call__(self, water_content: float) -> float:
        """Dry density on the curve [kg/m³]; ValueError outside the span."""

    def turns(self) -> tuple[float, ...]:
        """Water contents inside the span where the curve turns, ascending [%]."""


@dataclass(frozen=True)
class Unfit:
    """A curve type that could not be fitted: a stable reason, and the same in words."""

    reason: str
    words: str


@dataclass(frozen=True)
class Form:
    """
    A curve type: ``through`` makes the line, from points sorted by water content.

    ``least`` is the fewest different water contents; ``smooth`` is False for a curve
    with a corner.
    """

    name: str
    title: str
    least: int
    through: Callable[[Points, Solids | None], Line | Unfit]
    source: str
    smooth: bool = True


@dataclass(frozen=True)
class Curve:
    """
    A curve with a peak between measured points.

    ``asked`` is the requested type, ``form`` the fitted one (they differ under
    ``auto``). ``residuals`` are measured less fitted, in the order of the points.
    [kg/m³]
    """

    asked: str
    form: str
    peak_water_content: float
    peak_dry_density: float
    line: Line
    residuals: tuple[float, ...]
    rms: float


@dataclass(frozen=True)
class NoPeak:
    """
    No supported peak: a stable reason, and the same in words.

    ``line`` can still be drawn; None with fewer than two water contents.
    """

    asked: str
    form: str
    reason: str
    words: str
    line: Line | None


def within(span: tuple[float, float], water_content: float) -> float:
    """
    Return a water content if it lies on a curve, or refuse it.

    Parameters
    ----------
    span : tuple of float
        Water contents at the curve's two ends. [%]
    water_content : float
        Where the density is wanted. [%]

    Returns
    -------
    float
        The same; an end where rounding put it slightly beyond. [%]

    Raises
    ------
    ValueError
        If it lies beyond the measured points: nothing is extrapolated.
    """
    first, last = span
    if not first - 1e-9 <= water_content <= last + 1e-9:
        raise ValueError(
            f"{water_content} % lies beyond the points, {first} to {last} %"
        )
    return min(max(water_content, first), last)


@lru_cache(8)  # for the figure, and for what is read off it
def sample(line: Line, count: int) -> tuple[tuple[float, float], ...]:
    """
    Return points along a curve, ends and turning points included, for a drawing.

    Parameters
    ----------
    line : Line
        Of a `Curve` or a `NoPeak`. [kg/m³ over %]
    count : int
        Evenly spaced points, two or more; turning points are added. [1]

    Returns
    -------
    tuple of tuple of float
        Water content [%] and dry density. [kg/m³]
    """
    first, last = line.span
    even = [first + (last - first) * i / (count - 1) for i in range(count - 1)]
    places = sorted({*even, last, *line.turns()})
    return tuple([(place, line(place)) for place in places])


SCATTER = 0.01
"""
Differences below this share of the highest density are scatter.

About the difference of two careful repeats of one specimen: single-operator
standard deviations of 0.4 to 0.5 lb/ft³ (ASTM D698, precision; from memory), times
2.8, are 1.1 to 1.4 lb/ft³ in 100 to 130.
"""


def dip(densities: Sequence[float]) -> float:
    """
    Return the depth of the deepest valley between two higher places.

    Parameters
    ----------
    densities : sequence of float
        By water content. [kg/m³]

    Returns
    -------
    float
        Below the lower of the two; zero where there is no valley. [kg/m³]

    Examples
    --------
    >>> dip([1.36, 1.65, 1.30, 1.40, 1.53]).__round__(2), dip([1.5, 1.8, 1.7])
    (0.23, 0.0)
    """
    deepest = 0.0
    for i in range(1, len(densities) - 1):
        lower = min(max(densities[:i]), max(densities[i + 1 :]))
        deepest = max(deepest, lower - densities[i])
    return deepest


def doubt_of_points(found: Points) -> Unfit | None:
    """
    Return why the measured points cannot bracket one peak, for any curve type.

    Parameters
    ----------
    found : sequence of tuple of float
        Three or more places: water content [%] and dry density. [kg/m³]

    Returns
    -------
    Unfit or None
        The reason. [text]
    """
    densities = [density for _, density in found]
    highest, lowest = max(densities), min(densities)
    top = densities.index(highest)
    if highest - lowest < SCATTER * highest:
        return Unfit(
            "flat",
            f"all points lie within {SCATTER * 100:g} % of the highest: "
            "no optimum is visible above the scatter",
        )
    if dip(densities) > SCATTER * highest:
        return Unfit(
            "two-peaks",
            f"the points fall by more than {SCATTER * 100:g} % and rise again: "
            "they have more than one peak",
        )
    if top == 0:
        return Unfit(
            "highest-point-first",
            f"the driest point, at {found[0][0]:.1f} %, is the highest: "
            "nothing brackets the peak on its dry side",
        )
    if top == len(found) - 1:
        return Unfit(
            "highest-point-last",
            f"the wettest point, at {found[-1][0]:.1f} %, is the highest: "
            "nothing brackets the peak on its wet side",
        )
    return None


def peak_of_line(line: Line) -> float | Unfit:
    """
    Return the water content of a line's one peak inside its span, or why none.

    Parameters
    ----------
    line : Line
        The curve. [kg/m³ over %]

    Returns
    -------
    float or Unfit
        Water content [%], or the reason for none. [text]
    """
    first, last = line.span
    waters = [first, *line.turns(), last]
    densities = [line(water) for water in waters]
    highest = max(densities)
    top = densities.index(highest)
    if top in (0, len(waters) - 1):
        return Unfit(
            "peak-outside-points",
            "the fitted curve is highest at an end: the points do not bracket its peak",
        )
    if dip(densities) > SCATTER * highest:
        return Unfit(
            "two-peaks",
            f"the fitted curve falls by more than {SCATTER * 100:g} % and rises again: "
            "it has more than one peak",
        )
    return waters[top]
