"""Whether points, and the line through them, have one peak between them."""

from collections.abc import Sequence

from buildsite.soil.curves.shape import Line, Points, Unfit

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
