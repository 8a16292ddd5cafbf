"""Checks of the readings of a split: missing ones, units, sieves, and the total."""

from collections.abc import Iterator
from decimal import Decimal

from buildsite.kinds.oversize_checks import MOST_WATER
from buildsite.kinds.tests.coarse_fraction.compute import Test
from buildsite.kinds.tests.coarse_fraction.model import COLUMNS, FRACTIONS, PARTICLES
from buildsite.kinds.tests.coarse_fraction.split import PAN, opening_of
from buildsite.kinds.tests.shared.columns import (
    missing_in,
    missing_words,
    readings,
)
from buildsite.kinds.tests.shared.completeness import gap_severity, sample_of
from buildsite.kinds.tests.shared.containers import MASSES, MOISTURE
from buildsite.kinds.tests.shared.rules.columns import (
    FINER_BALANCE,
    given_twice,
    rules_of,
    step,
    taken_over,
)
from buildsite.kinds.tests.shared.rules.waters import unusual_water
from buildsite.record.flags import Doubt, Field, Rule, error, note, warning
from buildsite.record.units import to_si
from buildsite.soil.coarse import mean_absorption
from buildsite.soil.rounding import plain, round_half_even

FROM_BENCH = "enter it from the bench sheet; a reading never made stays unknown"


def fractions_missing(case: Test) -> Iterator[tuple[int, str]]:
    """Return each fraction whose dry mass is unknown, and the missing reading."""
    dried = case.record.split_masses == "dry"
    for i, one in enumerate(case.record.fractions):
        if one.mass is None:
            yield i, "no mass"
        elif one.mass > 0 and not dried and one.water_content is None:
            missing = missing_words(one, MOISTURE)
            if missing:
                yield i, f"no {case.word('water_content')}: {missing} missing"


def unread_places(case: Test) -> Iterator[tuple[tuple[str | int, ...], str, str]]:
    """Return each place that lacks a reading: field, found, expected."""
    record, water = case.record, case.word("water_content")
    if record.fractions and record.split_masses is None:
        yield ("split_masses",), "not stated", "moist or dry: as fractions were weighed"
    for i, missing in fractions_missing(case):
        yield ("fractions", i), missing, f"its mass, and its {water} unless dry"
    if not record.specimens and not record.fractions:
        yield ("specimens",), "no readings", "fractions of the split, or specimens"
    for i, one in enumerate(record.specimens):
        gaps = missing_words(one, PARTICLES.columns)
        if gaps and one.rejected is None:
            yield ("specimens", i), f"{gaps} missing", "three masses"


def missing_reading(case: Test) -> Iterator[Doubt]:
    """A fraction or specimen lacks one of its masses."""
    for field, found, expected in unread_places(case):
        yield Doubt(field, found, expected, FROM_BENCH, gap_severity(case))


UNIT_OF = {
    "split": "the fractions",
    "moisture": "the moisture containers",
    "gravity": "the coarse particles",
}


@error("two-forms-of-one-value", "record format 1")
def two_forms(case: Test) -> Iterator[Doubt]:
    """A fraction states its water content in two ways."""
    for line in FRACTIONS.lines(case.record):
        weighed = len(missing_in(line.part, MASSES)) < len(MASSES)
        if line.part.water_content is not None and weighed:
            yield given_twice(line, "water_content and container masses")


@note("values-transcribed", "ISO/IEC 17025:2017, 7.5.1")
def values_transcribed(case: Test) -> Iterator[Doubt]:
    """Values transcribed from a report, not observed."""
    taken = [
        i
        for i, one in enumerate(case.record.fractions)
        if one.water_content is not None
    ]
    if taken:
        numbers = ", ".join(str(i + 1) for i in taken)
        found = f"water_content of fractions {numbers}"
        yield taken_over(("fractions", taken[0], "water_content"), found)


def particles_too_coarse(case: Test) -> Iterator[Doubt]:
    """Doubt particles weighed in steps above 0.5 g, or 0.05 % of them if more."""
    unit, method = case.record.units.gravity, case.method
    read = list(readings(PARTICLES.lines(case.record), PARTICLES.names))
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
            found=f"coarse particles weighed in steps of {step(values)} {unit}",
            expected=f"{cell}, or {share} of their mass, or finer",
            mend=FINER_BALANCE,
            basis=cell.basis,
        )


SHARE = "resolution_gravity_share"


@warning("unknown-sieve", "common practice")
def unknown_sieve(case: Test) -> Iterator[Doubt]:
    """A sieve is unknown."""
    record = case.record
    named: list[tuple[Field, str | None]] = [
        (("sieve",), record.sieve),
        (("nominal_maximum",), record.nominal_maximum),
    ]
    named += [
        (("fractions", i, "retained_on"), one.retained_on)
        for i, one in enumerate(record.fractions)
    ]
    named += [
        (("specimens", i, "retained_on"), one.retained_on)
        for i, one in enumerate(record.specimens)
    ]
    for field, name in named:
        if name is not None and opening_of(name) is None:
            yield Doubt(
                field=field,
                found=name,
                expected="a sieve, such as No. 4, 3/4 in or 19 mm",
                mend="enter it as marked on the sieve; pan for material passing the "
                "last",
            )


