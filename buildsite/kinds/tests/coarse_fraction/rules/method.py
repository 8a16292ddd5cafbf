"""Checks of the amount, soaking and weighing of coarse particles by the method."""

from collections.abc import Iterator
from datetime import timedelta
from math import fsum

from buildsite.kinds.limits import HAIR, within
from buildsite.kinds.sieves import by_size
from buildsite.kinds.tests.coarse_fraction.compute import Test, untested
from buildsite.kinds.tests.shared.completeness import is_complete
from buildsite.kinds.tests.shared.rules.oven import hours_text, moment_doubts
from buildsite.record.flags import Doubt, Rule, Severity, error, note, warning
from buildsite.record.units import from_si
from buildsite.soil.rounding import plain, round_half_even
from buildsite.standards.cells import UNCHECKED


@warning("stones-too-few", "the method's minimum mass of specimen")
def specimen_too_small(case: Test) -> Iterator[Doubt]:
    """The mass of coarse particles is too small for their nominal maximum size."""
    size, unit, method = (
        case.record.nominal_maximum,
        case.record.units.gravity,
        case.method,
    )
    if method is None or size is None or unit is None:
        return
    cell = by_size(method, "specimen_at_least", size)
    counted = [
        one.dry_mass
        for one in case.values.particles
        if not one.rejected and one.dry_mass is not None
    ]
    # Sizes tested separately make up the specimen together.
    if cell is not None and counted and fsum(counted) < cell.si * (1 - HAIR):
        shown = plain(round_half_even(from_si(fsum(counted), unit), 1))
        yield Doubt(
            field=("specimens",),
            found=f"{shown} {unit}, nominal maximum size {size}",
            expected=f"at least {cell}",
            mend="test more material, or state in the remarks that there was no more",
            basis=cell.basis,
        )


@note("nominal-maximum-missing", "common practice")
def nominal_maximum_missing(case: Test) -> Iterator[Doubt]:
    """A complete test does not state the nominal maximum size."""
    record = case.record
    if is_complete(case) and record.specimens and record.nominal_maximum is None:
        yield Doubt(
            field=("nominal_maximum",),
            found="not stated",
            expected="the nominal maximum particle size, a sieve",
            mend="enter it from the gradation; the minimum mass depends on it",
        )


@warning("oversize-untested", "common practice")
def size_untested(case: Test) -> Iterator[Doubt]:
    """No specimen represents an oversize fraction."""
    values = case.values
    for one in untested(values.fractions, values.particles, values.opening_mm):
        name = case.record.fractions[one.number - 1].retained_on
        yield Doubt(
            field=("fractions", one.number - 1),
            found=f"{one.retained:.1f} % retained on {name}, and no specimen of it",
            expected="specimens that represent all of the oversize",
            mend="test that size too, or one specimen of everything retained on the "
            "oversize sieve",
        )


@error("shares-unknown", f"ASTM C127 ({UNCHECKED})")
def shares_unknown(case: Test) -> Iterator[Doubt]:
    """Sizes were tested separately, without their shares in the split."""
    if case.values.shares_unknown:
        yield Doubt(
            field=("specimens",),
            found="specimens of several sizes, but no share of each",
            expected="a fraction of the split for each size",
            mend="enter in retained_on a sieve of the split, and the mass retained on "
            "it",
            severity=None if is_complete(case) else Severity.NOTE,
        )


@warning("soak-out-of-range", "the method's soaking time")
def soak_out_of_range(case: Test) -> Iterator[Doubt]:
    """The soaking time is shorter or longer than the method requires."""
    soak, method = case.record.soak, case.method
    if soak is None or soak.in_ is None or soak.out is None or method is None:
        return
    cell, span = method.cell("soak"), soak.out - soak.in_
    if span < timedelta(0):
        return
    low = cell.si - (cell.si_tolerance or 0.0)
    high = cell.si + cell.si_tolerance if cell.si_tolerance else None
    found = span.total_seconds() / 3600
    if found < low or (high is not None and found > high):
        yield Doubt(
            field=("soak", "out"),
            found=f"{hours_text(span)} in water",
            expected=f"{low:g} h or more" if high is None else f"{low:g} to {high:g} h",
            mend="soak the particles again if they are still on hand, for the time "
            "required",
            basis=cell.basis,
        )


@warning("water-temperature-out-of-range", "the method's water temperature")
def water_temperature(case: Test) -> Iterator[Doubt]:
    """Particles were weighed in water colder or warmer than the method requires."""
    soak, method = case.record.soak, case.method
    if soak is None or soak.water_temperature_c is None or method is None:
        return
    cell = method.cell("water_temperature")
    if not within(cell, float(soak.water_temperature_c)):
        yield Doubt(
            field=("soak", "water_temperature_c"),
            found=f"{soak.water_temperature_c} °C",
            expected=str(cell),
            mend="bring the bath to temperature and weigh in water again",
            basis=cell.basis,
        )


OUT = ("soak", "out")


def soak_hours(case: Test) -> Iterator[Doubt]:
    """Doubt the times of soaking, and of putting into the oven after it."""
    soak, oven = case.record.soak, case.record.oven
    if soak is None:
        return
    yield from moment_doubts(
        ("put into water", soak.in_), ("taken out of the water", soak.out), OUT
    )
    if oven is not None:
        yield from moment_doubts(
            ("taken out of the water", soak.out),
            ("put into the oven", oven.in_),
            ("oven", "in"),
        )


RULES: tuple[Rule[Test], ...] = (
    specimen_too_small,
    nominal_maximum_missing,
    size_untested,
    shares_unknown,
    soak_out_of_range,
    water_temperature,
)
