"""Saturation as powers of water content; what all models of saturation share."""

from collections.abc import Sequence
from math import exp, fsum, inf, log

from buildsite.soil.curves.shape import Line, Points, Solids, Unfit, within
from buildsite.soil.lines import saturation_line
from buildsite.soil.phase import saturation
from buildsite.values import dataclass

WITHOUT_SOLIDS = Unfit(
    "needs-specific-gravity",
    "this curve type needs the specific gravity",
)
NO_VOIDS = Unfit(
    "no-voids",
    "a point has no water or no voids: its saturation is undefined",
)
NO_FIT = Unfit("no-fit", "the model has no solution for these points")

MOST = 200
"""
Most points for a model of saturation. A test has four to ten; every split of ten
thousand would take minutes.
"""
LARGEST_POWER = 700.0
"""A float holds e to at most the power 709. [1]"""

TOO_MANY = Unfit("no-fit", f"the model takes at most {MOST} points")


def degrees_at(points: Points, solids: Solids) -> list[float] | Unfit:
    """
    Return the saturation at each point, or why it is undefined.

    Parameters
    ----------
    points : sequence of tuple of float
        Water content [%] and dry density. [kg/m³]
    solids : Solids
        Specific gravity and density of water. [1, kg/m³]

    Returns
    -------
    list of float or Unfit
        Saturations. [%]
    """
    if len(points) > MOST:
        return TOO_MANY
    try:
        found = [saturation(density, water, *solids) for water, density in points]
    except ValueError:
        return NO_VOIDS
    return found if min(found) > 0 else NO_VOIDS


@dataclass(frozen=True)
class Branches:
    """
    Saturation as one power of water content dry of a corner, and another wet of it.

    ``dry`` and ``wet`` are slope and constant of ln S over ln w.
    """

    first: float
    last: float
    corner: float
    dry: tuple[float, float]
    wet: tuple[float, float]
    solids: Solids

    @property
    def span(self) -> tuple[float, float]:
        """Water contents at its two ends [%]."""
        return self.first, self.last

    def saturation(self, water_content: float) -> float:
        """Saturation on the curve [%]."""
        slope, constant = self.dry if water_content <= self.corner else self.wet
        return exp(constant + slope * log(water_content))

    def __call__(self, water_content: float) -> float:
        """Dry density on the curve [kg/m³]."""
        water = within(self.span, water_content)
        return saturation_line(water, self.saturation(water), *self.solids)

    def turns(self) -> tuple[float, ...]:
        """Water contents inside the span where the curve turns [%]."""
        # Along a power the density rises if S grows faster than w, else falls: no turn.
        rises, falls = self.dry[0] > 1, self.wet[0] < 1
        return (self.corner,) if rises == falls else ()


def _line_of_logs(logs: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Return slope and constant of a straight line by least squares."""
    size = len(logs)
    x, y = (fsum(column) / size for column in zip(*logs, strict=True))
    products = fsum((a - x) * (b - y) for a, b in logs)
    slope = products / fsum((a - x) ** 2 for a, _ in logs)
    return slope, y - slope * x


def power_branches(points: Points, solids: Solids | None) -> Line | Unfit:
    """
    Two powers of saturation that meet in a corner, at the best split of the points.

    Parameters
    ----------
    points : sequence of tuple of float
        Water content [%] and dry density, by water content. [kg/m³]
    solids : Solids or None
        Specific gravity and density of water. [1, kg/m³]

    Returns
    -------
    Line or Unfit
        The curve. [kg/m³ over %]
    """
    if solids is None:
        return WITHOUT_SOLIDS
    degrees = degrees_at(points, solids)
    if isinstance(degrees, Unfit):
        return degrees
    logs = [(log(w), log(s)) for (w, _), s in zip(points, degrees, strict=True)]
    first, last = points[0][0], points[-1][0]
    best: Line | Unfit = NO_FIT
    least = inf
    for split in range(2, len(points) - 1):
        if logs[0][0] == logs[split - 1][0] or logs[split][0] == logs[-1][0]:
            continue
        dry, wet = _line_of_logs(logs[:split]), _line_of_logs(logs[split:])
        if dry[0] <= wet[0]:
            continue
        power = (wet[1] - dry[1]) / (dry[0] - wet[0])
        corner = exp(power) if power < LARGEST_POWER else inf
        # The corner must lie between the two groups of points.
        if points[split - 1][0] <= corner <= points[split][0]:
            line = Branches(first, last, corner, dry, wet, solids)
            misfit = fsum((density - line(water)) ** 2 for water, density in points)
            if misfit < least:
                best, least = line, misfit
    return best
