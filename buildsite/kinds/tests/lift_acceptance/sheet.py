"""The report of an acceptance, and the questions for it."""

from dataclasses import replace

from buildsite.kinds.bench_spec import Bench, Part, Reading
from buildsite.kinds.laboratory.requirement_table import (
    LABELS,
    NOT_STATED,
    requirement_cells,
)
from buildsite.kinds.reporting import to_places
from buildsite.kinds.sheet import Cell, Column, Row, Sheet, Table, fact_table
from buildsite.kinds.tests.lift_acceptance.model import Acceptance, terms_of
from buildsite.kinds.tests.shared import bench as parts
from buildsite.kinds.tests.shared import report as blocks
from buildsite.kinds.tests.shared.facts import person_text
from buildsite.kinds.tests.shared.papers import sheet as papers
from buildsite.record.flags import Flag


def acceptance_facts(case: Acceptance) -> Table:
    """Return who accepted which lift, when, and on what."""
    record, act = case.record, case.record.lift_accepted
    return fact_table(
        "acceptance",
        "Acceptance",
        (
            ("Zone", record.zone),
            ("Lift", record.lift),
            ("Lift accepted on", str(act.on or "not accepted")),
            ("Engineer of record", person_text(case, act.by)),
            ("Stated in", act.document or ""),
            ("Basis", record.basis or ""),
        ),
    )


NO_TEST = "No test is listed."


def accepted_first(case: Acceptance, results: Table) -> Table:
    """Return the results below what the paper is for: whether the lift is accepted."""
    on = case.record.lift_accepted.on
    cells = (Cell("Lift accepted"), Cell(str(on) if on is not None else "No"))
    first = Row(cells, mark="pass" if on is not None else "fail")
    return replace(results, rows=(first, *results.rows))


def required_facts(case: Acceptance) -> Table | None:
    """Return what the specification requires of the lift."""
    terms = terms_of(case.inputs, case.record)
    if terms is None or terms.requirement is None:
        return None
    cells = zip(LABELS, requirement_cells(terms.requirement), strict=True)
    stated = [(label, text) for label, text in cells if text != NOT_STATED]
    return fact_table("requirement", "Specification requirements", stated)


def lot_table(case: Acceptance) -> Table | None:
    """Return the lots, where the specification averages tests."""
    rows = tuple(
        Row(
            (
                Cell(str(number)),
                Cell(", ".join(lot.tests)),
                Cell(to_places(lot.average, 2)),
                Cell(str(lot.compared) if lot.compared is not None else "—"),
                Cell({True: "Met", False: "Not met", None: "Not full"}[lot.met]),
            )
        )
        for number, lot in enumerate(case.values.lots, start=1)
    )
    if not rows:
        return None
    columns = (
        Column("Lot", number=True),
        Column("Tests"),
        Column("Average", "%", number=True),
        Column("Compared", "%", number=True),
        Column("Result"),
    )
    return Table("lots", "Lots", columns, rows, role="more")


def sheet(case: Acceptance, flags: tuple[Flag, ...]) -> Sheet:
    """Return the report of an acceptance, its blocks in reading order."""
    record, closed = case.record, dict(case.values.closed)
    shown = (
        papers.TEST,
        papers.DAY,
        papers.PLACE,
        papers.DENSITY,
        papers.PERCENT,
        papers.WATER,
        papers.VERDICT,
        papers.CURVE,
        papers.story(closed),
    )
    retests = "A retest counts with the place that it tests again."
    return papers.paper(
        case,
        flags,
        "Lift acceptance",
        f"{record.zone}, lift {record.lift}",
        (
            accepted_first(case, blocks.result_table(case, NO_TEST, retests)),
            acceptance_facts(case),
            required_facts(case),
            papers.test_table(case.values.listed, shown),
            lot_table(case),
        ),
        (
            "The engineer of record accepts the lift; the laboratory states what was "
            "tested. A test speaks for the place where it was made.",
            "Each test has a report of its own, by the revision listed; that report "
            "has its method, readings and curve.",
        ),
    )


def bench(case: Acceptance) -> Bench:
    """Return the questions for an acceptance."""
    terms = terms_of(case.inputs, case.record)
    engineers = terms.engineers if terms is not None else ()
    who = f" ({'; '.join(engineers)})" if engineers else ""
    return Bench(
        parts=(
            Part(
                "Lift",
                (),
                (
                    Reading("zone", "Zone", takes="text"),
                    Reading("lift", "Lift", takes="text"),
                    Reading("tests", "Field tests, by number", takes="list"),
                ),
            ),
            Part(
                "Acceptance",
                ("lift_accepted",),
                (
                    Reading("on", "Lift accepted on", takes="day"),
                    Reading("by", f"Engineer of record{who}", takes="text"),
                    Reading(
                        "document",
                        "Letter or form that states it",
                        takes="text",
                        needed=False,
                    ),
                ),
            ),
            Part(
                "Basis",
                (),
                (
                    Reading(
                        "basis",
                        "Basis besides the tests",
                        takes="remarks",
                        needed=False,
                    ),
                ),
            ),
            parts.entry(),
        ),
        ticks=(
            "Every test of the lift is listed, also those that failed",
            "The engineer of record has the report of each test",
        ),
    )
