"""Made-up sets of points from curves whose peak is known, and every form's errors."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import fsum, sqrt
from random import Random

from buildsite.soil.curves import AUTO, FORMS, Curve, Solids, fit
from buildsite.soil.curves.growth import Growth

NAMES = (AUTO, *FORMS)
Points = list[tuple[float, float]]
Truth = tuple[Callable[[float], float], float, float]
"""A curve, and its known peak: water content [%] and dry density [kg/m³]."""


def rms(values: Sequence[float]) -> float:
    """Root of the mean square."""
    return sqrt(fsum(value * value for value in values) / len(values))


def bell(water: float, density: float, dry: float, wet: float) -> Truth:
    """Make a curve of no model here: level at its peak, nearly straight legs."""

    def line(at: float) -> float:
        width, drop = (3.0, dry) if at < water else (2.5, wet)
        u = abs(at - water) / width
        return density * (1 - drop * u * u / (1 + u))

    return line, water, density


def growth(*shape: float) -> Truth:
    """Make a curve of the growth model, and its peak."""
    line = Growth(1.0, 60.0, Solids(2.70, 998.2), *shape)
    (water,) = line.turns()
    return line, water, line(water)


TRUTHS = {
    "gravelly, heavy effort": growth(92, 10, 5, 3.5),
    "lean clay": growth(90, 16, 4, 4),
    "silt": growth(88, 20, 3, 5),
    "fat clay": growth(95, 30, 4, 8),
    "bell": bell(12, 1950, 0.045, 0.06),
}
SPACINGS: dict[str, tuple[float, ...]] = {
    "five, 2 apart": (-4, -2, 0, 2, 4),
    "five, 3 apart": (-6, -3, 0, 3, 6),
    "four, 2 apart": (-3, -1, 1, 3),
    "six, 2 apart": (-5, -3, -1, 1, 3, 5),
    "three dry and one far": (-2.5, -1.5, -0.5, 3.5),
    "most on the dry side": (-5.5, -3.5, -1.5, 0.3, 2),
    "most on the wet side": (-2, -0.3, 1.5, 3.5, 5.5),
    "seven, 1 apart": (-3, -2, -1, 0, 1, 2, 3),
    "twelve, 0.7 apart": tuple(0.7 * i - 3.85 for i in range(12)),
}
DENSITY_SCATTER, WATER_SCATTER, WATER_READ = 0.004, 0.2, 0.15
TRIALS = 30


def tried(
    truth: Truth, offsets: Sequence[float], chance: Random, scale: float
) -> Points:
    """Make the points a laboratory would get from a known curve."""
    line, top, _ = truth
    step = min(b - a for a, b in pairwise(offsets))
    shift = chance.uniform(-step / 2, step / 2)
    found = []
    for offset in offsets:
        water = max(top + offset + shift + scale * chance.gauss(0, WATER_SCATTER), 1.1)
        density = line(water) * (1 + scale * chance.gauss(0, DENSITY_SCATTER))
        read = water + scale * chance.gauss(0, WATER_READ)
        # The wet density stands; a wrong water content makes a wrong dry density.
        found.append((read, density * (1 + water / 100) / (1 + read / 100)))
    return found


@dataclass
class Errors:
    """A form's errors over many sets of one spacing, and how often it had no peak."""

    density: list[float] = field(default_factory=list)
    water: list[float] = field(default_factory=list)
    none: float = 0.0


def errors(name: str, sets: Sequence[tuple[Truth, Points]]) -> Errors:
    """Compare a form's peaks with those that are known."""
    found = Errors()
    for (_, top, highest), points_read in sets:
        result = fit(name, points_read, Solids(2.70, 998.2))
        if isinstance(result, Curve):
            found.density.append(100 * (result.peak_dry_density / highest - 1))
            found.water.append(result.peak_water_content - top)
        else:
            found.none += 100 / len(sets)
    return found


def known_peak_errors(scale: float) -> dict[str, dict[str, Errors]]:
    """Try every form on every spacing, over all truths: form, spacing, errors."""
    found: dict[str, dict[str, Errors]] = {name: {} for name in NAMES}
    for spacing, offsets in SPACINGS.items():
        chance = Random(20)  # noqa: S311  # a seed for trials, no secret
        sets = [
            (truth, tried(truth, offsets, chance, scale))
            for truth in TRUTHS.values()
            for _ in range(TRIALS)
        ]
        for name in NAMES:
            found[name][spacing] = errors(name, sets)
    return found
