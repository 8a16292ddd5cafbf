"""Doubts about a reading just made: while the hole is open it can be mended."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from buildsite.kinds.limits import HAIR
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.rules.holes import for_size, hole_too_small
from buildsite.record.flags import Doubt, Field
from buildsite.record.units import from_si, to_si
from buildsite.soil.rounding import plain, round_half_even

POSSIBLE_WET = (1200.0, 2600.0)
"""Wet densities of compacted soil and base [kg/m³], from light silt to crushed rock
without voids at its usual water content: common practice."""

MASSES = (
    "apparatus_before",
    "apparatus_after",
    "wet_soil",
    "container_and_wet_soil",
    "cylinder_and_wet_soil",
    "volume_before",
    "volume_after",
    "wet_density",
)
"""Readings that a wet density follows from."""

HOLE_FILLED = ("apparatus_after", "volume_after")
"""Readings with which the volume of a hole is known: it can still be dug deeper."""


def doubts_of(case: Test) -> Callable[[Field], tuple[Doubt, ...]]:
    """Return the function that doubts what the checks tell elsewhere or later."""

    def doubts_at(field: Field) -> tuple[Doubt, ...]:
        name = field[-1]
        found: list[Doubt] = []
        if name in HOLE_FILLED:
            found += (replace(one, field=field) for one in hole_too_small.check(case))
        if name in MASSES:
            found += odd_density(case, field)
        if field == ("position", "offset"):
            found += far_off(case, field)
        if name == "container_and_wet":
            found += small_specimen(case, field)
        return tuple(found)

    return doubts_at


FARTHEST = {"m": 150, "ft": 500}
"""Offsets beyond which it is rather another reading: common practice."""


def far_off(case: Test, field: Field) -> Iterator[Doubt]:
    """Doubt an offset that no fill is wide enough for, as a mass typed too early."""
    place, unit = case.record.position, case.record.units.position
    if place is None or place.offset is None or unit is None:
        return
    if abs(place.offset) > FARTHEST[unit]:
        yield Doubt(
            field,
            f"{place.offset} {unit} from the line",
            f"at most {FARTHEST[unit]} {unit}",
            "the question is the offset; the masses come after it",
        )


def odd_density(case: Test, field: Field) -> Iterator[Doubt]:
    """Doubt a wet density that compacted soil does not have."""
    wet = case.values.dug.wet_density
    low, high = POSSIBLE_WET
    if wet is None or low <= wet <= high:
        return
    unit = case.values.density_unit
    shown, least, most = (f"{from_si(one, unit):.4g}" for one in (wet, low, high))
    yield Doubt(
        field,
        f"a wet density of {shown} {unit}",
        f"{least} to {most} {unit} for compacted soil",
        "check the readings and their units",
    )


def small_specimen(case: Test, field: Field) -> Iterator[Doubt]:
    """Doubt a moisture specimen that is too small for the largest particle."""
    cell, unit = for_size(case, "specimen_at_least"), case.record.units.moisture
    lines, index = case.record.containers, field[1] if len(field) > 1 else 0
    if cell is None or unit is None or field[0] != "containers":
        return
    one = lines[int(index)]
    if one.container_mass is None or one.container_and_wet is None:
        return
    soil = to_si(one.container_and_wet - one.container_mass, unit)
    if 0 < soil < cell.si * (1 - HAIR):
        shown = plain(round_half_even(from_si(soil, unit), 1))
        yield Doubt(
            field,
            f"{shown} {unit} of wet soil passing {case.record.largest_particle}",
            f"at least {cell} ({cell.short_basis})",
            "take more soil while the hole is open",
        )
