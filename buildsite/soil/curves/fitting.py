"""From points to a curve with a peak, or to the reason for none."""

from math import sqrt

from buildsite.soil.curves.automatic import AUTO, choose
from buildsite.soil.curves.forms import FORMS
from buildsite.soil.curves.peak import doubt_of_points, peak_of_line
from buildsite.soil.curves.piecewise import Straight, places
from buildsite.soil.curves.shape import Curve, Line, NoPeak, Points, Solids, Unfit


def fit(name: str, points: Points, solids: Solids | None = None) -> Curve | NoPeak:
    """
    Draw a curve of the named form, and read its peak.

    Parameters
    ----------
    name : str
        A name in `FORMS`, or ``auto``. [name]
    points : sequence of tuple of float
        Water content [%] and dry density, in any order. [kg/m³]
    solids : Solids or None
        Specific gravity and density of water, for the forms that follow the
        zero-air-voids line; None if not known. [1, kg/m³]

    Returns
    -------
    Curve or NoPeak
        Nothing is extrapolated, and no peak is given that the points do not
        bracket. [kg/m³ over %]

    Raises
    ------
    KeyError
        If there is no form of that name.

    Examples
    --------
    >>> points = [(8.0, 1850.0), (10.0, 1920.0), (12.0, 1950.0), (14.0, 1900.0)]
    >>> curve = fit("parabola-through-three", points)
    >>> round(curve.peak_water_content, 2), round(curve.peak_dry_density, 1)
    (11.75, 1950.6)
    >>> fit("auto", points[:3]).reason
    'highest-point-last'
    """
    ordered = sorted(points)
    found = places(ordered)
    form = FORMS[choose(found) if name == AUTO else name]
    if len(found) < form.least:
        words = (
            f"{len(found)} different water contents; "
            f"{form.title} needs {form.least} or more"
        )
        line = _straight(found) if len(found) > 1 else None
        return NoPeak(name, form.name, "too-few-points", words, line)
    drawn = form.through(ordered, solids)
    if isinstance(drawn, Unfit):
        return NoPeak(name, form.name, drawn.reason, drawn.words, _straight(found))
    top = doubt_of_points(found) or peak_of_line(drawn)
    if isinstance(top, Unfit):
        return NoPeak(name, form.name, top.reason, top.words, drawn)
    misses = tuple(density - drawn(water) for water, density in points)
    rms = sqrt(sum(miss * miss for miss in misses) / len(misses))
    return Curve(name, form.name, top, drawn(top), drawn, misses, rms)


def _straight(found: Points) -> Line:
    """Straight lines from place to place."""
    waters, densities = zip(*found, strict=True)
    return Straight(tuple(waters), tuple(densities))
