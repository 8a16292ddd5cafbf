"""From points to a curve with a peak, or to the reason for none."""

from math import sqrt

from buildsite.soil.curves.automatic import AUTO, bulges, candidates
from buildsite.soil.curves.forms import FORMS
from buildsite.soil.curves.peak import SCATTER, doubt_of_points, peak_of_line
from buildsite.soil.curves.piecewise import Straight, places
from buildsite.soil.curves.shape import Curve, Form, Line, NoPeak, Points, Solids, Unfit


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
    if name != AUTO:
        return _fitted(name, FORMS[name], points, solids)
    found = places(sorted(points))
    if not found:
        return NoPeak(AUTO, AUTO, "too-few-points", "there are no points", None)
    for candidate in candidates(found):
        result = _fitted(AUTO, FORMS[candidate], points, solids)
        if isinstance(result, Curve) and not bulges(result.peak_dry_density, found):
            return result
    if isinstance(result, NoPeak):
        return result
    words = (
        f"a smooth curve stands over {SCATTER * 100:g} % above the highest point: "
        "the peak lies where nothing was measured"
    )
    return NoPeak(AUTO, result.form, "bulge", words, result.line)


def _fitted(
    asked: str, form: Form, points: Points, solids: Solids | None
) -> Curve | NoPeak:
    """Draw a form and read its peak, or say why there is none."""
    ordered = sorted(points)
    found = places(ordered)
    if len(found) < form.least:
        drawn_as, needs = form.name, "this form of curve needs"
        if asked == AUTO:  # of the forms that it tries none was drawn
            drawn_as, needs = AUTO, "a curve needs"
        words = f"different water contents: {len(found)}; {needs} {form.least} or more"
        return NoPeak(asked, drawn_as, "too-few-points", words, _straight(found))
    doubt = doubt_of_points(found)
    drawn = form.through(ordered, solids)
    if isinstance(drawn, Unfit):
        doubt, line = doubt or drawn, _straight(found)
        return NoPeak(asked, form.name, doubt.reason, doubt.words, line)
    top = doubt or peak_of_line(drawn)
    if isinstance(top, Unfit):
        return NoPeak(asked, form.name, top.reason, top.words, drawn)
    first, last = drawn.span
    # Two points put together at an end leave one of them a hair beyond the curve.
    misses = tuple(
        density - drawn(min(max(water, first), last)) for water, density in points
    )
    rms = sqrt(sum(miss * miss for miss in misses) / len(misses))
    return Curve(asked, form.name, top, drawn(top), drawn, misses, rms)


def _straight(found: Points) -> Line | None:
    """Straight lines from place to place; None if there is but one place."""
    if len(found) < 2:
        return None
    waters, densities = zip(*found, strict=True)
    return Straight(tuple(waters), tuple(densities))
