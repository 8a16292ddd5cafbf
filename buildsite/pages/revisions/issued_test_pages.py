"""
Files of an issued test: its page shows the last report, not the working state.

What the records give now is shown in a box, for the laboratory only.
"""

from collections.abc import Iterator
from dataclasses import replace

from buildsite.archive.across import repeats_note
from buildsite.archive.identity import group_of, name_of
from buildsite.archive.issued_files import IssuedState, without_recipients
from buildsite.archive.result_rows import row_of_report
from buildsite.exports.result_json import result_json
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import unit_renamed
from buildsite.kinds.sheet import Sheet
from buildsite.pages.bench_sheet.worksheet import bench_sheet
from buildsite.pages.page import Head, Pairs, Sent, Site
from buildsite.pages.qr_code import qr_code
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
from buildsite.pages.report.telling import citation_of, description_of
from buildsite.pages.revisions.compare_page import compare_page
from buildsite.pages.revisions.drift_blocks import drift_blocks
from buildsite.pages.revisions.history_page import history_page
from buildsite.pages.revisions.kept_report import sentence
from buildsite.pages.revisions.kept_sheet import sheet_from_item
from buildsite.pages.revisions.revision_pages import (
    RevisionPages,
    report_number,
    revision_table,
)
from buildsite.pages.revisions.revision_status import (
    current_status,
    replaced_report,
    results_sentence,
)
from buildsite.pages.revisions.verdict_sentences import (
    amended_verdict_sentences,
    resting_sentences,
    retest_sentences,
    to_judge_again_sentences,
)
from buildsite.pages.revisions.working_as_issued import issued_working
from buildsite.pages.rows import RenderedTest, Row, result_title, row_of_issued
from buildsite.pages.site_sources import SiteSources
from buildsite.pages.view_models import Shown, lead_and_rest
from buildsite.pages.working import LABEL, Working, led_to_steps
from buildsite.record.flags import Flag, field_path
from buildsite.record.issued import report_code
from buildsite.values import dataclass

AMENDED = "What was amended, and why"


def render_issued_test(
    site: Site, state: IssuedState, sources: SiteSources
) -> RenderedTest:
    """Return all files of an issued test."""
    if site.options.release:
        state = replace(state, issued=without_recipients(state.issued))
    sheet = sheet_of(site, state, sources)
    row = row_of_issued(site.archive, state, sheet)
    release = site.options.release
    row = replace(row, data=row_of_report(site.archive, state, release=release))
    if release:
        row = replace(row, moved=False, flags=(), sheets=sheets_as_issued(state))
    else:
        row = replace(row, repeats=site.archive.repeats_of(state.file))
    making = IssuedTestPages(site, state, sources, sheet, row)
    return RenderedTest(row, tuple(making.files()))


def sheets_as_issued(state: IssuedState) -> tuple[tuple[str, Sheet], ...]:
    """Return project and sample as they were when the test was issued."""
    found: list[tuple[str, Sheet]] = []
    for group in ("project", "sample"):
        for path in state.item.inputs:
            if state.archive is not None and group_of(path) == group:
                made = state.archive.outcome(path)
                found += [(group, made.sheet())] if made is not None else []
    return tuple(found)


def printed_flags(state: IssuedState, outcome: Outcome) -> tuple[Flag, ...]:
    """Return the flags that the report prints: those open when it was issued."""
    kept = {(one["flag"], one["field"]) for one in state.result.get("flags", ())}
    return tuple(f for f in outcome.flags if (f.flag, field_path(f.field)) in kept)


def sheet_of(site: Site, state: IssuedState, sources: SiteSources) -> Sheet:
    """Return the sheet as issued; from the kept files if no more is available."""
    outcome = state.outcome
    withheld = site.options.release and state.item.kind == "withdrawal"
    if outcome is None:
        return sheet_from_item(state, sources.issued_files)
    if withheld:
        kept = sheet_from_item(state, sources.issued_files)
        return replace(outcome.sheet(), blocks=kept.blocks)
    if state.moved or site.options.release:
        return outcome.kind.sheet(outcome.case, printed_flags(state, outcome))
    return outcome.sheet()


def amendment_sentences(state: IssuedState) -> Iterator[str]:
    """Return what the last report replaces, which results changed, and why."""
    item = state.item
    before = replaced_report(state.issued.items, item)
    if before is None:
        return
    yield f"Do not use revision {before.revision} (issued {before.issued_on})."
    yield sentence(
        results_sentence(
            before, item, lambda name, text: result_title(name, state.method, text)
        )
    )
    if note := unit_renamed(before.results, item.results):
        yield note
    yield sentence(f"Reason: {item.reason}")


def assessment_sentences(state: IssuedState) -> Iterator[str]:
    """Return that the last report was assessed, when, by whom and why."""
    for one in state.issued.items:
        if one.assesses == state.item.revision:
            yield sentence(
                f"Assessed on {one.issued_on} by {one.authorized_by} "
                f"(r{one.revision}): {one.reason}"
            )


