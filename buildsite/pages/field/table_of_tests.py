"""Every field test of a project in one list, and the papers of its fill."""

from collections.abc import Sequence
from dataclasses import replace

from buildsite.archive.field_tests import FieldControl
from buildsite.kinds.field_control.closing import FAIL, PASS
from buildsite.kinds.field_control.results import (
    DENSITY,
    PERCENT,
    WATER,
    DayPaper,
    FieldTest,
    LiftPaper,
)
from buildsite.kinds.reporting import readable_text
from buildsite.kinds.sheet import Cell, Column, Row, Table
from buildsite.pages.field.summary import lift_name
from buildsite.pages.result_columns import shared_terms, split_unit
from buildsite.pages.rows import Row as Listed
from buildsite.pages.tables import (
    BRIEF,
    NOTHING,
    columns,
    link_cell,
    list_table,
    table_row,
)

SHOWN = (PERCENT, DENSITY, WATER)
"""Results in the list, in order."""


def result_cells(
    tests: Sequence[FieldTest], rows: Sequence[Listed]
) -> tuple[list[Column], list[list[str]]]:
    """Return a column for each result; the unit is in the heading where it is one."""
    terms = shared_terms(rows, SHOWN)
    heads: list[Column] = []
    cells: list[list[str]] = [[] for _ in tests]
    for name in SHOWN:
        results = [test.result(name) for test in tests]
        texts = [readable_text(one.text) if one is not None else "" for one in results]
        units = {split_unit(text)[1] for text in texts if text}
        unit = units.pop() if len(units) == 1 else ""
        heads.append(Column(terms[name], unit, number=True))
        for line, text in zip(cells, texts, strict=True):
            line.append((split_unit(text)[0] if unit else text) or NOTHING)
    return heads, cells


def reference_cell(test: FieldTest) -> Cell:
    """Return the reference that a test was judged by, with a link to that revision."""
    id, _, revision = test.judged_by.partition(" r")
    if revision.isdigit():
        return Cell(test.judged_by, ("revision", f"{id}/r{revision}"))
    return link_cell("test", test.reference, test.judged_by)


def relation(test: FieldTest, control: FieldControl) -> str:
    """Return what a test retests or checks, and what closed it."""
    parts = []
    if test.retest_of:
        after = f" after {test.rework}" if test.rework else ""
        parts.append(f"retest of {test.retest_of}{after}")
    if test.check_of:
        parts.append(f"check of {test.check_of}")
    closed = control.closed.get(test.id)
    if closed is not None:
        parts.append(f"closed by {closed.by}" if closed.by else closed.disposition)
    elif test.verdict == FAIL and test.counts:
        parts.append("not closed")
    return "; ".join(parts) or NOTHING


def status_text(test: FieldTest) -> str:
    """Return the state of a test, with its purpose where it does not count."""
    purpose = "" if test.counts or not test.purpose else test.purpose.replace("-", " ")
    water = "water content preliminary" if test.preliminary_water else ""
    return ", ".join(filter(None, (test.state, purpose, water))) or NOTHING


def failure_table(control: FieldControl, rows: Sequence[Listed]) -> Table:
    """Return the failures that are not closed, in whichever part of the list."""
    table = table_of_tests(control, control.failing, rows)
    lines = tuple(replace(row, anchor="") for row in table.rows)
    return replace(table, name="failures", title="Failures not closed", rows=lines)


def table_of_tests(
    control: FieldControl, tests: Sequence[FieldTest], rows: Sequence[Listed]
) -> Table:
    """Return field tests, in the order given."""
    results, cells = result_cells(tests, rows)
    heads = (
        *columns("Test", "Verdict"),
        results[0],
        *columns("Zone", "Lift", "Tested"),
        *results[1:],
        *columns(
            "Why",
            "Retest of, closed by",
            "Place",
            "Apparatus",
            "Judged by",
            "Matched by",
            "Status",
        ),
    )
    lines = tuple(
        row_of_test(test, texts, control)
        for test, texts in zip(tests, cells, strict=True)
    )
    return Table("tests", "Field tests", heads, lines, role="list wide")


def row_of_test(test: FieldTest, texts: Sequence[str], control: FieldControl) -> Row:
    """Return one test."""
    failing = test.verdict == FAIL and test.counts and test.id not in control.closed
    return table_row(
        link_cell("test", test.id),
        test.verdict,
        texts[0],
        test.zone or NOTHING,
        test.lift or NOTHING,
        " ".join(filter(None, (str(test.tested_on or ""), test.tested_at))) or NOTHING,
        *texts[1:],
        NOTHING if test.verdict == PASS else test.why or NOTHING,
        relation(test, control),
        test.place or NOTHING,
        test.apparatus.replace("-", " ") or NOTHING,
        reference_cell(test),
        test.basis or NOTHING,
        status_text(test),
        mark="withdrawn" if test.withdrawn else "error" if failing else "",
        anchor=test.id,
    )


def acceptance_table(papers: Sequence[LiftPaper]) -> Table:
    """Return acceptances of lifts, in the order given."""
    heads = columns("Acceptance", "On", "Lift", "By", "Basis", "Tests", "Status")
    rows = [
        table_row(
            link_cell("test", one.id),
            one.on or NOTHING,
            lift_name(one.zone, one.lift),
            one.by or NOTHING,
            one.basis or NOTHING,
            ", ".join(one.tests) or NOTHING,
            one.state,
            mark="withdrawn" if one.withdrawn else "",
        )
        for one in papers
    ]
    return list_table("acceptances", "Acceptances of lifts", heads, rows, BRIEF)


def day_table(papers: Sequence[DayPaper]) -> Table:
    """Return daily reports, in the order given."""
    heads = columns("Daily report", "Day", "Inspector", "Tests", "Status")
    rows = [
        table_row(
            link_cell("test", one.id),
            one.on or NOTHING,
            one.inspector or NOTHING,
            ", ".join(one.tests) or NOTHING,
            one.state,
            mark="withdrawn" if one.withdrawn else "",
        )
        for one in papers
    ]
    return list_table("days", "Daily reports", heads, rows, BRIEF)
