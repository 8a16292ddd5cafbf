"""
The columns of a bench sheet, each stated once: its name, words, unit and balance.

The checks of missing readings and units, of steps and of balances (`rules/columns.py`)
follow from a kind's columns, as do the bench sheet and the readings to compare.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

from buildsite.kinds.tests.shared.record import RecordOfWork
from buildsite.record.flags import Field, Severity
from buildsite.values import dataclass


@dataclass(frozen=True)
class Column:
    """
    One reading that each line of a bench sheet has.

    `name` is its field, `words` its label, `unit` its unit's field under `units`,
    `tool` its balance's field under `equipment`. `resolution` begins the names of the
    method's cells for its step: resolution_moisture for resolution_moisture_g.
    """

    name: str
    words: str
    unit: str = ""
    tool: str = ""
    resolution: str = ""


@dataclass(frozen=True)
class Line:
    """
    A line of a bench sheet, with its place in the record.

    `part` is the part of the record with its readings, `words` its name: point 3.
    Faults of a `rejected` line are for the laboratory only.
    """

    field: Field
    part: Any
    words: str
    rejected: bool = False

    @property
    def severity(self) -> Severity | None:
        """Severity of its faults, where it differs from the rule's."""
        return Severity.NOTE if self.rejected else None


LinesOf = Callable[[Any], Iterable[Line]]
"""Every line of a record, in the order of the bench."""


@dataclass(frozen=True)
class Columns:
    """Columns of one list of a record, and the function that gives its lines."""

    lines: LinesOf
    columns: tuple[Column, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Fields of the columns, in order."""
        return tuple(column.name for column in self.columns)


def lines_at(name: str, word: str) -> LinesOf:
    """Return the function that gives every line of a list of a record."""

    def lines(record: Any) -> Iterator[Line]:
        for i, part in enumerate(getattr(record, name)):
            rejected = getattr(part, "rejected", None) is not None
            yield Line((name, i), part, f"{word} {i + 1}", rejected)

    return lines


def whole_record(record: Any) -> tuple[Line, ...]:
    """Return the record as one line, for readings made once in a test."""
    return (Line((), record, "the test"),)


def read_in(part: Any, name: str) -> tuple[Decimal, ...]:
    """Return the readings in a field: none, one, or successive ones."""
    value = getattr(part, name)
    if value is None:
        return ()
    return value if isinstance(value, tuple) else (value,)


def missing_in(part: Any, names: Iterable[str]) -> list[str]:
    """Return the fields that hold no reading."""
    return [name for name in names if not read_in(part, name)]


def missing_words(part: Any, columns: Iterable[Column]) -> str:
    """Return the words of the columns that hold no reading."""
    missing = [one.words for one in columns if not read_in(part, one.name)]
    return "; ".join(f"{words[:1].lower()}{words[1:]}" for words in missing)


def readings(
    lines: Iterable[Line], names: Sequence[str]
) -> Iterator[tuple[Field, Decimal]]:
    """Return every reading of some columns, each with its field."""
    for line in lines:
        for name in names:
            for reading in read_in(line.part, name):
                yield (*line.field, name), reading


Gathered = Mapping[str, Sequence[tuple[Field, Decimal]]]
"""Every reading of each column, with its field."""


def gathered(record: RecordOfWork, columns: Columns) -> Gathered:
    """Return the readings of some columns, gathered once for a record."""
    held: list[tuple[Columns, Gathered]] = record.derived.setdefault("gathered", [])
    for of, found in held:
        if of is columns:
            return found
    lines = tuple(columns.lines(record))
    made = {name: tuple(readings(lines, (name,))) for name in columns.names}
    held.append((columns, made))
    return made


def as_written(
    record: Any, columns: Columns, enough: int, *lead: str
) -> Iterator[tuple[Field, tuple[str, ...]]]:
    """
    Return all readings of each line as written, to be looked for in other tests.

    Lines with fewer than `enough` readings are left out; `lead` distinguishes lists.
    """
    for line in columns.lines(record):
        read = [
            str(value) for name in columns.names for value in read_in(line.part, name)
        ]
        if len(read) >= enough:
            yield line.field, (*lead, *read)


def units_of(everything: Iterable[Columns]) -> dict[str, str]:
    """Return the line of `units` that gives the unit of each reading."""
    return {
        column.name: column.unit
        for columns in everything
        for column in columns.columns
        if column.unit
    }


def weighed_on(
    record: Any, everything: Iterable[Columns]
) -> dict[str, tuple[list[Decimal], str | None]]:
    """Return the readings of each balance, and their unit."""
    found: dict[str, tuple[list[Decimal], str | None]] = {}
    for columns in everything:
        read = gathered(record, columns)
        for column in columns.columns:
            if column.tool:
                unit = getattr(record.units, column.unit)
                values = (value for _, value in read[column.name])
                found.setdefault(column.tool, ([], unit))[0].extend(values)
    return found


def resolution_cells(everything: Iterable[Columns]) -> dict[str, list[str]]:
    """Return the cells of a method that say how fine each balance must read."""
    found: dict[str, dict[str, None]] = {}
    for columns in everything:
        for column in columns.columns:
            if column.tool and column.resolution:
                cells = (f"{column.resolution}_g", f"{column.resolution}_lb")
                found.setdefault(column.tool, {}).update(dict.fromkeys(cells))
    return {tool: list(cells) for tool, cells in found.items()}
