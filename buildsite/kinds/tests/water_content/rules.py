"""Every check of a water content."""

from collections.abc import Iterator
from decimal import Decimal

from buildsite.kinds.sieves import opening_mm
from buildsite.kinds.sizes import by_size
from buildsite.kinds.tests.shared.completeness import is_complete, weight_of_gap
from buildsite.kinds.tests.shared.containers import (
    MASSES,
    Held,
    container_rules,
    disagree,
    disagreement,
    masses_of,
    not_read,
)
from buildsite.kinds.tests.shared.rules import shared
from buildsite.kinds.tests.shared.rules.columns import Column, too_coarse
from buildsite.kinds.tests.shared.rules.dates import UNDATED
from buildsite.kinds.tests.shared.rules.equipment import rules_of as devices
from buildsite.kinds.tests.shared.rules.oven import hours_rule
from buildsite.kinds.tests.shared.rules.oven import rules_of as oven_rules
from buildsite.kinds.tests.water_content.case import Test
from buildsite.record.flags import Doubt, Rule, Severity
from buildsite.record.units import from_si
from buildsite.soil.rounding import plain, round_half_even
from buildsite.standards.cells import Cell

HAIR = 1e-9
"""Relative play for values that stand on a limit and were taken to SI."""


def held(case: Test) -> Iterator[Held]:
    """Every container, where it stands."""
    for i, one in enumerate(case.record.containers):
        rejected = one.rejected is not None
        yield Held(("containers", i), one, f"container {i + 1}", rejected=rejected)


def missing_reading(case: Test) -> Iterator[Doubt]:
    """A container without one of its masses, or no container at all."""
    weight = weight_of_gap(case)
    if not case.record.containers:
        yield Doubt(
            field=("containers",),
            found="no containers",
            expected="a line for each container",
            mend="enter the bench sheet, or set the status to in-progress",
            severity=weight,
        )
    for one in held(case):
        missing = [] if one.rejected else not_read(one.one)
        if missing:
            yield Doubt(
                field=one.field,
                found=f"no {', '.join(missing)}",
                expected="three masses",
                mend="take it from the bench sheet; if it was never read, reject the "
                "container and say why",
                severity=weight,
            )


def missing_unit(case: Test) -> Iterator[Doubt]:
    """Masses whose unit the record does not name."""
    read = any(len(not_read(one.one)) < len(MASSES) for one in held(case))
    if read and case.record.units.moisture is None:
        yield Doubt(
            field=("units", "moisture"),
            found="nothing",
            expected="the unit of the containers' masses",
            mend="add moisture to units, as the bench sheet's column says",
        )


def containers_disagree(case: Test) -> Iterator[Doubt]:
    """Containers of one soil that differ by over 10 % of their mean, or a point."""
    yield from disagreement(("containers",), case.values.waters)


def least(case: Test) -> Cell | None:
    """Least moist specimen for the largest particle."""
    size = case.record.largest_particle
    if case.method is None or size is None:
        return None
    return by_size(case.method, "specimen_at_least", size)


def specimen_too_small(case: Test) -> Iterator[Doubt]:
    """Less moist soil in a container than its largest particle asks for."""
    cell, unit = least(case), case.record.units.moisture
    if cell is None or unit is None:
        return
    for one, found in zip(held(case), case.values.containers, strict=True):
        if found.moist_soil is None or found.moist_soil >= cell.si * (1 - HAIR):
            continue
        shown = plain(round_half_even(from_si(found.moist_soil, unit), 2))
        yield Doubt(
            field=one.field,
            found=f"{shown} {unit} of moist soil that passes "
            f"{case.record.largest_particle}",
            expected=f"at least {cell}",
            mend="take more next time; the report says that the specimen was small",
            severity=one.weight,
            basis=cell.basis,
        )


def largest_particle_missing(case: Test) -> Iterator[Doubt]:
    """A complete test that does not say how large its particles were."""
    if is_complete(case) and case.record.largest_particle is None:
        yield Doubt(
            field=("largest_particle",),
            found="nothing",
            expected="the finest sieve that all of the soil passes",
            mend="ask who weighed it: the least mass of a specimen goes by it",
        )


def unknown_size(case: Test) -> Iterator[Doubt]:
    """A size of particle that is no sieve we know."""
    size = case.record.largest_particle
    if size is not None and opening_mm(size) is None:
        yield Doubt(
            field=("largest_particle",),
            found=size,
            expected="a sieve, such as No. 4, 3/4 in or 19 mm",
            mend="write it as it stands on the sieve",
        )


def is_weighed_again(case: Test) -> bool:
    """Whether every container was weighed dry more than once."""
    dried = [one.one.container_and_dry for one in held(case) if not one.rejected]
    return bool(dried) and all(masses and len(masses) > 1 for masses in dried)


def columns(case: Test) -> Iterator[Column]:
    """Each mass of the containers, read as finely as its largest particle asks."""
    size, method = case.record.largest_particle, case.method
    limit = (
        by_size(method, "specimen_read_to", size)
        if method is not None and size is not None
        else None
    )
    for name in MASSES:
        readings = [*masses_of(held(case), name)]
        unit = case.record.units.moisture
        yield Column("resolution_moisture", unit, readings, limit)


def no_hours(case: Test) -> Iterator[Doubt]:
    """Nothing beside the oven is dated by the hour."""
    yield from ()


def weighings(case: Test) -> dict[str, tuple[list[Decimal], str | None]]:
    """Readings of the balance, and their unit."""
    read = [value for _, value in masses_of(held(case)) if value is not None]
    return {"moisture_balance": (read, case.record.units.moisture)}


RULES: tuple[Rule[Test], ...] = (
    *shared("water-content"),
    UNDATED,
    Rule("missing-reading", Severity.ERROR, "common practice", missing_reading),
    Rule("missing-unit", Severity.ERROR, "common practice", missing_unit),
    *container_rules(held),
    disagree(containers_disagree),
    Rule(
        "moisture-specimen-too-small",
        Severity.WARNING,
        "the method's least moisture specimen",
        specimen_too_small,
    ),
    Rule(
        "largest-particle-missing",
        Severity.NOTE,
        "common practice",
        largest_particle_missing,
    ),
    Rule("unknown-sieve", Severity.WARNING, "common practice", unknown_size),
    too_coarse(columns),
    hours_rule(no_hours),
    *oven_rules(is_weighed_again, "container_and_dry"),
    *devices(weighings, {"moisture_balance": ("resolution_moisture_g",)}),
)
