"""Compute a field density: densities, water, percent compaction, verdict. In SI."""

from decimal import Decimal
from typing import TypeAlias

from buildsite.kinds.answers import LaboratoryFacts, ProjectFacts, SpecificGravityFact
from buildsite.kinds.bounds import ROUNDED, WATER, WATER_STEP, Bound
from buildsite.kinds.criteria import Verdict, deviation, judge, percent_of
from buildsite.kinds.field_answers import (
    ProjectRequirements,
    ReferenceFacts,
    RequirementFacts,
)
from buildsite.kinds.kind import Case, Inputs
from buildsite.kinds.laboratory.requirements import facts_of
from buildsite.kinds.reporting import fitting_unit
from buildsite.kinds.stated_facts import stated_gravity
from buildsite.kinds.tests.field_density.comparison import Compared, Sides, compare
from buildsite.kinds.tests.field_density.holes import Dug, dug, is_void
from buildsite.kinds.tests.field_density.model import FieldDensity
from buildsite.kinds.tests.field_density.water import (
    Split,
    Water,
    is_preliminary,
    water_of,
)
from buildsite.record.units import to_si
from buildsite.soil import phase
from buildsite.standards.method import Method
from buildsite.standards.tables import find
from buildsite.values import dataclass

LEAST_COARSE = 5.0
"""Coarse fraction up to which nothing is corrected, where no standard is on file [%]:
ASTM D4718-15, scope."""


@dataclass(frozen=True)
class Values:
    """All computed values of one field test."""

    water: Water
    split: Split | None
    dug: Dug
    dry_density: float | None  # of the whole soil [kg/m³]
    reference: ReferenceFacts | None
    requirement: RequirementFacts | None
    project: ProjectRequirements | None
    compared: Compared
    percent: float | None  # percent compaction
    deviation: float | None  # from the optimum [points]
    shown_deviation: Decimal | None  # from the rounded water content
    verdict: Verdict
    gravity: SpecificGravityFact | None
    preliminary: bool
    density_unit: str  # of the report


Test: TypeAlias = Case[FieldDensity, Values]


def reference_of(record: FieldDensity, inputs: Inputs) -> ReferenceFacts | None:
    """Return the reference, as it answers."""
    if record.reference is None:
        return None
    return inputs.get(ReferenceFacts, record.reference)


def requirement_of(
    record: FieldDensity, project: ProjectRequirements | None
) -> RequirementFacts | None:
    """Return the requirement of the zone: the project's, else as stated here."""
    zone = record.zone or ""
    found = project.of_zone(zone) if project is not None else None
    if found is not None or record.requirement is None:
        return found
    return facts_of(record.requirement)


def report_unit(record: FieldDensity, inputs: Inputs, method: Method | None) -> str:
    """Return the density unit of the project, else of the laboratory or standard."""
    project = inputs.get(ProjectFacts, record.project)
    lab = inputs.get(LaboratoryFacts, "lab")
    for facts in (project, lab):
        if facts is not None and facts.report_density is not None:
            return fitting_unit(facts.report_density, method)
    return method.default_density_unit if method is not None else "kg/m3"


def least_coarse(inputs: Inputs, method: Method | None) -> float:
    """Return the coarse fraction up to which nothing is corrected. [%]"""
    lab = inputs.get(LaboratoryFacts, "lab")
    if lab is not None and lab.oversize_least_percent is not None:
        return float(lab.oversize_least_percent)
    cell = method.optional("oversize_least") if method is not None else None
    return cell.si if cell is not None else LEAST_COARSE


def expanded_of(record: FieldDensity) -> dict[str, float]:
    """Return the expanded uncertainties that the record states, in SI."""
    own, unit = record.uncertainty, record.units.density
    if own is None:
        return {}
    found = {}
    if own.percent_compaction is not None:
        found["percent_compaction"] = float(own.percent_compaction)
    if own.dry_density is not None and unit is not None:
        found["dry_density"] = to_si(own.dry_density, unit)
    if own.water_content is not None:
        found["water_content"] = float(own.water_content)
    return found


