"""Compaction models of the literature, in which saturation grows with water content."""

from collections.abc import Callable, Sequence
from math import exp, inf, log
from operator import mul

from buildsite.soil.curves.algebra import solve
from buildsite.soil.curves.shape import Line, Points, Solids, Unfit, within
from buildsite.soil.lines import saturation_line
from buildsite.soil.phase import saturation
from buildsite.values import dataclass

WITHOUT_SOLIDS = Unfit(
    "needs-specific-gravity",
    "this curve type needs the specific gravity",
)
NO_VOIDS = Unfit(
    "no-voids",
    "a point has no water or no voids: its saturation is undefined",
)
SHARPNESS, HELD = 4.0, (15.0, 8.0)
"""
Prior of the growth model: sharpness 4, width a third of the span. A factor e away
weighs as a misfit of 15 and 8 kg/m³. Four or five scattered points do not determine
four unknowns; without this prior the fit has cusps.
"""

NO_FIT = Unfit("no-fit", "the model has no solution for these points")

MOST = 200
"""
Most points for a model of saturation. A test has four to ten; every split of ten
thousand would take minutes.
"""
LARGEST_POWER = 700.0
"""A float holds e to at most the power 709. [1]"""

TOO_MANY = Unfit("no-fit", f"the model takes at most {MOST} points")


def _degrees(points: Points, solids: Solids) -> list[float] | Unfit:
    """Return the saturation at each point [%], or why it is undefined."""
    if len(points) > MOST:
        return TOO_MANY
    try:
        found = [saturation(density, water, *solids) for water, density in points]
    except ValueError:
        return NO_VOIDS
    return found if min(found) > 0 else NO_VOIDS


@dataclass(frozen=True)
class Branches:
    """
    Saturation as one power of water content dry of a corner, and another wet of it.

    ``dry`` and ``wet`` are slope and constant of ln S over ln w.
    """

    first: float
    last: float
    corner: float
    dry: tuple[float, float]
    wet: tuple[float, float]
    solids: Solids

    @property
    def span(self) -> tuple[float, float]:
        """Water contents at its two ends [%]."""
        return self.first, self.last

    def __call__(self, water_content: float) -> float:
        """Dry density on the curve [kg/m³]."""
        water = within(self.span, water_content)
        slope, constant = self.dry if water <= self.corner else self.wet
        degree = exp(constant + slope * log(water))
        return saturation_line(water, degree, *self.solids)

    def turns(self) -> tuple[float, ...]:
        """Water contents inside the span where the curve turns [%]."""
        # Along a power the density rises if S grows faster than w, else falls: no turn.
        rises, falls = self.dry[0] > 1, self.wet[0] < 1
        return (self.corner,) if rises == falls else ()


def _line_of_logs(logs: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Return slope and constant of a straight line by least squares."""
    size = len(logs)
    x, y = (sum(column) / size for column in zip(*logs, strict=True))
    slope = sum((a - x) * (b - y) for a, b in logs) / sum((a - x) ** 2 for a, _ in logs)
    return slope, y - slope * x


def power_branches(points: Points, solids: Solids | None) -> Line | Unfit:
    """
    Two powers of saturation that meet in a corner, at the best split of the points.

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
    degrees = _degrees(points, solids)
    if isinstance(degrees, Unfit):
        return degrees
    logs = [(log(w), log(s)) for (w, _), s in zip(points, degrees, strict=True)]
    first, last = points[0][0], points[-1][0]
    best: Line | Unfit = NO_FIT
    least = inf
    for split in range(2, len(points) - 1):
        if logs[0][0] == logs[split - 1][0] or logs[split][0] == logs[-1][0]:
            continue
        dry, wet = _line_of_logs(logs[:split]), _line_of_logs(logs[split:])
        if dry[0] <= wet[0]:
            continue
        power = (wet[1] - dry[1]) / (dry[0] - wet[0])
        corner = exp(power) if power < LARGEST_POWER else inf
        # The corner must lie between the two groups of points.
        if points[split - 1][0] <= corner <= points[split][0]:
            line = Branches(first, last, corner, dry, wet, solids)
            misfit = sum((density - line(water)) ** 2 for water, density in points)
            if misfit < least:
                best, least = line, misfit
    return best


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

    def __call__(self, water_content: float) -> float:
        """Dry density on the curve [kg/m³]."""
        water = within(self.span, water_content)
        degree = _grown(water, self.greatest, self.reached, self.sharpness, self.width)
        return saturation_line(water, degree, *self.solids)

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
        return (_golden(self, grid[top - 1], grid[min(top + 1, steps)]),)


def _golden(line: Callable[[float], float], low: float, high: float) -> float:
    """Return the place of the greatest value, by golden section."""
    share = (5**0.5 - 1) / 2
    for _ in range(30):
        left, right = high - share * (high - low), low + share * (high - low)
        if line(left) < line(right):
            low = left
        else:
            high = right
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
    degrees = _degrees(points, solids)
    if isinstance(degrees, Unfit):
        return degrees
    first, last = points[0][0], points[-1][0]

    top = max(range(len(points)), key=lambda i: points[i][1])
    guess = (max(degrees), points[top][0] * 1.1, SHARPNESS, (last - first) / 3)
    start = [log(value) for value in guess]

    dry, water_density = 1 / solids.specific_gravity, solids.water_density

    def misses(logs: Sequence[float]) -> list[float]:
        greatest, reached, sharpness, width = map(exp, logs)
        a = (width / reached) ** sharpness if first < reached else 0.0
        found = []
        for water, density in points:
            degree = greatest
            if water < reached:  # as `_grown`, its constants computed once
                u = (reached - water) / reached
                degree *= 1 - u ** (sharpness + 1) * (1 + a) / (u**sharpness + a)
            found.append(water_density / (dry + water / degree) - density)
        found.append(HELD[0] * (logs[2] - start[2]))
        found.append(HELD[1] * (logs[3] - start[3]))
        return found

    try:
        found = _damped(misses, start)
    except (OverflowError, ZeroDivisionError):
        return NO_FIT
    return Growth(first, last, solids, *map(exp, found))


Misses = Callable[[Sequence[float]], list[float]]


def _damped(misses: Misses, start: list[float]) -> list[float]:
    """Return the unknowns of least squared misfit (Levenberg and Marquardt)."""
    at, damping, step = start, 1e-3, 1e-6
    now = misses(at)
    square = _dot(now, now)
    for _ in range(40):
        columns = []
        for k in range(len(at)):
            moved = misses([*at[:k], at[k] + step, *at[k + 1 :]])
            columns.append([(b - a) / step for a, b in zip(now, moved, strict=True)])
        normal = [[0.0] * len(columns) for _ in columns]
        for k, column in enumerate(columns):
            for m in range(k + 1):
                normal[k][m] = normal[m][k] = _dot(column, columns[m])
        right = [-_dot(column, now) for column in columns]
        for _ in range(12):
            tried = _stepped(at, normal, right, damping)
            there = misses(tried)
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


def _stepped(
    at: list[float], normal: list[list[float]], right: list[float], damping: float
) -> list[float]:
    """Return one damped step: no unknown changes by more than a factor e^0.5."""
    damped = [list(row) for row in normal]
    for k, row in enumerate(damped):
        row[k] *= 1 + damping
    shift = solve(damped, right)
    return [a + min(max(b, -0.5), 0.5) for a, b in zip(at, shift, strict=True)]


def _dot(a: Sequence[float], b: Sequence[float]) -> float:
    """Return the sum of products."""
    total: float = sum(map(mul, a, b))
    return total
