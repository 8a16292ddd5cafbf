"""A model of the literature in which saturation grows smoothly with water content."""

from collections.abc import Callable, Iterable, Sequence
from functools import cached_property
from math import exp, log
from operator import add
from typing import NamedTuple

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
        if water_content >= self.reached:
            return self.greatest
        u = (self.reached - water_content) / self.reached
        a, n = self._a, self.sharpness
        left: float = u ** (n + 1) * (1 + a) / (u**n + a)
        return self.greatest * (1 - left)

    @cached_property
    def _a(self) -> float:
        """The width, as its power is used."""
        return float((self.width / self.reached) ** self.sharpness)

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
        densities = [self(water) for water in grid]
        top = densities.index(max(densities))
        if top == 0 or (top == steps and high == self.last):
            return ()
        between = (top, top + 1) if self._rises(grid[top]) else (top - 1, top)
        low, high = (grid[min(i, steps)] for i in between)
        return (_last_rise(self._rises, low, high),)

    def _rises(self, water: float) -> bool:
        """Return whether the density rises with water content: w S' > S."""
        if water >= self.reached:
            return False
        a, n, u = self._a, self.sharpness, (self.reached - water) / self.reached
        un = u**n
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
    first_guess = _quadruple(map(log, guess))
    system = _Growing(points, solids, first_guess)
    try:
        found = _settled(system, _damped(system, first_guess))
    except (OverflowError, ZeroDivisionError):
        return NO_FIT
    return Growth(first, last, solids, *map(exp, found))


Four = tuple[float, float, float, float]
"""The unknowns, as logarithms, or a value for each."""


class _Bowl(NamedTuple):
    """
    Half the sum of squared misfits near some unknowns, as a bowl.

    ``square`` is the whole sum; ``down`` points to where the bowl falls; ``bend`` is
    the lower half of its matrix, row by row, by the slopes of the misfits alone.
    """

    square: float
    down: Four
    bend: tuple[float, ...]


def _quadruple(values: Iterable[float]) -> Four:
    a, b, c, d = values
    return a, b, c, d


class _Growing:
    """Misfits of the growth model in the logarithms of its unknowns."""

    def __init__(self, points: Points, solids: Solids, start: Four) -> None:
        self.points, self.start = points, start
        self.dry, self.water_density = 1 / solids.specific_gravity, solids.water_density

    def bowl(self, logs: Four) -> _Bowl:
        """Return the misfits of all points, and of the prior's two unknowns, summed."""
        greatest, reached, n, width = map(exp, logs)
        a = (width / reached) ** n
        grows = log(width / reached)
        dry, water_density = self.dry, self.water_density
        sharp = HELD[0] * (logs[2] - self.start[2])
        wide = HELD[1] * (logs[3] - self.start[3])
        square = sharp * sharp + wide * wide
        d0, d1, d2, d3 = 0.0, 0.0, -HELD[0] * sharp, -HELD[1] * wide
        b00 = b10 = b11 = b20 = b21 = b30 = b31 = b32 = 0.0
        b22, b33 = HELD[0] ** 2, HELD[1] ** 2
        for water, measured in self.points:
            degree = greatest
            s1 = s2 = s3 = 0.0
            if water < reached:
                u = (reached - water) / reached
                un = u**n
                all_of = un + a
                degree *= 1 - un * u * (1 + a) / all_of
                # Of the share that is left to grow, by u, by a, and by n.
                by_u = (1 + a) * un * (all_of + n * a) / all_of**2
                by_a = un * u * (un - 1) / all_of**2
                by_n = (1 + a) * un * u * log(u) * a / all_of**2
                s3 = by_a * n * a
                s1 = by_u * (1 - u) - s3
                s2 = n * (by_n + by_a * a * grows)
            density = water_density / (dry + water / degree)
            miss = density - measured
            steep = density**2 * water / (water_density * degree**2)
            less = -steep * greatest
            s0, s1, s2, s3 = steep * degree, less * s1, less * s2, less * s3
            square += miss * miss
            d0 -= s0 * miss
            d1 -= s1 * miss
            d2 -= s2 * miss
            d3 -= s3 * miss
            b00 += s0 * s0
            b10 += s1 * s0
            b11 += s1 * s1
            b20 += s2 * s0
            b21 += s2 * s1
            b22 += s2 * s2
            b30 += s3 * s0
            b31 += s3 * s1
            b32 += s3 * s2
            b33 += s3 * s3
        bend = (b00, b10, b11, b20, b21, b22, b30, b31, b32, b33)
        return _Bowl(square, (d0, d1, d2, d3), bend)


