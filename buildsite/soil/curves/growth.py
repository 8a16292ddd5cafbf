"""A model of the literature in which saturation grows smoothly with water content."""

from collections.abc import Callable, Sequence
from math import exp, fsum, log
from operator import mul

from buildsite.soil.curves.algebra import solve
from buildsite.soil.curves.saturation import NO_FIT, WITHOUT_SOLIDS, degrees_at
from buildsite.soil.curves.shape import Line, Points, Solids, Unfit, within
from buildsite.soil.lines import saturation_line
from buildsite.values import dataclass

SHARPNESS, HELD = 4.0, (15.0, 8.0)
"""
Prior of the growth model: sharpness 4, width a third of the span. A factor e away
weighs as a misfit of 15 and 8 kg/m³. Four or five scattered points do not determine
four unknowns; without this prior the fit has cusps.
"""


@dataclass(frozen=True)
class Growth:
    """
    Saturation that grows smoothly to its greatest value and stays there.

    ``greatest`` is that saturation [%], ``reached`` the water content where it is
    reached [%], ``sharpness`` [1] and ``width`` [%] shape the way there.

    Notes
    -----
    S = Sm (1 - u^(n+1) (wm^n + p^n) / ((wm - w)^n + p^n)) with u = (wm - w) / wm; in
    the symbols of the source, Sm is ``greatest``, wm ``reached``, n ``sharpness`` and
    p ``width``. Equation from memory.
    """

    first: float
    last: float
    solids: Solids
    greatest: float
    reached: float
    sharpness: float
    width: float

    @property
    def span(self) -> tuple[float, float]:
        """Water contents at its two ends [%]."""
        return self.first, self.last

    def saturation(self, water_content: float) -> float:
        """Saturation on the curve [%]."""
        shape = self.greatest, self.reached, self.sharpness, self.width
        return _grown(water_content, *shape)

    def __call__(self, water_content: float) -> float:
        """Dry density on the curve [kg/m³]."""
        water = within(self.span, water_content)
        return saturation_line(water, self.saturation(water), *self.solids)

    def turns(self) -> tuple[float, ...]:
        """Water contents inside the span where the curve turns [%]."""
        steps = 30
        low, high = self.first, min(self.last, self.reached)
        if high <= low:
            return ()
        grid = [low + (high - low) * i / steps for i in range(steps + 1)]
        top = max(range(steps + 1), key=lambda i: self(grid[i]))
        if top == 0 or (top == steps and high == self.last):
            return ()
        between = (top, top + 1) if self._rises(grid[top]) else (top - 1, top)
        low, high = (grid[min(i, steps)] for i in between)
        return (_last_rise(self._rises, low, high),)

    def _rises(self, water: float) -> bool:
        """Return whether the density rises with water content: w S' > S."""
        if water >= self.reached:
            return False
        n, u = self.sharpness, (self.reached - water) / self.reached
        a, un = (self.width / self.reached) ** n, u**n
        steep = (1 + a) * un * (un + (n + 1) * a) / (un + a) ** 2 / self.reached
        return bool(water * steep > 1 - un * u * (1 + a) / (un + a))


def _last_rise(rises: Callable[[float], bool], low: float, high: float) -> float:
    """
    Return the place where a rise ends, by bisection to the last digit.

    A search for the greatest value would stop at half the digits: near its top a curve
    is level, and rounding decides which of two values is greater.
    """
    while low < (middle := (low + high) / 2) < high:
        if rises(middle):
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _grown(
    water: float, greatest: float, reached: float, sharpness: float, width: float
) -> float:
    """Return the saturation of the growth model at a water content [%]."""
    if water >= reached:
        return greatest
    u = (reached - water) / reached
    a = (width / reached) ** sharpness
    left: float = u ** (sharpness + 1) * (1 + a) / (u**sharpness + a)
    return greatest * (1 - left)


