"""What the weighings of stones say, and whether they were made as the method asks."""

from collections.abc import Iterator
from datetime import timedelta
from itertools import pairwise

from buildsite.kinds.limits import within
from buildsite.kinds.sizes import by_size
from buildsite.kinds.tests.coarse_fraction.case import Test
from buildsite.kinds.tests.coarse_fraction.compute import untested
from buildsite.kinds.tests.coarse_fraction.model import Specimen
from buildsite.kinds.tests.shared.completeness import is_complete
from buildsite.kinds.tests.shared.containers import constant_mass
from buildsite.kinds.tests.shared.rules.oven import hours, later_than
from buildsite.record.flags import Doubt, Rule, Severity
from buildsite.record.reading import resolution
from buildsite.record.units import from_si
from buildsite.soil.rounding import plain, round_half_even

HAIR = 1e-9
"""Relative play for values that stand on a limit and were taken to SI."""

USUAL_GRAVITY = (2.3, 3.1)
"""Bulk specific gravities of common rock, from porous chert to basalt: common
practice."""

HIGH_ABSORPTION = 4.0
"""Absorption above which Arizona corrects no density for its rock: ARIZ 227d (November
2016), clause 1.2. [%]"""


def weight(one: Specimen) -> Severity | None:
    """What a fault of a rejected specimen weighs."""
    return Severity.NOTE if one.rejected is not None else None


def lighter_than_dry(case: Test) -> Iterator[Doubt]:
    """Saturated stones that weigh less than dry."""
    unit = case.record.units.gravity or ""
    for i, one in enumerate(case.record.specimens):
        dry, soaked = (one.oven_dry or (None,))[-1], one.surface_dry
        if dry is not None and soaked is not None and soaked < dry:
            yield Doubt(
                field=("specimens", i, "surface_dry"),
                found=f"{soaked} {unit}",
                expected=f"at least oven_dry, {dry} {unit}",
                mend="stones take up water: look for two masses in each other's place, "
                "or for stones lost on the way",
                severity=weight(one),
            )


def in_water_impossible(case: Test) -> Iterator[Doubt]:
    """Stones that weigh no less in water than dry in air."""
    unit = case.record.units.gravity or ""
    for i, one in enumerate(case.record.specimens):
        dry, sunk = (one.oven_dry or (None,))[-1], one.in_water
        if dry is not None and sunk is not None and sunk >= dry:
            yield Doubt(
                field=("specimens", i, "in_water"),
                found=f"{sunk} {unit}",
                expected=f"less than oven_dry, {dry} {unit}",
                mend="water bears part of them: was the basket taken away, or the "
                "balance at zero with the basket hanging in the water?",
                severity=weight(one),
            )


def gravity_unusual(case: Test) -> Iterator[Doubt]:
    """Stones lighter or denser than rock is."""
    low, high = USUAL_GRAVITY
    for one in case.values.stones:
        if one.bulk is not None and not low <= one.bulk <= high:
            yield Doubt(
                field=("specimens", one.number - 1),
                found=f"a bulk specific gravity of {one.bulk:.3f}",
                expected=f"{low} to {high}",
                mend="look at the mass in water first: air under the stones, or the "
                "basket's own mass",
                severity=weight(case.record.specimens[one.number - 1]),
            )


def absorption_high(case: Test) -> Iterator[Doubt]:
    """Stones that take up so much water that a correction for them is doubtful."""
    found = case.values.gravities
    if found is not None and found.absorption > HIGH_ABSORPTION:
        yield Doubt(
            field=("specimens",),
            found=f"an absorption of {found.absorption:.1f} %",
            expected=f"at most {HIGH_ABSORPTION} %",
            mend="look whether the stones were still wet on their faces; if it is the "
            "rock, let an engineer judge the correction",
        )


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
            found=f"{hours(span)} in water",
            expected=f"{low:g} h or more" if high is None else f"{low:g} to {high:g} h",
            mend="soak again if the stones are still there; water goes on creeping in",
            basis=cell.basis,
        )


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


def soak_hours(case: Test) -> Iterator[Doubt]:
    """Hours of the soak, and from it to the oven."""
    soak, oven = case.record.soak, case.record.oven
    if soak is None:
        return
    yield from later_than(
        ("put into water", soak.in_), ("taken out of the water", soak.out), OUT
    )
    if oven is not None:
        yield from later_than(
            ("taken out of the water", soak.out),
            ("put into the oven", oven.in_),
            ("oven", "in"),
        )


OUT = ("soak", "out")


def still_drying(case: Test) -> Iterator[Doubt]:
    """Stones whose mass still fell at the last weighing."""
    unit, (allowed, basis) = case.record.units.gravity or "", constant_mass(case)
    for i, one in enumerate(case.record.specimens):
        masses = one.oven_dry or ()
        if len(masses) < 2:
            continue
        lost = (masses[-2] - masses[-1]) / masses[-1] * 100
        if lost > allowed:
            yield Doubt(
                field=("specimens", i, "oven_dry"),
                found=f"{masses[-2]} {unit}, then {masses[-1]} {unit}: "
                f"{lost:.2f} % lost",
                expected=f"at most {allowed} % in an hour or more",
                mend="dry on until two masses agree, and add the last one",
                severity=weight(one),
                basis=basis,
            )


def mass_rose(case: Test) -> Iterator[Doubt]:
    """Successive oven masses of stones that rise."""
    unit = case.record.units.gravity or ""
    for i, one in enumerate(case.record.specimens):
        for earlier, later in pairwise(one.oven_dry or ()):
            if later - earlier > resolution(one.oven_dry or ()):
                yield Doubt(
                    field=("specimens", i, "oven_dry"),
                    found=f"{later} {unit} after {earlier} {unit}",
                    expected="each mass at most the one before it",
                    mend="let the stones cool under cover and weigh again",
                    severity=weight(one),
                )


RULES: tuple[Rule[Test], ...] = (
    Rule(
        "surface-dry-lighter-than-dry",
        Severity.ERROR,
        "conservation of mass",
        lighter_than_dry,
    ),
    Rule(
        "in-water-mass-impossible",
        Severity.ERROR,
        "Archimedes: water bears what it is displaced by",
        in_water_impossible,
    ),
    Rule(
        "unusual-bulk-specific-gravity",
        Severity.WARNING,
        "common practice",
        gravity_unusual,
    ),
    Rule(
        "absorption-high",
        Severity.WARNING,
        "ARIZ 227d (November 2016), clause 1.2",
        absorption_high,
    ),
    Rule(
        "stones-too-few",
        Severity.WARNING,
        "the method's least mass of stones",
        specimen_too_small,
    ),
    Rule(
        "nominal-maximum-missing",
        Severity.NOTE,
        "common practice",
        nominal_maximum_missing,
    ),
    Rule("oversize-untested", Severity.WARNING, "common practice", size_untested),
    Rule("shares-unknown", Severity.ERROR, "ASTM C127 (from memory)", shares_unknown),
    Rule(
        "soak-out-of-range",
        Severity.WARNING,
        "the method's time in water",
        soak_out_of_range,
    ),
    Rule(
        "water-temperature-out-of-range",
        Severity.WARNING,
        "the method's water",
        water_temperature,
    ),
)
