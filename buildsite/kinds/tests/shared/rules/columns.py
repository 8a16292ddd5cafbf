"""Whether the columns of a bench sheet were read as finely as the method asks."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from decimal import Decimal

from buildsite.kinds.tests.shared.record import AnyTest
from buildsite.record.flags import Doubt, Field, Rule, Severity
from buildsite.record.reading import resolution
from buildsite.record.units import from_si
from buildsite.standards.tables import Cell, Method
from buildsite.values import dataclass

LEAST_IN_COLUMN = 3
"""Readings from which a column's last place can be told: one may end in a zero."""


@dataclass(frozen=True)
class Column:
    """
    Readings of one balance, one below the other.

    `cell` leads the names of the cells that say how finely it is read, a unit each:
    resolution_moisture for resolution_moisture_g. A `limit` goes before them.
    """

    cell: str
    unit: str | None
    readings: Sequence[tuple[Field, Decimal | None]]
    limit: Cell | None = None

    def asked(self, method: Method, unit: str) -> tuple[float, Cell] | None:
        """How finely it is read in its unit, and the cell that says so."""
        if self.limit is not None:
            return from_si(self.limit.si, unit), self.limit
        found = method.resolution(self.cell, unit)
        if found is None:
            return None
        return found, method.cell(f"{self.cell}_{'lb' if unit == 'lb' else 'g'}")


COARSE_STEPS = (50, 10, 5)
ENOUGH_FOR_STEPS = 4
"""Different readings, all multiples of a step, that show a balance or a habit of
reading in such steps. Of readings to every unit, four are all multiples of 5 in one
column of 625 (1/5 each), of 10 in one of 10 000: the flag asks, it does not accuse."""


def step(column: list[Decimal]) -> Decimal:
    """
    What a column was read to: its last place, or the step that whole numbers show.

    >>> step([Decimal(5800), Decimal(6850), Decimal(5950), Decimal(6200)])
    Decimal('50')
    >>> step([Decimal(5800), Decimal(6850), Decimal(5951), Decimal(6200)])
    Decimal('1')
    """
    last = resolution(column)
    if last == 1 and len(set(column)) >= ENOUGH_FOR_STEPS:
        for coarse in COARSE_STEPS:
            if all(reading % coarse == 0 for reading in column):
                return Decimal(coarse)
    return last


def coarse(column: Column, case: AnyTest) -> Iterator[Doubt]:
    """Doubt one column."""
    method, unit = case.method, column.unit
    read = [(field, value) for field, value in column.readings if value]
    if method is None or unit is None or len(read) < LEAST_IN_COLUMN:
        return
    asked = column.asked(method, unit)
    last = step([value for _, value in read])
    if asked is not None and float(last) > asked[0] * (1 + 1e-9):
        finest, cell = asked
        yield Doubt(
            field=read[0][0],
            found=f"a column read in steps of {last} {unit}",
            expected=f"{finest:g} {unit} or finer",
            mend="use a finer balance; if a spreadsheet dropped the last zeros, "
            "write the readings as the bench sheet has them",
            basis=cell.basis,
        )


def too_coarse(columns: Callable[[AnyTest], Iterable[Column]]) -> Rule[AnyTest]:
    """Make the rule for a kind; `columns` gives those of a record."""

    def reading_too_coarse(case: AnyTest) -> Iterator[Doubt]:
        """A column whose last place is coarser than the standard asks for."""
        for column in columns(case):
            yield from coarse(column, case)

    return Rule(
        "reading-too-coarse",
        Severity.WARNING,
        "the standard that the record names",
        reading_too_coarse,
    )
