"""
Pages of single revisions, and the table of them.

The kept report and result, and the records as they were then, are shown byte for byte.
Around them the page says what became of the revision, so that nobody takes a number
from it that was replaced or withdrawn.
"""

from collections.abc import Iterator

from buildsite.archive.archive import Archive
from buildsite.archive.identity import group_of, name_of
from buildsite.archive.issued_files import IssuedFiles, IssuedState
from buildsite.kinds.outcome import method_of
from buildsite.kinds.reporting import Spoken, readable_text
from buildsite.kinds.sheet import Cell, Row, Table
from buildsite.pages.links import Links
from buildsite.pages.page import File, Head, Site
from buildsite.pages.report.parts import TestFolder
from buildsite.pages.revisions.revision_status import (
    SORTS,
    ended_by,
    ending,
    replaced_report,
    revision_status,
    title_and_ending,
)
from buildsite.pages.rows import result_title
from buildsite.pages.tables import (
    NOTHING,
    columns,
    facts_table,
    record_target,
    table_row,
)
from buildsite.record.issued import Item
from buildsite.values import dataclass

LOST = "The report as issued is missing: the kept file differs from it."

SHORT_DIGEST = len("sha256:") + 12


def report_number(file: str, item: Item) -> str:
    """Return the number of a report: HF-0117 r1."""
    return f"{name_of(file)} r{item.revision}"


def short_digest(digest: str) -> str:
    """
    Return a digest shortened for display.

    >>> short_digest("sha256:" + "0123456789abcdef" * 4)
    'sha256:0123456789ab…'
    """
    return digest[:SHORT_DIGEST] + "…"


def revision_cell(file: str, item: Item) -> Cell:
    """Return a cell that links to a revision's page."""
    number = f"r{item.revision}"
    return Cell(number, ("revision", f"{name_of(file)}/{number}"))


def revision_table(state: IssuedState, *, release: bool) -> Table:
    """Return every revision, the latest first. Clients don't see the recipients."""
    labels = [
        *("Revision", "Type", "Issued on"),
        *("Authorized by", "Reason", "Content digest"),
    ]
    rows = []
    for item in reversed(state.issued.items):
        cells = [
            revision_cell(state.file, item),
            Cell("; ".join(filter(None, title_and_ending(state.issued.items, item)))),
            Cell(str(item.issued_on)),
            Cell(item.authorized_by),
            Cell(item.reason),
            Cell(short_digest(item.content)),
        ]
        if not release:
            cells.append(Cell(", ".join(item.issued_to) or "—"))
        gone = title_and_ending(state.issued.items, item)[1].startswith("withdrawn")
        rows.append(Row(tuple(cells), mark="withdrawn" if gone else ""))
    heads = columns(*labels, *([] if release else ["Issued to"]))
    last = state.item
    note = f"Digest printed on {report_number(state.file, last)}: {last.content}"
    return Table(
        "revisions", "Revisions", heads, tuple(rows), role="revisions", note=note
    )


def result_table(item: Item, method: Spoken) -> Table:
    """Return results as an item states them, in the words of the test's standard."""
    rows = tuple(
        table_row(result_title(name, method, text), readable_text(text), mark=name)
        for name, text in item.results.items()
    )
    none = (table_row("No result", "None reported.", mark="none"),)
    heads = columns("Result", "Reported")
    title = f"Results reported in r{item.revision}"
    return Table("results", title, heads, rows or none, role="results", headed="row")


def ended_result_table(item: Item, end: Item, method: Spoken) -> Table:
    """
    Return what stands in place of results that are no longer valid.

    Those of the report that replaced them, large, each with the old one struck out;
    where the test was withdrawn, the old ones struck out alone.
    """
    rows, replaced = [], bool(end.results)
    for name in dict.fromkeys((*end.results, *item.results)):
        was, now = item.results.get(name, ""), end.results.get(name, "")
        label = Cell(result_title(name, method, now or was))
        old = readable_text(was) or NOTHING
        if replaced:
            told = Cell(f"r{item.revision}, replaced: {old}")
            rows.append(Row((label, Cell(readable_text(now) or NOTHING), told), "now"))
        else:
            rows.append(Row((label, Cell(old)), "gone"))
    heads = columns("Result", *(("Now",) if replaced else ()), "Reported")
    title = f"Results of r{item.revision}, {ending((item, end), item)}"
    if replaced:
        title = f"Results now, by r{end.revision} of {end.issued_on}"
    role = "results" if replaced else "facts"
    return Table("results", title, heads, tuple(rows), role, headed="row")


def issue_table(
    state: IssuedState, item: Item, method: Spoken, *, release: bool
) -> Table:
    """Return what an item states of its issue."""
    before = replaced_report(state.issued.items, item)
    judged = next((o for o in state.issued.items if o.revision == item.assesses), None)
    facts: list[tuple[str, object]] = [
        ("Type", SORTS[item.kind]),
        ("Issued on", item.issued_on),
        ("Authorized by", item.authorized_by),
        ("Reason", item.reason),
        ("Issued to", "" if release else ", ".join(item.issued_to)),
        ("Amends", before and revision_cell(state.file, before)),
        ("Assesses", judged and revision_cell(state.file, judged)),
        *(
            (f"{result_title(name, method, text)}, computed", readable_text(text))
            for name, text in (item.computed or {}).items()
        ),
        ("Explains commit", item.breaks),
    ]
    return facts_table("issue", "Issue", facts)


