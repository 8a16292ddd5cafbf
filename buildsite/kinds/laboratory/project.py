"""A project: customer, publication, specification requirements."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Annotated, Any, Literal

from pydantic import Field as Described

from buildsite.kinds.answers import ProjectFacts
from buildsite.kinds.blank import Ask, Blank
from buildsite.kinds.kind import Case, Kind, Ref, late
from buildsite.kinds.shared_rules import standard_rules
from buildsite.kinds.sheet import Cell, Column, Row, Sheet, Table, fact_table
from buildsite.record.flags import Doubt, Field, Flag, Rule, Severity
from buildsite.record.parts import ReportDensity, StandardUsed
from buildsite.record.reading import Id, Model, Positive, Reading, Text, YesNo


class Customer(Model):
    name: Text
    contact: Text | None = None


class Band(Model):
    """Allowed water content about optimum: in points, or percent of the optimum."""

    from_: Reading = Described(alias="from")
    to: Reading
    as_: Literal["points", "percent of optimum"] = Described(alias="as")


class Requirement(Model):
    """Specification requirements for the compacted soil of one zone."""

    zone: Text
    standard: StandardUsed
    least_percent_compaction: Positive | None = None
    water_content: Band | None = None


class Project(Model):
    format: Literal["1"] = "1"
    kind: Literal["project"]
    id: Id
    name: Text
    customer: Customer
    publish: YesNo = False
    report_density: ReportDensity | None = None
    field_tests_against: Annotated[
        Literal["corrected", "uncorrected"] | None,
        Described(
            description="Result with oversize that field tests are compared with; if "
            "not stated, the corrected one."
        ),
    ] = None
    requirements: tuple[Requirement, ...] = ()


def answers(case: Case[Project, None], ref: Ref) -> ProjectFacts | None:
    """Return the facts of the project for a report."""
    if ref.asks is not ProjectFacts:
        return None
    project = case.record
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


def band_upside_down(case: Case[Project, None]) -> Iterator[Doubt]:
    """The lower limit of a moisture range is above its upper limit."""
    for i, one in enumerate(case.record.requirements):
        band = one.water_content
        if band is not None and band.from_ > band.to:
            yield Doubt(
                field=("requirements", i, "water_content", "to"),
                found=f"from {band.from_} to {band.to}",
                expected="the drier limit first, then the wetter",
                mend="check the signs, as in from: -2",
            )


MINUS = "\N{MINUS SIGN}"


def requirement_cells(requirement: Requirement) -> tuple[str, str, str, str]:
    """Return the four cells of one requirement."""
    band = requirement.water_content
    water = (
        f"{band.from_:+} to {band.to:+} {band.as_}".replace("-", MINUS)
        if band is not None
        else "not stated"
    )
    least = requirement.least_percent_compaction
    return (
        requirement.zone,
        f"{requirement.standard.designation}, Method {requirement.standard.method}",
        f"{least} %" if least is not None else "not stated",
        water,
    )


def sheet(case: Case[Project, None], flags: tuple[Flag, ...]) -> Sheet:
    """Return the sheet of a project."""
    project = case.record
    public: tuple[tuple[str, str], ...] = (("Customer", project.customer.name),)
    own = (
        ("Contact", project.customer.contact or "—"),
        ("May be published", "yes" if project.publish else "no"),
    )
    if project.field_tests_against is not None:
        against = f"{project.field_tests_against} result, where there is oversize"
        public += (("Field tests compared with", against),)
    blocks = [
        fact_table("about", "About", public),
        replace(fact_table("own", "For the laboratory", own), laboratory_only=True),
    ]
    if project.requirements:
        labels = (
            "Zone",
            "Standard",
            "Minimum relative compaction",
            "Moisture range relative to optimum",
        )
        blocks.append(
            Table(
                "requirements",
                "Specification requirements",
                tuple(Column(label) for label in labels),
                tuple(
                    Row(tuple(Cell(text) for text in requirement_cells(one)))
                    for one in project.requirements
                ),
                role="more",
            )
        )
    return Sheet(project.name, project.id, tuple(blocks))


BLANK = Blank(
    """format: 1
kind: project
id: {id}
name: {name}
customer: {{name: {customer}, contact: }}
publish: no                 # yes: issued reports may be published
report_density:             # kg/m3 | Mg/m3 | lb/ft3 | lbf/ft3 | kN/m3
# field_tests_against:      # corrected | uncorrected, where there is oversize
# requirements:
#   - {{zone: , standard: {{designation: , method: }}, least_percent_compaction: ,
#      water_content: {{from: -2, to: 2, as: points}}}}
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
    answers=answers,
    sheet=sheet,
    particulars=late("buildsite.kinds.particulars.laboratory", "project"),
    blank=BLANK,
    rules=(
        *standard_rules(standards_named, "compaction"),
        Rule("band-upside-down", Severity.ERROR, "common practice", band_upside_down),
    ),
)
