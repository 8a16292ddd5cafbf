"""The empty containers of other tests, looked up while a test is entered."""

import re
from collections.abc import Iterator

from buildsite.archive.archive import Archive
from buildsite.kinds.across import Weighing, agrees, container_doubt
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.traces import trace_of_record
from buildsite.record.flags import Doubt, Field

AT_LABEL = ("container", "container_mass")
"""The fields of a container that its mass in other tests is compared at."""

MOST = 8
"""Tests with the same number that are looked at, the last ids first."""


def weighings(archive: Archive, label: str, besides: str) -> Iterator[Weighing]:
    """Yield the weighings of a container in other tests, the last ids first."""
    written = re.compile(rb"container: *[\"']?%b\b" % re.escape(label.encode()))
    tests = 0
    for file in reversed(archive.files("test")):
        if (
            file == besides
            or tests == MOST
            or not written.search(archive.read_file(file))
        ):
            continue
        entry = archive.entry(file)
        if entry.kind is None or entry.record is None:
            continue
        trace = trace_of_record(entry.kind, entry.record, file)
        uses = [use for use in trace.containers if use.label == label] if trace else []
        tests += bool(uses)
        yield from ((trace, use) for use in uses if trace is not None)


def container_doubts(archive: Archive, made: Outcome, field: Field) -> Iterator[Doubt]:
    """Doubt an empty container just entered that weighs otherwise in other tests."""
    trace = trace_of_record(made.kind, made.case.record, made.file)
    if trace is None or field[-1] not in AT_LABEL:
        return
    for use in trace.containers:
        if use.field[:-1] == field[:-1]:
            here, others = (trace, use), list(weighings(archive, use.label, made.file))
            if others and not agrees(here, others):
                yield container_doubt(here, others[0])
