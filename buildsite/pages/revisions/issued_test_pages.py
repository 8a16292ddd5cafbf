"""
Files of a test that was issued: its page shows the last report, not the working state.

What the records say now stands in a box, for the laboratory alone.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from buildsite.archive.amendments import sent_before
from buildsite.archive.edits import unit_renamed
from buildsite.archive.identity import group_of, name_of
from buildsite.archive.issued_files import Standing, public
from buildsite.archive.repeats import note
from buildsite.exports.result_json import result_json
from buildsite.kinds import kind_named
from buildsite.kinds.kind import Kind
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.sheet import Note, Plot, Sheet, Table
from buildsite.pages.bench_sheet.worksheet import bench_sheet
from buildsite.pages.page import Head, Site
from buildsite.pages.render import render
from buildsite.pages.report.appendices import appendices
from buildsite.pages.report.report import (
    axes_of,
    crumbs,
    drawn_files,
    folder,
    identity,
    plot_of,
)
from buildsite.pages.revisions.current import box
from buildsite.pages.revisions.history_pages import Crumbs, compare_page, history_page
from buildsite.pages.revisions.kept_report import sentence
from buildsite.pages.revisions.revision_pages import (
    Folder,
    numbered,
    results_of,
    revision_table,
)
from buildsite.pages.revisions.revision_status import replaced, reported_anew, state_of
from buildsite.pages.rows import Made, Row, issued_row, named
from buildsite.pages.site_sources import Beside
from buildsite.pages.view_models import regions
from buildsite.record.flags import Flag, spell

Block = Table | Plot | Note


def issued_files(site: Site, stands: Standing, beside: Beside) -> Made:
    """Make all files of a test of which something was issued."""
    if site.options.release:
        stands = replace(stands, issued=public(stands.issued))
    sheet = sheet_of(site, stands)
    row = issued_row(site.archive, stands, sheet)
    if site.options.release:
        row = replace(row, moved=False, flags=(), sheets=about_of(stands))
    else:
        row = replace(row, repeats=site.archive.repeats.get(stands.file, ()))
    making = Making(site, stands, beside, sheet, row)
    return Made(row, tuple(making.files()))


def about_of(stands: Standing) -> tuple[tuple[str, Sheet], ...]:
    """Project and sample as they were when the test was issued."""
    found: list[tuple[str, Sheet]] = []
    for group in ("project", "sample"):
        for path in stands.item.inputs:
            if stands.archive is not None and group_of(path) == group:
                made = stands.archive.outcome(path)
                found += [(group, made.sheet())] if made is not None else []
    return tuple(found)


def kind_of(stands: Standing) -> Kind[Any, Any] | None:
    """Kind of what was issued, by its record, else by its kept result."""
    made = stands.outcome if stands.outcome is not None else stands.now
    if made is not None:
        return made.kind
    return kind_named(str(stands.result.get("kind")))


def printed(stands: Standing, outcome: Outcome) -> tuple[Flag, ...]:
    """Flags that the report prints: those that stood against it when it was issued."""
    told = {(one["flag"], one["field"]) for one in stands.result.get("flags", ())}
    return tuple(f for f in outcome.flags if (f.flag, spell(f.field)) in told)


def sheet_of(site: Site, stands: Standing) -> Sheet:
    """Lay out what was issued; from the kept result where no more can be had."""
    outcome = stands.outcome
    withheld = site.options.release and stands.item.kind == "withdrawal"
    if outcome is None:
        return bare_sheet(stands)
    if withheld:
        return replace(outcome.sheet(), blocks=bare_sheet(stands).blocks)
    if stands.moved or site.options.release:
        return outcome.kind.sheet(outcome.case, printed(stands, outcome))
    return outcome.sheet()


def bare_sheet(stands: Standing) -> Sheet:
    """Show what the item states and the curve that was kept, and where the rest is."""
    item, kind = stands.item, kind_of(stands)
    if item.kind == "withdrawal":
        return Sheet(kind.title if kind else "Test", "", (withdrawn(stands),))
    blocks: list[Block] = [results_of(item, stands.method)]
    if kind is not None and kind.compare is not None:
        plot = kind.compare([(f"r{item.revision}", stands.result)], stands.method)
        blocks += [replace(plot, title="Curve as issued")] if plot else []
    where = (
        f"All that was reported stands in {numbered(stands.file, item)}, which is kept "
        "as it was issued."
    )
    blocks.append(Note("kept", "The report", (where,), role="statement"))
    return Sheet(kind.title if kind else "Test", "", tuple(blocks))


def withdrawn(stands: Standing) -> Note:
    """Say what was withdrawn, when and why, and that nobody may use it."""
    item, sent = stands.item, sent_before(stands.issued)
    what = numbered(stands.file, sent) if sent is not None else "This test"
    notice = numbered(stands.file, item)
    lines = (
        sentence(f"{what} was withdrawn on {item.issued_on}: {item.reason}"),
        "Don’t use its results.",
        f"{notice} is the notice of withdrawal, kept as it was issued.",
    )
    return Note("withdrawn", "Withdrawn", lines, role="banner")


def amended(stands: Standing) -> Iterator[str]:
    """Say what the last report replaces, which results moved, and why."""
    item = stands.item
    before = replaced(stands.issued.items, item)
    if before is None:
        return
    yield f"Don’t use r{before.revision} of {before.issued_on} any more."
    yield sentence(
        reported_anew(before, item, lambda name, text: named(name, stands.method, text))
    )
    if note := unit_renamed(before.results, item.results):
        yield note
    yield sentence(f"Why: {item.reason}")


@dataclass(frozen=True)
class Making:
    """One issued test on its way to the site."""

    site: Site
    stands: Standing
    beside: Beside
    sheet: Sheet
    row: Row

    @property
    def crumbs(self) -> Crumbs:
        """The way to the test's page."""
        return crumbs(self.site, self.row)

    def files(self) -> Iterator[tuple[str, bytes]]:
        """Every file: data beside the report, revisions, the past, the page itself."""
        site, stands, beside = self.site, self.stands, self.beside
        where = folder(stands.file)
        names = []
        sheets = bench_sheet(site, where, stands.outcome)
        drawn = drawn_files(where, self.sheet)
        for name, what, data in (*self._data(), *drawn, *sheets):
            names.append((name.rpartition("/")[2], what))
            yield name, data
        yield from Folder(site, stands, beside.shelf, self.crumbs).pages()
        yield from history_page(site, stands.file, stands.issued, beside, self.crumbs)
        compared = list(compare_page(site, stands, beside, self.crumbs))
        yield from compared
        below = [("Compare revisions", "compare/index.html")] if compared else []
        yield from appendices(site, stands.outcome, self.crumbs, below)
        path = f"{where}/index.html"
        plot = plot_of(self.sheet)
        shown = regions(
            self._blocks(),
            site.links(path),
            axes_of(plot) if plot is not None else (),
            laboratory=not site.options.release,
        )
        head = self._head(tuple(names), tuple(below))
        yield path, render(site.page(path, head, shown, self.crumbs))

    def _data(self) -> Iterator[tuple[str, str, bytes]]:
        """Records, which stay in the laboratory, and the result as issued."""
        stands, where = self.stands, folder(self.stands.file)
        if not self.site.options.release:
            now = self.site.archive.entry(stands.file).source.data
            made = stands.outcome
            then = made.source.data if made is not None else now
            what = "record as written"
            yield f"{where}/record.yaml", f"{what}, as issued", then
            if then != now:
                yield f"{where}/record-now.yaml", f"{what}, as it stands now", now
        kept = self.beside.shelf.sent(stands.file, stands.item, "json")
        if kept is not None:
            yield f"{where}/result.json", "result as issued", kept
        elif stands.outcome is not None and not self.site.options.release:
            software = self.site.options.software
            yield (
                f"{where}/result.json",
                "result",
                result_json(stands.outcome, software),
            )

    def _blocks(self) -> Iterator[Block]:
        """Box, report, revisions."""
        yield from box(self.site, self.stands)
        yield from self.sheet.blocks
        yield from note(self.row.repeats)
        yield revision_table(self.stands, release=self.site.options.release)

    def _head(
        self, files: tuple[tuple[str, str], ...], below: tuple[tuple[str, str], ...]
    ) -> Head:
        stands, item = self.stands, self.stands.item
        status, tone = state_of(stands.issued.items, item)
        number = f"r{item.revision}"
        pages = [(f"{number} as issued", f"{number}/index.html")]
        pages += [("History", "history/index.html"), *below]
        facts = list(identity(self.site, stands.outcome)) if stands.outcome else []
        facts += [
            ("Issued", f"{item.issued_on}, revision {item.revision}", ""),
            ("Authorized by", item.authorized_by, ""),
        ]
        if item.issued_to and not self.site.options.release:
            facts.append(("Issued to", "; ".join(item.issued_to), ""))
        return Head(
            kicker=f"{self.row.title}: report",
            title=name_of(stands.file),
            subtitle=self.sheet.subtitle,
            about=self.sheet.title,
            status=status,
            tone=tone,
            said=tuple(amended(stands)),
            facts=tuple(facts),
            pages=tuple(pages),
            files=files,
            end=f"End of report {numbered(stands.file, item)}",
        )
