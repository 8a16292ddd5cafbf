"""Issues and amendments as index pages ask for them, in the order of the last build."""

from collections.abc import Collection, Iterator, Sequence
from typing import overload

from buildsite.archive.archive import Archive
from buildsite.archive.identity import name_of
from buildsite.asked import ask
from buildsite.building.answers import listed
from buildsite.pages.indexes.news import News, NewsLists, collect_news
from buildsite.pages.rows import Row
from buildsite.record.commits import Past
from buildsite.record.issued import issued_name
from buildsite.values import dataclass


@dataclass(frozen=True)
class Line:
    """An issued item: the place in the chain of its test, and when it was committed."""

    file: str
    index: int
    at: str


@dataclass(frozen=True)
class Noted:
    """All issued items, newest first; by test, the words for its results."""

    lines: tuple[Line, ...]
    words: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]


def noted_news(archive: Archive, rows: Sequence[Row], past: Past | None) -> Noted:
    """Return the issued items of the tests that have a page."""
    ask("issues")
    issued = set(archive.issued)
    tests = [row for row in rows if issued_name(row.file) in issued]
    found = collect_news(archive, tests, past)
    lines = (Line(one.file, place_of(one), one.at) for one in found)
    words = {one.file: tuple(one.words.items()) for one in found}
    return Noted(tuple(lines), tuple(sorted(words.items())))


def place_of(news: News) -> int:
    """Return the place of an item among those of its test."""
    return next(i for i, one in enumerate(news.items) if one is news.item)


class NewsTable(NewsLists):
    """Issues and amendments, each read from its issued file when a page shows it."""

    def __init__(self, noted: Noted, archive: Archive) -> None:
        self._lines = noted.lines
        self._words = dict(noted.words)
        self._archive = archive
        self._places: dict[tuple[str, str], list[int]] = {
            ("", ""): list(range(len(noted.lines)))
        }
        for place, line in enumerate(noted.lines):
            for of in (("test", name_of(line.file)), ("project", folder(line.file))):
                self._places.setdefault(of, []).append(place)

    @overload
    def __getitem__(self, at: int) -> News: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[News]: ...
    def __getitem__(self, at: int | slice) -> News | Sequence[News]:
        """Return one by its place."""
        ask("news", "", "")
        if isinstance(at, slice):
            return [self._made(place) for place in range(len(self._lines))[at]]
        return self._made(range(len(self._lines))[at])

    def __len__(self) -> int:
        """Count them."""
        ask("news", "", "")
        return len(self._lines)

    def of_test(self, id: str) -> Sequence[News]:
        """Return those of a test."""
        return self._of("test", id)

    def of_project(self, project: str) -> Sequence[News]:
        """Return those of a project."""
        return self._of("project", project)

    def _of(self, by: str, id: str) -> Sequence[News]:
        ask("news", by, id)
        return [self._made(place) for place in self._places.get((by, id), ())]

    def of_tests(self, ids: Collection[str]) -> Sequence[News]:
        """Return those of some tests."""
        ask("news-among", *sorted(ids))
        return [self._made(place) for place in self._among(ids)]

    def _among(self, ids: Collection[str]) -> list[int]:
        found = (self._places.get(("test", id), ()) for id in ids)
        return sorted(place for some in found for place in some)

    def _made(self, place: int) -> News:
        line = self._lines[place]
        issued, _ = self._archive.chain(line.file)
        if issued is None:
            raise ValueError(f"{line.file}: its issued file has changed since")
        words, items = dict(self._words[line.file]), issued.items
        order = (place, place)
        return News(line.file, items[line.index], items, order, words, line.at)

    def answer(self, by: str, id: str) -> str:
        """Return the digest of a list, without the items themselves."""
        return listed(self._told(self._places.get((by, id), ())))

    def answer_among(self, *ids: str) -> str:
        """Return the digest of those of some tests."""
        return listed(self._told(self._among(ids)))

    def _told(self, places: Sequence[int]) -> Iterator[str]:
        for line in (self._lines[place] for place in places):
            yield f"{line.file} {line.index} {line.at} {self._words[line.file]}"


def folder(file: str) -> str:
    """Return the project of a test, by its folder."""
    return file.split("/")[1]
