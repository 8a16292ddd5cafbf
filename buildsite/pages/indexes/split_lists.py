"""
A long list cut by year: its page shows the latest, and pages of their own the rest.

Where a list is cut is decided by its rows alone, so that one archive gives one site. A
part that has a page keeps its address, whatever is added to the list later.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import field, replace
from datetime import date
from functools import partial
from itertools import groupby
from typing import Generic, TypeVar

from buildsite.kinds.sheet import Cell, Table
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.page import File, Head, Pairs
from buildsite.pages.rows import Row as Test
from buildsite.pages.tables import kinds_of_tests, table_of_kind
from buildsite.values import dataclass

T = TypeVar("T")

MOST = 300
"""Rows of a list that stays whole, and of a part."""

LEAST = 100
"""Rows that the page of a long list has at least, where there are as many."""

LATEST = 10
"""Field tests, and papers of a kind, on the page of their project."""

UNDATED = "undated"


@dataclass(frozen=True)
class Part(Generic[T]):
    """A part of a list, in the list's order."""

    label: str
    folder: str
    rows: Sequence[T]


def parts_of(
    rows: Sequence[T], day: Callable[[T], date | None], most: int = MOST
) -> list[Part[T]]:
    """
    Return a list in parts, the latest year first; one part if it is short.

    A year of many rows is cut again, its parts counted from the oldest row, so that a
    part that is full stays as it is.

    >>> days = [date(2025, 1, 1)] * 350 + [date(2024, 1, 1)] * 7
    >>> [(one.label, len(one.rows)) for one in parts_of(days, lambda day: day)]
    [('2025, part 2', 50), ('2025, part 1', 300), ('2024', 7)]
    """
    if len(rows) <= most:
        return [Part("", "", tuple(rows))]
    days = [day(row) for row in rows]

    def year(i: int) -> int:
        on = days[i]
        return on.year if on is not None else 0

    latest_first = sorted(range(len(rows)), key=lambda i: -ordinal(days[i]))
    found: list[Part[T]] = []
    for number, group in groupby(latest_first, year):
        name, held = str(number) if number else UNDATED, list(group)
        count = -(-len(held) // most)
        for i in range(count, 0, -1):
            end = len(held) - (i - 1) * most
            piece = sorted(held[max(0, end - most) : end])
            label, folder = (f"{name}, part {i}", f"{name}-{i}")
            if count == 1:
                label = folder = name
            found.append(Part(label, folder, tuple(rows[i] for i in piece)))
    return found


def ordinal(on: date | None) -> int:
    """Return a day as a number; 0 for none."""
    return on.toordinal() if on is not None else 0


def front_of(parts: Sequence[Part[T]]) -> tuple[list[Part[T]], list[Part[T]]]:
    """Return the parts that the list's page shows, and the others."""
    shown, count = 0, 0
    while shown < len(parts) and count < LEAST:
        count += len(parts[shown].rows)
        shown += 1
    return list(parts[:shown]), list(parts[shown:])


Divided = tuple[tuple[str, str, tuple[str, ...]], ...]
"""The parts of a list of tests: label, folder, files."""


def day_of(test: Test) -> date | None:
    """Return the day of a test."""
    return test.day


def single(make: Callable[[], File]) -> Iterator[File]:
    """Make one file."""
    yield make()


def divided(
    context: IndexContext,
    name: str,
    tests: Callable[[], Sequence[Test]],
    most: int = MOST,
) -> list[Part[Test]]:
    """
    Return a list of tests in parts, of which each is a list to ask by itself.

    How the list is divided is a value: its pages ask for it, as they name all parts.
    """

    def make() -> Divided:
        return tuple(
            (part.label, part.folder, tuple(test.file for test in part.rows))
            for part in parts_of(tests(), day_of, most)
        )

    lists = context.lists
    return [
        Part(label, folder, lists.part(f"{name} {folder}", files))
        for label, folder, files in context.kept(f"parts of {name}", Divided, make)
    ]


@dataclass
class SplitLists:
    """
    The long lists of one page, and the pages of their parts.

    `folder` is the page's own, in which the parts go unless `into` names another;
    `crumbs` lead to the page.
    """

    context: IndexContext
    folder: str
    head: Head
    crumbs: Pairs = ()
    into: str = ""
    later: list[tuple[str, Callable[[], File]]] = field(default_factory=list)

    @property
    def files(self) -> Iterator[File]:
        """Make the pages of the parts."""
        return (make() for _, make in self.later)

    def table(
        self,
        rows: Sequence[T],
        day: Callable[[T], date | None],
        make: Callable[[Sequence[T]], Table],
        name: str = "",
    ) -> Table:
        """
        Return a list for its page; of a long one, the latest, with links to the rest.

        `make` lays some rows out, `name` is the folder of this list's parts.
        """
        return self.lay(parts_of(rows, day), make, name)()

    def lay(
        self,
        parts: Sequence[Part[T]],
        make: Callable[[Sequence[T]], Table],
        name: str = "",
    ) -> Callable[[], Table]:
        """Return how a list in parts is made for its page, as `table` returns it."""
        front, rest = front_of(parts)
        latest = [row for part in front for row in part.rows]
        if not rest:
            return partial(make, latest)
        below = "/".join(filter(None, (self.into or self.folder, name)))
        links = partial(self._links, below, front, rest)
        for part in rest:
            number = f"{len(part.rows)} of {sum(len(one.rows) for one in parts)}"
            page = partial(self._page, below, part, number, make, links)
            self.later.append((f"{below}/{part.folder}/index.html", page))
        return lambda: replace(make(latest), parts=links(""))

    def _links(
        self, below: str, front: Sequence[Part[T]], rest: Sequence[Part[T]], here: str
    ) -> tuple[Cell, ...]:
        """Return the parts of a list, with links to all but the one that is `here`."""
        latest = "; ".join(part.label for part in front)
        first = Cell(latest, ("page", self.folder) if here else None)
        others = (
            Cell(
                f"{part.label} ({len(part.rows)})",
                ("page", f"{below}/{part.folder}") if part.label != here else None,
            )
            for part in rest
        )
        return (first, *others)

    def _page(
        self,
        below: str,
        part: Part[T],
        number: str,
        make: Callable[[Sequence[T]], Table],
        links: Callable[[str], tuple[Cell, ...]],
    ) -> File:
        """Return the page of a part; `number` is how many of the list it shows."""
        folder = f"{below}/{part.folder}"
        table = replace(make(part.rows), parts=links(part.label))
        head = Head(self.head.title, f"{table.title}, {part.label}", number)
        way = [*self.crumbs, (self.head.title, f"{self.folder}/index.html")]
        return self.context.page(f"{folder}/index.html", head, [table], way)

    def tests(
        self, tests: Sequence[Test], leave_out: Sequence[str] = (), fill: str = ""
    ) -> Iterator[Table]:
        """
        Return the tests of each kind, the latest first.

        `fill` is the project on whose page of field control all its field tests and
        papers stand: then only the latest are listed here.
        """
        for found in kinds_of_tests(tests):
            if fill and found[0].told is not None and len(found) > LATEST:
                table = table_of_kind(found[:LATEST], leave_out)
                text = f"All {len(found)} on the page of field control"
                title = f"{table.title}, the latest {LATEST}"
                every = (Cell(text, ("field", fill)),)
                yield replace(table, title=title, parts=every)
                continue
            kind = found[0].kind or "unreadable"
            yield self.table(
                found,
                lambda test: test.day,
                lambda some: table_of_kind(some, leave_out),
                kind,
            )
