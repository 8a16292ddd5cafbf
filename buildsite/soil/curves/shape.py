"""What a fit gives: a line that can be drawn, and its one peak, or why it has none."""

from collections.abc import Callable, Sequence
from typing import NamedTuple, Protocol

from buildsite.values import dataclass

Points = Sequence[tuple[float, float]]
"""Pairs of water content [%] and dry density [kg/m³]."""


class Solids(NamedTuple):
    """What zero air voids rests on: specific gravity [1], density of water [kg/m³]."""

    specific_gravity: float
    water_density: float


class Line(Protocol):
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
    """A form that could not be fitted: a stable reason, and the same in words."""

    reason: str
    words: str


@dataclass(frozen=True)
class Form:
    """
    A way to draw a curve: ``through`` makes the line, from points sorted by water.

    ``least`` is the fewest different water contents it needs; ``smooth`` is False for
    a curve with a corner.
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

    ``asked`` is the form that was asked for, ``form`` the one that was drawn (they
    differ under ``auto``). ``residuals`` are measured less drawn, in the order in
    which the points were given. [kg/m³]
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
    No peak can be stood behind, and why: a stable reason, and the same in words.

    ``line`` is there to be drawn all the same; None with fewer than two water
    contents.
    """

    asked: str
    form: str
    reason: str
    words: str
    line: Line | None


def within(span: tuple[float, float], water_content: float) -> float:
    """
    Let a water content pass if it lies on a curve, or refuse it.

    Parameters
    ----------
    span : tuple of float
        Water contents at the curve's two ends. [%]
    water_content : float
        Where the curve is asked for its density. [%]

    Returns
    -------
    float
        The same; an end itself where rounding put it a hair beyond. [%]

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


def sample(line: Line, count: int) -> list[tuple[float, float]]:
    """
    Points along a curve, ends and turning points included, for a drawing.

    Parameters
    ----------
    line : Line
        Of a `Curve` or a `NoPeak`. [kg/m³ over %]
    count : int
        Evenly spaced points, two or more; turning points come on top. [1]

    Returns
    -------
    list of tuple of float
        Water content [%] and dry density. [kg/m³]
    """
    first, last = line.span
    even = [first + (last - first) * i / (count - 1) for i in range(count - 1)]
    places = sorted({*even, last, *line.turns()})
    return [(place, line(place)) for place in places]


SCATTER = 0.01
"""
Differences below this share of the highest density tell nothing.

About what two careful repeats of one specimen may differ by: single-operator
standard deviations of 0.4 to 0.5 lb/ft³ (ASTM D698, precision; from memory), times
2.8, are 1.1 to 1.4 lb/ft³ in 100 to 130.
"""


def dip(densities: Sequence[float]) -> float:
    """
    Depth of the deepest valley between two higher places.

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
    Why measured points cannot bracket one peak, whatever is drawn through them.

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
            "no optimum stands out of the scatter",
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
    Water content of a line's peak, if it has one and only one inside its span.

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
            "the fitted curve is highest at an end of the measured points: "
            "they do not bracket its peak",
        )
    if dip(densities) > SCATTER * highest:
        return Unfit(
            "two-peaks",
            f"the fitted curve falls by more than {SCATTER * 100:g} % and rises again: "
            "it has more than one peak",
        )
    return waters[top]
