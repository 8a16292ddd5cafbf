"""
Where a test counts by its last report, though its record says otherwise now.

A report stands until it is amended or withdrawn: no edit of the record alone takes a
failure out of the lift, or the day, that a paper of the fill accounts for.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.references import last_report, result_of
from buildsite.kinds.field_control.results import day_of, words
from buildsite.kinds.field_control.same_place import lift_key
from buildsite.kinds.traces import OnFill, Trace


def reported_otherwise(archive: Archive, traces: Sequence[Trace]) -> Iterator[Trace]:
    """Yield field tests as reported, where their records differ; none without paper."""
    if not any(one.fill is not None and one.fill.is_paper for one in traces):
        return
    for trace in traces:
        found = reported_trace(archive, trace)
        if found is not None:
            yield found


def reported_trace(archive: Archive, trace: Trace) -> Trace | None:
    """Return a field test as reported, if its record differs."""
    if not gives_verdict(archive, trace.file):
        return None
    told = reported(archive, trace.file).get("field")
    found = trace_of(told, trace) if isinstance(told, Mapping) else trace
    return found if counting(found) != counting(trace) else None


def gives_verdict(archive: Archive, file: str) -> bool:
    """Whether a test is of a kind that gives a verdict."""
    kind = archive.entry(file).kind
    return kind is not None and kind.follows is not None


def reported(archive: Archive, file: str) -> Mapping[str, Any]:
    """Return the result of the last report; empty if none stands, or one is planned."""
    last = last_report(archive, file)
    if last is None or last.item.kind == "withdrawal" or file in archive.planned:
        return {}
    return result_of(archive, file, last.item)


def trace_of(told: Mapping[str, Any], trace: Trace) -> Trace:
    """Return a test as its report tells it: when, and where it counts."""
    names = ("project", "zone", "lift")
    project, zone, lift = (words(told.get(name)) for name in names)
    fill = OnFill(project, zone, lift, purpose=words(told.get("purpose")))
    on = day_of(told.get("tested_on"))
    return Trace(trace.file, trace.id, (), (), on=on, fill=fill)


def counting(trace: Trace) -> tuple[object, ...]:
    """Return by what a test counts."""
    fill = trace.fill
    if fill is None:
        return ()
    return (fill.project, lift_key(fill.zone, fill.lift), fill.purpose, trace.on)
