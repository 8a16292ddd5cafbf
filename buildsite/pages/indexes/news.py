"""Issues and amendments of the whole archive, newest first, in words and as a feed."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from functools import cached_property
from itertools import pairwise
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.identity import group_of, name_of
from buildsite.exports.feed import Entry, Feed
from buildsite.kinds.sheet import Cell, Row, Table
from buildsite.pages.links import Released
from buildsite.pages.revisions.compare_page import change_key
from buildsite.pages.revisions.revision_pages import report_number
from buildsite.pages.revisions.revision_status import (
    ending,
    item_title,
    replaced_report,
    results_sentence,
)
from buildsite.pages.rows import Row as Listed
from buildsite.pages.rows import has_page, result_title
from buildsite.pages.tables import columns, link_cell, list_table
from buildsite.record.edits import Commit, Past
from buildsite.record.issued import SUFFIX, Issued, Item
from buildsite.values import dataclass

Place = tuple[int, int]
"""
Where an item came: places, counted back from the newest, of the commit of the published
line that brought it and of the commit that wrote it, which one merge may have brought
with others.
"""

UNPLACED = -1
"""Place of an item that no commit brought: before all that are placed."""

ITEM = re.compile(rb"^- ", re.MULTILINE)
"""Beginning of an item of an issued file: it stands in column 0, and nothing else."""


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
    Give every item of the tests that have a page, newest first.

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


@dataclass(frozen=True)
class Writings:
    """
    Commits, newest first, and which of them wrote the issued file of a test.

    `merges` tells whether a merge that took a file from a branch wrote it.
    """

    past: Past | None
    commits: Sequence[Commit]
    merges: bool = True

    @cached_property
    def _touched(self) -> dict[str, list[tuple[int, str]]]:
        """Test → place and path of each writing of its chain, oldest first."""
        found: dict[str, list[tuple[int, str]]] = {}
        for back, commit in enumerate(reversed(self.commits), start=1):
            place = len(self.commits) - back
            for touch in commit.touches:
                wrote = touch.new and (self.merges or touch.inside)
                if wrote and touch.path.endswith(SUFFIX):
                    id = touch.path.rpartition("/")[2].removesuffix(SUFFIX)
                    found.setdefault(id, []).append((place, touch.path))
        return found

    def places(self, id: str, items: int) -> Sequence[int]:
        """
        Give the place of the commit that first held each item of a chain.

        Parameters
        ----------
        id
            The test.
        items
            How many items its chain has.
        """
        touched = self._touched.get(id, ()) if items else ()
        if len(touched) == items:
            return [place for place, _ in touched]  # one each: nothing need be read
        places: list[int] = []
        for place, path in touched:
            commit = self.commits[place].id
            data = self.past.read(commit, path) if self.past is not None else None
            places += [place] * (len(ITEM.findall(data or b"")) - len(places))
        return [*places, *([UNPLACED] * items)][:items]


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
        Row(
            (
                Cell(f"{one.id} r{one.item.revision}", ("revision", address_of(one))),
                Cell(str(one.item.issued_on)),
                Cell("; ".join(filter(None, (one.what, one.ending)))),
                link_cell("project", one.file.split("/")[1]),
                Cell(news_text(one)),
                Cell(one.item.reason),
                Cell(one.item.authorized_by),
            ),
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


def released(archive: Archive) -> Released:
    """Tests that were issued, of projects that may be published; and those projects."""
    projects = set()
    for file in archive.files("project"):
        made = archive.outcome(file)
        if made is not None and made.case.record.publish:
            projects.add(name_of(file))
    tests, theirs = set(), set()
    for file in archive.files("test"):
        issued, _ = archive.chain(file)
        project = file.split("/")[1]
        if project not in projects or issued is None or issued.last_report is None:
            continue
        owners = projects_of(archive.entry(file).record, issued)
        if has_page(archive.entry(file)) and owners <= projects:
            tests.add(name_of(file))
            theirs.add(project)
    return Released(frozenset(tests), frozenset(theirs))


def projects_of(record: Any, issued: Issued) -> set[str]:
    """
    Projects that a test was ever of: its reports name the customer of each.

    A test that was moved to another folder takes them along.
    """
    owners = {
        path.split("/")[1]
        for item in issued.items
        for path in item.inputs
        if "#" not in path and (group_of(path), name_of(path)) == ("test", issued.test)
    }
    named = getattr(record, "project", None)
    return owners | ({named} if named else set())


def together(archive: Archive) -> dict[str, tuple[tuple[str, int], ...]]:
    """Tests, with revision, that one change of an input amended together."""
    found: dict[str, list[tuple[str, int]]] = {}
    for file in archive.files("test"):
        issued, _ = archive.chain(file)
        sent = [one for one in (issued.items if issued else ()) if one.result]
        for before, after in pairwise(sent):
            for path in sorted({*before.inputs, *after.inputs} - {file}):
                if before.inputs.get(path) != after.inputs.get(path):
                    key = change_key(before, after, path)
                    found.setdefault(key, []).append((name_of(file), after.revision))
    return {key: tuple(tests) for key, tests in found.items() if len(tests) > 1}
