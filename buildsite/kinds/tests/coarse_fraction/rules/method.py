"""Whether stones were enough, soaked and weighed as the method asks."""

from collections.abc import Iterator
from datetime import timedelta

from buildsite.kinds.limits import HAIR, within
from buildsite.kinds.sieves import by_size
from buildsite.kinds.tests.coarse_fraction.compute import Test, untested
from buildsite.kinds.tests.shared.completeness import is_complete
from buildsite.kinds.tests.shared.rules.oven import hours_text, moment_doubts
from buildsite.record.flags import Doubt, Rule, Severity, error, note, warning
from buildsite.record.units import from_si
from buildsite.soil.rounding import plain, round_half_even


@warning("stones-too-few", "the method's least mass of stones")
def specimen_too_small(case: Test) -> Iterator[Doubt]:
    """Fewer stones than their nominal maximum size asks for."""
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
        for one in case.values.stones
        if not one.rejected and one.dry_mass is not None
    ]
    # Sizes that are tested apart make up the specimen together.
    if cell is not None and counted and sum(counted) < cell.si * (1 - HAIR):
        shown = plain(round_half_even(from_si(sum(counted), unit), 1))
        yield Doubt(
            field=("specimens",),
            found=f"{shown} {unit} of stones, nominal maximum size {size}",
            expected=f"at least {cell}",
            mend="take more next time, or say that there was no more",
            basis=cell.basis,
        )


@note("nominal-maximum-missing", "common practice")
def nominal_maximum_missing(case: Test) -> Iterator[Doubt]:
    """A complete test of stones that does not say how large they were."""
    record = case.record
    if is_complete(case) and record.specimens and record.nominal_maximum is None:
        yield Doubt(
            field=("nominal_maximum",),
            found="nothing",
            expected="the nominal maximum size of the stones, a sieve",
            mend="take it from the gradation: the least mass goes by it",
        )


@warning("oversize-untested", "common practice")
def size_untested(case: Test) -> Iterator[Doubt]:
    """Oversize of a size that no specimen stands for."""
    values = case.values
    for one in untested(values.fractions, values.stones, values.opening_mm):
        name = case.record.fractions[one.number - 1].retained_on
        yield Doubt(
            field=("fractions", one.number - 1),
            found=f"{one.retained:.1f} % on {name}, and no specimen of it",
            expected="specimens that stand for all of the oversize",
            mend="test that size too, or one specimen of all that the oversize sieve "
            "holds back",
        )


@error("shares-unknown", "ASTM C127 (from memory)")
def shares_unknown(case: Test) -> Iterator[Doubt]:
    """Sizes tested apart whose shares the split does not tell."""
    if case.values.shares_unknown:
        yield Doubt(
            field=("specimens",),
            found="specimens of several sizes, and no share of each",
            expected="a fraction of the split for each size",
            mend="name in retained_on a sieve that the split has, and weigh what it "
            "held back",
            severity=None if is_complete(case) else Severity.NOTE,
        )


@warning("soak-out-of-range", "the method's time in water")
def soak_out_of_range(case: Test) -> Iterator[Doubt]:
    """Stones that lay in water for a shorter or longer time than the method asks."""
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
            mend="soak again if the stones are still there; water goes on creeping in",
            basis=cell.basis,
        )


@warning("water-temperature-out-of-range", "the method's water")
def water_temperature(case: Test) -> Iterator[Doubt]:
    """Stones weighed in water colder or warmer than the method asks."""
    soak, method = case.record.soak, case.method
    if soak is None or soak.water_temperature_c is None or method is None:
        return
    cell = method.cell("water_temperature")
    if not within(cell, float(soak.water_temperature_c)):
        yield Doubt(
            field=("soak", "water_temperature_c"),
            found=f"{soak.water_temperature_c} °C",
            expected=str(cell),
            mend="let the bath come to temperature and weigh in water again",
            basis=cell.basis,
        )


OUT = ("soak", "out")


def soak_hours(case: Test) -> Iterator[Doubt]:
    """Hours of the soak, and from it to the oven."""
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
