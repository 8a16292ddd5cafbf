"""Issues and amendments of the whole archive, newest first, in words and as a feed."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field

from buildsite.archive.archive import Archive
from buildsite.archive.identity import name_of
from buildsite.archive.issues import UNPLACED, Place, Writings
from buildsite.exports.feed import Entry, Feed
from buildsite.kinds.sheet import Cell, Table
from buildsite.pages.revisions.revision_pages import report_number
from buildsite.pages.revisions.revision_status import (
    ending,
    item_title,
    replaced_report,
    results_sentence,
)
from buildsite.pages.rows import Row as Listed
from buildsite.pages.rows import result_title
from buildsite.pages.tables import columns, link_cell, list_table, table_row
from buildsite.record.commits import Past
from buildsite.record.issued import Item
from buildsite.values import dataclass


@dataclass(frozen=True)
class News:
    """
    One item of one test, with the items that it stands among.

    `place` tells when it came onto the published line; `words` are the standard's own
    for its results.
    """

    file: str
    item: Item
    items: tuple[Item, ...]
    place: Place = (UNPLACED, UNPLACED)
    words: Mapping[str, str] = field(default_factory=dict)

    @property
    def id(self) -> str:
        """The test's id."""
        return name_of(self.file)

    @property
    def newest_first(self) -> tuple[int, Place, str, int]:
        """Sort key: by day, then by commit, the latest first; by test and number."""
        day = -self.item.issued_on.toordinal()
        return (day, self.place, self.id, -self.item.revision)

    @property
    def what(self) -> str:
        """What was issued."""
        return item_title(self.items, self.item)

    @property
    def ending(self) -> str:
        """What became of it since."""
        return ending(self.items, self.item)

    @property
    def gone(self) -> bool:
        """Whether it is a withdrawal, or was withdrawn."""
        return self.item.kind == "withdrawal" or self.ending.startswith("withdrawn")

    def result_title(self, name: str) -> str:
        """Say a result in the standard's word."""
        return self.words.get(name) or result_title(name)


def collect_news(
    archive: Archive, rows: Iterable[Listed], past: Past | None
) -> list[News]:
    """
    Return every item of the tests that have a page, newest first.

    Parameters
    ----------
    archive
        The records as they stand, with their chains.
    rows
        The tests.
    past
        Tells the order of issues of one day; without it they go by test.
    """
    found: list[News] = []
    line = Writings(past, past.main if past is not None else ())
    every = Writings(past, past.commits if past is not None else (), merges=False)
    for row in rows:
        issued, _ = archive.chain(row.file) if row.page else (None, ())
        items = issued.items if issued is not None else ()
        places = zip(
            line.places(row.id, len(items)),
            every.places(row.id, len(items)),
            strict=True,
        )
        words = dict(row.words)
        found += [
            News(row.file, item, items, place, words)
            for item, place in zip(items, places, strict=True)
        ]
    return sorted(found, key=lambda one: one.newest_first)


def news_text(news: News) -> str:
    """What an item reports; of an amendment, each result that moved from what."""
    item, before = news.item, replaced_report(news.items, news.item)
    if item.kind == "withdrawal":
        return "The result is withdrawn."
    if item.assesses is not None:
        return f"r{item.assesses} stands."
    return results_sentence(before, item, lambda name, _: news.result_title(name))


def news_table(name: str, title: str, news: Sequence[News]) -> Table:
    """Items in a table, newest first."""
    rows = [
        table_row(
            Cell(f"{one.id} r{one.item.revision}", ("revision", address_of(one))),
            one.item.issued_on,
            "; ".join(filter(None, (one.what, one.ending))),
            link_cell("project", one.file.split("/")[1]),
            news_text(one),
            one.item.reason,
            one.item.authorized_by,
            mark="withdrawn" if one.gone else "",
        )
        for one in news
    ]
    heads = columns("Revision", "Issued", "What", "Project", "Results", "Why", "By")
    return list_table(name, title, heads, rows)


def summary(news: News) -> str:
    """What an item reports, then why: two sentences, or one with a dash."""
    told = news_text(news)
    return f"{told}{' ' if told.endswith('.') else ' — '}{news.item.reason}"


def address_of(news: News) -> str:
    """Id of a revision's page."""
    return f"{news.id}/r{news.item.revision}"


def feed(laboratory: str, base: str, news: Sequence[News]) -> Feed:
    """Lay the items out as a feed."""
    entries = [
        Entry(
            path=f"tests/{address_of(one)}/index.html",
            digest=one.item.content,
            title=f"{report_number(one.file, one.item)}: {one.what}",
            on=one.item.issued_on,
            summary=summary(one),
        )
        for one in news
    ]
    return Feed(f"{laboratory}: issues and amendments", laboratory, base, entries)
