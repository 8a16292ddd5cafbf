"""References of every test to other records, and its trace for comparison."""

from collections.abc import Iterable, Iterator
from datetime import date

from buildsite.kinds.answers import (
    ConfirmedCells,
    DeviceFacts,
    LaboratoryFacts,
    ProjectFacts,
    SampleFacts,
)
from buildsite.kinds.kind import Ref
from buildsite.kinds.tests.shared.people import actions
from buildsite.kinds.tests.shared.record import (
    RecordOfWork,
    act_of,
    acts_at_lines,
    once,
    ovens_at_lines,
    sample_id,
    standard_followed,
    tested_on,
)
from buildsite.kinds.traces import Trace, standard_of
from buildsite.record.flags import Field
from buildsite.standards.reading import key


@once
def device_refs(record: RecordOfWork) -> Iterator[Ref]:
    """Return a reference to every device of the test, as of the day of its use."""
    equipment = getattr(record, "equipment", None)
    if equipment is None:
        return
    tested = tested_on(record)
    for tool in record.work.tools:
        id = getattr(equipment, tool.name)
        if id is not None:
            act = act_of(record, tool.act) if tool.act else None
            on = (act.on if act is not None else None) or tested
            for day in dict.fromkeys((on, *days_at_lines(record, tool.act))):
                yield Ref(DeviceFacts, (tool.kind,), id, ("equipment", tool.name), day)


def days_at_lines(record: RecordOfWork, act: str) -> Iterator[date]:
    """Return the days of an act at single lines; of drying, also those of the oven."""
    for _, own in acts_at_lines(record, act):
        if own.on is not None:
            yield own.on
    if act == "dried":
        for _, oven in ovens_at_lines(record):
            moment = oven.out or oven.in_
            if moment is not None:
                yield moment.date()


def common_refs(record: RecordOfWork) -> Iterator[Ref]:
    """Return the references of any test, except its devices."""
    codes = tuple(action.code for action in actions(record))
    yield Ref(LaboratoryFacts, ("laboratory",), "lab", (), about=codes)
    used, sample = standard_followed(record), sample_id(record)
    if used is not None:
        yield confirmed_ref(used.designation)
    yield Ref(ProjectFacts, ("project",), record.project, ("project",))
    if sample:
        bare = record.work.tells_sample
        yield Ref(SampleFacts, ("sample",), sample, ("sample",), bare=bare)


def confirmed_ref(*designations: str) -> Ref:
    """Return the question which cells of these standards the laboratory confirmed."""
    lab = ("laboratory",)
    return Ref(ConfirmedCells, lab, "lab", (), about=designations, silent=True)


def unique(*refs: Ref) -> tuple[Ref, ...]:
    """Return each question once, at its first place."""
    return tuple({ref.key: ref for ref in reversed(refs)}.values())[::-1]


def common_needs(record: RecordOfWork) -> tuple[Ref, ...]:
    """Return the references of any test."""
    return unique(*common_refs(record), *device_refs(record))


Readings = Iterable[tuple[Field, tuple[str, ...]]]
"""Lines of a bench sheet: field, and all readings."""


def repeat_key(record: RecordOfWork) -> tuple[str, ...]:
    """Return what repeat tests have in common; empty if the test can't be one."""
    used, sample = standard_followed(record), sample_id(record)
    done = record.status == "complete" and record.external is None
    if not done or used is None or not sample:
        return ()
    return (record.project, sample, key(used.designation), used.method)


def trace_of(
    record: RecordOfWork, file: str, readings: Readings, *, repeats: bool
) -> Trace:
    """
    Return the trace of a test; the equipment follows from its references.

    `repeats`: whether two tests of the kind on one sample are compared.
    """
    return Trace(
        file=file,
        id=record.id,
        molds=(),
        readings=tuple((field, read) for field, read in readings if read),
        alike=repeat_key(record) if repeats else (),
        on=tested_on(record),
        standard=standard_of(record),
        sample=sample_id(record),
    )
