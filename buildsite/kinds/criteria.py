"""
What a project requires of the soil, compared with a field test: criteria and verdict.

The target that a report prints and the verdict on a test come from the same functions,
so that what is printed is what is compared.
"""

from collections.abc import Mapping
from decimal import Decimal

from buildsite.kinds.bounds import (
    DENSITY,
    OF_OPTIMUM_UNIT,
    PERCENT,
    REPORTED,
    ROUNDED,
    SIMPLE,
    TO_FIELD,
    UNROUNDED,
    WATER,
    Bound,
    bounds,
    decision_of,
    oversize_rule,
)
from buildsite.kinds.field_answers import Peak, ReferenceFacts, RequirementFacts
from buildsite.kinds.reporting import MINUS, printed_unit
from buildsite.record.units import from_si, to_si
from buildsite.soil.acceptance import Side, acceptance_limit, compared, meets
from buildsite.soil.rounding import exact, plain, round_to_step
from buildsite.values import dataclass


@dataclass(frozen=True)
class Target:
    """What a field test is compared with; `from_` says in words where it is from."""

    maximum_dry_density: float  # [kg/m³]
    optimum_water_content: float  # [%]
    density_unit: str
    from_: str = ""


@dataclass(frozen=True)
class Criterion:
    """One limit with what was compared; `guard` is the width of a guard band."""

    criterion: str
    side: Side
    limit: str
    unit: str
    compare: str  # rounded | absolute
    compared: str
    met: bool
    guard: str = ""


@dataclass(frozen=True)
class Verdict:
    """Whether a test meets its requirement, and by which limits."""

    verdict: str  # pass | fail | none
    why: str
    criteria: tuple[Criterion, ...] = ()
    decision: str = SIMPLE


def target_of(peak: Peak, unit: str, values: str, from_: str = "") -> Target:
    """
    Return the target of a peak: as reported, unless the requirement says unrounded.

    Percent compaction is normally worked from what the report states.
    """
    if values == UNROUNDED:
        return Target(peak.maximum_dry_density, peak.optimum_water_content, unit, from_)
    density = to_si(peak.reported_density, unit)
    return Target(density, float(peak.reported_water), unit, from_)


def target_from(
    reference: ReferenceFacts, requirement: RequirementFacts, against: str = ""
) -> Target | None:
    """
    Return what a field test of the whole soil is compared with; None without a peak.

    It is the corrected result where there is one and field tests are judged by it. A
    field test with a coarse fraction of its own is corrected to that instead.
    """
    whole = oversize_rule(requirement, against) == TO_FIELD
    corrected = reference.corrected if whole else None
    peak = corrected or reference.peak
    if peak is None:
        return None
    which = "corrected result" if corrected is not None else "result"
    name = reference.revision or reference.id
    values = requirement.reference_values or REPORTED
    unrounded = ", unrounded" if values == UNROUNDED else ""
    return target_of(
        peak, reference.density_unit, values, f"{which} of {name}{unrounded}"
    )


def percent_of(dry_density: float, target: Target) -> float:
    """Return the percent compaction of a dry density [kg/m³]."""
    return 100 * dry_density / target.maximum_dry_density


def deviation(bound: Bound, target: Target, water: float) -> Decimal:
    """
    Return the deviation of a water content from the optimum, as it is compared.

    The water content itself is rounded, and once: in points or as a percentage of the
    optimum, the report and the verdict then go by the same water content. The limit is
    one too: what reads as it, at the step of the comparison, is on it. Else rounding
    would fail water contents that pass unrounded.
    """
    optimum = exact(target.optimum_water_content)
    taken = exact(water)
    if bound.how != ROUNDED or bound.step is None:
        return _off(bound, optimum, taken)
    taken = round_to_step(taken, bound.step)
    found = _off(bound, optimum, taken)
    share = optimum / 100 if bound.unit == OF_OPTIMUM_UNIT else Decimal(1)
    at_limit = round_to_step(optimum + bound.limit * share, bound.step)
    on_it = taken == at_limit and not meets(found, bound.limit, bound.side)
    return bound.limit if on_it else found


def _off(bound: Bound, optimum: Decimal, taken: Decimal) -> Decimal:
    """Return how far a water content is off the optimum, in the unit of the limit."""
    points = taken - optimum
    if bound.unit != OF_OPTIMUM_UNIT:
        return points
    return exact(float(100 * points / optimum))


def found_for(
    bound: Bound,
    target: Target,
    percent: float | None,
    dry_density: float | None,
    water: float | None,
) -> Decimal | None:
    """Return what is compared with a limit; None where it is not known."""
    if bound.criterion == WATER:
        if water is None or target.optimum_water_content <= 0:
            return None
        return deviation(bound, target, water)
    if bound.criterion == PERCENT:
        value = percent
    elif dry_density is not None:
        value = from_si(dry_density, bound.unit)
    else:
        value = None
    if value is None:
        return None
    return compared(value, bound.limit, bound.how)


