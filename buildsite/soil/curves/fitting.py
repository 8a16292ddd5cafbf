"""
Fit a curve with a peak to points, or return the reason for none; the curve types.

The default, ``auto``, is the parabola through the highest point and its two neighbors,
or by least squares through more points where they lie near the highest or are nearly as
high. It goes over to Akima's curve where the points lie unevenly about the highest, or
where the parabola would rise nearly 1 % above every measured point. If Akima's curve
rises as high, no measurement supports a peak. Why this rule: docs/curve-forms.md.
"""

from dataclasses import replace
from functools import cached_property, lru_cache
from math import fsum, sqrt

from buildsite.soil.curves.growth import saturation_growth
from buildsite.soil.curves.local import modified_akima, parabola_through_three
from buildsite.soil.curves.local_parabola import local_parabola
from buildsite.soil.curves.near import Top, near_top
from buildsite.soil.curves.piecewise import (
    Straight,
    cubic_spline,
    natural_spline,
    places,
)
from buildsite.soil.curves.polynomial import cubic, quadratic
from buildsite.soil.curves.saturation import power_branches
from buildsite.soil.curves.shape import (
    SCATTER,
    Curve,
    Form,
    Line,
    NoPeak,
    Points,
    Solids,
    Unfit,
    doubt_of_points,
    peak_of_line,
)

FORMS = {
    form.name: form
    for form in (
        Form(
            "quadratic",
            "parabola through all points by least squares",
            3,
            quadratic,
            "common practice",
        ),
        Form(
            "cubic",
            "cubic through all points by least squares",
            4,
            cubic,
            "common practice",
        ),
        Form(
            "parabola-through-three",
            "parabola through the highest point and its two neighbors, "
            "Akima's curve beyond them",
            3,
            parabola_through_three,
            "common practice",
        ),
        Form(
            "modified-akima",
            "Akima's shape-preserving curve through every point",
            3,
            modified_akima,
            "H. Akima, Journal of the ACM 17 (1970) 589-602; weights of C. Moler, "
            "C. Ionita, Makima Piecewise Cubic Interpolation, Cleve's Corner, "
            "29 April 2019",
        ),
        Form(
            "local-parabola",
            "parabola by least squares through the points near the highest, "
            "Akima's curve beyond them",
            3,
            local_parabola,
            "W. S. Cleveland, Journal of the American Statistical Association 74 "
            "(1979) 829-836 (unchecked), with other weights",
        ),
        Form(
            "cubic-spline",
            "cubic spline through every point, not-a-knot ends",
            4,
            cubic_spline,
            "C. de Boor, A Practical Guide to Splines, chapter IV (unchecked)",
        ),
        Form(
            "natural-spline",
            "cubic spline through every point, natural ends",
            3,
            natural_spline,
            "C. de Boor, A Practical Guide to Splines, chapter IV (unchecked)",
        ),
        Form(
            "saturation-growth",
            "saturation growing to a limit held along the wet side",
            4,
            saturation_growth,
            "H. Li, D. C. Sego, Canadian Geotechnical Journal 37 (2000): "
            "equation unchecked",
        ),
        Form(
            "power-branches",
            "saturation as a power of water content, one dry and one wet of optimum",
            4,
            power_branches,
            "S. Horpibulsuk, W. Katkan, A. Apichatvullop, "
            "Soils and Foundations 48 (2008) 115-125, abstract",
            smooth=False,
        ),
    )
}


AUTO = "auto"
"""The name of the default rule."""


def automatic_form(found: Points) -> str:
    """
    Return the curve type of the default rule.

    Parameters
    ----------
    found : sequence of tuple of float
        Places: water content [%] and dry density. [kg/m³]

    Returns
    -------
    str
        Name of a curve type. [name]

    Examples
    --------
    >>> automatic_form([(8.0, 1850.0), (10.0, 1920.0), (12.0, 1950.0), (14.0, 1900.0)])
    'parabola-through-three'
    >>> automatic_form([(10.0, 1850.0), (10.5, 1880.0), (11.0, 1900.0), (15.0, 1800.0)])
    'modified-akima'
    """
    top = near_top(found)
    if top is None or top.akima == 1:
        return "modified-akima"
    whole = top.is_of_three and top.akima == 0
    return "parabola-through-three" if whole else "local-parabola"


def bulges(peak_dry_density: float, found: Points) -> bool:
    """
    Return whether a peak is higher above all points than repeats would scatter.

    Parameters
    ----------
    peak_dry_density : float
        Of the curve. [kg/m³]
    found : sequence of tuple of float
        Places: water content [%] and dry density. [kg/m³]

    Returns
    -------
    bool
        Whether it does. [truth]
    """
    highest = max(density for _, density in found)
    return peak_dry_density > highest * (1 + SCATTER)


