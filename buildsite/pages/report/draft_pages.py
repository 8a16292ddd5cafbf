"""Every file of one test: report, record, result, points and curve."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from buildsite.archive.across import repeats_note
from buildsite.archive.archive import Archive
from buildsite.archive.edited_after_review import since_review
from buildsite.archive.follows import gives_verdict
from buildsite.archive.issued_files import issued_state
from buildsite.archive.result_rows import row_of_record
from buildsite.archive.turned_verdicts import turned_verdicts
from buildsite.archive.uncommitted import is_uncommitted
from buildsite.archive.waiting_equipment import wrong_of
from buildsite.archive.waiting_tests import tasks_of_test
from buildsite.exports.result_json import result_json
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.sheet import Sheet
from buildsite.pages.bench_sheet.worksheet import bench_sheet
from buildsite.pages.page import Head, Site, site_of
from buildsite.pages.report.figure import frame_of_test, name_of_test
from buildsite.pages.report.parts import (
    appendices,
    crumbs,
    drawn_files,
    folder,
    identity,
    kind_of_report,
    plot_of,
)
from buildsite.pages.report.telling import description_of
from buildsite.pages.revisions.history_page import history_page
from buildsite.pages.revisions.issued_test_pages import render_issued_test
from buildsite.pages.rows import RenderedTest, Row, row_of, row_of_unreadable
from buildsite.pages.site_sources import Options, SiteSources
from buildsite.pages.tables import flag_table
from buildsite.pages.working import LABEL, led_to_steps, working_page

STATUS = {
    "complete": ("Preliminary: complete, not issued.", "open"),
    "in-progress": ("Preliminary: in progress, readings may still change.", "open"),
    "withdrawn": ("Withdrawn: do not use the result.", "stop"),
}
"""Status line and tone of a test that has not been issued."""

BLOCKED = ("Blocked: this test has an open error.", "stop")


def render_test(
    archive: Archive, file: str, options: Options, sources: SiteSources
) -> RenderedTest:
    """Return all files of one test, or of a file in its place, and its row."""
    made, look = render_files(archive, file, options, sources), sources.record_history
    if options.release:
        return made
    told: dict[str, Any] = {}
    told["wrong"] = wrong_of(archive, file)
    told["tasks"] = tuple(tasks_of_test(archive, file, since_review(archive, look)))
    if look is not None and gives_verdict(archive, file):
        told["turned"] = turned_verdicts(look, archive, file)
    return replace(made, row=replace(made.row, **told))


def render_files(
    archive: Archive, file: str, options: Options, sources: SiteSources
) -> RenderedTest:
    """Return all files of one test, or of a file in its place."""
    differs = is_uncommitted(archive, file, options.uncommitted)
    site = replace(site_of(archive, options, sources.released), differs=differs)
    seen = archive.has_page(file)
    state = issued_state(archive, file, sources.issued_files) if seen else None
    if state is not None:
        return render_issued_test(site, state, sources)
    made = archive.outcome(file)
    if made is None:
        row = row_of_unreadable(archive, file)
        row = replace(row, data=row_of_record(archive, file, None))
        seen = seen and not options.release
        return RenderedTest(row, tuple(unreadable_files(site, row)) if seen else ())
    sheet = made.sheet()
    row = row_of(archive, made, sheet)
    row = replace(
        row,
        repeats=archive.repeats_of(file),
        data=row_of_record(archive, file, made),
    )
    if not seen or options.release:
        return RenderedTest(row, ())  # clients see what was issued
    return RenderedTest(row, tuple(draft_files(site, made, sheet, row, sources)))


def draft_files(
    site: Site, outcome: Outcome, sheet: Sheet, row: Row, sources: SiteSources
) -> Iterator[tuple[str, bytes]]:
    """Return the files of a test that has not been issued."""
    where = folder(outcome.file)
    path = f"{where}/index.html"
    files = [("record.yaml", "record"), ("result.json", "result")]
    yield f"{where}/record.yaml", outcome.source.data
    yield f"{where}/result.json", result_json(outcome, site.options.software)
    figure = name_of_test(site, row, sheet)
    drawn = drawn_files(where, sheet, name=figure)
    for name, what, data in (*drawn, *bench_sheet(site, where, outcome)):
        if what:
            files.append((name.rpartition("/")[2], what))
        yield name, data
    past = list(history_page(site, outcome.file, None, sources, crumbs(site, row)))
    yield from past
    below: list[tuple[str, str]] = []
    yield from appendices(site, outcome, crumbs(site, row), below)
    status = BLOCKED if outcome.blocked else STATUS[outcome.status]
    working = working_page(site, outcome, sheet, crumbs(site, row), outcome.id, status)
    if working is not None:
        below.append(LABEL)
        yield working.file
    below += [("History", "history/index.html")] if past else []
    head = head_of(site, outcome, sheet, tuple(files), tuple(below))
    head = replace(head, description=description_of(row))
    anchors = working.anchors if working is not None else frozenset()
    led = led_to_steps(sheet.blocks, outcome.file, anchors)
    blocks = (*led, *repeats_note(row.repeats))
    frames = frame_of_test(site, row, plot_of(sheet))
    yield site.render(path, head, blocks, crumbs(site, row), frames)


def head_of(
    site: Site,
    outcome: Outcome,
    sheet: Sheet,
    files: tuple[tuple[str, str], ...],
    below: tuple[tuple[str, str], ...],
) -> Head:
    """Return the heading of a report, with what every test report must state."""
    status, tone = BLOCKED if outcome.blocked else STATUS[outcome.status]
    return Head(
        kicker=kind_of_report(outcome.title, "report"),
        title=outcome.id,
        subtitle=sheet.subtitle,
        about=sheet.title,
        status=status,
        tone=tone,
        facts=(
            *identity(site, outcome),
            ("Issued", "not issued: preliminary", ""),
            ("Authorized by", "not yet authorized", ""),
        ),
        pages=below,
        files=files,
        end=f"End of report {outcome.id}",
    )


def unreadable_files(site: Site, row: Row) -> Iterator[tuple[str, bytes]]:
    """Return the files of a record that can't be read: its text and its errors."""
    where, source = folder(row.file), site.archive.entry(row.file).source
    path = f"{where}/index.html"
    yield f"{where}/record.yaml", source.data
    head = Head(
        kicker="Unreadable record",
        title=row.id,
        subtitle="Nothing was computed: correct the errors listed below.",
        status="Unreadable: no result.",
        tone="stop",
        files=(("record.yaml", "record"),),
    )
    table = flag_table(row.flags, "flags", "Errors")
    yield site.render(path, head, [table], crumbs(site, row), text=source.text)
