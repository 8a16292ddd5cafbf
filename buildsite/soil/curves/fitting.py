"""From points to a curve with a peak, or to the reason for none."""

from dataclasses import replace
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
    return Fits(points, solids).fit(name)


class Fits:
    """
    Curves of any form through one set of points, each drawn once, when it is asked for.

    Parameters
    ----------
    points, solids
        As of `fit`.
    """

    def __init__(self, points: Points, solids: Solids | None) -> None:
        self.points = tuple(points)
        self._solids = solids
        self._ordered = sorted(points)
        self._places = places(self._ordered)
        self._drawn: dict[str, Curve | NoPeak] = {}

    def fit(self, name: str) -> Curve | NoPeak:
        """Return the curve of a form in `FORMS` or of ``auto``, or why none."""
        if name == AUTO:
            return self._automatic()
        if name not in self._drawn:
            self._drawn[name] = self._draw(FORMS[name])
        return self._drawn[name]

    def _automatic(self) -> Curve | NoPeak:
        """Return the first curve among the candidates that has a believable peak."""
        found = self._places
        if not found:
            return NoPeak(AUTO, AUTO, "too-few-points", "there are no points", None)
        names = candidates(found)
        least = min(FORMS[name].least for name in names)
        if len(found) < least:  # of the forms that it tries none can be drawn
            return self._too_few(AUTO, AUTO, f"a curve needs {least} or more")
        for name in names:
            result = replace(self.fit(name), asked=AUTO)
            if isinstance(result, Curve) and not bulges(result.peak_dry_density, found):
                return result
        if isinstance(result, NoPeak):
            return result
        words = (
            f"a smooth curve stands over {SCATTER * 100:g} % above the highest point: "
            "the peak lies where nothing was measured"
        )
        return NoPeak(AUTO, result.form, "bulge", words, result.line)

    def _draw(self, form: Form) -> Curve | NoPeak:
        """Draw a form and read its peak, or say why there is none."""
        name, found = form.name, self._places
        if len(found) < form.least:
            needs = f"this form of curve needs {form.least} or more"
            return self._too_few(name, name, needs)
        doubt = doubt_of_points(found)
        drawn = form.through(self._ordered, self._solids)
        if isinstance(drawn, Unfit):
            doubt, line = doubt or drawn, _straight(found)
            return NoPeak(name, name, doubt.reason, doubt.words, line)
        top = doubt or peak_of_line(drawn)
        if isinstance(top, Unfit):
            return NoPeak(name, name, top.reason, top.words, drawn)
        first, last = drawn.span
        # Two points put together at an end leave one of them a hair beyond the curve.
        misses = tuple(
            density - drawn(min(max(water, first), last))
            for water, density in self.points
        )
        rms = sqrt(sum(miss * miss for miss in misses) / len(misses))
        return Curve(name, name, top, drawn(top), drawn, misses, rms)

    def _too_few(self, asked: str, form: str, needs: str) -> NoPeak:
        """Say that the points lie at too few water contents."""
        words = f"different water contents: {len(self._places)}; {needs}"
        line = _straight(self._places)
        return NoPeak(asked, form, "too-few-points", words, line)


def _straight(found: Points) -> Line | None:
    """Straight lines from place to place; None if there is but one place."""
    if len(found) < 2:
        return None
    waters, densities = zip(*found, strict=True)
    return Straight(tuple(waters), tuple(densities))