def fit(name: str, points: Points, solids: Solids | None = None) -> Curve | NoPeak:
    """
    Fit a curve of the named type, and read its peak.

    Parameters
    ----------
    name : str
        A name in `FORMS`, or ``auto``. [name]
    points : sequence of tuple of float
        Water content [%] and dry density, in any order. [kg/m³]
    solids : Solids or None
        Specific gravity and density of water, for the curve types that follow the
        zero-air-voids line; None if not known. [1, kg/m³]

    Returns
    -------
    Curve or NoPeak
        Nothing is extrapolated, and the points bracket every peak. [kg/m³ over %]

    Raises
    ------
    KeyError
        If there is no curve type of that name.

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


@lru_cache(64)
def fits_of(points: tuple[tuple[float, float], ...], solids: Solids | None) -> "Fits":
    """
    Return the curves through one set of points: edits of a test mostly leave them.

    Parameters
    ----------
    points, solids
        As of `fit`.

    Returns
    -------
    Fits
        Each curve fitted when needed. [kg/m³ over %]
    """
    return Fits(points, solids)


class Fits:
    """
    Curves of any type through one set of points, each fitted once, when needed.

    Parameters
    ----------
    points, solids
        As of `fit`.
    """

    def __init__(self, points: Points, solids: Solids | None) -> None:
        self.points = tuple(points)
        self._solids = solids
        self._ordered = tuple(sorted(points))
        self._places = places(self._ordered)
        self._drawn: dict[str, Curve | NoPeak] = {}

    @property
    def places(self) -> Points:
        """Return the points by water content, those at one water content merged."""
        return self._places

    @cached_property
    def top(self) -> Top | None:
        """Return the points near the highest, and their parabola."""
        return near_top(self._places)

    @cached_property
    def _doubt(self) -> Unfit | None:
        """Why the points bracket no peak, whatever the curve type."""
        return doubt_of_points(self._places)

    def fit(self, name: str) -> Curve | NoPeak:
        """Return the curve of a type in `FORMS` or of ``auto``, or why none."""
        if name == AUTO:
            return self._automatic()
        if name not in self._drawn:
            self._drawn[name] = self._draw(FORMS[name])
        return self._drawn[name]

    def _automatic(self) -> Curve | NoPeak:
        """Return the curve of the default rule, or why no peak is supported."""
        found = self._places
        if not found:
            return NoPeak(AUTO, AUTO, "too-few-points", "there are no points", None)
        name = automatic_form(found)
        least = FORMS[name].least
        if len(found) < least:
            return self._too_few(AUTO, AUTO, f"a curve needs {least} or more")
        result = replace(self.fit(name), asked=AUTO)
        if isinstance(result, NoPeak) or not bulges(result.peak_dry_density, found):
            return result
        words = (
            f"the fitted curve rises more than {SCATTER * 100:g} % above the highest "
            "point, where nothing was measured"
        )
        return NoPeak(AUTO, result.form, "bulge", words, result.line)

    def _draw(self, form: Form) -> Curve | NoPeak:
        """Fit a curve type and read its peak, or return why there is none."""
        name, found = form.name, self._places
        if len(found) < form.least:
            needs = f"this curve type needs {form.least} or more"
            return self._too_few(name, name, needs)
        doubt = self._doubt
        drawn = form.through(self._ordered, self._solids)
        if isinstance(drawn, Unfit):
            doubt, line = doubt or drawn, _straight(found)
            return NoPeak(name, name, doubt.reason, doubt.words, line)
        top = doubt or peak_of_line(drawn)
        if isinstance(top, Unfit):
            return NoPeak(name, name, top.reason, top.words, drawn)
        first, last = drawn.span
        # Of two points merged at an end, one lies slightly beyond the curve.
        misses = tuple(
            density - drawn(min(max(water, first), last))
            for water, density in self.points
        )
        rms = sqrt(fsum(miss * miss for miss in misses) / len(misses))
        return Curve(name, name, top, drawn(top), drawn, misses, rms)

    def _too_few(self, asked: str, form: str, needs: str) -> NoPeak:
        """Return that the points lie at too few water contents."""
        words = f"different water contents: {len(self._places)}; {needs}"
        line = _straight(self._places)
        return NoPeak(asked, form, "too-few-points", words, line)


def _straight(found: Points) -> Line | None:
    """Return straight lines from place to place; None for one place."""
    if len(found) < 2:
        return None
    waters, densities = zip(*found, strict=True)
    return Straight(tuple(waters), tuple(densities))