def digest_table(item: Item) -> Table:
    """Return the digests of an item."""
    software = item.software
    facts = [
        ("Content", item.content),
        ("Report", item.report),
        ("Result", item.result),
        ("PDF", item.pdf),
        ("PDF drawn by", item.pdf_drawn_by),
        ("Values used", item.used),
        ("Previous item", item.previous or "none (first item)"),
        ("Program", f"{software.name} {software.version}"),
        ("Fingerprint", software.fingerprint),
    ]
    return facts_table("digests", "Digests", facts)


def input_cell(path: str) -> Cell:
    """Return the cell of an input, with a link to its page if it has one."""
    file, mark, number = path.partition("#")
    if mark:  # a report of another test
        test = name_of(file).removesuffix(".issued")
        return Cell(path, ("revision", f"{test}/r{number}"))
    return Cell(path, record_target(path))


def input_table(item: Item) -> Table:
    """Return the files used. For the laboratory: clients have no records."""
    rows = tuple(
        table_row(input_cell(path), digest) for path, digest in item.inputs.items()
    )
    return Table(
        "inputs",
        "Files used",
        columns("File", "SHA-256"),
        rows,
        role="more",
        laboratory_only=True,
    )


@dataclass(frozen=True)
class RevisionPages:
    """Pages of the revisions of one test."""

    site: Site
    state: IssuedState
    issued_files: IssuedFiles
    crumbs: tuple[tuple[str, str], ...]  # the test's own page last

    def pages(self) -> Iterator[tuple[str, bytes]]:
        """Return every file of every revision."""
        for item in self.state.issued.items:
            yield from self._files(item)

    def _files(self, item: Item) -> Iterator[tuple[str, bytes]]:
        """Return the files of one revision: page, kept report, kept result, records."""
        file = self.state.file
        where = f"tests/{name_of(file)}/r{item.revision}"
        files = []
        report = self.issued_files.sent(file, item, "html")
        if report is not None:
            files.append(("report.html", "report as issued"))
            yield f"{where}/report.html", report
        pdf = self.issued_files.sent(file, item, "pdf")
        if pdf is not None:
            files.append(("report.pdf", "report as issued, as a PDF"))
            yield f"{where}/report.pdf", pdf
        result = self.issued_files.sent(file, item, "json")
        if result is not None:
            files.append(("result.json", "result as issued"))
            yield f"{where}/result.json", result
        if not self.site.options.release:
            for name, what, data in self._inputs(item):
                files.append((name, what))
                yield f"{where}/{name}", data
        kept = {"kept": f"Report {report_number(file, item)}"} if report else {}
        ended = ending(self.state.issued.items, item)
        if report is not None and ended:
            kept["gone"] = f"{ended.capitalize()}. Do not use it."
        yield self._page(item, tuple(files), kept)

    def _inputs(self, item: Item) -> Iterator[tuple[str, str, bytes]]:
        """
        Return the records that a revision was computed from, byte for byte.

        So a figure on a printed page can be traced to its reading by links alone. Not
        lab.yaml, which has people's addresses, nor a report of another test, which has
        a page of its own.
        """
        for path, wanted in item.inputs.items():
            if "#" in path or group_of(path) == "laboratory":
                continue
            data = self.issued_files.contents.earlier(path, wanted)
            if data is not None:
                own = path == self.state.file
                name = "record.yaml" if own else f"inputs/{path.replace('/', '-')}"
                what = "record at that time" if own else f"{path} at that time"
                yield name, what, data

    def _method(self, item: Item) -> Spoken:
        """Return the standard of a revision, by its own record at that time."""
        own, now = ("test", name_of(self.state.file)), self.state.now
        for path, wanted in item.inputs.items():
            if (group_of(path), name_of(path)) != own or "#" in path:
                continue
            if now is not None and now.inputs.get(self.state.file) == wanted:
                return now.case.method
            data = self.issued_files.contents.earlier(path, wanted)
            if data is not None:
                then = Archive([path], {path: data}.__getitem__)
                return method_of(then.entry(path).record, "")
        return None

    def _page(
        self, item: Item, files: tuple[tuple[str, str], ...], kept: dict[str, str]
    ) -> File:
        file, release = self.state.file, self.site.options.release
        path = f"tests/{name_of(file)}/r{item.revision}/index.html"
        own = f"tests/{name_of(file)}/index.html"
        links = self.site.links(path)
        method = self._method(item)
        items = self.state.issued.items
        status, tone = revision_status(items, item)
        if item.report and not kept:
            status, tone = f"{LOST} {status}", "stop"
        end = ended_by(items, item)
        blocks = [
            ended_result_table(item, end, method)
            if end
            else result_table(item, method),
            issue_table(self.state, item, method, release=release),
            digest_table(item),
            input_table(item),
        ]
        head = Head(
            kicker=f"Revision {item.revision}",
            title=report_number(file, item),
            subtitle=f"{SORTS[item.kind]}, {item.issued_on}",
            status=status,
            tone=tone,
            pages=(("Current report", links.page(own)), *self._instead(links, end)),
            files=files,
        )
        below = TestFolder(self.site, file, self.crumbs)
        return below.render(f"r{item.revision}", head, blocks, **kept)

    def _instead(self, links: Links, end: Item | None) -> Iterator[tuple[str, str]]:
        """Return links to what replaced or withdrew a revision."""
        if end is None:
            return
        where = f"tests/{name_of(self.state.file)}"
        done = "replaces" if end.kind == "report" else "withdraws"
        yield (
            f"r{end.revision}, which {done} it",
            links.page(f"{where}/r{end.revision}/index.html"),
        )
        if end.kind == "report":
            yield "Compare revisions", links.page(f"{where}/compare/index.html")
