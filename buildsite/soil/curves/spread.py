"""Sensitivity of the peak to the choice of curve."""

from math import isclose

from buildsite.soil.curves.fitting import FORMS, Fits, bulges
from buildsite.soil.curves.shape import NoPeak
from buildsite.values import dataclass

TOLERANCE = 1.0
"""Greatest distance from any point of a curve that fits the points. [%]"""


@dataclass(frozen=True)
class Spread:
    """
    Peaks of every curve type that fits the points, by name.

    ``peaks`` maps a type to water content [%] and dry density [kg/m³]; ``refused`` maps
    the others to a stable reason. The ranges are None where no type is left.
    """

    peaks: dict[str, tuple[float, float]]
    refused: dict[str, str]
    water_content: tuple[float, float] | None
    dry_density: tuple[float, float] | None

    @property
    def count(self) -> int:
        """Number of different peaks: on few points some curve types are one curve."""
        different: list[tuple[float, float]] = []
        for peak in self.peaks.values():
            if not any(same_peak(peak, other) for other in different):
                different.append(peak)
        return len(different)

    def repeats(self, name: str) -> bool:
        """Whether a type gives the same peak as another one."""
        own = self.peaks.get(name)
        others = [peak for other, peak in self.peaks.items() if other != name]
        return own is not None and any(same_peak(own, one) for one in others)


def same_peak(one: tuple[float, float], other: tuple[float, float]) -> bool:
    """
    Return whether two peaks differ by rounding alone.

    Parameters
    ----------
    one : tuple of float
        Water content [%] and dry density. [kg/m³]
    other : tuple of float
        Another peak. [%, kg/m³]

    Returns
    -------
    bool
        Whether they do. [truth]
    """
    return all(isclose(a, b, rel_tol=1e-9) for a, b in zip(one, other, strict=True))


def spread(fits: Fits, tolerance: float) -> Spread:
    """
    Return the peak by every smooth curve type that fits the points, and the ranges.

    Parameters
    ----------
    fits : Fits
        Curves through points of water content [%] and dry density. [kg/m³]
    tolerance : float
        Greatest distance of a curve from any point, in percent of the highest
        density, such as `TOLERANCE`. [%]

    Returns
    -------
    Spread
        Peaks, and the least and greatest of each value. [%, kg/m³]

    Examples
    --------
    >>> points = [(8.0, 1850.0), (10.0, 1920.0), (12.0, 1950.0), (14.0, 1900.0)]
    >>> found = spread(Fits(points, None), TOLERANCE)
    >>> [round(value, 1) for value in found.water_content]
    [11.6, 12.0]
    """
    peaks: dict[str, tuple[float, float]] = {}
    refused: dict[str, str] = {}
    most = max((density for _, density in fits.points), default=0.0) * tolerance / 100
    for name, form in FORMS.items():
        result = fits.fit(name)
        if isinstance(result, NoPeak):
            refused[name] = result.reason
        elif not form.smooth:
            refused[name] = "has-a-corner"
        elif max(map(abs, result.residuals)) > most:
            refused[name] = "passes-far-from-a-point"
        elif bulges(result.peak_dry_density, fits.points):
            refused[name] = "bulge"
        else:
            peaks[name] = (result.peak_water_content, result.peak_dry_density)
    if not peaks:
        return Spread(peaks, refused, None, None)
    waters, densities = zip(*peaks.values(), strict=True)
    return Spread(
        peaks,
        refused,
        (min(waters), max(waters)),
        (min(densities), max(densities)),
    )
