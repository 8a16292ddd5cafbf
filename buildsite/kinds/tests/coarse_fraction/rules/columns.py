"""What is written and what is not: readings, units, places of a column."""

from collections.abc import Iterator

from buildsite.kinds.tests.coarse_fraction.case import Test
from buildsite.kinds.tests.coarse_fraction.model import COLUMNS, STONES
from buildsite.kinds.tests.coarse_fraction.rules.split import fractions_missing
from buildsite.kinds.tests.shared.columns import missing_in, readings
from buildsite.kinds.tests.shared.completeness import weight_of_gap
from buildsite.kinds.tests.shared.containers import MASSES
from buildsite.kinds.tests.shared.rules.columns import rules_of, step
from buildsite.record.flags import Doubt, Rule, Severity
from buildsite.record.units import to_si

FROM_BENCH = "take it from the bench sheet; what was never read stays unknown"


def unread(case: Test) -> Iterator[tuple[tuple[str | int, ...], str, str]]:
    """Say where a reading is wanting, what stands there, and what should."""
    record = case.record
    if record.fractions and record.split_masses is None:
        yield ("split_masses",), "nothing", "moist or dry: how fractions were weighed"
    for i, missing in fractions_missing(case):
        yield ("fractions", i), missing, "its mass, and its water content unless dry"
    if not record.specimens and not record.fractions:
        yield ("specimens",), "no readings", "fractions of the split, or specimens"
    for i, one in enumerate(record.specimens):
        gaps = missing_in(one, STONES.names)
        if gaps and one.rejected is None:
            yield ("specimens", i), f"no {', '.join(gaps)}", "three masses"


def missing_reading(case: Test) -> Iterator[Doubt]:
    """A fraction or a specimen without one of its masses."""
    for field, found, expected in unread(case):
        yield Doubt(field, found, expected, FROM_BENCH, weight_of_gap(case))


UNIT_OF = {
    "split": "the fractions",
    "moisture": "the moisture containers",
    "gravity": "the stones",
}


def two_forms(case: Test) -> Iterator[Doubt]:
    """A fraction that gives its water content in two ways."""
    for i, one in enumerate(case.record.fractions):
        if one.water_content is not None and len(missing_in(one, MASSES)) < len(MASSES):
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


def stones_too_coarse(case: Test) -> Iterator[Doubt]:
    """Doubt stones weighed in steps above 0.5 g, or 0.05 % of them if that is more."""
    unit, method = case.record.units.gravity, case.method
    read = list(readings(STONES.lines(case.record), STONES.names))
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


RULES: tuple[Rule[Test], ...] = (
    *rules_of(
        COLUMNS,
        UNIT_OF,
        missing=missing_reading,
        more_too_coarse=stones_too_coarse,
    ),
    Rule("two-forms-of-one-value", Severity.ERROR, "record format 1", two_forms),
    Rule("values-transcribed", Severity.NOTE, "ISO/IEC 17025:2017, 7.5.1", transcribed),
)
