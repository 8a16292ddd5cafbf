"""Checks of the empty containers of a test, and their masses for other tests."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any

from buildsite.kinds.kind import Case
from buildsite.kinds.tests.shared.columns import Column, Columns, Line, LinesOf
from buildsite.kinds.tests.shared.record import RecordOfWork, tested_on
from buildsite.kinds.traces import ContainerUse
from buildsite.record.flags import Doubt, Rule, Severity
from buildsite.record.reading import resolution
from buildsite.record.units import to_si

EMPTY = "container_mass"
"""The field of an empty container, in any kind of test."""

Test = Case[Any, Any]

DECIMAL_PLACE = 5
"""Ratio to the other containers of a test that only a misplaced decimal point explains:
half of ten leaves room for containers of several sizes. Common practice."""


def is_decimal_slip(mass: Decimal, others: Sequence[Decimal]) -> bool:
    """
    Whether a mass is unlike the others, at their middle, by a decimal place.

    Of an even number it is unlike both in the middle: one wrong of two proves nothing.

    >>> tins = [Decimal("30.84"), Decimal("29.54")]
    >>> is_decimal_slip(Decimal("3.247"), tins), is_decimal_slip(Decimal("40.84"), tins)
    (True, False)
    """
    if not others:
        return False
    half = len(others) // 2
    middle = sorted(others)[(len(others) - 1) // 2 : half + 1]
    return all(max(mass, one) >= min(mass, one) * DECIMAL_PLACE for one in middle)


def weighed_empty(lines: LinesOf, record: Any) -> list[tuple[Line, Decimal]]:
    """Return each container weighed empty, and its mass: none of a tared one."""
    found = ((line, line.part.container_mass) for line in lines(record))
    return [(line, mass) for line, mass in found if mass and not line.rejected]


def mass_zero(line: Line, case: Test, unit: str) -> Iterator[Doubt]:
    """Doubt an empty container that reads zero."""
    if line.part.container_mass == 0 and not case.record.balance_tared:
        yield Doubt(
            field=(*line.field, EMPTY),
            found=f"{line.part.container_mass} {unit}".rstrip(),
            expected="the mass of the empty container, or balance_tared: yes",
            mend="enter the mass from the bench sheet; if the balance was set to zero "
            "with each container on it, state balance_tared: yes",
            severity=line.severity,
        )


def unlike_others(
    weighed: Sequence[tuple[Line, Decimal]], i: int, unit: str
) -> Iterator[Doubt]:
    """Doubt an empty container unlike the others of its test; of two, the second."""
    line, mass = weighed[i]
    others = [other for k, (_, other) in enumerate(weighed) if k != i]
    wet = getattr(line.part, "container_and_wet", None)
    impossible = wet is not None and mass >= wet  # an error of its own
    first_of_two = len(others) == 1 and i == 0
    if is_decimal_slip(mass, others) and not (impossible or first_of_two):
        yield Doubt(
            field=(*line.field, EMPTY),
            found=f"an empty container of {mass} {unit}".rstrip(),
            expected=f"a mass like the others, {min(others)} to {max(others)} "
            f"{unit}".rstrip(),
            mend="check the decimal point against the bench sheet",
        )


def empty_container_rules(
    lines: LinesOf, unit: str = "moisture"
) -> tuple[Rule[Test], ...]:
    """Return the rules on empty containers; `unit` is their line of `units`."""

    def unit_of(case: Test) -> str:
        return getattr(case.record.units, unit) or ""

    def container_mass_zero(case: Test) -> Iterator[Doubt]:
        """An empty container reads zero; nothing says that the balance was tared."""
        for line in lines(case.record):
            yield from mass_zero(line, case, unit_of(case))

    def container_unlike_others(case: Test) -> Iterator[Doubt]:
        """An empty container is unlike the others of its test by a decimal place."""
        weighed = weighed_empty(lines, case.record)
        for i in range(len(weighed)):
            yield from unlike_others(weighed, i, unit_of(case))

    conserved = "conservation of mass"
    zero = Rule("container-mass-zero", Severity.ERROR, conserved, container_mass_zero)
    practice = "common practice"
    unlike = Rule(
        "container-unlike-others", Severity.WARNING, practice, container_unlike_others
    )
    return zero, unlike


def container_uses(
    record: RecordOfWork, everything: Sequence[Columns]
) -> Iterator[ContainerUse]:
    """Yield each labelled container as weighed empty for this laboratory's test."""
    if record.external is not None:
        return  # another laboratory's labels
    for columns in everything:
        column = next((one for one in columns.columns if one.name == EMPTY), None)
        if column is not None:
            yield from uses_of(record, columns, column)


def uses_of(
    record: RecordOfWork, columns: Columns, column: Column
) -> Iterator[ContainerUse]:
    """Yield the labelled containers of one list."""
    unit = getattr(record.units, column.unit)  # type: ignore[attr-defined]
    for line, mass in weighed_empty(columns.lines, record):
        label = line.part.container
        if label is not None and unit is not None:
            yield ContainerUse(
                label=label,
                on=tested_on(record),
                mass_kg=to_si(mass, unit),
                resolution_kg=to_si(resolution(mass), unit),
                shown=f"{mass} {unit}",
                field=(*line.field, EMPTY),
            )
