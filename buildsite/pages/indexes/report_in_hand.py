"""
The page for somebody who holds a report: is it ours, unchanged, and still valid?

A script answers from the digest of a file, or from the code on a print. Its data are
scripts of our own, because a page on disk may not fetch. Without scripts the same
digests stand in a table, to be compared by eye. Both are split by the first digits when
there are many.
"""

from collections.abc import Iterator, Sequence

from buildsite.exports.digests_script import Known, scripts
from buildsite.kinds.reporting import readable_text
from buildsite.kinds.sheet import Cell, Note, Table
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.news import News, address_of
from buildsite.pages.indexes.overview import IN_HAND
from buildsite.pages.links import address
from buildsite.pages.page import File, Head
from buildsite.pages.revisions.revision_pages import report_number
from buildsite.pages.revisions.revision_status import (
    KEPT,
    SORTS,
    ended_by,
    revision_status,
)
from buildsite.pages.tables import columns, list_table, table_row
from buildsite.record.issued import Item, report_code

FOLDER = "report-in-hand"
MOST_ROWS = 300
"""Most reports in one table; with more, they are split by the first digits."""

HEX = "0123456789abcdef"
OF_CLIENTS, OF_ALL = "published on this site", "in this archive"


def sent(context: IndexContext) -> list[News]:
    """Return every report and notice that was sent, by its code."""
    reports = (one for one in context.news if one.item.is_report)
    return sorted(reports, key=lambda one: (one.item.content, one.id))


def kept_files(item: Item) -> Iterator[tuple[str, str]]:
    """Yield the kind and the SHA-256 of each file that was sent of an item."""
    for kind, digest in (("HTML", item.report), ("PDF", item.pdf)):
        if digest:
            yield kind, digest.removeprefix("sha256:")


def instructions(context: IndexContext) -> Note:
    """Return how to compare a report by eye; the script adds the form."""
    where = OF_CLIENTS if context.site.options.release else OF_ALL
    return Note(
        "hand",
        "Check a report",
        (
            f"Every report {where} is listed by its report code: the first 12 digits "
            "of the content digest, printed on the report.",
            "A file is unchanged if its SHA-256 is in the list. To compute it: "
            "sha256sum FILE on Linux, shasum -a 256 FILE on macOS, certutil -hashfile "
            "FILE SHA256 on Windows.",
            "A code proves only which report a print claims to be: compare its "
            "numbers with the report as issued.",
        ),
        role="hand",
    )


def state_in_words(news: News) -> tuple[str, str, str]:
    """Return whether a report holds, the tone, and why it was replaced."""
    words, tone = revision_status(news.items, news.item)
    end = ended_by(news.items, news.item)
    why = f"Reason: {end.reason}" if end is not None else ""
    return words.removeprefix(KEPT).strip(), tone, why


IN_LISTS = {
    "report": "Latest report",
    "preliminary": "Preliminary",
    "withdrawal": "Notice of withdrawal",
}
"""Status in a list of what was neither replaced nor withdrawn."""


def status_in_list(news: News) -> str:
    """Return what became of a report, in a few words."""
    return news.ending.capitalize() or IN_LISTS[news.item.kind]


def known(context: IndexContext) -> Iterator[Known]:
    """Yield what the script says of each report."""
    last: dict[str, str] = {}
    for news in sorted(context.news, key=lambda one: one.item.revision):
        if news.item.is_report:
            last[news.id] = report_number(news.file, news.item)
    for news in sent(context):
        item, number = news.item, report_number(news.file, news.item)
        words, tone, why = state_in_words(news)
        yield Known(
            number=number,
            test=news.id,
            last=last[news.id] == number,
            content=item.content.removeprefix("sha256:"),
            files=tuple(kept_files(item)),
            shown={
                "sort": SORTS[item.kind],
                "issued": str(item.issued_on),
                "state": words,
                "tone": tone,
                "why": why,
                "results": [
                    [news.result_title(name), readable_text(text)]
                    for name, text in item.results.items()
                ],
                "revision": address(("revision", address_of(news))),
                "test": address(("test", news.id)),
            },
        )


def digest_table(reports: Sequence[News], title: str) -> Table:
    """Return the files of some reports, by report code."""
    rows = [
        table_row(
            report_code(one.item.content),
            Cell(report_number(one.file, one.item), ("revision", address_of(one))),
            one.item.issued_on,
            status_in_list(one),
            kind,
            Cell(digest, command=True),
            mark="withdrawn" if one.gone else "",
        )
        for one in reports
        for kind, digest in kept_files(one.item)
    ]
    heads = columns("Report code", "Report", "Issued on", "Status", "File", "SHA-256")
    return list_table("reports", title, heads, rows)


def digits_needed(count: int) -> int:
    """
    Return by how many first digits that many reports are split.

    >>> digits_needed(20), digits_needed(4000), digits_needed(15000)
    (0, 1, 2)
    """
    return next(n for n in range(9) if count <= MOST_ROWS * 16**n)


def parts(reports: Sequence[News], digits: int) -> dict[str, list[News]]:
    """Return reports by the first digits of their codes."""
    found: dict[str, list[News]] = {}
    for one in reports:
        start = one.item.content.removeprefix("sha256:")[:digits]
        found.setdefault(start, []).append(one)
    return found


def report_in_hand(context: IndexContext) -> Iterator[File]:
    """Yield the page, the tables that it is split into, and the data of its script."""
    reports = sent(context)
    digits = digits_needed(len(reports))
    tables = parts(reports, digits)
    head = Head(
        "Reports",
        IN_HAND[0],
        "Is the report that you hold as issued, and is it still valid?",
        pages=tuple((f"Codes {start}…", f"{start}/index.html") for start in tables)
        if digits
        else (),
    )
    whole = [] if digits else [digest_table(reports, "Reports by code")]
    yield context.page(IN_HAND[1], head, [instructions(context), *whole])
    for start, some in tables.items() if digits else ():
        title = f"Report codes {start}…"
        yield context.page(
            f"{FOLDER}/{start}/index.html",
            Head("Reports", title, "SHA-256 of each file as issued"),
            [digest_table(some, title)],
            (IN_HAND,),
        )
    for name, data in scripts(list(known(context))):
        yield f"{FOLDER}/{name}", data
