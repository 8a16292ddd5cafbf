"""Checks of the calibrations of a sand-cone apparatus."""

from collections.abc import Iterator
from typing import Any

from buildsite.kinds.equipment.calibrations import Nonconformity, in_force
from buildsite.kinds.equipment.due import after
from buildsite.kinds.equipment.field_limits import field_limit
from buildsite.kinds.equipment.found_changed import (
    EXACT,
    FOUND_CHANGED,
    Figure,
    change_doubts,
    changed,
)
from buildsite.kinds.equipment.sand_cone.model import (
    Determined,
    Found,
    SandCone,
    quoted,
    sand_interval,
)
from buildsite.kinds.kind import Case
from buildsite.kinds.reporting import to_places
from buildsite.record.flags import Doubt, Field, Rule, error, note, warning
from buildsite.record.messages import counted
from buildsite.record.units import from_si, unit
from buildsite.standards.cells import UNCHECKED
from buildsite.standards.method import Method
from buildsite.standards.tables import limit

Cone = Case[SandCone, Found]

D1556 = f"ASTM D1556 ({UNCHECKED})"


def every(case: Cone) -> Iterator[tuple[Field, str, Determined]]:
    """Yield every set of determinations, with its place and its name."""
    for i, one in enumerate(case.values.cone):
        yield ("calibrations", i, "sand_in_cone"), "cone", one
    for k, bag in enumerate(case.values.bags):
        words = f"sand of bag {case.record.bags[k].bag}"
        for i, one in enumerate(bag):
            yield ("bags", k, "determinations", i, "sand_in_container"), words, one


@warning("sand-determinations-disagree", "ASTM D1556: determinations of sand")
def determinations_disagree(case: Cone) -> Iterator[Doubt]:
    """A determination of the sand in the cone, or of its density, is off the mean."""
    most = field_limit("sand-cone", "sand_determinations_within")
    for field, words, one in every(case):
        if one.furthest > most.si * EXACT:
            yield Doubt(
                field=field,
                found=f"{words}: a determination {to_places(one.furthest, 1)} % from "
                "the mean",
                expected=f"each within {most} of the mean of all",
                mend="pour again without a jolt, strike off level, and check balance "
                "and funnel; the sand may be damp or segregated",
                basis=most.basis,
            )


@note("too-few-sand-determinations", D1556)
def too_few(case: Cone) -> Iterator[Doubt]:
    """The sand in the cone, or its density, was determined too few times."""
    least = limit("sand_determinations")
    for field, words, one in every(case):
        if 0 < len(one.values) < least.si:
            yield Doubt(
                field=field,
                found=f"{words}: {counted(len(one.values), 'determination')}",
                expected=f"at least {least}",
                mend="fill and weigh again",
            )


@warning("sand-interval-too-long", D1556)
def interval_too_long(case: Cone) -> Iterator[Doubt]:
    """The sand of a bag is said to be due later than the standard allows."""
    interval = sand_interval()
    for k, bag in enumerate(case.record.bags):
        for i, one in enumerate(bag.determinations):
            last = after(one.on, interval)
            if one.next_due is not None and one.next_due > last:
                yield Doubt(
                    field=("bags", k, "determinations", i, "next_due"),
                    found=f"{one.next_due}, {(one.next_due - one.on).days} days after",
                    expected=f"by {last}: at most {interval}",
                    mend="correct the date: the bulk density changes with humidity",
                    basis=interval.basis,
                )


@error("bag-listed-twice", "common practice")
def bag_twice(case: Cone) -> Iterator[Doubt]:
    """Two bags of sand have the same label."""
    seen: set[str] = set()
    for k, one in enumerate(case.record.bags):
        if one.bag in seen:
            yield Doubt(
                field=("bags", k, "bag"),
                found=f"bag {one.bag} twice",
                expected="a label of its own for each bag",
                mend="give the newer bag another label, on the bag too",
            )
        seen.add(one.bag)


@warning("cone-of-other-sand", f"AASHTO T 191 ({UNCHECKED})")
def cone_of_other_sand(case: Cone) -> Iterator[Doubt]:
    """The cone in force was calibrated with another sand than that of a bag in use."""
    record = case.record
    index = in_force(record.calibrations, None)
    sand = None if index is None else record.calibrations[index].sand
    for k, one in enumerate(record.bags):
        if one.out_of_use is None and sand and one.sand and one.sand != sand:
            yield Doubt(
                field=("bags", k, "sand"),
                found=f"bag {one.bag}: {one.sand}; cone calibrated with {sand}",
                expected="the mass of sand in the cone, found with the sand in use",
                mend=f"`buildsite calibrate {record.id} --what cone`, or set the bag "
                "aside",
            )


def cone_figure(case: Cone) -> Figure:
    """Return the sand of the cone, to see whether it changed."""
    means = [one.mean for one in case.values.cone]
    unit_of = case.record.units.mass
    places = 0 if unit_of == "g" else 3
    return Figure("sand in the cone", means, unit_of, places, limit("sand_changed"))


def sand_figure(case: Cone, k: int) -> Figure:
    """Return the densities of the sand of a bag, to see whether one changed."""
    means = [one.mean for one in case.values.bags[k]]
    unit_of = case.record.units.density
    places = density_places(unit_of)
    return Figure(
        "bulk density of the sand", means, unit_of, places, limit("sand_changed")
    )


def density_places(unit_of: str) -> int:
    """
    Return the decimals that show the density of sand to about 1 kg/m³.

    >>> density_places("g/cm3"), density_places("lb/ft3"), density_places("kg/m3")
    (3, 1, 0)
    """
    return {"kg/m3": 0, "lb/ft3": 1, "lbf/ft3": 1, "kN/m3": 2}.get(unit_of, 3)


def density_text(value: float | None, unit_of: str) -> str:
    """Return a density of sand in a unit; a dash where there is none."""
    shown = None if value is None else from_si(value, unit_of)
    return to_places(shown, density_places(unit_of))


def faults(case: Cone, i: int, method: Method | None) -> Iterator[Nonconformity]:
    """Return the fault of a cone that changed, for any method."""
    if method is None:
        yield from changed(case.record.calibrations, cone_figure(case), i)


def sand_faults(case: Cone, part: str, i: int) -> Iterator[Nonconformity]:
    """Return the fault of a bag whose sand changed since its last determination."""
    for k, one in enumerate(case.record.bags):
        if one.bag == part:
            yield from changed(one.determinations, sand_figure(case, k), i)
            return


@warning(*FOUND_CHANGED)
def found_changed(case: Cone) -> Iterator[Doubt]:
    """The sand of the cone, or its density, differs from the calibration before."""
    record = case.record
    yield from change_doubts(
        record.id,
        record.calibrations,
        cone_figure(case),
        ("calibrations",),
        " --what cone",
    )
    for k, one in enumerate(record.bags):
        yield from change_doubts(
            record.id,
            one.determinations,
            sand_figure(case, k),
            ("bags", k, "determinations"),
            f" --what sand --bag {quoted(one.bag)}",
        )


RULES: tuple[Rule[Case[Any, Any]], ...] = (
    determinations_disagree,
    too_few,
    interval_too_long,
    bag_twice,
    cone_of_other_sand,
    found_changed,
)


def shown(unit_of: str) -> str:
    """Return a unit as a page prints it."""
    return unit(unit_of).shown