@dataclass(frozen=True)
class IssuedTestPages:
    """Pages and files of one issued test."""

    site: Site
    state: IssuedState
    sources: SiteSources
    sheet: Sheet
    row: Row

    @property
    def crumbs(self) -> Pairs:
        """Breadcrumbs of the test's page."""
        return crumbs(self.site, self.row)

    def files(self) -> Iterator[tuple[str, bytes]]:
        """Return every file: data, revisions, history, the page itself."""
        site, state, sources = self.site, self.state, self.sources
        where = folder(state.file)
        names = []
        sheets = bench_sheet(site, where, state.outcome)
        figure = name_of_test(site, self.row, self.sheet)
        drawn = drawn_files(where, self.sheet, str(state.item.revision), figure)
        for name, what, data in (*self._data(), *drawn, *sheets):
            if what:
                names.append((name.rpartition("/")[2], what))
            yield name, data
        yield from RevisionPages(site, state, sources.issued_files, self.crumbs).pages()
        yield from history_page(site, state.file, state.issued, sources, self.crumbs)
        compared = list(compare_page(site, state, sources, self.crumbs))
        yield from compared
        below = [("Compare revisions", "compare/index.html")] if compared else []
        yield from appendices(site, state.outcome, self.crumbs, below)
        working = issued_working(site, state, self.sheet, self.crumbs)
        if working is not None:
            below.append(LABEL)
            yield working.file
        path = f"{where}/index.html"
        head = self._head(tuple(names), tuple(below))
        axes = frame_of_test(site, self.row, plot_of(self.sheet))
        yield site.render(path, head, self._blocks(working), self.crumbs, axes)

    def _data(self) -> Iterator[tuple[str, str, bytes]]:
        """Return the record (laboratory only) and the result as issued."""
        state, where = self.state, folder(self.state.file)
        if not self.site.options.release:
            now = self.site.archive.entry(state.file).source.data
            made = state.outcome or self._recorded()
            if made is not None:
                yield f"{where}/record.yaml", "record as issued", made.source.data
            if made is None or made.source.data != now:
                yield f"{where}/record-now.yaml", "record now", now
        kept = self.sources.issued_files.sent(state.file, state.item, "json")
        if kept is not None:
            yield f"{where}/result.json", "result as issued", kept
        elif state.outcome is not None and not self.site.options.release:
            software = self.site.options.software
            yield (
                f"{where}/result.json",
                "result",
                result_json(state.outcome, software),
            )

    def _recorded(self) -> Outcome | None:
        """Return the records as issued, also if their result is another one now."""
        archive = self.state.archive
        return archive.outcome(self.state.file) if archive is not None else None

    def _blocks(self, working: Working | None) -> Iterator[Shown]:
        """Return the results, the box of what changed since, report and revisions."""
        anchors = working.anchors if working is not None else frozenset()
        led = led_to_steps(self.sheet.blocks, self.state.file, anchors)
        lead, rest = lead_and_rest(led)
        yield from lead
        yield from drift_blocks(self.site, self.state)
        yield from rest
        yield from repeats_note(self.row.repeats)
        yield revision_table(self.state, release=self.site.options.release)

    def _effects(self) -> Iterator[str]:
        """Return what an amendment did to verdicts, and the retests of a failure."""
        archive, file, item = self.site.archive, self.state.file, self.state.item
        released = self.sources.released
        tests = released.tests if released is not None else None
        if item.kind == "withdrawal":
            return
        yield from retest_sentences(archive, file, self.state.result, tests)
        before = replaced_report(self.state.issued.items, item)
        if before is None:
            return
        yield from amended_verdict_sentences(archive, file, before, item)
        numbers = (before.revision, item.revision)
        yield from resting_sentences(archive, file, numbers, tests)

    def _sent(self) -> Sent:
        """Return what a print of the page says of the report that was sent."""
        file, item = self.state.file, self.state.item
        address = self.site.address_of(file)
        kept = f"r{item.revision}/report.html"
        return Sent(
            report_number(file, item),
            f"{address}{kept}" if address else f"{kept}, below this page",
            report_code(item.content),
            address,
            qr_code(address),
        )

    def _head(
        self, files: tuple[tuple[str, str], ...], below: tuple[tuple[str, str], ...]
    ) -> Head:
        state, item = self.state, self.state.item
        amends = replaced_report(state.issued.items, item) is not None
        status, tone = current_status(state.issued.items, item)
        number = f"r{item.revision}"
        pages = [(f"{number} as issued", f"{number}/index.html")]
        pages += [("History", "history/index.html"), *below]
        # Names, and no number of this program.
        made = state.outcome or self._recorded()
        facts = list(identity(self.site, made)) if made is not None else []
        facts += [
            ("Issued", f"{item.issued_on}, revision {item.revision}", ""),
            ("Authorized by", state.authorized_by, ""),
        ]
        if item.issued_to and not self.site.options.release:
            facts.append(("Issued to", "; ".join(item.issued_to), ""))
        title = state.outcome.title if state.outcome else self.row.title
        return Head(
            kicker=kind_of_report(title, "report"),
            title=name_of(state.file),
            subtitle=self.sheet.subtitle,
            about=self.sheet.title,
            status=status,
            tone=tone,
            status_notes=(
                *amendment_sentences(state),
                *self._effects(),
                *assessment_sentences(state),
                *to_judge_again_sentences(self.site.archive, state.file),
            ),
            notes_title=AMENDED if amends else "About this report",
            facts=tuple(facts),
            pages=tuple(pages),
            files=files,
            sent=self._sent(),
            description=description_of(self.row),
            citation=citation_of(self.site, self.row),
        )
