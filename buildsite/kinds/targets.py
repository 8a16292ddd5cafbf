"""
The target of field tests, in figures: what follows from a reference and a requirement.

Every figure is found by comparing with the functions that give the verdict on a field
test: a density or water content that is printed as passing passes, and the next one
beyond it does not.
"""

from collections.abc import Iterator
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from buildsite.kinds.bounds import (
    DENSITY,
    GUARDED,
    OF_OPTIMUM,
    PERCENT,
    ROUNDED,
    WATER,
    Bound,
    bounds,
    decision_of,
)
from buildsite.kinds.criteria import Target, found_for, percent_of, signed
from buildsite.kinds.field_answers import RequirementFacts
from buildsite.kinds.reporting import (
    POINT_PLACES,
    point_density,
    printed_unit,
    to_places,
)
from buildsite.record.units import from_si, to_si
from buildsite.soil.acceptance import meets
from buildsite.soil.rounding import exact, plain
from buildsite.values import dataclass

STEP_UNROUNDED = Decimal("0.01")
"""Water contents compared unrounded are printed to this [%]."""


@dataclass(frozen=True)
class Window:
    """Water contents that pass, at steps of what is compared [%]; None: none does."""

    least: Decimal
    most: Decimal


@dataclass(frozen=True)
class Words:
    """The terms of a standard."""

    dry_density: str = "dry density"
    water_content: str = "water content"


NEUTRAL = Words()


def bound_of(requirement: RequirementFacts, criterion: str, side: str) -> Bound | None:
    """Return a limit of a requirement."""
    return next(
        (
            one
            for one in bounds(requirement)
            if (one.criterion, one.side) == (criterion, side)
        ),
        None,
    )


def passes(bound: Bound, target: Target, value: Decimal) -> bool:
    """
    Whether a result passes one limit without a guard band.

    `value` is a dry density in the target's unit, for percent compaction; else in the
    limit's unit; or a water content [%].
    """
    percent = density = water = None
    if bound.criterion == PERCENT:
        percent = percent_of(to_si(value, target.density_unit), target)
    elif bound.criterion == DENSITY:
        density = to_si(value, bound.unit)
    else:
        water = float(value)
    found = found_for(bound, target, percent, density, water)
    return found is not None and meets(found, bound.limit, bound.side)


def nominal_density(bound: Bound, target: Target) -> float:
    """Return the dry density at the limit of percent compaction [kg/m³]."""
    return float(bound.limit) * target.maximum_dry_density / 100


def least_passing(bound: Bound, target: Target) -> Decimal:
    """
    Return the least dry density that passes on percent compaction.

    In the target's unit, at the places that densities have in a table.
    """
    unit = target.density_unit
    step = Decimal(1).scaleb(-POINT_PLACES.get(unit, 1))
    half = Decimal(0)
    if bound.how == ROUNDED:
        half = Decimal(1).scaleb(int(bound.limit.as_tuple().exponent)) / 2
    start = float(bound.limit - half) * target.maximum_dry_density / 100
    value = on_grid(exact(from_si(start, unit)), step, ROUND_FLOOR) - step
    while not passes(bound, target, value):
        value += step
    return value


def on_grid(value: Decimal, step: Decimal, rounding: str) -> Decimal:
    """
    Return the multiple of a step above or below a value.

    >>> on_grid(Decimal("14.387"), Decimal("0.1"), ROUND_CEILING)
    Decimal('14.4')
    """
    return (value / step).quantize(Decimal(1), rounding) * step


def window(requirement: RequirementFacts, target: Target) -> Window | None:
    """
    Return the water contents that pass, at steps of what is compared.

    None where water content is not limited, or no such step passes.
    """
    low = bound_of(requirement, WATER, "least")
    high = bound_of(requirement, WATER, "most")
    if low is None or high is None or target.optimum_water_content <= 0:
        return None
    step = low.step if low.how == ROUNDED and low.step else STEP_UNROUNDED
    least = edge(low, target, step, ROUND_CEILING)
    most = edge(high, target, step, ROUND_FLOOR)
    return Window(least, most) if least <= most else None


def edge(bound: Bound, target: Target, step: Decimal, rounding: str) -> Decimal:
    """Return the last step of water content that still passes a limit."""
    optimum = exact(target.optimum_water_content)
    points = bound.limit
    if bound.unit != "points":
        points = bound.limit * optimum / 100
    value = on_grid(optimum + points, step, rounding)
    inwards = step if rounding == ROUND_CEILING else -step
    while passes(bound, target, value - inwards):
        value -= inwards
    while not passes(bound, target, value):
        value += inwards
    return value


def target_text(
    requirement: RequirementFacts, target: Target, words: Words = NEUTRAL
) -> str:
    """Return the target of a zone as a sentence, without the zone."""
    parts = [*density_parts(requirement, target, words)]
    if requirement.water_content is not None:
        parts.append(water_part(requirement, target, words))
    if requirement.lot_average_of is not None:
        parts.append(
            f"average of {requirement.lot_average_of} tests at least "
            f"{requirement.lot_average} %"
        )
    if decision_of(requirement) == GUARDED:
        agreed = requirement.agreed_on
        on = f", agreed on {agreed}" if agreed is not None else ""
        parts.append(
            "each limit with a guard band of the expanded uncertainty (JCGM 106, "
            f"k = 2{on})"
        )
    return "; ".join(parts)


def density_parts(
    requirement: RequirementFacts, target: Target, words: Words
) -> Iterator[str]:
    """Yield what is said of the density."""
    by_percent = bound_of(requirement, PERCENT, "least")
    if by_percent is not None:
        unit = printed_unit(target.density_unit)
        nominal = point_density(
            nominal_density(by_percent, target), target.density_unit
        )
        judged = judged_on(by_percent)
        if decision_of(requirement) != GUARDED:
            judged = f"{judged}: {passing_text(by_percent, target)} passes"
        yield (
            f"{words.dry_density} at least {nominal} {unit} nominal, judged on "
            f"percent compaction, {judged}"
        )
    stated = bound_of(requirement, DENSITY, "least")
    if stated is not None:
        unit = printed_unit(stated.unit)
        yield (
            f"{words.dry_density} at least {plain(stated.limit)} {unit}, "
            f"{judged_on(stated)}"
        )


def passing_text(bound: Bound, target: Target) -> str:
    """Return the least dry density that passes, with its percentage."""
    least, unit = least_passing(bound, target), target.density_unit
    places = 2 - int(bound.limit.as_tuple().exponent)
    percent = to_places(percent_of(to_si(least, unit), target), places)
    return f"{plain(least)} {printed_unit(unit)} ({percent} %)"


def judged_on(bound: Bound) -> str:
    """Return how a result is compared with a limit, in words."""
    return f"rounded to {plain(bound.limit)}" if bound.how == ROUNDED else "unrounded"


def water_part(requirement: RequirementFacts, target: Target, words: Words) -> str:
    """Return what is said of the water content."""
    found, allowed = window(requirement, target), requirement.water_content
    low = bound_of(requirement, WATER, "least")
    unrounded = ", unrounded" if low is not None and low.how != ROUNDED else ""
    if found is not None:
        least, most = plain(found.least), plain(found.most)
        if found.least <= 0:
            return f"{words.water_content} up to {most} %{unrounded}"
        return f"{words.water_content} {least} to {most} %{unrounded}"
    if allowed is None:
        return ""
    unit = "% of optimum" if allowed.as_ == OF_OPTIMUM else "points from optimum"
    ends = (signed(plain(one)) for one in (allowed.from_, allowed.to))
    return f"{words.water_content} {' to '.join(ends)} {unit}{unrounded}"
