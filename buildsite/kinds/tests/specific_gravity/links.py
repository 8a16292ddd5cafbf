"""What a specific gravity test asks of other records, and leaves for comparison."""

from collections.abc import Iterator

from buildsite.kinds.across import Trace, Use
from buildsite.kinds.answers import OversizeFact, PycnometerFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.tests.shared.links import common_refs, device_refs, once
from buildsite.kinds.tests.specific_gravity.compute import pycnometer_id
from buildsite.kinds.tests.specific_gravity.model import (
    Determination,
    SpecificGravityTest,
)
from buildsite.record.flags import Field

PYCNOMETER = ("pycnometer",)


def pycnometer_refs(record: SpecificGravityTest) -> Iterator[Ref]:
    """Ask for each pycnometer, as of the day of the test."""
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


def needs(record: SpecificGravityTest) -> tuple[Ref, ...]:
    """Everything a test rests on, each question once."""
    refs = [*common_refs(record), *pycnometer_refs(record), *device_refs(record)]
    if record.coarse is not None and record.coarse.test is not None:
        field = ("coarse", "test")
        refs.append(Ref(OversizeFact, (), record.coarse.test, field))
    return once(*refs)


ENOUGH = 2
"""Readings that two determinations can't share by chance: soil, and all together."""


def readings_of(one: Determination) -> tuple[str, ...]:
    """All readings of a determination, if there are enough to tell it by."""
    written = [one.pycnometer_soil_and_water, one.dry_soil]
    written += one.container_and_dry or ()
    known = tuple(str(value) for value in written if value is not None)
    if one.temperature_c is None or len(known) < ENOUGH:
        return ()
    return ("specific gravity", *known, str(one.temperature_c))


def trace(record: SpecificGravityTest, file: str) -> Trace:
    """What rules across records compare."""
    asked = {(ref.id, ref.on) for ref in pycnometer_refs(record)}
    asked |= {(ref.id, ref.on) for ref in device_refs(record)}
    uses = [Use(id, on, 0) for id, on in sorted(asked, key=str) if on is not None]
    return Trace(
        file=file,
        id=record.id,
        molds=(),
        readings=tuple(
            (("determinations", i), readings_of(one))
            for i, one in enumerate(record.determinations)
            if readings_of(one)
        ),
        on=record.tested.on,
        uses=tuple(uses),
    )
