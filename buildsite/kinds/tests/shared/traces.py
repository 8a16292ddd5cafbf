"""What a test leaves for rules that lay records side by side."""

from collections.abc import Iterable

from buildsite.kinds.across import Trace
from buildsite.kinds.tests.shared.record import RecordOfTest, tested_on
from buildsite.record.flags import Field
from buildsite.standards.reading import key

Readings = Iterable[tuple[Field, tuple[str, ...]]]
"""Lines of a bench sheet by their field, with all that was read there."""


def alike(record: RecordOfTest) -> tuple[str, ...]:
    """What tests that repeat one another have alike; nothing where one can't stand."""
    used = record.standard
    if record.status != "complete" or record.external is not None:
        return ()
    return (record.project, record.sample, key(used.designation), used.method)


def named(record: RecordOfTest) -> tuple[str, str, str, str]:
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
        alike=alike(record) if repeats else (),
        on=tested_on(record),
        standard=named(record),
    )
