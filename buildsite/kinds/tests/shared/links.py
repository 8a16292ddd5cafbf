"""What every test asks of other records: laboratory, project, sample, equipment."""

from collections.abc import Iterator

from buildsite.kinds.answers import (
    DeviceFacts,
    LaboratoryFacts,
    ProjectFacts,
    SampleFacts,
)
from buildsite.kinds.kind import Ref
from buildsite.kinds.tests.shared.people import deeds
from buildsite.kinds.tests.shared.record import RecordOfTest, act_of, tested_on


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
    codes = tuple(deed.code for deed in deeds(record))
    yield Ref(LaboratoryFacts, ("laboratory",), "lab", (), about=codes)
    yield Ref(ProjectFacts, ("project",), record.project, ("project",))
    bare = record.work.tells_sample
    yield Ref(SampleFacts, ("sample",), record.sample, ("sample",), bare=bare)


def once(*refs: Ref) -> tuple[Ref, ...]:
    """Each question once, where it stands first."""
    return tuple({ref.key: ref for ref in reversed(refs)}.values())[::-1]


def common_needs(record: RecordOfTest) -> tuple[Ref, ...]:
    """Ask what a test of any kind asks."""
    return once(*common_refs(record), *device_refs(record))
