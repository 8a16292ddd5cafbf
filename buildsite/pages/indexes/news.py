"""Issues and amendments of the whole archive, newest first: table and feed."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import field
from functools import cached_property
from typing import overload

from buildsite.archive.archive import Archive
from buildsite.archive.identity import name_of
from buildsite.archive.issues import UNPLACED, Place, Writings
from buildsite.exports.feed import Entry, Feed
from buildsite.kinds.sheet import Cell, Table
from buildsite.pages.links import address, project_feed_path
from buildsite.pages.revisions.revision_pages import report_number
from buildsite.pages.revisions.revision_status import (
    ending,
    item_title,
    replaced_report,
    results_sentence,
)
from buildsite.pages.rows import Row as Listed
from buildsite.pages.rows import result_title
from buildsite.pages.tables import (
    BRIEF,
    columns,
    link_cell,
    list_table,
    table_row,
)
from buildsite.record.commits import Commit, Past
from buildsite.record.issued import Item
from buildsite.values import dataclass


@dataclass(frozen=True)
class News:
    """
    One issued item of one test, with all items of that test.

    `place` gives its commit on the published branch; `words` the standard's own terms
    for its results.
    """

    file: str
    item: Item
    items: tuple[Item, ...]
    place: Place = (UNPLACED, UNPLACED)
    words: Mapping[str, str] = field(default_factory=dict)
    at: str = ""  # time of the commit that wrote it, if committed

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
        """What replaced or withdrew it."""
        return ending(self.items, self.item)

    @property
    def gone(self) -> bool:
        """Whether it is a withdrawal, or was withdrawn."""
        return self.item.kind == "withdrawal" or self.ending.startswith("withdrawn")

    def result_title(self, name: str) -> str:
        """Return the standard's term for a result."""
        return self.words.get(name) or result_title(name)


class NewsLists(Sequence[News]):
    """Issues and amendments, newest first; those of a test, of a project."""

    def __init__(self, news: Sequence[News] = ()) -> None:
        self._news = news

    @overload
    def __getitem__(self, at: int) -> News: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[News]: ...
    def __getitem__(self, at: int | slice) -> News | Sequence[News]:
        """Return one by its place."""
        return self._news[at]

    def __len__(self) -> int:
        """Count them."""
        return len(self._news)

    def of_test(self, id: str) -> Sequence[News]:
        """Return those of a test."""
        return self._by_test.get(id, ())

    def of_tests(self, ids: Collection[str]) -> Sequence[News]:
        """Return those of some tests."""
        found = (one for id in ids for one in self._by_test.get(id, ()))
        return sorted(found, key=lambda one: one.newest_first)

    def of_project(self, project: str) -> Sequence[News]:
        """Return those of a project."""
        return [one for one in self._news if one.file.split("/")[1] == project]

    @cached_property
    def _by_test(self) -> dict[str, list[News]]:
        found: dict[str, list[News]] = {}
        for one in self._news:
            found.setdefault(one.id, []).append(one)
        return found


def collect_news(
    archive: Archive, rows: Iterable[Listed], past: Past | None
) -> list[News]:
    """
    Return every issued item of the tests that have a page, newest first.

    `past` gives the order of issues of one day; without it they are sorted by test.
    """
    found: list[News] = []
    line = Writings(past, past.main if past is not None else ())
    commits = past.commits if past is not None else ()
    every = Writings(past, commits, merges=False)
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
            News(row.file, item, items, place, words, time_of(commits, place[1]))
            for item, place in zip(items, places, strict=True)
        ]
    return sorted(found, key=lambda one: one.newest_first)


def time_of(commits: Sequence[Commit], place: int) -> str:
    """Return the time of a commit by its place; blank for one that is not committed."""
    return commits[place].when if place != UNPLACED else ""


def news_text(news: News) -> str:
    """Return what an item reports; for an amendment, each change of a result."""
    item, before = news.item, replaced_report(news.items, news.item)
    if item.kind == "withdrawal":
        return "Result withdrawn."
    if item.assesses is not None:
        return f"r{item.assesses} remains valid."
    return results_sentence(before, item, lambda name, _: news.result_title(name))


def news_table(name: str, title: str, news: Sequence[News]) -> Table:
    """Return items in a table, newest first."""
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
    heads = columns(
        "Revision", "Issued", "Type", "Project", "Results", "Reason", "Authorized by"
    )
    return list_table(name, title, heads, rows, BRIEF)


def summary(news: News) -> str:
    """Return what an item reports, then the reason."""
    text = news_text(news)
    return f"{text}{' ' if text.endswith('.') else ' — '}{news.item.reason}"


def address_of(news: News) -> str:
    """Return the id of a revision's page."""
    return f"{news.id}/r{news.item.revision}"


def feed(laboratory: str, base: str, news: Sequence[News]) -> Feed:
    """Return the items as a feed."""
    title = f"{laboratory}: issues and amendments"
    return Feed(title, laboratory, base, entries_of(news))


def project_feed(
    laboratory: str, base: str, project: str, news: Sequence[News]
) -> Feed:
    """Return a project's items as a feed, beside its page."""
    path, page = project_feed_path(project), address(("project", project))
    title, about = f"{laboratory}: {project}", f"issues/{project}"
    return Feed(title, laboratory, base, entries_of(news), path, page, about)


def entries_of(news: Sequence[News]) -> list[Entry]:
    """Return items as entries of a feed."""
    return [
        Entry(
            path=f"tests/{address_of(one)}/index.html",
            digest=one.item.content,
            title=f"{report_number(one.file, one.item)}: {one.what}",
            on=one.item.issued_on,
            summary=summary(one),
            at=one.at,
        )
        for one in news
    ]
