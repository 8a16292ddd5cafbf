"""Checks of the columns of a bench sheet, common to all tests."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from decimal import Decimal

from buildsite.kinds.tests.shared.columns import (
    Column,
    Columns,
    Line,
    gathered,
    missing_words,
)
from buildsite.kinds.tests.shared.completeness import gap_severity
from buildsite.kinds.tests.shared.record import AnyTest, RecordOfWork
from buildsite.kinds.tests.shared.rules import equipment
from buildsite.record.flags import Doubt, Field, Rule, Severity
from buildsite.record.reading import resolution
from buildsite.record.units import from_si
from buildsite.standards.cells import Cell
from buildsite.standards.method import Method

Check = Callable[[AnyTest], Iterator[Doubt]]
Finest = Callable[[AnyTest], Cell | None]

LEAST_IN_COLUMN = 3
"""Readings needed to see a column's last place: some may end in a zero."""

FINER_BALANCE = (
    "use a finer balance; if a spreadsheet dropped final zeros, enter the readings as "
    "on the bench sheet"
)

COARSE_STEPS = (50, 10, 5)
ENOUGH_FOR_STEPS = 4
"""Different readings, all multiples of a step, that show a balance or a habit of
reading in such steps. Of readings to every unit, four are all multiples of 5 in one
column of 625 (1/5 each), of 10 in one of 10 000: the flag asks, it does not accuse."""


def step(column: Sequence[Decimal]) -> Decimal:
    """
    Return the step of a column: its last place, or the step that whole numbers show.

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


def finest_step(
    column: Column, method: Method, unit: str, limit: Cell | None
) -> tuple[float, Cell] | None:
    """Return the step required of a column in its unit, and the cell."""
    if limit is not None:
        return from_si(limit.si, unit), limit
    found = method.resolution(column.resolution, unit)
    if found is None:
        return None
    return found, method.cell(f"{column.resolution}_{'lb' if unit == 'lb' else 'g'}")


def coarse(
    case: AnyTest,
    every: Sequence[tuple[Field, Decimal]],
    column: Column,
    limit: Cell | None,
) -> Iterator[Doubt]:
    """Doubt a column read in coarser steps than its method requires."""
    method, unit = case.method, getattr(case.record.units, column.unit)
    read = [one for one in every if one[1]]
    if method is None or unit is None or len(read) < LEAST_IN_COLUMN:
        return
    asked = finest_step(column, method, unit, limit)
    last = step([value for _, value in read])
    if asked is not None and float(last) > asked[0] * (1 + 1e-9):
        finest, cell = asked
        yield Doubt(
            field=read[0][0],
            found=f"readings in steps of {last} {unit}",
            expected=f"{finest:g} {unit} or finer",
            mend=FINER_BALANCE,
            basis=cell.basis,
        )


def too_coarse(
    everything: Sequence[Columns], limit: Finest | None, more: Check | None
) -> Rule[AnyTest]:
    """Return the rule on the steps of columns."""

    def reading_too_coarse(case: AnyTest) -> Iterator[Doubt]:
        """A column was read in coarser steps than the standard requires."""
        finest = limit(case) if limit is not None else None
        for columns in everything:
            read = gathered(case.record, columns)
            for column in columns.columns:
                if column.resolution:
                    yield from coarse(case, read[column.name], column, finest)
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
            mend="enter the readings, or set the status to in-progress",
            severity=gap_severity(case),
        )


def gap(case: AnyTest, line: Line, found: str, expected: str) -> Doubt:
    """Return the doubt that a line lacks readings."""
    return Doubt(
        field=line.field,
        found=found,
        expected=expected,
        mend="enter it from the bench sheet; if it was never read, reject the "
        f"{case.record.work.line} and state why",
        severity=gap_severity(case),
    )


def gaps(case: AnyTest, columns: Columns, expected: str) -> Iterator[Doubt]:
    """Doubt each line without one of its readings."""
    for line in columns.lines(case.record):
        missing = "" if line.rejected else missing_words(line.part, columns.columns)
        if missing:
            yield gap(case, line, f"{missing} missing", expected)


def taken_over(field: Field, found: str) -> Doubt:
    """Return the doubt that values are from a report, not from the bench."""
    mend = "enter the observations; no action if they are lost: the report states it"
    return Doubt(field, found.replace("_", " "), "masses as observed", mend)


def given_twice(line: Line, found: str) -> Doubt:
    """Return the doubt that a line states one value in two ways."""
    mend = "keep the observation, and delete the value computed from it"
    words = found.replace("_", " ")
    return Doubt(line.field, words, "one of the two", mend, line.severity)


def is_read_in(record: RecordOfWork, columns: Columns, unit: str) -> bool:
    """Whether anything was read in the unit of a line of `units`."""
    read = gathered(record, columns)
    return any(read[one.name] for one in columns.columns if one.unit == unit)


def missing_unit(
    everything: Sequence[Columns], words: Mapping[str, str]
) -> Rule[AnyTest]:
    """Return the rule; `words` states the readings that each of `units` is for."""

    def check(case: AnyTest) -> Iterator[Doubt]:
        """Readings without a unit in the record."""
        units = case.record.units
        missing = [unit for unit in words if getattr(units, unit) is None]
        for unit in missing:
            if any(is_read_in(case.record, columns, unit) for columns in everything):
                yield Doubt(
                    field=("units", unit),
                    found="not stated",
                    expected=f"the unit of {words[unit]}",
                    mend=f"enter {unit} under units, from the bench sheet's column",
                )

    return Rule("missing-unit", Severity.ERROR, "common practice", check)


def rules_of(
    everything: Sequence[Columns],
    units: Mapping[str, str],
    *,
    missing: Check,
    limit: Finest | None = None,
    more_too_coarse: Check | None = None,
) -> tuple[Rule[AnyTest], ...]:
    """
    Return the checks of the columns of a kind of test.

    `units` are its units and the readings each is for; `missing` checks for necessary
    readings, `more_too_coarse` further steps. `limit` gives the step of all columns,
    ahead of the cells they name; `values` is the word for the readings.
    """
    return (
        Rule("missing-reading", Severity.ERROR, "common practice", missing),
        missing_unit(everything, units),
        too_coarse(everything, limit, more_too_coarse),
        *equipment.rules_of(everything),
    )
