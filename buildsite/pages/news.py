"""Issues and amendments of the whole archive, newest first, in words and as a feed."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from buildsite.exports.feed import Entry, Feed
from buildsite.kinds.reporting import readable
from buildsite.kinds.sheet import Cell, Row, Table
from buildsite.pages.archive import Archive
from buildsite.pages.compare import change_key
from buildsite.pages.identity import name_of
from buildsite.pages.links import Released
from buildsite.pages.lists import columns, link, listed, named
from buildsite.pages.revisions import numbered, replaced, sort_of
from buildsite.pages.rows import has_page
from buildsite.record.issued import Item


@dataclass(frozen=True)
class News:
    """One item of one test, with the items that it stands among."""

    file: str
    item: Item
    items: tuple[Item, ...]

    @property
    def id(self) -> str:
        """The test's id."""
        return name_of(self.file)

    @property
    def newest_first(self) -> tuple[int, str, int]:
        """Sort key: by day, the latest first; then by test and number."""
        return (-self.item.issued_on.toordinal(), self.id, -self.item.revision)

    @property
    def what(self) -> str:
        """What was issued."""
        return sort_of(self.items, self.item)


def gathered(archive: Archive, files: Iterable[str]) -> list[News]:
    """Every item of these tests, newest first."""
    found: list[News] = []
    for file in files:
        issued, _ = archive.chain(file)
        items = issued.items if issued is not None else ()
        found += [News(file, item, items) for item in items]
    return sorted(found, key=lambda one: one.newest_first)


def in_words(news: News) -> str:
    """What an item reports; of an amendment, each result that moved from what."""
    item, before = news.item, replaced(news.items, news.item)
    if item.kind == "withdrawal":
        return "The result is withdrawn."
    if item.assesses is not None:
        return f"r{item.assesses} stands."
    old = before.results if before is not None else {}
    parts = []
    for name, text in item.results.items():
        now = readable(text)
        if name in old and old[name] != text:
            now = f"{readable(old[name])} → {now}"
        if before is None or old.get(name) != text:
            parts.append(f"{named(name)} {now}")
    gone = [f"{named(name)} no longer reported" for name in old.keys() - item.results]
    nothing = "No reported result moved." if before is not None else "No result."
    return "; ".join((*parts, *sorted(gone))) or nothing


def news_table(name: str, title: str, news: Sequence[News]) -> Table:
    """Items in a table, newest first."""
    rows = [
        Row(
            (
                Cell(f"{one.id} r{one.item.revision}", ("revision", address_of(one))),
                Cell(str(one.item.issued_on)),
                Cell(one.what),
                link("project", one.file.split("/")[1]),
                Cell(in_words(one)),
                Cell(one.item.reason),
                Cell(one.item.authorized_by),
            ),
            mark="withdrawn" if one.item.kind == "withdrawal" else "",
        )
        for one in news
    ]
    heads = columns("Revision", "Issued", "What", "Project", "Results", "Why", "By")
    return listed(name, title, heads, rows)


def address_of(news: News) -> str:
    """Id of a revision's page."""
    return f"{news.id}/r{news.item.revision}"


def feed(laboratory: str, base: str, news: Sequence[News]) -> Feed:
    """Lay the items out as a feed."""
    entries = [
        Entry(
            path=f"tests/{address_of(one)}/index.html",
            digest=one.item.content,
            title=f"{numbered(one.file, one.item)}: {one.what}",
            on=one.item.issued_on,
            summary=f"{in_words(one)} {one.item.reason}",
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
        if has_page(archive.entry(file)):
            tests.add(name_of(file))
            theirs.add(project)
    return Released(frozenset(tests), frozenset(theirs))


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
