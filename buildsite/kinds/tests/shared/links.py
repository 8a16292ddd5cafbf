"""What every test asks of other records, and what it leaves to be compared."""

from collections.abc import Iterable, Iterator

from buildsite.kinds.across import Trace
from buildsite.kinds.answers import (
    DeviceFacts,
    LaboratoryFacts,
    ProjectFacts,
    SampleFacts,
)
from buildsite.kinds.kind import Ref
from buildsite.kinds.tests.shared.people import actions
from buildsite.kinds.tests.shared.record import RecordOfTest, act_of, tested_on
from buildsite.record.flags import Field
from buildsite.standards.reading import key


def device_refs(record: RecordOfTest) -> Iterator[Ref]:
    """Ask for every device that the test names, as of the day it was used."""
    equipment = getattr(record, "equipment", None)
    if equipment is None:
        return
    tested = tested_on(record)
    for tool in record.work.tools:
        id = getattr(equipment, tool.name)
        if id is not None:
            act = act_of(record, tool.act) if tool.act else None
            on = (act.on if act is not None else None) or tested
            yield Ref(DeviceFacts, (tool.kind,), id, ("equipment", tool.name), on)


def common_refs(record: RecordOfTest) -> Iterator[Ref]:
    """
    Ask what a test of any kind asks, its devices apart.

    A test that tells its sample what it found asks it only for what is written of it.
    """
    codes = tuple(action.code for action in actions(record))
    yield Ref(LaboratoryFacts, ("laboratory",), "lab", (), about=codes)
    yield Ref(ProjectFacts, ("project",), record.project, ("project",))
    bare = record.work.tells_sample
    yield Ref(SampleFacts, ("sample",), record.sample, ("sample",), bare=bare)


def unique(*refs: Ref) -> tuple[Ref, ...]:
    """Each question unique, where it stands first."""
    return tuple({ref.key: ref for ref in reversed(refs)}.values())[::-1]


def common_needs(record: RecordOfTest) -> tuple[Ref, ...]:
    """Ask what a test of any kind asks."""
    return unique(*common_refs(record), *device_refs(record))


Readings = Iterable[tuple[Field, tuple[str, ...]]]
"""Lines of a bench sheet by their field, with all that was read there."""


def repeat_key(record: RecordOfTest) -> tuple[str, ...]:
    """What tests that repeat one another have alike; nothing where one can't stand."""
    used = record.standard
    if record.status != "complete" or record.external is not None:
        return ()
    return (record.project, record.sample, key(used.designation), used.method)


def standard_key(record: RecordOfTest) -> tuple[str, str, str, str]:
    """The standard of a test, as it is looked up."""
    used = record.standard
    return (used.designation, used.method, used.variant, used.edition or "")


def trace_of(
    record: RecordOfTest, file: str, readings: Readings, *, repeats: bool
) -> Trace:
    """
    Leave a trace of a test; what equipment it used, its questions tell.

    `repeats`: whether two of its kind on one sample are held against each other.
    """
    return Trace(
        file=file,
        id=record.id,
        molds=(),
        readings=tuple((field, read) for field, read in readings if read),
        alike=repeat_key(record) if repeats else (),
        on=tested_on(record),
        standard=standard_key(record),
    )
