"""The parabola near the highest point, and Akima's curve through the others."""

from buildsite.soil.curves.local import (
    akima_slopes,
    modified_akima,
    parabola_through_three,
    tame,
)
from buildsite.soil.curves.near import Top, near_top, ramp
from buildsite.soil.curves.piecewise import Piecewise, joined, places, steeps_between
from buildsite.soil.curves.shape import SCATTER, Line, Points, Solids, Unfit

HAIR = 1e-4
"""A far point drawn higher than the peak is drawn lower by this share. [1]"""


def local_parabola(points: Points, solids: Solids | None) -> Line | Unfit:
    """
    Return the parabola near the top, and Akima's curve beyond.

    Parameters
    ----------
    points : sequence of tuple of float
        Water content [%] and dry density, by water content. [kg/m³]
    solids : Solids or None
        Not used. [1, kg/m³]

    Returns
    -------
    Line or Unfit
        The curve; of three points near the top `parabola_through_three`, of unevenly
        spaced ones Akima's. [kg/m³ over %]
    """
    found = places(points)
    top, akima = near_top(found), modified_akima(points, solids)
    if top is None or top.akima == 1 or not isinstance(akima, Piecewise):
        return akima
    if top.is_of_three:
        line = parabola_through_three(points, solids)
    else:
        line = _around(found, top)
    if top.akima == 0 or not isinstance(line, Piecewise):
        return line
    return mixed(line, akima, top.akima)


def _around(found: Points, top: Top) -> Piecewise:
    """Return the curve that is the parabola at the peak, and passes the far points."""
    a, b, c = top.powers
    origin, highest = found[top.place]
    away, peak = top.peak
    # The place nearest to the peak, not at an end; around it the curve is the parabola.
    at = min(range(1, len(found) - 1), key=lambda i: abs(found[i][0] - origin - away))
    level = [a + (w - origin) * (b + (w - origin) * c) for w, _ in found]
    # Where the parabola has gone far from a point, the curve passes the point.
    shares = [
        1.0
        if abs(i - at) <= 1
        else k * (1 - ramp(abs(y - density) / highest, SCATTER / 2, SCATTER))
        for i, ((_, density), y, k) in enumerate(
            zip(found, level, top.weights, strict=True)
        )
    ]
    lowered = [
        (w, y if k == 1 else min(k * y + (1 - k) * density, peak * (1 - HAIR)))
        for (w, density), y, k in zip(found, level, shares, strict=True)
    ]
    steeps = steeps_between(lowered)
    slopes = [
        k * (b + 2 * c * (w - origin)) + (1 - k) * slope
        for (w, _), k, slope in zip(found, shares, akima_slopes(lowered), strict=True)
    ]
    for i in range(len(found)):
        outer = {i - 1, i} - {-1, at - 1, at, len(steeps)}
        if outer and i != at:
            slopes[i] = tame(slopes[i], [steeps[k] for k in sorted(outer)])
    # The wetter gap first, so that the drier one keeps its place in the list.
    for gap in (at, at - 1):
        x = (found[gap][0] + found[gap + 1][0]) / 2 - origin
        lowered.insert(gap + 1, (origin + x, a + x * (b + x * c)))
        slopes.insert(gap + 1, b + 2 * c * x)
    return joined(lowered, slopes)


def mixed(line: Piecewise, other: Piecewise, share: float) -> Piecewise:
    """
    Return the curve between two, at a share of the way from the first to the second.

    Parameters
    ----------
    line : Piecewise
        A curve with every place of the other. [kg/m³ over %]
    other : Piecewise
        Another curve. [kg/m³ over %]
    share : float
        Zero for the first, one for the second. [1]

    Returns
    -------
    Piecewise
        The curve. [kg/m³ over %]
    """
    kept = 1 - share
    pairs = zip(line.places, line.densities, line.slopes, strict=True)
    rows = [
        (w, kept * y + share * other(w), kept * slope + share * other.slope(w))
        for w, y, slope in pairs
    ]
    waters, densities, slopes = zip(*rows, strict=True)
    return Piecewise(waters, densities, slopes)