def _damped(system: _Growing, start: Four) -> Four:
    """Return the unknowns of least squared misfit (Levenberg and Marquardt)."""
    at, damping = start, 1e-3
    now = system.bowl(at)
    for _ in range(40):
        for _ in range(12):
            tried = _stepped(at, now, damping)
            there = system.bowl(tried)
            if there.square < now.square:
                break
            damping *= 5
        else:
            return at
        less = now.square - there.square
        at, now, damping = tried, there, damping / 10
        if less <= 1e-6 * (now.square + less):
            break
    return at


NEAR = 1e-4
"""
Step of a central difference of derivatives that are known to rounding: its error, the
step squared, is then as small as that of rounding over the step. [1]
"""


def _settled(system: _Growing, at: Four) -> Four:
    """
    Return the unknowns to nearly every digit, by Newton's method on the derivatives.

    A sum of squares is level at its least: compared alone, it settles the unknowns to
    half the digits, and rounding would choose the rest.
    """
    size = range(len(at))
    moved = [
        [
            system.bowl(_quadruple([*at[:k], at[k] + step, *at[k + 1 :]])).down
            for step in (-NEAR, NEAR)
        ]
        for k in size
    ]
    bend = [
        (moved[k][0][i] - moved[k][1][i]) / (2 * NEAR)
        for i in size
        for k in range(i + 1)
    ]
    found = at
    for _ in range(6):
        shift = _lowest(bend, system.bowl(found).down)
        if max(map(abs, shift)) > 0.5:
            return at
        found = _quadruple(map(add, found, shift))
        if max(map(abs, shift)) < 1e-13:
            break
    return found


def _stepped(at: Four, now: _Bowl, damping: float) -> Four:
    """Return one damped step: no unknown changes by more than a factor e^0.5."""
    bend, more = list(now.bend), 1 + damping
    for k in (0, 2, 5, 9):  # the diagonal
        bend[k] *= more
    shift = _lowest(bend, now.down)
    return _quadruple(
        a + min(max(b, -0.5), 0.5) for a, b in zip(at, shift, strict=True)
    )


def _lowest(bend: Sequence[float], down: Four) -> Four:
    """Return the way to the bottom of a bowl (G. H. Golub, C. F. Van Loan: L D L')."""
    d0, b10, b11, b20, b21, b22, b30, b31, b32, b33 = bend
    x0, x1, x2, x3 = down
    l10, l20, l30 = b10 / d0, b20 / d0, b30 / d0
    d1 = b11 - l10 * b10
    c21, c31 = b21 - l20 * b10, b31 - l30 * b10
    l21, l31 = c21 / d1, c31 / d1
    d2 = b22 - l20 * b20 - l21 * c21
    c32 = b32 - l30 * b20 - l31 * c21
    l32 = c32 / d2
    d3 = b33 - l30 * b30 - l31 * c31 - l32 * c32
    x1 -= l10 * x0
    x2 -= l20 * x0 + l21 * x1
    x3 -= l30 * x0 + l31 * x1 + l32 * x2
    x3 /= d3
    x2 = x2 / d2 - l32 * x3
    x1 = x1 / d1 - l21 * x2 - l31 * x3
    return x0 / d0 - l10 * x1 - l20 * x2 - l30 * x3, x1, x2, x3
