"""Checks of hole and specimen against the largest particle of the soil."""

from collections.abc import Iterator

from buildsite.kinds.limits import HAIR
from buildsite.kinds.sieves import by_size, opening_mm
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.model import CONTAINERS
from buildsite.kinds.tests.field_density.water import InContainer
from buildsite.kinds.tests.shared.columns import Line
from buildsite.kinds.tests.shared.completeness import is_complete
from buildsite.record.flags import Doubt, Rule, error, note, warning
from buildsite.record.units import from_si
from buildsite.soil.rounding import plain, round_half_even
from buildsite.standards.cells import Cell

COMMON = "common practice"

HOLES = ("sand-cone", "balloon")
"""Apparatus that measures a hole."""


def for_size(case: Test, lead: str) -> Cell | None:
    """Return the method's cell for the largest particle, of those named `lead`…."""
    size, method = case.record.largest_particle, case.method
    return by_size(method, lead, size) if method and size else None


def surface_rose(case: Test) -> bool:
    """Whether the readings of rough ground are interchanged."""
    rough = case.record.surface
    if rough is None or rough.before is None or rough.after is None:
        return False
    return rough.after >= rough.before


@error("hole-without-volume", "conservation of mass")
def hole_without_volume(case: Test) -> Iterator[Doubt]:
    """The readings leave no volume: no sand in the hole, or no soil in the cylinder."""
    record, hole = case.record, case.values.dug
    if hole.sand is not None and hole.sand <= 0:
        found = f"{plain(round_half_even(hole.sand * 1000, 0))} g of sand in the hole"
        where = "apparatus_after"
    elif (
        record.volume_before is not None
        and record.volume_after is not None
        and record.volume_after <= record.volume_before
    ):
        found = f"{record.volume_after} in the hole, {record.volume_before} before it"
        where = "volume_after"
    elif (
        record.container_and_wet_soil is not None
        and record.container_mass is not None
        and record.container_and_wet_soil <= record.container_mass
    ):
        found = f"{record.container_and_wet_soil} with the soil"
        where = "container_and_wet_soil"
    elif surface_rose(case):
        found, where = "more sand after the surface than before", "surface"
    else:
        return
    yield Doubt(
        field=(where,),
        found=found,
        expected="the reading with the hole filled, or the soil weighed, as the larger",
        mend="check for interchanged readings, or a mass of the cone that is wrong",
    )


@warning("hole-too-small", "the method's least hole volume")
def hole_too_small(case: Test) -> Iterator[Doubt]:
    """A test hole is smaller than its largest particle requires."""
    cell, volume = for_size(case, "hole_volume_at_least"), case.values.dug.volume
    if case.record.apparatus not in HOLES or cell is None or volume is None:
        return
    if volume < cell.si * (1 - HAIR):
        shown = plain(round_half_even(from_si(volume, cell.unit), 0))
        yield Doubt(
            field=("largest_particle",),
            found=f"a hole of {shown} {cell.printed.unit} in soil passing "
            f"{case.record.largest_particle}",
            expected=f"at least {cell}",
            mend="dig a larger hole and test again; the report states the small hole",
            basis=cell.basis,
        )


@warning("particles-too-large", "the method's largest particle")
def particles_too_large(case: Test) -> Iterator[Doubt]:
    """The soil has larger particles than the method serves."""
    size, cell = case.record.largest_particle, case.cell("largest_particle")
    opening = opening_mm(size) if size is not None else None
    if cell is None or opening is None or opening <= cell.si * 1000 * (1 + 0.02):
        return
    yield Doubt(
        field=("largest_particle",),
        found=f"soil passing {size}",
        expected=f"particles of at most {cell}",
        mend="use a method for coarser soil, or agree on another way of control",
        basis=cell.basis,
    )


def weighed_containers(case: Test) -> Iterator[tuple[Line, InContainer]]:
    """Yield each container with its values."""
    water = case.values.water
    lines = CONTAINERS.lines(case.record)
    yield from zip(lines, (*water.containers, *water.checked), strict=True)


@warning("moisture-specimen-too-small", "the method's minimum specimen mass")
def specimen_too_small(case: Test) -> Iterator[Doubt]:
    """A container has less wet soil than its largest particle requires."""
    cell, unit = for_size(case, "specimen_at_least"), case.record.units.moisture
    if cell is None or unit is None or not is_complete(case):
        return
    for line, found in weighed_containers(case):
        if found.moist_soil is None or found.moist_soil >= cell.si * (1 - HAIR):
            continue
        shown = plain(round_half_even(from_si(found.moist_soil, unit), 1))
        yield Doubt(
            field=line.field,
            found=f"{shown} {unit} of wet soil passing {case.record.largest_particle}",
            expected=f"at least {cell}",
            mend="take more soil next time; the report states the small specimen",
            severity=line.severity,
            basis=cell.basis,
        )


@note("largest-particle-missing", COMMON)
def largest_particle_missing(case: Test) -> Iterator[Doubt]:
    """A complete test does not state its largest particle size."""
    if is_complete(case) and case.record.largest_particle is None:
        expected = "the finest sieve that all of the soil passes"
        mend = "ask the technician; hole and specimen depend on it"
        yield Doubt(("largest_particle",), "not stated", expected, mend)


@warning("unknown-sieve", COMMON)
def unknown_sieve(case: Test) -> Iterator[Doubt]:
    """A particle size, or the sieve of a split, is not a known sieve."""
    coarse = case.record.coarse
    split = coarse.sieve if coarse is not None else None
    for field, size in (
        (("largest_particle",), case.record.largest_particle),
        (("coarse", "sieve"), split),
    ):
        if size is not None and opening_mm(size) is None:
            expected = "a sieve, such as No. 4, 3/4 in or 19 mm"
            yield Doubt(field, size, expected, "enter it as marked on the sieve")


RULES: tuple[Rule[Test], ...] = (
    hole_without_volume,
    hole_too_small,
    particles_too_large,
    specimen_too_small,
    largest_particle_missing,
    unknown_sieve,
)
