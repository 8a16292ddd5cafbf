"""Repeat tests found among all tests, and each pair compared by its kind."""

from collections.abc import Iterator, Sequence
from itertools import combinations

from buildsite.archive.archive import Archive
from buildsite.kinds.across import Repeated, Trace
from buildsite.kinds.sheet import Note

MOST = 4
"""Tests of one sample by one method, above which they are a series on a reference soil:
the limit of a standard is for two results and not for the ends of many."""


def groups(traces: Sequence[Trace]) -> Iterator[list[Trace]]:
    """Tests that repeat one another, the earliest first."""
    found: dict[tuple[str, ...], list[Trace]] = {}
    for trace in traces:
        if trace.alike:
            found.setdefault(trace.alike, []).append(trace)
    for group in found.values():
        if 1 < len(group) <= MOST:
            yield sorted(group, key=lambda one: (str(one.on or ""), one.id))


def repeated(archive: Archive, traces: Sequence[Trace]) -> tuple[Repeated, ...]:
    """
    Compare every pair of repeat tests. Only these are computed.

    They are computed aside: an outcome that is kept has its flags across records.
    """
    found = []
    aside = Archive(
        archive.names,
        archive.read_file,
        issued=archive.issued,
        kept=archive.kept,
        pins=archive.pins,
        readings=archive.readings,
    )
    for group in groups(traces):
        for first, last in combinations(group, 2):
            earlier, later = aside.outcome(first.file), aside.outcome(last.file)
            if earlier is None or later is None or later.kind.repeats is None:
                continue
            pair = later.kind.repeats(earlier.case, later.case)
            found.append(Repeated(first.file, last.file, pair.words, pair.doubt))
    return tuple(found)


def words_by_file(pairs: Sequence[Repeated]) -> dict[str, tuple[str, ...]]:
    """What the page of each test says of its repeats."""
    found: dict[str, list[str]] = {}
    for pair in pairs:
        for file in (pair.earlier, pair.later):
            found.setdefault(file, []).append(pair.words)
    return {file: tuple(words) for file, words in found.items()}


def note(words: Sequence[str]) -> Iterator[Note]:
    """What a page says of repeat tests. It stays in the laboratory."""
    if words:
        title = "Repeat tests"
        yield Note("repeats", title, tuple(words), "remark", laboratory_only=True)