def saturation_growth(points: Points, solids: Solids | None) -> Line | Unfit:
    """
    Smooth growth of saturation to a greatest value, by damped least squares.

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
    first, last = points[0][0], points[-1][0]

    top = max(range(len(points)), key=lambda i: points[i][1])
    guess = (max(degrees), points[top][0] * 1.1, SHARPNESS, (last - first) / 3)
    start = [log(value) for value in guess]

    system = _Growing(points, solids, start)
    try:
        found = _settled(system, _damped(system, start))
    except (OverflowError, ZeroDivisionError):
        return NO_FIT
    return Growth(first, last, solids, *map(exp, found))


class _Growing:
    """Misfits of the growth model in the logarithms of its unknowns."""

    def __init__(self, points: Points, solids: Solids, start: list[float]) -> None:
        self.points, self.start = points, start
        self.dry, self.water_density = 1 / solids.specific_gravity, solids.water_density

    def misses(self, logs: Sequence[float]) -> list[float]:
        """Return fitted less measured of each point [kg/m³], and the prior's two."""
        greatest, reached, sharpness, width = map(exp, logs)
        a = (width / reached) ** sharpness
        dry, water_density, found = self.dry, self.water_density, []
        for water, density in self.points:
            degree = greatest
            if water < reached:  # as `_grown`, its constants computed once
                u = (reached - water) / reached
                degree *= 1 - u ** (sharpness + 1) * (1 + a) / (u**sharpness + a)
            found.append(water_density / (dry + water / degree) - density)
        found += self._held(logs)
        return found

    def _held(self, logs: Sequence[float]) -> tuple[float, float]:
        return (
            HELD[0] * (logs[2] - self.start[2]),
            HELD[1] * (logs[3] - self.start[3]),
        )

    def slopes(self, logs: Sequence[float]) -> list[list[float]]:
        """Return the derivatives of the misfits, one column an unknown."""
        greatest, reached, n, width = map(exp, logs)
        a = (width / reached) ** n
        grows = log(width / reached)
        dry, water_density, rows = self.dry, self.water_density, []
        for water, _ in self.points:
            degree, by_reached, by_sharpness, by_width = greatest, 0.0, 0.0, 0.0
            if water < reached:
                u = (reached - water) / reached
                un = u**n
                below = (un + a) ** 2
                degree *= 1 - un * u * (1 + a) / (un + a)
                # Of the share that is left to grow, by u, by a, and by n.
                by_u = (1 + a) * un * (un + (n + 1) * a) / below
                by_a = un * u * (un - 1) / below
                by_n = (1 + a) * un * u * log(u) * a / below
                by_width = by_a * n * a
                by_reached = by_u * (1 - u) - by_width
                by_sharpness = n * (by_n + by_a * a * grows)
            density = water_density / (dry + water / degree)
            steep = density**2 * water / (water_density * degree**2)
            less = -steep * greatest
            rows.append(
                (
                    steep * degree,
                    less * by_reached,
                    less * by_sharpness,
                    less * by_width,
                )
            )
        rows += [(0.0, 0.0, HELD[0], 0.0), (0.0, 0.0, 0.0, HELD[1])]
        return [list(column) for column in zip(*rows, strict=True)]

    def gradient(self, logs: Sequence[float]) -> list[float]:
        """Return half the derivatives of the sum of squared misfits."""
        now = self.misses(logs)
        return [_dot(column, now) for column in self.slopes(logs)]


def _damped(system: _Growing, start: list[float]) -> list[float]:
    """Return the unknowns of least squared misfit (Levenberg and Marquardt)."""
    at, damping = start, 1e-3
    now = system.misses(at)
    square = _dot(now, now)
    for _ in range(40):
        columns = system.slopes(at)
        normal = _products(columns)
        right = [-_dot(column, now) for column in columns]
        for _ in range(12):
            tried = _stepped(at, normal, right, damping)
            there = system.misses(tried)
            less = _dot(there, there)
            if less < square:
                break
            damping *= 5
        else:
            return at
        at, now, damping = tried, there, damping / 10
        if square - less <= 1e-6 * square:
            break
        square = less
    return at


NEAR = 1e-4
"""
Step of a central difference of derivatives that are known to rounding: its error, the
step squared, is then as small as that of rounding over the step. [1]
"""


def _settled(system: _Growing, at: list[float]) -> list[float]:
    """
    Return the unknowns to nearly every digit, by Newton's method on the derivatives.

    A sum of squares is level at its least: compared alone, it settles the unknowns to
    half the digits, and rounding would choose the rest.
    """
    size = range(len(at))
    moved = [
        [
            system.gradient([*at[:k], at[k] + step, *at[k + 1 :]])
            for step in (-NEAR, NEAR)
        ]
        for k in size
    ]
    bend = [
        [(moved[k][1][i] - moved[k][0][i]) / (2 * NEAR) for k in size] for i in size
    ]
    found = at
    for _ in range(6):
        shift = solve(bend, [-one for one in system.gradient(found)])
        if max(map(abs, shift)) > 0.5:
            return at
        found = [a + b for a, b in zip(found, shift, strict=True)]
        if max(map(abs, shift)) < 1e-13:
            break
    return found


def _stepped(
    at: list[float], normal: list[list[float]], right: list[float], damping: float
) -> list[float]:
    """Return one damped step: no unknown changes by more than a factor e^0.5."""
    damped = [list(row) for row in normal]
    for k, row in enumerate(damped):
        row[k] *= 1 + damping
    shift = solve(damped, right)
    return [a + min(max(b, -0.5), 0.5) for a, b in zip(at, shift, strict=True)]


def _products(columns: Sequence[Sequence[float]]) -> list[list[float]]:
    """Return the sum of products of each two columns; of (b, a) as of (a, b)."""
    size = range(len(columns))
    half = [[_dot(columns[i], columns[j]) for j in range(i + 1)] for i in size]
    return [[half[max(i, j)][min(i, j)] for j in size] for i in size]


def _dot(a: Sequence[float], b: Sequence[float]) -> float:
    """Return the sum of products."""
    return fsum(map(mul, a, b))