def guard_of(bound: Bound, target: Target, expanded: Mapping[str, float]) -> float:
    """Return the width of a guard band, in the unit of the limit."""
    width = expanded[bound.criterion]
    if bound.criterion == DENSITY:
        return from_si(width, bound.unit)
    if bound.unit == OF_OPTIMUM_UNIT:
        return 100 * width / target.optimum_water_content
    return width


def judge(
    requirement: RequirementFacts,
    target: Target,
    percent: float | None,
    dry_density: float | None,
    water: float | None,
    expanded: Mapping[str, float] | None = None,
) -> Verdict:
    """
    Return the verdict on one field test.

    `percent` [%], `dry_density` [kg/m³] and `water` [%] are unrounded; None where not
    known. `expanded` are the expanded uncertainties of the criteria, in the same units,
    for a guarded decision (JCGM 106:2012, 8.3). A limit that is not met makes it a
    failure, whatever else is not known.
    """
    decision = decision_of(requirement)
    criteria: list[Criterion] = []
    unknown: list[str] = []
    for bound in bounds(requirement):
        found = found_for(bound, target, percent, dry_density, water)
        if found is None:
            unknown.append(f"no {spoken(bound.criterion)} to compare")
        elif decision == SIMPLE:
            criteria.append(criterion_of(bound, found))
        elif expanded is None or bound.criterion not in expanded:
            name = spoken(bound.criterion)
            unknown.append(f"no uncertainty of {name} for a guarded decision")
        else:
            guard = guard_of(bound, target, expanded)
            criteria.append(criterion_of(bound, found, guard))
    missed = [sentence(one) for one in criteria if not one.met]
    unknown = [*dict.fromkeys(unknown)]
    if missed:
        return Verdict("fail", "; ".join(missed), tuple(criteria), decision)
    if unknown or not criteria:
        why = "; ".join(unknown) or "the requirement states no limit"
        return Verdict("none", why, tuple(criteria), decision)
    return Verdict("pass", "every limit is met", tuple(criteria), decision)


def criterion_of(bound: Bound, found: Decimal, guard: float | None = None) -> Criterion:
    """Return what was compared with a limit, and whether it is met."""
    limit = bound.limit
    if guard is not None:
        limit = acceptance_limit(limit, bound.side, guard)
    return Criterion(
        bound.criterion,
        bound.side,
        plain(bound.limit),
        bound.unit,
        bound.how,
        plain(found),
        meets(found, limit, bound.side),
        "" if guard is None else plain(exact(guard)),
    )


WORDS = {
    PERCENT: "percent compaction",
    DENSITY: "dry density",
    WATER: "water content",
}


def spoken(criterion: str) -> str:
    """Return a criterion in words."""
    return WORDS[criterion]


def signed(text: str) -> str:
    """
    Return a deviation with its sign as printed.

    >>> signed("-2"), signed("3.1"), signed("0.0")
    ('−2', '+3.1', '0.0')
    """
    if text.startswith("-"):
        return f"{MINUS}{text[1:]}"
    return f"+{text}" if text.strip("0.") else text


HUNDREDTH = Decimal("0.01")


def as_printed(one: Criterion) -> str:
    """
    Return what was compared, as a report prints it.

    A deviation from an optimum that is not rounded, or a share of one, is printed to
    0.01, unless that would read as another verdict.

    >>> from dataclasses import replace
    >>> share = Criterion("water_content", "least", "-20", "% of optimum", "rounded",
    ...                   "-1.412266752", True)
    >>> as_printed(share), as_printed(replace(share, compared="-20.0001", met=False))
    ('-1.41', '-20.0001')
    """
    found = exact(float(one.compared))
    short = round_to_step(found, HUNDREDTH)
    if one.criterion != WATER or short == found:
        return one.compared
    same = meets(short, exact(float(one.limit)), one.side) == one.met
    return plain(short) if same else one.compared


def sentence(one: Criterion) -> str:
    """Return a limit that is not met, in words."""
    unit = printed_unit(one.unit)
    found, limit, about = as_printed(one), one.limit, ""
    if one.criterion == WATER:
        found, limit, about = signed(found), signed(limit), " from optimum"
        unit = unit.replace(OF_OPTIMUM_UNIT, "%")
    band = f", with a guard band of {one.guard} {unit}" if one.guard else ""
    return (
        f"{spoken(one.criterion)} {found} {unit}{about}, "
        f"at {one.side} {limit} {unit} required{band}"
    )
