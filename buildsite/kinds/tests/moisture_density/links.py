"""What a compaction test needs from other records, and what is compared across."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from buildsite.kinds.answers import (
    BalanceError,
    MoldFacts,
    OversizeFact,
    SpecificGravityFact,
    UncertaintyFacts,
)
from buildsite.kinds.field_answers import RequirementsToServe
from buildsite.kinds.kind import Inputs, Ref
from buildsite.kinds.laboratory.lab import ASKED
from buildsite.kinds.tests.moisture_density.model import MoistureDensity, Point
from buildsite.kinds.tests.moisture_density.specimens import (
    compacted_on,
    mold_id,
)
from buildsite.kinds.tests.shared.columns import read_in
from buildsite.kinds.tests.shared.containers import MASSES
from buildsite.kinds.tests.shared.links import (
    common_refs,
    device_refs,
    trace_of,
    unique,
)
from buildsite.kinds.tests.shared.record import once
from buildsite.kinds.traces import MoldUse, Trace, Use
from buildsite.record.flags import Field
from buildsite.record.reading import resolution
from buildsite.record.units import to_si


@once
def mold_refs(record: MoistureDensity) -> Iterator[Ref]:
    """Yield a reference to each mold on each day of use."""
    for i, point in enumerate(record.points):
        id = mold_id(record, point)
        if id is not None:
            own = point.mold is not None
            field: Field = ("points", i, "mold") if own else ("equipment", "mold")
            yield Ref(MoldFacts, ("mold",), id, field, compacted_on(record, point))
    if not record.points and record.equipment and record.equipment.mold:
        field = ("equipment", "mold")
        on = record.compacted.on
        yield Ref(MoldFacts, ("mold",), record.equipment.mold, field, on)


def needs(record: MoistureDensity) -> tuple[Ref, ...]:
    """Return the references of a test, each once."""
    refs = [*common_refs(record), *mold_refs(record), *device_refs(record)]
    refs += uncertainty_refs(record)
    refs.append(requirements_ref(record))
    gravity, coarse = record.specific_gravity, record.oversize
    if gravity is not None and gravity.test is not None:
        where = ("specific_gravity", "test")
        refs.append(Ref(SpecificGravityFact, (), gravity.test, where))
    if coarse is not None and coarse.test is not None:
        refs.append(Ref(OversizeFact, (), coarse.test, ("oversize", "test")))
    return unique(*refs)


def requirements_ref(record: MoistureDensity) -> Ref:
    """Ask the project for the requirements that a test by this method can serve."""
    used, where = record.standard, ("project",)
    about = (used.designation, used.method)
    asked = RequirementsToServe
    return Ref(asked, where, record.project, where, about=about, silent=True)


def uncertainty_refs(record: MoistureDensity) -> Iterator[Ref]:
    """Ask the laboratory whether uncertainty is to be stated, unless the test does."""
    if record.uncertainty is False:
        return
    used = record.standard
    about = (used.designation, used.method, *((ASKED,) if record.uncertainty else ()))
    on = record.compacted.on
    yield Ref(UncertaintyFacts, ("laboratory",), "lab", (), on, about, silent=True)


def asks_uncertainty(record: MoistureDensity, inputs: Inputs) -> bool:
    """Return whether a test is to state its uncertainty."""
    if record.uncertainty is not None:
        return record.uncertainty
    return inputs.get(UncertaintyFacts, "lab", record.compacted.on) is not None


def further(record: MoistureDensity, inputs: Inputs) -> tuple[Ref, ...]:
    """Return the reference to the error of the balance, where uncertainty is stated."""
    on, used = record.compacted.on, record.equipment
    asked = inputs.get(UncertaintyFacts, "lab", on)
    if asked is None or used is None or used.balance is None:
        return ()
    where = ("equipment", "balance")
    return (Ref(BalanceError, ("balance",), used.balance, where, on, silent=True),)


def readings_of(point: Point) -> tuple[str, ...]:
    """Return the readings of a point as written, if enough to recognize it by."""
    read = list(read_in(point, "mold_and_wet_soil"))
    for one in point.all_containers:
        for name in MASSES:
            read += read_in(one, name)
    return tuple(map(str, read)) if len(read) >= ENOUGH else ()


ENOUGH = 4
"""Readings that two points do not share by chance: filled mold, three masses."""


def mold_uses(record: MoistureDensity) -> Iterator[MoldUse]:
    """Yield each mold as weighed for this test, once."""
    unit = record.units.compacted
    seen = set()
    for i, point in enumerate(record.points):
        id, own = mold_id(record, point), point.mold_mass is not None
        mass = point.mold_mass if own else record.mold_mass
        on = compacted_on(record, point)
        if id is None or mass is None or unit is None or on is None or id in seen:
            continue
        seen.add(id)
        yield MoldUse(
            mold=id,
            on=on,
            mass_kg=to_si(mass, unit),
            resolution_kg=to_si(resolution(mass), unit),
            weighed_with=record.weighed_with or "",
            shown=f"{mass} {unit}",
            field=("points", i, "mold_mass") if own else ("mold_mass",),
        )


def equipment_uses(record: MoistureDensity) -> tuple[Use, ...]:
    """Return the equipment used on each day, with its number of specimens."""
    counted: dict[tuple[str | None, date | None], int] = {
        (ref.id, ref.on): 0 for ref in (*mold_refs(record), *device_refs(record))
    }
    rammer = record.equipment.rammer if record.equipment is not None else None
    for point in record.points:
        if point.mold_and_wet_soil is not None:
            on = compacted_on(record, point)
            for one in ((mold_id(record, point), on), (rammer, on)):
                if one in counted:
                    counted[one] += 1
    return tuple(
        Use(id, on, many) for (id, on), many in counted.items() if id and on is not None
    )


def trace(record: MoistureDensity, file: str) -> Trace:
    """Return what rules compare across records."""
    readings = ((("points", i), readings_of(p)) for i, p in enumerate(record.points))
    made = trace_of(record, file, readings, repeats=True)
    molds, uses = tuple(mold_uses(record)), equipment_uses(record)
    return replace(made, molds=molds, uses=uses, has_curve=True)
