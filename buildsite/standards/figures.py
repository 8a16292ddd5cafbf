"""
Attributes of a method that read one of its cells.

`layers = Count("layers")` in `Method`: the attribute is a whole number, read from the
cell of that name. `Maybe…` ones are None where there is no cell; the others raise
LookupError, as every method of compaction has them. Values are cached, as with
`functools.cached_property`: a build reads them thousands of times.
"""

from typing import Generic, TypeVar

from buildsite.standards.cells import Cell

T = TypeVar("T")


class Cells:
    """What has cells: a method."""

    def cell(self, name: str) -> Cell:
        """Return a cell, or raise LookupError."""
        raise NotImplementedError

    def optional(self, name: str) -> Cell | None:
        """Return a cell, or nothing."""
        raise NotImplementedError


class _Reads(Generic[T]):
    def __init__(self, cell: str) -> None:
        self.cell = cell
        self.attribute = ""

    def __set_name__(self, owner: type, name: str) -> None:
        self.attribute = name

    def __get__(self, of: Cells, owner: type) -> T:
        value = self.of(of)
        of.__dict__[self.attribute] = value
        return value

    def of(self, method: Cells) -> T:
        """Work the value out."""
        raise NotImplementedError


class Figure(_Reads[float]):
    """A figure in SI."""

    def of(self, method: Cells) -> float:
        return method.cell(self.cell).si


class MaybeFigure(_Reads[float | None]):
    """A figure in SI, where the standard has one."""

    def of(self, method: Cells) -> float | None:
        found = method.optional(self.cell)
        return found.si if found else None


class MaybeTolerance(_Reads[float | None]):
    """The tolerance of a figure in SI, where the standard has one."""

    def of(self, method: Cells) -> float | None:
        found = method.optional(self.cell)
        return found.si_tolerance if found else None


class Count(_Reads[int]):
    """A whole number."""

    def of(self, method: Cells) -> int:
        return int(method.cell(self.cell).value)


class MaybeCount(_Reads[int | None]):
    """A whole number, where the standard has one."""

    def of(self, method: Cells) -> int | None:
        found = method.optional(self.cell)
        return int(found.value) if found else None


class Word(_Reads[str]):
    """A word."""

    def of(self, method: Cells) -> str:
        return method.cell(self.cell).value


class Choices(_Reads[tuple[str, ...]]):
    """The words of a cell that leaves a choice."""

    def of(self, method: Cells) -> tuple[str, ...]:
        return method.cell(self.cell).choices


class Truth(_Reads[bool]):
    """Yes or no; no where the standard is silent."""

    def of(self, method: Cells) -> bool:
        found = method.optional(self.cell)
        return found is not None and found.value == "yes"
