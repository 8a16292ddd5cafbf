"""
Attributes of a method that read one of its cells.

`layers = Count("layers")` in `Method` says that the attribute is a whole number and
rests on the cell of that name. `Maybe…` ones are `None` where the standard is silent;
the others raise `LookupError`, for no method of compaction is without them.
"""

from functools import cache
from typing import Protocol

from buildsite.standards.cells import Cell


class Cells(Protocol):
    """What has cells: a method."""

    def cell(self, name: str) -> Cell:
        """Return a cell, or raise LookupError."""

    def optional(self, name: str) -> Cell | None:
        """Return a cell, or nothing."""


@cache
def _si(cell: Cell) -> float:
    return cell.si


class _Named:
    def __init__(self, cell: str) -> None:
        self.cell = cell


class Figure(_Named):
    """A figure in SI."""

    def __get__(self, of: Cells, owner: type) -> float:
        return _si(of.cell(self.cell))


class MaybeFigure(_Named):
    """A figure in SI, where the standard has one."""

    def __get__(self, of: Cells, owner: type) -> float | None:
        found = of.optional(self.cell)
        return _si(found) if found else None


class MaybeTolerance(_Named):
    """The tolerance of a figure in SI, where the standard has one."""

    def __get__(self, of: Cells, owner: type) -> float | None:
        found = of.optional(self.cell)
        return found.si_tolerance if found else None


class Count(_Named):
    """A whole number."""

    def __get__(self, of: Cells, owner: type) -> int:
        return int(of.cell(self.cell).value)


class MaybeCount(_Named):
    """A whole number, where the standard has one."""

    def __get__(self, of: Cells, owner: type) -> int | None:
        found = of.optional(self.cell)
        return int(found.value) if found else None


class Word(_Named):
    """A word."""

    def __get__(self, of: Cells, owner: type) -> str:
        return of.cell(self.cell).value


class Choices(_Named):
    """The words of a cell that leaves a choice."""

    def __get__(self, of: Cells, owner: type) -> tuple[str, ...]:
        return of.cell(self.cell).choices


class Truth(_Named):
    """Yes or no; no where the standard is silent."""

    def __get__(self, of: Cells, owner: type) -> bool:
        found = of.optional(self.cell)
        return found is not None and found.value == "yes"
