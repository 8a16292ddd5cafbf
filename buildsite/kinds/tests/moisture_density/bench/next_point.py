"""The state of a series, and the next point to make."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import fsum

from buildsite.kinds.limits import HAIR
from buildsite.kinds.tests.moisture_density.bench.trend import (
    ExpectedOptimum,
    optimum_of,
    side_of_optimum,
    wet_mass_trend,
    with_dry_density,
)
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.estimates import Estimate, estimates
from buildsite.kinds.tests.moisture_density.rules.common import percent
from buildsite.kinds.tests.moisture_density.rules.moisture import step_limit
from buildsite.kinds.tests.moisture_density.rules.points import wet_mass_cell
from buildsite.values import dataclass

COMMON = "common practice"
BELOW_OPTIMUM = 4.0
"""Distance of the first point below the expected optimum: common practice. [%]

NDDOT's procedure for T 99 and T 180 says the same; others 4 to 6, Iowa's 5."""

STEP = 2.0
"""Step from point to point where the method states none: common practice. [%]"""

NEAR_STEP = 1.5
"""Step within `NEAR` of the optimum, where the curve bends: common practice. [%]"""

NEAR = 2.0
"""Distance from the optimum within which the smaller step is used. [%]"""


ONE_MORE = "1 more point"
AT_END = "as the highest is at the end"


@dataclass(frozen=True)
class Requirement:
    """Something the test still requires, and its basis."""

    what: str
    basis: str
    side: str = ""  # wetter | drier | between, where it says which point

    @property
    def at_end(self) -> bool:
        """Whether it is a point beyond the highest, which is at an end."""
        return self.what.endswith(AT_END)


@dataclass(frozen=True)
class SeriesState:
    """
    The state of a series.

    `wet_mass` is `rises`, `falls` (or stays), or empty where not known; `side` is
    `dry`, `wet`, `both` or empty: on which side of the optimum the points lie.
    """

    points: tuple[Estimate, ...]  # driest first
    wet_mass: str
    wet_mass_words: str
    side: str
    side_words: str
    optimum: ExpectedOptimum | None
    wanted: tuple[Requirement, ...]


@dataclass(frozen=True)
class Target:
    """The point to make next. [%]"""

    water_content: float
    why: str


def series_state(case: Test, expected: ExpectedOptimum | None) -> SeriesState:
    """Return the state of a series, with or without results from the oven."""
    found = sorted(estimates(case), key=lambda one: (one.water_content, one.number))
    mass, mass_words = wet_mass_trend(case)
    best = optimum_of(case, found)
    side, side_words = side_of_optimum(case, found, expected)
    wanted = [*requirements(case, found, side, best, mass)]
    return SeriesState(
        points=tuple(found),
        wet_mass=mass,
        wet_mass_words=mass_words,
        side=side,
        side_words=side_words,
        optimum=best or expected,
        wanted=tuple(wanted),
    )


def requirements(
    case: Test,
    found: Sequence[Estimate],
    side: str,
    best: ExpectedOptimum | None,
    mass: str,
) -> Iterator[Requirement]:
    """Yield what the method and common practice still require."""
    least = case.cell("least_points")
    count = sum(
        not point.rejected and is_compacted(case, point.number - 1)
        for point in case.values.points
    )
    missing = (int(least.value) if least is not None else 4) - count
    if missing > 0:
        points = ONE_MORE if missing == 1 else f"{missing} more points"
        yield Requirement(points, least.short_basis if least is not None else COMMON)
    cell = wet_mass_cell(case)
    if mass == "rises" and cell is not None:
        yield Requirement(
            "a wetter point at which the wet mass does not rise", cell.short_basis, WET
        )
    if side in ("dry", "wet") and len(with_dry_density(found)) > 1:
        way = WET if side == "dry" else DRY
        yield Requirement(f"a {way} point, {AT_END}", COMMON, way)
    if best is not None:
        yield from requirements_on_sides(case, found, best)
    yield from requirement_between(case, found)


WET, DRY, BETWEEN = "wetter", "drier", "between"


def is_compacted(case: Test, i: int) -> bool:
    """Return whether a point was compacted, or transcribed."""
    point = case.record.points[i]
    masses = (point.mold_and_wet_soil, point.wet_density, point.dry_density)
    return any(mass is not None for mass in masses)


def requirements_on_sides(
    case: Test, found: Sequence[Estimate], best: ExpectedOptimum
) -> Iterator[Requirement]:
    """Yield the points missing on either side of the optimum."""
    cell = case.cell("least_points_each_side")
    if cell is None:
        return
    waters = [water for _, water, _ in with_dry_density(found)]
    for side, way, count in (
        ("dry", DRY, sum(water < best.water_content for water in waters)),
        ("wet", WET, sum(water > best.water_content for water in waters)),
    ):
        missing = int(cell.value) - count
        if missing > 0:
            yield Requirement(
                f"{missing} more {'point' if missing == 1 else 'points'} {side} of "
                f"optimum, {percent(best.water_content)}; {count} so far",
                cell.short_basis,
                way,
            )


def requirement_between(case: Test, found: Sequence[Estimate]) -> Iterator[Requirement]:
    """Yield a point in a gap next to the highest that is too wide for the method."""
    limit = step_limit(case)
    gap = widest_gap(found)
    if limit is None or gap is None:
        return
    low, high = gap
    if high - low > float(limit.value) + HAIR:
        yield Requirement(
            f"a point between {percent(low)} and {percent(high)}",
            limit.short_basis,
            BETWEEN,
        )


def widest_gap(found: Sequence[Estimate]) -> tuple[float, float] | None:
    """Return the wider of the two steps next to the highest point. [%]"""
    known = with_dry_density(found)
    if len(known) < 2:
        return None
    top = max(known, key=lambda one: one[2])
    steps = [(low[1], high[1]) for low, high in pairwise(known) if top in (low, high)]
    return max(steps, key=lambda step: step[1] - step[0])


def target(case: Test, state: SeriesState) -> Target | None:
    """Return the next water content; None where no more points are required."""
    if not state.points:
        begun = any(is_compacted(case, i) for i in range(len(case.record.points)))
        return None if begun else first_target(state.optimum)
    ways = [one.side for one in state.wanted if one.side]
    if not state.wanted:
        return None
    driest, wettest = state.points[0], state.points[-1]
    if DRY in ways and WET not in ways:
        step = step_from(case, state, driest.water_content)
        return Target(
            max(driest.water_content - step, 0.0),
            f"{step:g} points drier than point {driest.number}",
        )
    if ways and set(ways) == {BETWEEN}:
        gap = widest_gap(state.points)
        if gap is not None:
            return Target(fsum(gap) / 2, "the middle of the widest step")
    step = step_from(case, state, wettest.water_content)
    return Target(
        wettest.water_content + step,
        f"{step:g} points wetter than point {wettest.number}",
    )


def first_target(expected: ExpectedOptimum | None) -> Target | None:
    """Return the first water content: well dry of the expected optimum."""
    if expected is None:
        return None
    return Target(
        max(expected.water_content - BELOW_OPTIMUM, 0.0),
        f"about {BELOW_OPTIMUM:g} points below the expected optimum ({COMMON})",
    )


def step_from(case: Test, state: SeriesState, water: float) -> float:
    """Return the step from a water content: smaller near the optimum. [%]"""
    cell = case.cell("usual_step")
    step = float(cell.value) if cell is not None else STEP
    best = state.optimum
    if best is not None and abs(best.water_content - water) < NEAR:
        return min(step, NEAR_STEP)
    return step
