"""
The sheet of an issued test out of what was kept alone: item, kept result, kept report.

For a test of which this program computes another result, or whose inputs are gone.
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from buildsite.archive.amendments import earlier_report
from buildsite.archive.issued_files import IssuedFiles, IssuedState
from buildsite.kinds import kind_named
from buildsite.kinds.kind import Kind
from buildsite.kinds.sheet import Note, Sheet, Table
from buildsite.pages.revisions.kept_report import sentence
from buildsite.pages.revisions.printed_blocks import printed_blocks, printed_subtitle
from buildsite.pages.revisions.revision_pages import report_number, result_table
from buildsite.pages.view_models import Block


def issued_kind(state: IssuedState) -> Kind[Any, Any] | None:
    """Return the kind of what was issued, by its record, else by its kept result."""
    made = state.outcome if state.outcome is not None else state.now
    if made is not None:
        return made.kind
    return kind_named(str(state.result.get("kind")))


def sheet_from_item(state: IssuedState, files: IssuedFiles) -> Sheet:
    """Return what the item states, the kept curve, and what the kept report printed."""
    item, kind = state.item, issued_kind(state)
    title = kind.title if kind else "Test"
    if item.kind == "withdrawal":
        return Sheet(title, "", (withdrawal_note(state),))
    report = files.sent(state.file, item, "html")
    printed = list(printed_blocks(report))
    targets = [block for block in printed if block.role == "target"]
    blocks: list[Block] = [*results_by_use(state), *targets]
    if kind is not None and kind.compare is not None:
        plot = kind.compare([(f"r{item.revision}", state.result)], state.method)
        blocks += [replace(plot, title="Curve as issued")] if plot else []
    blocks += [block for block in printed if block not in targets]
    where = f"The full report is {report_number(state.file, item)}, kept as issued."
    blocks.append(Note("kept", "Report", (where,), role="statement"))
    return Sheet(title, printed_subtitle(report), tuple(blocks))


def results_by_use(state: IssuedState) -> Iterator[Table]:
    """
    Yield the results: first what field tests are judged by, if the kept result says.

    Results kept before it was said are not divided.
    """
    item, table = state.item, result_table(state.item, state.method)
    governing = state.result.get("governing") or ()
    first = tuple(row for row in table.rows if row.mark in governing)
    rest = tuple(row for row in table.rows if row not in first)
    if not first or not rest:
        yield table
        return
    title = f"For field control, as reported in r{item.revision}"
    yield replace(table, title=title, rows=first)
    other = f"Other results reported in r{item.revision}"
    yield replace(table, name="other-results", title=other, rows=rest, role="lesser")


def withdrawal_note(state: IssuedState) -> Note:
    """Return what was withdrawn, when and why."""
    item, sent = state.item, earlier_report(state.issued)
    what = report_number(state.file, sent) if sent is not None else "This test"
    notice = report_number(state.file, item)
    lines = (
        sentence(f"{what} was withdrawn on {item.issued_on}: {item.reason}"),
        "Do not use its results.",
        f"{notice} is the notice of withdrawal, kept as issued.",
    )
    return Note("withdrawn", "Withdrawn", lines, role="banner")
