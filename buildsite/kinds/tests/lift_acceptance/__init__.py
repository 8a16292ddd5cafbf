"""The acceptance of a lift by the engineer of record, kept like any report."""

from collections.abc import Mapping
from typing import Any

from buildsite.kinds.blank import ArchiveContext, Ask, Blank
from buildsite.kinds.field_answers import LiftTerms
from buildsite.kinds.field_control.same_place import lift_key
from buildsite.kinds.kind import Kind, Result, late
from buildsite.kinds.tests.lift_acceptance.model import (
    Acceptance,
    LiftAcceptance,
    Values,
    compute,
    needs,
)
from buildsite.kinds.tests.lift_acceptance.rules import RULES
from buildsite.kinds.tests.shared.kind import kind_of_test
from buildsite.kinds.tests.shared.papers.asking import ids_in, tests_on_file
from buildsite.kinds.tests.shared.papers.record import trace_of_paper


def results(case: Acceptance) -> Mapping[str, Result]:
    """Report how many places were tested, of how many required, and how many meet."""
    values = case.values
    found = {
        "tests_made": values.made,
        "tests_required": values.required,
        "tests_met": values.met,
    }
    return {
        name: Result(float(number), "", str(number))
        for name, number in found.items()
        if number is not None
    }


def detail(case: Acceptance) -> Mapping[str, Any]:
    """Return the lift, its tests and who accepted it, for `show --json`."""
    record, values, act = case.record, case.values, case.record.lift_accepted
    return {
        "lift": {
            "zone": record.zone,
            "lift": record.lift,
            "accepted": {"on": act.on, "by": act.by, "document": act.document},
            "basis": record.basis or None,
            "tests": list(record.tests),
            "revisions": {
                one.id: one.facts.revision
                for one in values.listed
                if one.facts.revision
            },
            "made": values.made,
            "required": values.required,
            "met": values.met,
            "closed": {
                id: {"by": how.by or None, "disposition": how.disposition or None}
                for id, how in values.closed
            },
            "open": list(values.open),
            "lots": [
                {
                    "tests": list(lot.tests),
                    "average": lot.average,
                    "compared": lot.compared,
                    "met": lot.met,
                }
                for lot in values.lots
            ],
        }
    }


def suggest(context: ArchiveContext) -> Mapping[str, str]:
    """Suggest the tests of the lift on file, and the only engineer of record."""
    answers = context.answers
    project, zone = answers.get("project", ""), answers.get("zone", "")
    found = {}
    if zone and answers.get("lift"):
        tests = [
            one.id
            for one in tests_on_file(context, project, None)
            if lift_key(one.zone, one.lift) == lift_key(zone, answers["lift"])
        ]
        found["tests"] = ", ".join(tests)
    for terms in context.facts(LiftTerms, ("project",), None):
        if terms.id == project and len(terms.engineers) == 1:
            found["engineer"] = terms.engineers[0]
    return found


BLANK = Blank(
    """format: 1
kind: lift-acceptance
id: {id}
project: {project}
zone: {zone}
lift: {lift}
tests: {tests}
lift_accepted: {{on: {accepted_on}, by: {engineer}, document: }}
basis: ""
entered: {{by: , checked_by: }}
status: in-progress         # in-progress | complete | withdrawn
remarks: ""
""",
    prefix="L",
    asks=(
        Ask("project", "Project"),
        Ask("zone", "Zone"),
        Ask("lift", "Lift"),
        Ask("tests", "Field tests, separated by commas", split=ids_in),
        Ask("accepted_on", "Lift accepted on (YYYY-MM-DD; blank: not yet)"),
        Ask("engineer", "Engineer of record (staff code, or name and party)"),
    ),
    suggest=suggest,
)

KIND: Kind[LiftAcceptance, Values] = kind_of_test(
    Kind(
        name="lift-acceptance",
        title="Lift acceptance",
        group="test",
        folder="acceptances",
        model=LiftAcceptance,
        needs=needs,
        compute=compute,
        results=results,
        detail=detail,
        rules=RULES,
        trace=lambda record, file: trace_of_paper(
            record, file, record.zone, record.lift
        ),
        sheet=late(f"{__name__}.sheet", "sheet"),
        bench=late(f"{__name__}.sheet", "bench"),
        blank=BLANK,
    ),
    line_values=(),
)
