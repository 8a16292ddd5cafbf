"""Polynomials through all points by least squares."""

from math import fsum

from buildsite.soil.curves.algebra import quadratic_roots, solve
from buildsite.soil.curves.shape import Line, Points, Solids, Unfit, within
from buildsite.values import dataclass


@dataclass(frozen=True)
class Polynomial:
    """Powers of x = (w - center) / half, from the constant up; x runs from -1 to 1."""

    center: float
    half: float
    coefficients: tuple[float, ...]

    @property
    def span(self) -> tuple[float, float]:
        """Water contents at its two ends [%]."""
        return self.center - self.half, self.center + self.half

    def scaled(self, water_content: float) -> float:
        """Water content as x, from -1 at the driest point to 1 at the wettest [1]."""
        return (within(self.span, water_content) - self.center) / self.half

    def __call__(self, water_content: float) -> float:
        """Dry density on the curve [kg/m³]."""
        x = self.scaled(water_content)
        total = 0.0
        for coefficient in reversed(self.coefficients):
            total = total * x + coefficient
        return total

    def turns(self) -> tuple[float, ...]:
        """Water contents inside the span where the curve turns [%]."""
        _, b, c, d = (*self.coefficients, 0.0)[:4]
        roots = quadratic_roots(3 * d, 2 * c, b)
        return tuple(self.center + self.half * x for x in roots if -1 < x < 1)


def least_squares(points: Points, degree: int) -> Line | Unfit:
    """
    Polynomial with the least sum of squared distances in density.

    Parameters
    ----------
    points : sequence of tuple of float
        Water content [%] and dry density, by water content. [kg/m³]
    degree : int
        Two or three. [1]

    Returns
    -------
    Line or Unfit
        The polynomial. [kg/m³ over %]
    """
    first, last = points[0][0], points[-1][0]
    center, half = (first + last) / 2, (last - first) / 2
    xs = [(water - center) / half for water, _ in points]
    powers = range(degree + 1)
    sums = [fsum([x**n for x in xs]) for n in range(2 * degree + 1)]
    matrix = [sums[i : i + degree + 1] for i in powers]
    right = [
        fsum(density * x**i for x, (_, density) in zip(xs, points, strict=True))
        for i in powers
    ]
    return Polynomial(center, half, tuple(solve(matrix, right)))


def quadratic(points: Points, solids: Solids | None) -> Line | Unfit:
    """
    Parabola by least squares.

    Parameters
    ----------
    points : sequence of tuple of float
        Water content [%] and dry density, by water content. [kg/m³]
    solids : Solids or None
        Not used. [1, kg/m³]

    Returns
    -------
    Line or Unfit
        The parabola. [kg/m³ over %]
    """
    del solids
    return least_squares(points, 2)


def cubic(points: Points, solids: Solids | None) -> Line | Unfit:
    """
    Cubic by least squares.

    Parameters
    ----------
    points : sequence of tuple of float
        Water content [%] and dry density, by water content. [kg/m³]
    solids : Solids or None
        Not used. [1, kg/m³]

    Returns
    -------
    Line or Unfit
        The cubic. [kg/m³ over %]
    """
    del solids
    return least_squares(points, 3)
