"""The requirements of a project, as its page lists them."""

from collections.abc import Iterator
from typing import Any

from buildsite.kinds import bounds
from buildsite.kinds.bounds import CRITERIA, DENSITY, PERCENT, WATER
from buildsite.kinds.field_answers import RequirementFacts, WaterLimits
from buildsite.kinds.laboratory.requirements import facts_of
from buildsite.kinds.reporting import MINUS, printed_unit
from buildsite.kinds.sheet import Cell, Column, Row, Table

NOT_STATED = "not stated"

LABELS = (
    "Zone",
    "Clause",
    "Standard",
    "Minimum relative compaction",
    "Moisture range relative to optimum",
    "Comparison and decision",
    "Lot",
    "Tests required",
)
OPTIONAL = ("Clause", "Comparison and decision", "Lot", "Tests required")
"""Columns left out where no requirement states anything for them."""


def least_text(one: RequirementFacts) -> str:
    """Return the least percent compaction and dry density, as printed."""
    found = []
    if one.least_percent_compaction is not None:
        found.append(f"{one.least_percent_compaction} %")
    if one.least_dry_density is not None:
        unit = printed_unit(one.density_unit)
        found.append(f"dry density {one.least_dry_density} {unit}")
    return "; ".join(found) or NOT_STATED


def water_text(water: WaterLimits | None) -> str:
    """Return the range about the optimum, with signs."""
    if water is None:
        return NOT_STATED
    return f"{water.from_:+} to {water.to:+} {water.as_}".replace("-", MINUS)


def comparison_text(one: RequirementFacts) -> str:
    """Return how results are compared, and what is stated of the decision."""
    return "; ".join(_comparison(one))


def _comparison(one: RequirementFacts) -> Iterator[str]:
    stated = dict(one.compare)
    asked = dict.fromkeys(bound.criterion for bound in bounds.bounds(one))
    ways = {name: stated[name] for name in CRITERIA if name in stated and name in asked}
    if len(set(ways.values())) == 1 and len(ways) == len(asked):
        yield f"{next(iter(ways.values()))} (ASTM E29)"
    else:
        yield from (f"{WORDS[name]} {how} (ASTM E29)" for name, how in ways.items())
    if one.to_nearest is not None:
        yield f"water content to the nearest {one.to_nearest} %"
    if one.reference_values:
        yield f"{one.reference_values} values of the reference"
    if one.oversize:
        yield OVERSIZE[one.oversize]
    if one.decision == bounds.GUARDED:
        on = f", agreed on {one.agreed_on}" if one.agreed_on is not None else ""
        yield f"decision with a guard band (JCGM 106){on}"
    elif one.decision:
        yield "simple decision"
    if one.oven_check:
        yield "field-dried water contents checked in the oven"


WORDS = {
    PERCENT: "percent compaction",
    DENSITY: "dry density",
    WATER: "water content",
}
OVERSIZE = {
    bounds.TO_FIELD: "laboratory value corrected to the field's coarse fraction",
    bounds.TO_FINE: "field value corrected to the fine fraction",
    bounds.NOT_CORRECTED: "no correction for coarse particles",
}


def lot_text(one: RequirementFacts) -> str:
    """Return how a lot is accepted."""
    if one.lot_average_of is None:
        return ""
    each = f", each at least {one.lot_each} %" if one.lot_each is not None else ""
    return f"average of {one.lot_average_of} at least {one.lot_average} %{each}"


def required_tests_text(one: RequirementFacts) -> str:
    """Return how many tests are required of what."""
    if one.tests_required is None:
        return ""
    return f"{one.tests_required} each {one.tests_required_each}"


def requirement_cells(one: RequirementFacts) -> tuple[str, ...]:
    """Return the cells of one requirement, one for each of `LABELS`."""
    return (
        one.zone,
        one.clause,
        f"{one.designation}, Method {one.method}",
        least_text(one),
        water_text(one.water_content),
        comparison_text(one),
        lot_text(one),
        required_tests_text(one),
    )


def requirement_table(project: Any) -> Table:
    """Return the requirements of a project, a row each."""
    rows = [requirement_cells(facts_of(one)) for one in project.requirements]
    kept = [
        i
        for i, label in enumerate(LABELS)
        if label not in OPTIONAL or any(row[i] for row in rows)
    ]
    return Table(
        "requirements",
        "Specification requirements",
        tuple(Column(LABELS[i]) for i in kept),
        tuple(Row(tuple(Cell(row[i] or "—") for i in kept)) for row in rows),
        role="more",
    )
