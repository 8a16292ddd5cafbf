"""The particulars of a project: who it is for, and what its specification requires."""

from dataclasses import replace
from typing import Any, get_args

from buildsite.kinds.bench_spec import Bench, Part
from buildsite.kinds.kind import Case
from buildsite.kinds.particulars.asking import choice, chosen, number, part, text
from buildsite.record.parts import ReportDensity
from buildsite.standards.tables import designations, standard

YES_NO = ("yes", "no")
DENSITIES = get_args(ReportDensity)
METHODS = tuple(
    dict.fromkeys(
        method
        for name in designations("compaction")
        if (known := standard(name)) is not None
        for method in known.methods
    )
)

PROJECT = part(
    "Project",
    (),
    text("name", "Name of the project"),
    text("customer.name", "Name of the customer"),
    text("customer.contact", "Customer's contact"),
    choice("publish", "May issued reports be published?", YES_NO),
    choice("publish_working", "May their working be published?", YES_NO),
    choice("report_density", "Unit of reported densities", DENSITIES),
    choice(
        "field_tests_against",
        "Field tests compared with the result",
        ("corrected", "uncorrected"),
    ),
)

ENGINEER = part(
    "Engineer of record",
    (),
    text("engineer_of_record", "Who accepts lifts", "engineers"),
)

REQUIREMENTS = Part(
    "Requirements",
    ("requirements",),
    (
        # The standard first: with the first answer the others are begun.
        replace(
            text("standard.designation", "Standard", "name"),
            choices=tuple(designations("compaction")),
        ),
        replace(text("standard.method", "Method", "name"), choices=METHODS),
        text("zone", "Zone"),
        text("clause", "Clause of the specification"),
        number("least_percent_compaction", "Least percent compaction", "%"),
        text("least_dry_density", "Least dry density, if one is stated", "density"),
        text("water_content", "Water content about optimum", "band"),
        text("compare", "Compared with the limit (ASTM E29)", "comparison"),
        text("tests_required", "Tests required", "tests"),
        text("lot", "Lot accepted by an average", "lot"),
        text("decision", "Decision rule", "decision"),
        choice(
            "reference_values",
            "Values of the laboratory test",
            ("reported", "unrounded"),
        ),
        choice(
            "oversize",
            "Correction for coarse particles",
            ("laboratory-to-field", "field-to-fine", "none"),
        ),
        choice("oven_check", "Must field water contents be oven-checked?", YES_NO),
        text("standard.edition", "Edition"),
        text("standard.variant", "Agency's variant"),
    ),
    times=0,
    once=False,
    line="Requirement",
    begun="zone: whole project, standard: {designation: AASHTO T 99, method: A}",
)


def project(case: Case[Any, Any], about: str) -> Bench:
    """Return the questions about a project."""
    return chosen((PROJECT, ENGINEER, REQUIREMENTS), about)