@error("fraction-twice", "common practice")
def fraction_twice(case: Test) -> Iterator[Doubt]:
    """Two fractions are retained on one sieve."""
    seen: dict[float, int] = {}
    for i, one in enumerate(case.values.fractions):
        if one.opening_mm is None:
            continue
        first = seen.setdefault(one.opening_mm, i)
        if first != i:
            yield Doubt(
                field=("fractions", i, "retained_on"),
                found=f"{case.record.fractions[i].retained_on}, as for fraction "
                f"{first + 1}",
                expected="one fraction per sieve",
                mend="check the bench sheet; add up the masses retained on one sieve",
            )


@error("split-incomplete", "common practice")
def not_split_on_sieve(case: Test) -> Iterator[Doubt]:
    """The split lacks the oversize sieve or the pan."""
    openings = [one.opening_mm for one in case.values.fractions]
    wanted = [
        (case.values.opening_mm, case.record.sieve, "the oversize sieve"),
        (0.0, PAN, "the material passing the last sieve"),
    ]
    for opening, name, words in wanted:
        if opening is not None and opening not in openings:
            yield Doubt(
                field=("fractions",),
                found="no such fraction" if openings else "no fractions",
                expected=f"a fraction with retained_on: {name}, {words}",
                mend="enter it from the bench sheet; mass 0 where nothing was retained",
                severity=gap_severity(case),
            )


@warning("fractions-unlike-total", "conservation of mass")
def fractions_unlike_total(case: Test) -> Iterator[Doubt]:
    """The fractions do not add up to the mass before sieving."""
    record, method = case.record, case.method
    masses = [one.mass for one in record.fractions if one.mass is not None]
    whole, unit = record.total_mass, record.units.split
    if whole is None or method is None or len(masses) < len(record.fractions):
        return
    moist = record.split_masses != "dry"
    cell = method.optional("split_agreement_moist" if moist else "split_agreement")
    if cell is None or not masses:
        return
    parts = sum(masses, Decimal(0))
    apart = (parts - whole) / whole * 100
    if abs(float(apart)) > cell.si:
        shown = plain(round_half_even(abs(float(apart)), 2))
        yield Doubt(
            field=("total_mass",),
            found=f"fractions of {parts} {unit}, {shown} % "
            f"{'more' if apart > 0 else 'less'} than {whole} {unit}",
            expected=f"within {cell} of the mass before sieving",
            mend="check for a fraction left out or weighed with its pan; weigh again "
            "if the soil is still on hand",
            basis=cell.basis,
        )


@warning("oversize-wetter-than-its-stones", "common practice")
def oversize_wetter_than_stones(case: Test) -> Iterator[Doubt]:
    """The oversize has far more water than its particles absorb."""
    water, rock = case.values.water_content, case.values.gravities
    if water is None or rock is None or water <= rock.absorption + MORE_WATER:
        return
    name = case.word("water_content")
    yield Doubt(
        field=("fractions",),
        found=f"{name} {water:.1f} %, absorption {rock.absorption:.1f} %",
        expected=f"at most {MORE_WATER:g} points above the absorption",
        mend="check for fines on the particles; wash them off into their own fraction",
    )


MORE_WATER = 2.0
"""Surface water of damp particles, in points: common practice."""


@warning("unusual-water-content", "common practice")
def water_unusual(case: Test) -> Iterator[Doubt]:
    """A fraction's water content is beyond its kind of soil, or the sample's water."""
    name, flagged = case.word("water_content"), False
    for one in case.values.fractions:
        fine = one.opening_mm == 0.0
        most = MOST_OF_FINES if fine else MOST_WATER
        words = name, "what passes the last sieve" if fine else "coarse particles"
        if one.water_content is not None and one.opening_mm is not None:
            field = ("fractions", one.number - 1)
            yield from unusual_water(field, one.water_content, most, words)
            flagged |= one.water_content > most
    if not flagged:
        yield from wetter_than_received(case)


def wetter_than_received(case: Test) -> Iterator[Doubt]:
    """Doubt fractions that together have more water than the sample came with."""
    sample, found = sample_of(case), case.values.fractions
    came = sample.as_received_water_content if sample is not None else None
    parts = [
        (one.retained, one.water_content)
        for one in found
        if one.retained is not None and one.water_content is not None
    ]
    dried = case.record.split_masses == "dry"
    if came is None or dried or not parts or len(parts) < len(found):
        return
    water = mean_absorption(parts)
    most = float(came) * (1 + GAINED_SHARE) + GAINED
    if water > most:
        yield Doubt(
            field=("fractions",),
            found=f"{case.word('water_content')} {water:.1f} % of all fractions",
            expected=f"about {came} %, as the sample was received, or less",
            mend="check the three masses of each container: soil gains no water while "
            "it is sieved",
        )


MOST_OF_FINES = 60.0
"""Water content of the finer part of a soil that can be sieved: common practice. [%]"""

GAINED, GAINED_SHARE = 2.0, 0.3
"""Allowed above the sample's water content as received, in points and as a share: two
portions of a soil with coarse particles differ. Common practice. [%, 1]"""

RULES: tuple[Rule[Test], ...] = (
    *rules_of(
        COLUMNS,
        UNIT_OF,
        missing=missing_reading,
        more_too_coarse=particles_too_coarse,
    ),
    two_forms,
    values_transcribed,
    unknown_sieve,
    fraction_twice,
    not_split_on_sieve,
    fractions_unlike_total,
    oversize_wetter_than_stones,
    water_unusual,
)
