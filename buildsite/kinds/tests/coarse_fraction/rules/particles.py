"""Checks of the masses of coarse particles: one specimen, and several of one size."""

from collections.abc import Callable, Iterator
from decimal import Decimal

from buildsite.kinds.oversize_checks import USUAL_BULK_GRAVITY
from buildsite.kinds.reporting import to_places
from buildsite.kinds.tests.coarse_fraction.compute import Test
from buildsite.kinds.tests.coarse_fraction.model import PARTICLES
from buildsite.kinds.tests.coarse_fraction.particles import Gravities, by_size
from buildsite.kinds.tests.shared.columns import Line, read_in
from buildsite.kinds.tests.shared.containers import risen, still_falling
from buildsite.kinds.tests.shared.repeats import greatest_difference
from buildsite.record.flags import Doubt, Rule, Severity, error, warning

HIGH_ABSORPTION = 4.0
"""Absorption above which Arizona makes no oversize correction of density: ARIZ 227d
(November 2016), clause 1.2. [%]"""


def last_dry(line: Line) -> Decimal | None:
    """Return the last dry mass of a specimen."""
    masses = read_in(line.part, "oven_dry")
    return masses[-1] if masses else None


@error("surface-dry-lighter-than-dry", "conservation of mass")
def lighter_than_dry(case: Test) -> Iterator[Doubt]:
    """Saturated particles weigh less than dry."""
    unit = case.record.units.gravity or ""
    for line in PARTICLES.lines(case.record):
        dry, soaked = last_dry(line), line.part.surface_dry
        if dry is not None and soaked is not None and soaked < dry:
            yield Doubt(
                field=(*line.field, "surface_dry"),
                found=f"{soaked} {unit}",
                expected=f"at least oven_dry, {dry} {unit}",
                mend="check for interchanged masses, or for particles lost between "
                "weighings",
                severity=line.severity,
            )


IN_WATER = "Archimedes: buoyancy equals the weight of the water displaced"


@error("in-water-mass-impossible", IN_WATER)
def in_water_impossible(case: Test) -> Iterator[Doubt]:
    """Particles weigh no less in water than dry in air."""
    unit = case.record.units.gravity or ""
    for line in PARTICLES.lines(case.record):
        dry, sunk = last_dry(line), line.part.in_water
        if dry is not None and sunk is not None and sunk >= dry:
            yield Doubt(
                field=(*line.field, "in_water"),
                found=f"{sunk} {unit}",
                expected=f"less than oven_dry, {dry} {unit}",
                mend="check that the basket's mass in water was subtracted, or the "
                "balance set to zero with the empty basket in water",
                severity=line.severity,
            )


@warning("unusual-bulk-specific-gravity", "common practice")
def gravity_unusual(case: Test) -> Iterator[Doubt]:
    """A bulk specific gravity is outside the range of common rock."""
    low, high = USUAL_BULK_GRAVITY
    for one in case.values.particles:
        if one.bulk is not None and not low <= one.bulk <= high:
            yield Doubt(
                field=("specimens", one.number - 1),
                found=f"{case.word('bulk_specific_gravity')} {one.bulk:.3f}",
                expected=f"{low} to {high}",
                mend="check the mass in water first: trapped air, or the mass of the "
                "basket",
                severity=Severity.NOTE if one.rejected else None,
            )


@warning("absorption-high", "ARIZ 227d (November 2016), clause 1.2")
def absorption_high(case: Test) -> Iterator[Doubt]:
    """The absorption is so high that an oversize correction is doubtful."""
    found = case.values.gravities
    if found is not None and found.absorption > HIGH_ABSORPTION:
        yield Doubt(
            field=("specimens",),
            found=f"absorption {found.absorption:.1f} %",
            expected=f"at most {HIGH_ABSORPTION} %",
            mend="check that the particles were surface-dry when weighed; if the rock "
            "is absorptive, have an engineer judge the correction",
        )


def still_drying(case: Test) -> Iterator[Doubt]:
    """Particles whose mass still fell at the last weighing."""
    for line in PARTICLES.lines(case.record):
        masses = read_in(line.part, "oven_dry")
        if len(masses) > 1:
            lost = ((masses[-2] - masses[-1]) / masses[-1] * 100, "")
            unit = case.record.units.gravity or ""
            yield from still_falling(line, "oven_dry", unit, lost, case)


def mass_rose(case: Test) -> Iterator[Doubt]:
    """Successive oven-dry masses of particles that rise."""
    mend = "cool the particles under cover and weigh again"
    for line in PARTICLES.lines(case.record):
        yield from risen(line, "oven_dry", case.record.units.gravity or "", mend)


OF_SEVERAL = {2: 2.8, 3: 3.3, 4: 3.6, 5: 3.9}
"""Acceptable range of so many results of one operator, over their standard deviation:
ISO 5725-6:1994, table 1, and ASTM C670 (from memory). Over five, that of five holds."""

REPEATED: tuple[tuple[str, str, Callable[[Gravities], float], int], ...] = (
    ("bulk_specific_gravity", "", lambda one: one.bulk, 3),
    ("absorption", " %", lambda one: one.absorption, 2),
)
"""Result, its unit, the function that gets it, and its decimals."""


@warning("specimens-disagree", "the method's repeatability")
def specimens_disagree(case: Test) -> Iterator[Doubt]:
    """Specimens of one size differ by more than the method's repeatability."""
    if case.method is None:
        return
    for group in by_size(case.values.particles, case.values.opening_mm).values():
        found = [one.found for one in group if one.found is not None]
        if len(found) < 2:
            continue
        for name, unit, of, places in REPEATED:
            cell = case.method.optional(f"repeatability_{name}")
            if cell is None:
                continue
            low, *_, high = sorted(map(of, found))
            several = OF_SEVERAL[min(len(found), max(OF_SEVERAL))] / OF_SEVERAL[2]
            most = greatest_difference(cell, (low + high) / 2) * several
            if high - low > most * (1 + 1e-9):
                yield Doubt(
                    field=("specimens",),
                    found=f"{case.method.word(name)} {to_places(low, places)} to "
                    f"{to_places(high, places)}{unit}",
                    expected=f"{len(found)} specimens of one size within "
                    f"{to_places(most, places)}{unit}",
                    mend="check for trapped air, wet surfaces or a misread mass; "
                    "reject the faulty specimen and state why, or test another",
                    basis=cell.basis,
                )


RULES: tuple[Rule[Test], ...] = (
    lighter_than_dry,
    in_water_impossible,
    gravity_unusual,
    absorption_high,
    specimens_disagree,
)