def effort_of(designation: str, method: str) -> str:
    """Return the compactive effort of a standard; blank where not on file."""
    row = find(designation, method, "none", "")
    cell = row.optional("effort") if row is not None else None
    return cell.value if cell is not None else ""


def other_effort(
    reference: ReferenceFacts | None, requirement: RequirementFacts | None
) -> bool:
    """Whether a reference is of another compactive effort than is required."""
    if reference is None or requirement is None or not requirement.designation:
        return False
    asked = effort_of(requirement.designation, requirement.method)
    return bool(asked and reference.effort) and asked != reference.effort


def no_verdict(why: str) -> Verdict:
    """Return that there is no verdict, and why."""
    return Verdict("none", why)


def verdict_of(
    record: FieldDensity,
    found: Compared,
    percent: float | None,
    reference: ReferenceFacts | None,
    requirement: RequirementFacts | None,
) -> Verdict:
    """Judge a field test."""
    if is_void(record):
        return no_verdict("the specimen of the drive cylinder is void")
    if found.why_not:
        return no_verdict(found.why_not)
    if found.target is None:
        return no_verdict(why_no_target(record, reference))
    if requirement is None:
        zone = f"zone {record.zone}" if record.zone else "this place"
        return no_verdict(f"no requirement for {zone}")
    if other_effort(reference, requirement) and reference is not None:
        required = f"{requirement.designation}, Method {requirement.method}"
        return no_verdict(
            f"{reference.id} was compacted by {reference.designation}, another effort "
            f"than {required} requires"
        )
    dry, water = found.dry_density, found.water
    target = found.target
    return judge(requirement, target, percent, dry, water, expanded_of(record) or None)


def why_no_target(record: FieldDensity, reference: ReferenceFacts | None) -> str:
    """Return why there is nothing to compare with."""
    if reference is not None:
        return reference.why_none or f"{reference.id} gives no maximum dry density"
    if record.reference is not None:
        return f"{record.reference} gives no value to compare with"
    return "no reference"


def compute(record: FieldDensity, inputs: Inputs, method: Method | None) -> Values:
    """Compute a field test from its readings and from other records' answers."""
    reference = reference_of(record, inputs)
    project = inputs.get(ProjectRequirements, record.project)
    requirement = requirement_of(record, project)
    coarse = reference.oversize if reference is not None else None
    water, split = water_of(record, coarse)
    hole = dug(record, inputs, water.reported)
    dry = None
    if hole.wet_density is not None and water.reported is not None:
        dry = phase.dry_density(hole.wet_density, water.reported)
    against = project.field_tests_against if project is not None else ""
    found = compare(
        Sides(
            record,
            method,
            reference,
            requirement,
            against,
            least_coarse(inputs, method),
            water,
            split,
            dry,
        )
    )
    target = found.target
    percent = off = shown = None
    if target is not None and found.dry_density is not None:
        percent = percent_of(found.dry_density, target)
    if target is not None and found.water is not None and target.optimum_water_content:
        off = found.water - target.optimum_water_content
        rounded = Bound(WATER, "least", Decimal(0), "points", ROUNDED, WATER_STEP)
        shown = deviation(rounded, target, found.water)
    gravity = stated_gravity(record.specific_gravity, record.id, inputs)
    if gravity is None and reference is not None:
        gravity = reference.specific_gravity
    asked = requirement is not None and requirement.oven_check
    return Values(
        water=water,
        split=split,
        dug=hole,
        dry_density=dry,
        reference=reference,
        requirement=requirement,
        project=project,
        compared=found,
        percent=percent,
        deviation=off,
        shown_deviation=shown,
        verdict=verdict_of(record, found, percent, reference, requirement),
        gravity=gravity,
        preliminary=is_preliminary(record, inputs, asked, water),
        density_unit=report_unit(record, inputs, method),
    )
