"""Checks that follow from the columns of a bench sheet, whatever is measured."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from decimal import Decimal

from buildsite.kinds.tests.shared.columns import Columns, Line, missing_in, readings
from buildsite.kinds.tests.shared.completeness import weight_of_gap
from buildsite.kinds.tests.shared.record import AnyTest, RecordOfTest
from buildsite.kinds.tests.shared.rules import equipment
from buildsite.record.flags import Doubt, Field, Rule, Severity
from buildsite.record.reading import resolution
from buildsite.record.units import from_si
from buildsite.standards.tables import Cell, Method
from buildsite.values import dataclass

Check = Callable[[AnyTest], Iterator[Doubt]]

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


def too_coarse(
    columns: Callable[[AnyTest], Iterable[Column]], more: Check | None = None
) -> Rule[AnyTest]:
    """Make the rule for a kind; `columns` gives those of a record."""

    def reading_too_coarse(case: AnyTest) -> Iterator[Doubt]:
        """A column whose last place is coarser than the standard asks for."""
        for column in columns(case):
            yield from coarse(column, case)
        if more is not None:
            yield from more(case)

    return Rule(
        "reading-too-coarse",
        Severity.WARNING,
        "the standard that the record names",
        reading_too_coarse,
    )


def no_lines(case: AnyTest, expected: str) -> Iterator[Doubt]:
    """Doubt a test whose list of readings is empty."""
    work = case.record.work
    if not getattr(case.record, work.lines):
        yield Doubt(
            field=(work.lines,),
            found=f"no {work.lines}",
            expected=expected,
            mend="enter the bench sheet, or set the status to in-progress",
            severity=weight_of_gap(case),
        )


def gap(case: AnyTest, line: Line, found: str, expected: str) -> Doubt:
    """Return the doubt that a line lacks readings."""
    return Doubt(
        field=line.field,
        found=found,
        expected=expected,
        mend="take it from the bench sheet; if it was never read, reject the "
        f"{case.record.work.line} and say why",
        severity=weight_of_gap(case),
    )


def gaps(case: AnyTest, columns: Columns, expected: str) -> Iterator[Doubt]:
    """Doubt each line without one of its readings."""
    for line in columns.lines(case.record):
        missing = [] if line.rejected else missing_in(line.part, columns.names)
        if missing:
            yield gap(case, line, f"no {', '.join(missing)}", expected)


def missing_reading(check: Check) -> Rule[AnyTest]:
    """Make the rule: one flag, whichever kind of test raises it."""
    return Rule("missing-reading", Severity.ERROR, "common practice", check)


def in_unit(record: RecordOfTest, columns: Columns, unit: str) -> bool:
    """Whether anything was read in the unit of a line of `units`."""
    names = [one.name for one in columns.columns if one.unit == unit]
    return any(readings(columns.lines(record), names)) if names else False


def missing_unit(
    everything: Sequence[Columns], words: Mapping[str, str], values: str
) -> Rule[AnyTest]:
    """Make the rule; `words` says what each line of `units` is the unit of."""

    def check(case: AnyTest) -> Iterator[Doubt]:
        units = case.record.units
        missing = [unit for unit in words if getattr(units, unit) is None]
        for unit in missing:
            if any(in_unit(case.record, columns, unit) for columns in everything):
                yield Doubt(
                    field=("units", unit),
                    found="nothing",
                    expected=f"the unit of {words[unit]}",
                    mend=f"add {unit} to units, as the bench sheet's column says",
                )

    check.__doc__ = f"{values} whose unit the record does not name."
    return Rule("missing-unit", Severity.ERROR, "common practice", check)


def judged_columns(
    everything: Sequence[Columns], limit: Callable[[AnyTest], Cell | None] | None
) -> Callable[[AnyTest], Iterator[Column]]:
    """Make the function that gives the columns which a method wants read finely."""

    def columns_of(case: AnyTest) -> Iterator[Column]:
        most = limit(case) if limit is not None else None
        for columns in everything:
            lines = list(columns.lines(case.record))
            for one in columns.columns:
                if one.resolution:
                    unit = getattr(case.record.units, one.unit)
                    read = list(readings(lines, [one.name]))
                    yield Column(one.resolution, unit, read, most)

    return columns_of


def weighings(everything: Sequence[Columns]) -> equipment.Columns:
    """Make the function that gives the readings of each balance, and their unit."""

    def weighed(case: AnyTest) -> dict[str, tuple[list[Decimal], str | None]]:
        found: dict[str, tuple[list[Decimal], str | None]] = {}
        for columns in everything:
            lines = list(columns.lines(case.record))
            for one in columns.columns:
                if one.tool:
                    unit = getattr(case.record.units, one.unit)
                    read = [value for _, value in readings(lines, [one.name])]
                    found.setdefault(one.tool, ([], unit))[0].extend(read)
        return found

    return weighed


def coarsest(everything: Sequence[Columns]) -> dict[str, list[str]]:
    """Return the cells that say how fine each balance must read."""
    found: dict[str, dict[str, None]] = {}
    for columns in everything:
        for one in columns.columns:
            if one.tool and one.resolution:
                cells = (f"{one.resolution}_g", f"{one.resolution}_lb")
                found.setdefault(one.tool, {}).update(dict.fromkeys(cells))
    return {tool: list(cells) for tool, cells in found.items()}


def rules_of(
    everything: Sequence[Columns],
    units: Mapping[str, str],
    *,
    missing: Check,
    limit: Callable[[AnyTest], Cell | None] | None = None,
    more_too_coarse: Check | None = None,
    values: str = "Masses",
) -> tuple[Rule[AnyTest], ...]:
    """
    Make the checks that follow from the columns of a kind of test.

    Parameters
    ----------
    everything
        All columns of the kind.
    units
        Lines of its `units`, and what each is the unit of.
    missing
        The check for readings without which nothing follows.
    limit
        How finely all columns are to be read, where that goes before the cells that
        they name.
    more_too_coarse
        A further check of how finely something was read.
    values
        What stands in the columns.
    """
    return (
        missing_reading(missing),
        missing_unit(everything, units, values),
        too_coarse(judged_columns(everything, limit), more_too_coarse),
        *equipment.rules_of(weighings(everything), coarsest(everything)),
    )
