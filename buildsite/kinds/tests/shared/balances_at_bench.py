"""A reading held against the balance that it was made on, as it is entered."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from buildsite.kinds.answers import DeviceFacts
from buildsite.kinds.limits import HAIR
from buildsite.kinds.tests.shared.columns import Columns, gathered
from buildsite.kinds.tests.shared.links import device_refs
from buildsite.kinds.tests.shared.record import AnyTest
from buildsite.record.flags import Doubt, Field, Severity
from buildsite.record.reading import resolution
from buildsite.record.units import from_si, to_si

WILD = 2
"""Readings above so many times the capacity are impossible: common practice."""


def balance_doubts(
    case: AnyTest, everything: Sequence[Columns], field: Field
) -> Iterator[Doubt]:
    """Doubt a reading above its balance's capacity, or finer than it can show."""
    for columns in everything:
        for column in columns.columns:
            facts = balance_of(case, column.tool)
            unit = getattr(case.record.units, column.unit or "", None)
            if column.name == field[-1] and facts is not None and unit is not None:
                every = gathered(case.record, columns)[column.name]
                own = [value for where, value in every if where == field]
                others = [value for where, value in every if where != field]
                for value in own[-1:]:
                    yield from doubts_of(field, value, unit, facts, others)


def balance_of(case: AnyTest, tool: str) -> DeviceFacts | None:
    """Return the facts of a balance of the test; None where not on file."""
    for ref in device_refs(case.record):
        if tool and ref.field[-1] == tool and "balance" in ref.kinds:
            return case.inputs.get(DeviceFacts, ref.id, ref.on)
    return None


def doubts_of(
    field: Field,
    value: Decimal,
    unit: str,
    facts: DeviceFacts,
    others: Sequence[Decimal],
) -> Iterator[Doubt]:
    """Doubt one reading; its step only if no other one was read so finely."""
    able, step = facts.capacity_kg, facts.resolution_kg
    if able is not None and to_si(value, unit) > able * (1 + HAIR):
        most = f"{from_si(able, unit):.6g}"
        yield Doubt(
            field,
            f"{value} {unit} on {facts.id}",
            f"at most {most} {unit}, its capacity",
            "check the reading, or which balance was used",
            Severity.ERROR if to_si(value, unit) > able * WILD else None,
        )
    last = resolution(value)
    if step is None or any(resolution(other) <= last for other in others):
        return
    if to_si(last, unit) < step * (1 - HAIR):
        yield Doubt(
            field,
            f"{value} {unit} on {facts.id}, to {last} {unit}",
            f"{from_si(step, unit):.4g} {unit}, its readability",
            "check the reading, or which balance was used",
        )
