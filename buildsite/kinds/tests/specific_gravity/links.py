"""References of a specific gravity test to other records, and readings to compare."""

from collections.abc import Iterator

from buildsite.kinds.answers import OversizeFact, PycnometerFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.tests.shared.columns import Columns, as_written
from buildsite.kinds.tests.shared.links import common_refs, device_refs, unique
from buildsite.kinds.tests.specific_gravity.compute import Test, pycnometer_id
from buildsite.kinds.tests.specific_gravity.model import (
    CONTAINER_AND_DRY,
    DETERMINATIONS,
    DRY_SOIL,
    SOIL_AND_WATER,
    SpecificGravityTest,
)
from buildsite.record.flags import Field

PYCNOMETER = ("pycnometer",)


def pycnometer_refs(record: SpecificGravityTest) -> Iterator[Ref]:
    """Return a reference to each pycnometer, as of the day of the test."""
    for i, one in enumerate(record.determinations):
        id = pycnometer_id(record, one)
        if id is not None:
            field: Field = ("equipment", "pycnometer")
            if one.pycnometer is not None:
                field = ("determinations", i, "pycnometer")
            yield Ref(PycnometerFacts, PYCNOMETER, id, field, record.tested.on)
    if not record.determinations and record.equipment and record.equipment.pycnometer:
        field, id = ("equipment", "pycnometer"), record.equipment.pycnometer
        yield Ref(PycnometerFacts, PYCNOMETER, id, field, record.tested.on)


def each_pycnometer(case: Test) -> Iterator[tuple[Ref, PycnometerFacts]]:
    """Return each pycnometer of the test, at the first field that names it."""
    seen = set()
    for ref in pycnometer_refs(case.record):
        facts = case.inputs.get(PycnometerFacts, ref.id, ref.on)
        if facts is not None and ref.id not in seen:
            seen.add(ref.id)
            yield ref, facts


def needs(record: SpecificGravityTest) -> tuple[Ref, ...]:
    """Return every reference of a test, each question once."""
    refs = [*common_refs(record), *pycnometer_refs(record), *device_refs(record)]
    if record.coarse is not None and record.coarse.test is not None:
        field = ("coarse", "test")
        refs.append(Ref(OversizeFact, (), record.coarse.test, field))
    return unique(*refs)


ENOUGH = 2
"""Readings that two determinations can't share by chance: soil, and all together."""

COMPARED = Columns(DETERMINATIONS.lines, (SOIL_AND_WATER, DRY_SOIL, CONTAINER_AND_DRY))


def compared(record: SpecificGravityTest) -> Iterator[tuple[Field, tuple[str, ...]]]:
    """Return the readings of each determination whose temperature was read too."""
    for field, read in as_written(record, COMPARED, ENOUGH, "specific gravity"):
        at = record.determinations[int(field[1])].temperature_c
        if at is not None:
            yield field, (*read, str(at))
