"""What is written and what is not: readings, units, forms, places of a column."""

from collections.abc import Iterator
from decimal import Decimal

from buildsite.kinds.tests.shared.completeness import is_complete, weight_of_gap
from buildsite.kinds.tests.specific_gravity.case import Test
from buildsite.kinds.tests.specific_gravity.compute import pycnometer_id, soil_mass
from buildsite.kinds.tests.specific_gravity.model import Determination
from buildsite.record.flags import Doubt, Field, Rule, Severity
from buildsite.record.reading import resolution
from buildsite.record.units import from_si

MASSES = (
    "pycnometer_mass",
    "pycnometer_and_water",
    "pycnometer_soil_and_water",
    "dry_soil",
    "container_mass",
    "container_and_dry",
)
LEAST_IN_COLUMN = 3
"""Readings from which a column's last place can be told: one may end in a zero."""


def no_determinations(case: Test) -> Iterator[Doubt]:
    """A specific gravity test without a single determination."""
    if not case.record.determinations:
        yield Doubt(
            field=("determinations",),
            found="no determinations",
            expected="a line for each pycnometer",
            mend="enter the bench sheet, or set the status to in-progress",
            severity=None if is_complete(case) else Severity.NOTE,
        )


def wanting(case: Test, one: Determination) -> list[str]:
    """Readings of a determination without which nothing follows."""
    if one.specific_gravity is not None:
        return []
    missing = []
    named = pycnometer_id(case.record, one) is not None
    own = one.pycnometer_mass is not None and one.pycnometer_and_water is not None
    if not named and not own:
        missing.append("pycnometer, or its masses empty and full of water")
    if soil_mass(one) is None:
        missing.append("dry_soil, or the container's masses")
    if one.pycnometer_soil_and_water is None:
        missing.append("pycnometer_soil_and_water")
    if one.temperature_c is None:
        missing.append("temperature_c")
    return missing


def missing_reading(case: Test) -> Iterator[Doubt]:
    """A determination that lacks a reading its specific gravity follows from."""
    for i, one in enumerate(case.record.determinations):
        missing = wanting(case, one)
        if missing and one.rejected is None:
            yield Doubt(
                field=("determinations", i),
                found=f"nothing for {'; '.join(missing)}",
                expected="every reading of the determination",
                mend="take it from the bench sheet; if it was never read, reject the "
                "determination and say why",
                severity=weight_of_gap(case),
            )


def missing_unit(case: Test) -> Iterator[Doubt]:
    """Masses whose unit the record does not name."""
    written = any(
        getattr(one, name) not in (None, ())
        for one in case.record.determinations
        for name in MASSES
    )
    if written and case.record.units.mass is None:
        yield Doubt(
            field=("units", "mass"),
            found="nothing",
            expected="the unit of the balance",
            mend="add mass to units, as the bench sheet's column says",
        )


def two_forms(case: Test) -> Iterator[Doubt]:
    """A determination that gives its soil, or its result, in two ways."""
    for i, one in enumerate(case.record.determinations):
        soil = one.dry_soil is not None
        held = one.container_and_dry is not None
        taken = one.specific_gravity is not None
        weighed = one.pycnometer_soil_and_water is not None
        for both, words in (
            (soil and held, "dry_soil and container masses"),
            (taken and weighed, "specific_gravity and masses"),
        ):
            if both:
                yield Doubt(
                    field=("determinations", i),
                    found=words,
                    expected="one of them",
                    mend="keep what was observed, and take out what follows from it",
                    severity=None if one.rejected is None else Severity.NOTE,
                )


def values_transcribed(case: Test) -> Iterator[Doubt]:
    """Determinations taken over from a report, not observed."""
    numbers = [one.number for one in case.values.determinations if one.transcribed]
    if numbers:
        yield Doubt(
            field=("determinations", numbers[0] - 1),
            found=f"specific_gravity at {', '.join(map(str, numbers))}",
            expected="masses as observed",
            mend="nothing, if the observations are lost: the report says so",
        )


def readings_of(one: Determination, name: str) -> tuple[Decimal, ...]:
    """All readings of one sort in a determination."""
    value = getattr(one, name)
    if value is None:
        return ()
    return value if isinstance(value, tuple) else (value,)


def reading_too_coarse(case: Test) -> Iterator[Doubt]:
    """A column whose last place is coarser than the standard asks for."""
    cell = case.method.optional("resolution_mass_g") if case.method else None
    unit = case.record.units.mass
    if cell is None or unit is None:
        return
    asked = from_si(cell.si, unit)
    for name in MASSES:
        read: list[tuple[Field, Decimal]] = [
            (("determinations", i, name), value)
            for i, one in enumerate(case.record.determinations)
            for value in readings_of(one, name)
            if value
        ]
        if len(read) < LEAST_IN_COLUMN:
            continue
        last = resolution([value for _, value in read])
        if float(last) > asked * (1 + 1e-9):
            yield Doubt(
                field=read[0][0],
                found=f"a column read in steps of {last} {unit}",
                expected=f"{asked:g} {unit} or finer",
                mend="use a finer balance; if a spreadsheet dropped the last zeros, "
                "write the readings as the bench sheet has them",
                basis=cell.basis,
            )


RULES: tuple[Rule[Test], ...] = (
    Rule("no-determinations", Severity.ERROR, "common practice", no_determinations),
    Rule("missing-reading", Severity.ERROR, "common practice", missing_reading),
    Rule("missing-unit", Severity.ERROR, "common practice", missing_unit),
    Rule("two-forms-of-one-value", Severity.ERROR, "record format 1", two_forms),
    Rule(
        "values-transcribed",
        Severity.NOTE,
        "ISO/IEC 17025:2017, 7.5.1",
        values_transcribed,
    ),
    Rule(
        "reading-too-coarse",
        Severity.WARNING,
        "the standard that the record names",
        reading_too_coarse,
    ),
)
