"""
The limits of a requirement, and how each is compared, defaults filled in.

A record states only what its specification does; what holds where that is silent is
here, once.
"""

from collections.abc import Iterator
from decimal import Decimal

from buildsite.kinds.field_answers import RequirementFacts
from buildsite.soil.acceptance import How, Side
from buildsite.values import dataclass

PERCENT, DENSITY, WATER = "percent_compaction", "dry_density", "water_content"
CRITERIA = (PERCENT, DENSITY, WATER)

WATER_STEP = Decimal("0.1")
"""Water contents are compared to this, unless the clause says otherwise [%]."""

ROUNDED: How = "rounded"
SIMPLE, GUARDED = "simple", "guarded"
REPORTED, UNROUNDED = "reported", "unrounded"
TO_FIELD, TO_FINE, NOT_CORRECTED = "laboratory-to-field", "field-to-fine", "none"
OF_OPTIMUM, OF_OPTIMUM_UNIT = "percent of optimum", "% of optimum"

FOLLOWS = {"corrected": TO_FIELD, "uncorrected": NOT_CORRECTED}
"""How field tests are compared where only the project's result for them is stated."""


@dataclass(frozen=True)
class Bound:
    """One limit of a requirement, and how a result is compared with it."""

    criterion: str
    side: Side
    limit: Decimal
    unit: str
    how: How
    step: Decimal | None = None


def decision_of(requirement: RequirementFacts) -> str:
    """Return the decision rule: simple where none is stated."""
    return requirement.decision or SIMPLE


def oversize_rule(requirement: RequirementFacts, against: str = "") -> str:
    """
    Return how a field test with coarse particles is compared.

    `against` is the project's `field_tests_against`, which counts where the requirement
    is silent; where both are, the laboratory's value is corrected.
    """
    return requirement.oversize or FOLLOWS.get(against, TO_FIELD)


def least_percent(requirement: RequirementFacts) -> Decimal | None:
    """Return the least percent compaction of each test: that of a lot, where stated."""
    each = requirement.lot_each
    return each if each is not None else requirement.least_percent_compaction


def how_of(requirement: RequirementFacts, criterion: str) -> How:
    """Return how a criterion is compared: rounded where nothing is stated."""
    stated = dict(requirement.compare).get(criterion)
    guarded = decision_of(requirement) == GUARDED
    return "absolute" if guarded or stated == "absolute" else ROUNDED


def not_stated(requirement: RequirementFacts) -> tuple[str, ...]:
    """
    Return the criteria of a requirement that say not how they are compared.

    A guarded decision compares unrounded: there is nothing to state.
    """
    if decision_of(requirement) == GUARDED:
        return ()
    stated = dict(requirement.compare)
    asked = dict.fromkeys(bound.criterion for bound in bounds(requirement))
    return tuple(name for name in asked if name not in stated)


def bounds(requirement: RequirementFacts) -> tuple[Bound, ...]:
    """Return every limit of a requirement for a single test."""
    return tuple(_bounds(requirement))


def _bounds(requirement: RequirementFacts) -> Iterator[Bound]:
    percent, density = least_percent(requirement), requirement.least_dry_density
    if percent is not None:
        yield Bound(PERCENT, "least", percent, "%", how_of(requirement, PERCENT))
    if density is not None:
        unit, how = requirement.density_unit, how_of(requirement, DENSITY)
        yield Bound(DENSITY, "least", density, unit, how)
    water = requirement.water_content
    if water is not None:
        unit = OF_OPTIMUM_UNIT if water.as_ == OF_OPTIMUM else "points"
        how = how_of(requirement, WATER)
        step = requirement.to_nearest or WATER_STEP
        yield Bound(WATER, "least", water.from_, unit, how, step)
        yield Bound(WATER, "most", water.to, unit, how, step)
