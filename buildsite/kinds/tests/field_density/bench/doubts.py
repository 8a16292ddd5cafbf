"""Doubts about a reading just made: while the hole is open it can be mended."""

from collections.abc import Callable, Iterator
from itertools import pairwise

from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.water import gauge_readings
from buildsite.record.flags import Doubt, Field, Severity
from buildsite.record.units import from_si, to_si

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


def doubts_of(case: Test) -> Callable[[Field], tuple[Doubt, ...]]:
    """Return the function that doubts a reading that can't be, or is unlike soil."""

    def doubts_at(field: Field) -> tuple[Doubt, ...]:
        name = field[-1]
        if field[:2] == ("gauge", "readings"):
            return (*odd_density(case, field), *turned_apart(case, field))
        if name not in MASSES:
            return ()
        return (*no_sand(case, field), *odd_density(case, field))

    return doubts_at


def no_sand(case: Test, field: Field) -> Iterator[Doubt]:
    """Doubt an apparatus that left no sand for the hole, or a reading that fell."""
    record, sand = case.record, case.values.dug.sand
    unit = record.units.mass
    if sand is not None and sand <= 0 and unit is not None:
        before, after = record.apparatus_before, record.apparatus_after
        yield Doubt(
            field,
            f"apparatus {before} {unit} before and {after} {unit} after",
            "less after than before, by more than the sand in cone and plate",
            "weigh the apparatus again; the two may be exchanged",
            Severity.ERROR,
        )
    low, high = record.volume_before, record.volume_after
    if low is not None and high is not None and high <= low:
        yield Doubt(
            field,
            f"volume readings {low} on the surface and {high} in the hole",
            "more in the hole",
            "read again; the two may be exchanged",
            Severity.ERROR,
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


def turned_apart(case: Test, field: Field) -> Iterator[Doubt]:
    """Doubt readings of a turned gauge that differ by more than usual."""
    cell, unit = case.cell("rotated_within"), case.record.units.density
    if cell is None or unit is None:
        return
    read = [
        to_si(one.wet_density, unit)
        for one in gauge_readings(case.record)
        if one.wet_density is not None
    ]
    last = list(pairwise(read))[-1:]
    for one, other in last:
        if abs(one - other) > cell.si * (1 + 1e-9):
            apart = f"{from_si(abs(one - other), unit):.3g} {unit}"
            yield Doubt(
                field,
                f"wet densities of the turned gauge {apart} apart",
                f"within {cell}",
                "seat the gauge again, or take a further reading beside",
            )
