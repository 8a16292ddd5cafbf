"""Checks across tests: repeats, trends, equipment found wrong."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations
from typing import TYPE_CHECKING

from buildsite.archive.archive import Archive
from buildsite.archive.issued_places import reported_otherwise
from buildsite.kinds import across, neighbors
from buildsite.kinds.outcome import flag_of
from buildsite.kinds.sheet import Note
from buildsite.kinds.traces import Repeated, Trace, trace_of_record
from buildsite.record.flags import Doubt, Flag, Known
from buildsite.record.source import Source

if TYPE_CHECKING:
    from buildsite.kinds.equipment.piece import Piece

MOST = 4
"""Tests of one sample by one method, above which they are a series on a reference soil:
the limit of a standard is for two results, not for the extremes of many."""


def traces_of(archive: Archive, files: Sequence[str]) -> list[Trace]:
    """Return what the rules across records need of each test."""
    entries = (archive.entry(file) for file in files)
    found = (
        trace_of_record(entry.kind, entry.record, entry.file)
        for entry in entries
        if entry.kind is not None and entry.record is not None
    )
    return [trace for trace in found if trace is not None]


def pieces(archive: Archive) -> list["Piece"]:
    """Return every piece of equipment whose record can be read."""
    found = (archive.piece(id) for id in dict.fromkeys(archive.ids("equipment")))
    return [piece for piece in found if piece is not None]


def flags_across(
    archive: Archive,
    traces: Sequence[Trace],
    repeats: Sequence[Repeated] | None = None,
    fill: Sequence[neighbors.Found] | None = None,
) -> dict[str, tuple[Flag, ...]]:
    """
    Return the flags from comparing records, by file.

    `repeats` are the repeat tests, `fill` the field tests with others around them, if
    they were compared already.
    """
    found = doubts_across(archive, traces, repeats, fill)
    return {
        file: flags_of(archive.source(file), doubted) for file, doubted in found.items()
    }


def doubts_across(
    archive: Archive,
    traces: Sequence[Trace],
    repeats: Sequence[Repeated] | None = None,
    fill: Sequence[neighbors.Found] | None = None,
) -> dict[str, list[tuple[Known, Doubt]]]:
    """Return what is doubted of each file by comparing records, not yet placed."""
    from buildsite.kinds.equipment import uses

    pairs = repeated(archive, traces) if repeats is None else repeats
    filled = on_the_fill(archive, traces) if fill is None else fill
    found: dict[str, list[tuple[Known, Doubt]]] = {}
    for rule, file, doubt in (
        *across.doubts([*traces, *reported_otherwise(archive, traces)]),
        *across.repeat_doubts(pairs),
        *neighbors.doubts(filled),
        *uses.doubts(pieces(archive), traces),
    ):
        found.setdefault(file, []).append((rule, doubt))
    return found


def flags_of(
    source: Source, doubted: Sequence[tuple[Known, Doubt]]
) -> tuple[Flag, ...]:
    """Return the flags of a file."""
    return tuple(flag_of(known, doubt, source) for known, doubt in doubted)


def compare_tests(
    archive: Archive,
    traces: Sequence[Trace],
    repeats: Sequence[Repeated] | None = None,
    *,
    more: Mapping[str, tuple[Flag, ...]] | None = None,
) -> None:
    """
    Compare all tests and store the flags in the archive.

    `more` are flags from the git history, by file.
    """
    archive.traces = traces
    found = flags_across(archive, traces, repeats)
    for file, flags in (more or {}).items():
        found[file] = (*found.get(file, ()), *flags)
    archive.across_flags = found


def on_the_fill(archive: Archive, traces: Sequence[Trace]) -> Iterator[neighbors.Found]:
    """Yield the field tests that are compared with those around them, computed."""
    for trace in traces:
        found = neighbor_of(archive, trace) if is_on_the_fill(trace) else None
        if found is not None:
            yield found


def is_on_the_fill(trace: Trace) -> bool:
    """Whether a test is one of the fill."""
    return trace.fill is not None and not trace.fill.is_paper


def neighbor_of(archive: Archive, trace: Trace) -> neighbors.Found | None:
    """Return what a field test is compared by, computed; None if it is not compared."""
    made = archive.computed(trace.file)
    told = made.kind.neighbor if made is not None else None
    what = told(made.case) if made is not None and told is not None else None
    return neighbors.Found(trace.id, trace.file, what) if what is not None else None


def repeat_groups(traces: Sequence[Trace]) -> Iterator[list[Trace]]:
    """Return groups of tests that repeat one another, the earliest first."""
    found: dict[tuple[str, ...], list[Trace]] = {}
    for trace in traces:
        if trace.alike:
            found.setdefault(trace.alike, []).append(trace)
    for group in found.values():
        if 1 < len(group) <= MOST:
            yield sorted(group, key=lambda one: (str(one.on or ""), one.id))


def repeated(archive: Archive, traces: Sequence[Trace]) -> tuple[Repeated, ...]:
    """Compare every pair of repeat tests; only these are computed."""
    pairs = (compared(archive, *pair) for pair in repeat_pairs(traces))
    return tuple(pair for pair in pairs if pair is not None)


def repeat_pairs(traces: Sequence[Trace]) -> Iterator[tuple[Trace, Trace]]:
    """Yield every pair of repeat tests, the earlier one first."""
    for group in repeat_groups(traces):
        yield from combinations(group, 2)


def compared(archive: Archive, first: Trace, last: Trace) -> Repeated | None:
    """Compare two repeat tests; None if one can't be computed."""
    earlier, later = archive.computed(first.file), archive.computed(last.file)
    if earlier is None or later is None or later.kind.repeats is None:
        return None
    pair = later.kind.repeats(earlier.case, later.case)
    return Repeated(first.file, last.file, pair.words, pair.doubt)


def words_by_file(pairs: Sequence[Repeated]) -> dict[str, tuple[str, ...]]:
    """Return how each test compares with its repeats, in words, by file."""
    found: dict[str, tuple[str, ...]] = {}
    for pair in pairs:
        for file in (pair.earlier, pair.later):
            found[file] = (*found.get(file, ()), pair.words)
    return found


def repeats_note(words: Sequence[str]) -> Iterator[Note]:
    """Return the note on repeat tests, for the laboratory only."""
    if words:
        title = "Repeat tests"
        yield Note("repeats", title, tuple(words), "remark", laboratory_only=True)
