"""What is written and what is not: readings, units, places of a column."""

from collections.abc import Iterator
from decimal import Decimal

from buildsite.kinds.tests.coarse_fraction.case import Test
from buildsite.kinds.tests.coarse_fraction.rules.split import held, wanting
from buildsite.kinds.tests.shared.completeness import weight_of_gap
from buildsite.kinds.tests.shared.containers import (
    MASSES,
    OfColumn,
    masses_of,
    not_read,
)
from buildsite.kinds.tests.shared.rules.columns import Column, coarse, step
from buildsite.record.flags import Doubt, Rule, Severity
from buildsite.record.units import to_si

STONES = ("surface_dry", "in_water", "oven_dry")
FROM_BENCH = "take it from the bench sheet; what was never read stays unknown"


def unread(case: Test) -> Iterator[tuple[tuple[str | int, ...], str, str]]:
    """Say where a reading is wanting, what stands there, and what should."""
    record = case.record
    if record.fractions and record.split_masses is None:
        yield ("split_masses",), "nothing", "moist or dry: how fractions were weighed"
    for i, missing in wanting(case):
        yield ("fractions", i), missing, "its mass, and its water content unless dry"
    if not record.specimens and not record.fractions:
        yield ("specimens",), "no readings", "fractions of the split, or specimens"
    for i, one in enumerate(record.specimens):
        gaps = [name for name in STONES if getattr(one, name) in (None, ())]
        if gaps and one.rejected is None:
            yield ("specimens", i), f"no {', '.join(gaps)}", "three masses"


def missing_reading(case: Test) -> Iterator[Doubt]:
    """A fraction or a specimen without one of its masses."""
    for field, found, expected in unread(case):
        yield Doubt(field, found, expected, FROM_BENCH, weight_of_gap(case))


def missing_unit(case: Test) -> Iterator[Doubt]:
    """Masses whose unit the record does not name."""
    record = case.record
    used = {
        "split": record.total_mass is not None
        or any(one.mass is not None for one in record.fractions),
        "moisture": any(len(not_read(one.one)) < len(MASSES) for one in held(case)),
        "gravity": any(
            getattr(one, name) not in (None, ())
            for one in record.specimens
            for name in STONES
        ),
    }
    for name, needed in used.items():
        if needed and getattr(record.units, name) is None:
            yield Doubt(
                field=("units", name),
                found="nothing",
                expected=f"the unit of {UNIT_OF[name]}",
                mend=f"add {name} to units, as the bench sheet's column says",
            )


UNIT_OF = {
    "split": "the fractions",
    "moisture": "the moisture containers",
    "gravity": "the stones",
}


def two_forms(case: Test) -> Iterator[Doubt]:
    """A fraction that gives its water content in two ways."""
    for i, one in enumerate(case.record.fractions):
        if one.water_content is not None and len(not_read(one)) < len(MASSES):
            yield Doubt(
                field=("fractions", i),
                found="water_content and container masses",
                expected="one of them",
                mend="keep what was observed, and take out what follows from it",
            )


def transcribed(case: Test) -> Iterator[Doubt]:
    """Water contents that were taken over from a report, not observed."""
    taken = [
        i
        for i, one in enumerate(case.record.fractions)
        if one.water_content is not None
    ]
    if taken:
        numbers = ", ".join(str(i + 1) for i in taken)
        yield Doubt(
            field=("fractions", taken[0], "water_content"),
            found=f"water_content at fractions {numbers}",
            expected="masses as observed",
            mend="nothing, if the observations are lost: the report says so",
        )


def stone_masses(case: Test, *names: str) -> Iterator[OfColumn]:
    """Some masses of the stones, each with its field."""
    for i, one in enumerate(case.record.specimens):
        for name in names or STONES:
            value = getattr(one, name)
            for reading in value if isinstance(value, tuple) else (value,):
                yield ("specimens", i, name), reading


def stones_too_coarse(case: Test) -> Iterator[Doubt]:
    """Doubt stones weighed in steps above 0.5 g, or 0.05 % of them if that is more."""
    unit, method = case.record.units.gravity, case.method
    read = [(field, value) for field, value in stone_masses(case) if value]
    if unit is None or method is None or not read:
        return
    cell, share = method.cell("resolution_gravity"), method.cell(SHARE)
    values = [value for _, value in read]
    heaviest = [
        max(value for field, value in read if field[1] == i)
        for i in sorted({int(field[1]) for field, _ in read})
    ]
    asked = max(cell.si, to_si(min(heaviest), unit) * share.si / 100)
    last = to_si(step(values), unit)
    if last > asked * (1 + 1e-9):
        yield Doubt(
            field=read[0][0],
            found=f"stones weighed in steps of {step(values)} {unit}",
            expected=f"{cell}, or {share} of the stones, or finer",
            mend="use a finer balance; if a spreadsheet dropped the last zeros, write "
            "the readings as the bench sheet has them",
            basis=cell.basis,
        )


SHARE = "resolution_gravity_share"


def reading_too_coarse(case: Test) -> Iterator[Doubt]:
    """A column whose last place is coarser than the standard asks for."""
    for name in MASSES:
        unit = case.record.units.moisture
        column = Column("resolution_moisture", unit, [*masses_of(held(case), name)])
        yield from coarse(column, case)
    yield from stones_too_coarse(case)


def weighings(case: Test) -> dict[str, tuple[list[Decimal], str | None]]:
    """Readings of each balance, and their unit."""
    record, units = case.record, case.record.units
    split = [record.total_mass, *(one.mass for one in record.fractions)]
    columns: dict[str, tuple[list[Decimal | None], str | None]] = {
        "balance": (split, units.split),
        "moisture_balance": (
            [value for _, value in masses_of(held(case))],
            units.moisture,
        ),
        "gravity_balance": (
            [value for _, value in stone_masses(case)],
            units.gravity,
        ),
    }
    return {
        name: ([value for value in values if value is not None], unit)
        for name, (values, unit) in columns.items()
    }


RULES: tuple[Rule[Test], ...] = (
    Rule("missing-reading", Severity.ERROR, "common practice", missing_reading),
    Rule("missing-unit", Severity.ERROR, "common practice", missing_unit),
    Rule("two-forms-of-one-value", Severity.ERROR, "record format 1", two_forms),
    Rule("values-transcribed", Severity.NOTE, "ISO/IEC 17025:2017, 7.5.1", transcribed),
    Rule(
        "reading-too-coarse",
        Severity.WARNING,
        "the standard that the record names",
        reading_too_coarse,
    ),
)
