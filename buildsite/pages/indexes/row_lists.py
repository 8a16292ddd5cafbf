"""The rows of all tests, and those of a project, a sample, a soil class, equipment."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import overload

from buildsite.pages.links import soil_folder
from buildsite.pages.rows import Row

Of = tuple[str, str]
"""By what some tests belong together (a project, a sample …), and which one it is."""

ALL: Of = ("", "")


def belongs_to(
    project: str, sample: str, soil_class: str, relies: Iterable[Sequence[str]]
) -> Iterator[Of]:
    """
    Yield all that a test is listed for.

    >>> [*belongs_to("north", "AQ-S01", "sm", [("M-04", "2026-01-02", "")])][2:]
    [('sample', 'AQ-S01'), ('soil', 'SM'), ('equipment', 'M-04')]
    """
    yield ALL
    yield "project", project
    yield "sample", sample
    if soil_class:
        yield "soil", folder_of(soil_class)
    for id in dict.fromkeys(one[0] for one in relies):
        yield "equipment", id


folder_of = lru_cache(soil_folder)
"""Folder of a soil class; many tests have one class."""


class RowLists(Sequence[Row]):
    """
    The rows of all tests, in order of their files.

    What a page shows of them is asked list by list: a build may keep what was asked.
    """

    def __init__(self, rows: Sequence[Row] = ()) -> None:
        self._lists: dict[Of, list[Row]] = {ALL: []}
        for row in rows:
            about = (row.project, row.sample, row.soil_class, row.relies)
            for of in belongs_to(*about):
                self._lists.setdefault(of, []).append(row)
        self._by_id = {row.id: row for row in rows if row.page}
        self._by_file = {row.file: row for row in rows}

    @overload
    def __getitem__(self, at: int) -> Row: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[Row]: ...
    def __getitem__(self, at: int | slice) -> Row | Sequence[Row]:
        """Return a row by its place."""
        return self.of(*ALL)[at]

    def __len__(self) -> int:
        """Count them."""
        return len(self.of(*ALL))

    def __iter__(self) -> Iterator[Row]:
        """Go through all of them."""
        return iter(self.of(*ALL))

    def of(self, by: str, id: str) -> Sequence[Row]:
        """Return the rows of a project, sample, soil class or piece of equipment."""
        return self._lists.get((by, id), [])

    def one(self, id: str) -> Row | None:
        """Return the row of a test that has a page."""
        return self._by_id.get(id)

    def among(self, rows: Sequence[Row]) -> Sequence[Row]:
        """Return some rows, of which each is asked by itself."""
        return rows

    def part(self, name: str, files: Sequence[str]) -> Sequence[Row]:
        """Return some of the rows as a list of its own; its name is of one list."""
        return [self._by_file[file] for file in files]


class ById(Mapping[str, Row]):
    """
    The tests that have a page, looked up by id.

    >>> "AQ-0001" in ById(RowLists())
    False
    """

    def __init__(self, rows: RowLists) -> None:
        self._rows = rows

    def __getitem__(self, id: str) -> Row:
        """Look one up."""
        row = self._rows.one(id)
        if row is None:
            raise KeyError(id)
        return row

    def __iter__(self) -> Iterator[str]:
        """Go through all of them, in order of their files."""
        return (row.id for row in self._rows if row.page)

    def __len__(self) -> int:
        """Count them."""
        return len([row for row in self._rows if row.page])
