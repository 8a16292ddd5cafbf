"""A project: customer, publication, specification requirements."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Annotated, Any, Literal

from pydantic import Field as Described

from buildsite.kinds.answers import LaboratoryFacts, ProjectFacts
from buildsite.kinds.blank import Ask, Blank
from buildsite.kinds.field_answers import (
    LiftTerms,
    ProjectRequirements,
    RequirementsToServe,
)
from buildsite.kinds.kind import Case, Kind, Ref, late
from buildsite.kinds.laboratory.requirement_checks import CHECKS
from buildsite.kinds.laboratory.requirements import (
    Engineers,
    Requirement,
    engineer_name,
    lift_terms,
    requirements_of,
    to_serve,
)
from buildsite.kinds.shared_rules import standard_rules
from buildsite.kinds.sheet import Sheet, fact_table
from buildsite.record.flags import Field, Flag
from buildsite.record.parts import ReportDensity, StandardUsed
from buildsite.record.reading import Id, Model, Text, YesNo


class Customer(Model):
    name: Text
    contact: Text | None = None


class Project(Model):
    format: Literal["1"] = "1"
    kind: Literal["project"]
    id: Id
    name: Text
    customer: Customer
    publish: YesNo = False
    publish_working: Annotated[
        YesNo,
        Described(
            description="Whether clients see how each number of a report came about."
        ),
    ] = False
    report_density: ReportDensity | None = None
    field_tests_against: Annotated[
        Literal["corrected", "uncorrected"] | None,
        Described(
            description="Result with oversize that field tests are compared with; if "
            "not stated, the corrected one."
        ),
    ] = None
    requirements: tuple[Requirement, ...] = ()
    engineer_of_record: Annotated[
        Engineers,
        Described(
            description="Who may dispose of a failure and accept a lift: staff codes, "
            "or a name and its party."
        ),
    ] = ()


def needs(project: Project) -> tuple[Ref, ...]:
    """Ask the laboratory for the engineers of record that are staff codes."""
    codes = tuple(one for one in project.engineer_of_record if isinstance(one, str))
    if not codes:
        return ()
    return (Ref(LaboratoryFacts, ("laboratory",), "lab", (), about=codes),)


def answers(
    case: Case[Project, None], ref: Ref
) -> ProjectFacts | ProjectRequirements | LiftTerms | RequirementsToServe | None:
    """Return the facts of the project for a report, or what it requires."""
    project = case.record
    if ref.asks is ProjectRequirements:
        return requirements_of(project, ref.about)
    if ref.asks is LiftTerms:
        return lift_terms(project, ref)
    if ref.asks is RequirementsToServe:
        return to_serve(project, ref)
    if ref.asks is not ProjectFacts:
        return None
    return ProjectFacts(
        project.id,
        project.name,
        project.customer.name,
        project.customer.contact or "",
        project.report_density,
        project.field_tests_against,
    )


def standards_named(case: Case[Any, Any]) -> Iterator[tuple[Field, StandardUsed]]:
    """Return the standard of each requirement."""
    for i, one in enumerate(case.record.requirements):
        yield ("requirements", i, "standard"), one.standard


def sheet(case: Case[Project, None], flags: tuple[Flag, ...]) -> Sheet:
    """Return the sheet of a project."""
    from buildsite.kinds.laboratory.requirement_table import requirement_table

    project = case.record
    public: tuple[tuple[str, str], ...] = (("Customer", project.customer.name),)
    own = (
        ("Contact", project.customer.contact or "—"),
        ("May be published", "yes" if project.publish else "no"),
        ("Working published", "yes" if project.publish_working else "no"),
    )
    if project.field_tests_against is not None:
        against = f"{project.field_tests_against} result, where there is oversize"
        public += (("Field tests compared with", against),)
    if project.engineer_of_record:
        names = "; ".join(map(engineer_name, project.engineer_of_record))
        public += (("Engineer of record", names),)
    blocks = [
        fact_table("about", "About", public),
        replace(fact_table("own", "For the laboratory", own), laboratory_only=True),
    ]
    if project.requirements:
        blocks.append(requirement_table(project))
    return Sheet(project.name, project.id, tuple(blocks))


BLANK = Blank(
    """format: 1
kind: project
id: {id}
name: {name}
customer: {{name: {customer}, contact: }}
publish: no                 # yes: issued reports may be published
# publish_working: no       # yes: with how each number came about
report_density:             # kg/m3 | Mg/m3 | lb/ft3 | lbf/ft3 | kN/m3
# field_tests_against:      # corrected | uncorrected, where there is oversize
# engineer_of_record: []    # staff codes, or {{name: , party: }}: who accepts lifts
# requirements:             # see docs/requirements.md
#   - zone:
#     clause:
#     standard: {{designation: , method: }}
#     least_percent_compaction:      # digits as printed: 95 and 95.0 are two limits
#     water_content: {{from: -2, to: 2, as: points}}
#     compare: rounded               # rounded | absolute (ASTM E29)
#     tests_required: {{each: lift, number: }}
""",
    prefix="P",  # where the name gives no id
    asks=(
        Ask("name", "Name of the project"),
        Ask("customer", "Name of the customer"),
    ),
)

KIND: Kind[Project, Any] = Kind(
    name="project",
    title="Project",
    group="project",
    model=Project,
    needs=needs,
    answers=answers,
    sheet=sheet,
    particulars=late("buildsite.kinds.particulars.project", "project"),
    blank=BLANK,
    rules=(
        *standard_rules(standards_named, "compaction"),
        *CHECKS,
    ),
)
