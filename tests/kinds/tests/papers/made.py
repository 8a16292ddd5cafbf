"""Papers computed from answers that are written in the test."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from buildsite.kinds import kind_named
from buildsite.kinds.answers import LaboratoryFacts, Staff
from buildsite.kinds.field_answers import FieldTestFacts, LiftTerms, RequirementFacts
from buildsite.kinds.kind import Inputs
from buildsite.kinds.outcome import Outcome, outcome
from buildsite.record.flags import Flag, Severity
from buildsite.record.source import read_source
from buildsite.record.typed import read_model

DAY = date(2026, 6, 2)

PASSING = FieldTestFacts(
    id="F-1",
    project="p",
    zone="embankment",
    lift="7",
    place="station 12+40, 3.2 m left",
    tested_on=DAY,
    purpose="acceptance",
    dry_density="106.2 lb/ft3",
    percent="96.1 %",
    percent_value=96.1,
    water="16.8 %",
    verdict="pass",
    why="",
    reference="T-1 r0",
    revision="F-1 r0",
    tested_at="10:40",
    tested_by="T07",
    apparatus="sand-cone",
)
FAILING = replace(PASSING, verdict="fail", why="92 % is below 95 %", percent="92.0 %")

REQUIREMENT = RequirementFacts(
    zone="embankment",
    clause="203.7",
    designation="AASHTO T 99",
    edition="",
    method="A",
    least_percent_compaction=Decimal(95),
    least_dry_density=None,
    density_unit="",
    water_content=None,
    compare=(("percent_compaction", "rounded"),),
    reference_values="",
    oversize="",
    decision="",
    agreed_on=None,
    tests_required_each="lift",
    tests_required=2,
)
TERMS = LiftTerms("p", "embankment", REQUIREMENT, ("E02", "R. Alder, Harbour Works"))

LABORATORY = LaboratoryFacts(
    name="Laboratory",
    place="Place",
    invented=True,
    curve="auto",
    report_density=None,
    oversize_least_percent=None,
    demands=(),
    reviewer_may_be_tester=None,
    staff=(
        Staff("E02", "", ("review", "authorize"), date(2020, 1, 1), None),
        Staff("T07", "", ("test",), date(2020, 1, 1), None),
    ),
)

ACCEPTANCE = """\
kind: lift-acceptance
id: L-1
project: p
zone: embankment
lift: "7"
tests: [{tests}]
lift_accepted: {{on: 2026-06-04, by: E02}}
reviewed: {{on: 2026-06-05, by: E02}}
status: complete
"""

DAILY = """\
kind: daily-report
id: D-1
project: p
on: 2026-06-02
inspector: T07
tests: [{tests}]
reviewed: {{on: 2026-06-03, by: E02}}
status: complete
"""


def field_test(id: str, of: FieldTestFacts = PASSING, **said: Any) -> FieldTestFacts:
    """A field test with a number of its own."""
    return replace(of, id=id, revision=f"{id} r0", **said)


def retest(id: str, of: str, **said: Any) -> FieldTestFacts:
    """A passing retest after rework."""
    more = {"rework": "rolled again", "tested_at": "14:10", **said}
    return field_test(id, retest_of=of, **more)


def made(
    text: str, *facts: FieldTestFacts, terms: LiftTerms | None = TERMS, **changes: str
) -> Outcome:
    """A paper that lists some tests; `changes` replace lines by their field."""
    text = text.format(tests=", ".join(one.id for one in facts))
    for name, line in changes.items():
        kept = [one for one in text.splitlines() if not one.startswith(f"{name}:")]
        text = "\n".join([*kept, f"{name}: {line}" if line else ""]) + "\n"
    source = read_source("records/p/daily/x.yaml", text.encode())
    kind = kind_named(str(source.tree["kind"]))
    assert kind is not None
    record, faults = read_model(source, kind.model)
    assert not faults, faults
    answers: dict[tuple[str, str, str], Any] = {
        ("FieldTestFacts", one.id, ""): one for one in facts
    }
    answers["LaboratoryFacts", "lab", ""] = LABORATORY
    if terms is not None:
        answers["LiftTerms", "p", ""] = terms
    return outcome(kind, source, record, Inputs(answers), files={})


def flags_of(paper: Outcome) -> list[tuple[str, str]]:
    """Flags of a paper but notes: name and severity."""
    return [
        (flag.flag, str(flag.severity))
        for flag in paper.flags
        if flag.severity is not Severity.NOTE
    ]


def flag_named(paper: Outcome, name: str) -> Flag:
    """The only flag of that name."""
    (found,) = [flag for flag in paper.flags if flag.flag == name]
    return found
