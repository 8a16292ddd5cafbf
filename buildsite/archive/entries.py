"""
One file as read, and the cache of what was read and computed.

Archives of several states share a cache: most of their files are the same.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from buildsite.archive.identity import kind_of, misplaced
from buildsite.asked import Question
from buildsite.kinds.kind import Inputs, Kind, Ref
from buildsite.kinds.outcome import Outcome
from buildsite.record.compose import Tree
from buildsite.record.flags import Flag
from buildsite.record.issued import Issued, kept_result, read_issued
from buildsite.record.source import Source, read_source
from buildsite.record.source_again import read_again
from buildsite.record.typed import read_model
from buildsite.values import dataclass

if TYPE_CHECKING:
    from buildsite.kinds.equipment.piece import Piece

Chain = tuple[Issued | None, tuple[Flag, ...]]
"""Issued revisions of a test (None if there are none, or unreadable), and faults."""


@dataclass(frozen=True)
class Entry:
    """One file as read, with its kind and record if it can be read."""

    file: str
    source: Source
    kind: Kind[Any, Any] | None
    record: Any
    flags: tuple[Flag, ...]

    @cached_property
    def refs(self) -> tuple[Ref, ...]:
        """What the record needs of others; nothing if it can't be read."""
        if self.kind is None or self.record is None:
            return ()
        return self.kind.needs(self.record)

    @cached_property
    def piece(self) -> "Piece | None":
        """The piece of equipment; None of another record, or if it can't be read."""
        from buildsite.kinds.equipment.piece import Piece

        if self.kind is None or self.kind.group != "equipment" or self.record is None:
            return None
        return Piece(self.file, self.kind, self.record)


def read_entry(file: str, data: bytes, *, stands: bool = True) -> Entry:
    """Read one file. `stands`: it is in an archive, so its place is checked."""
    return entry_of(read_source(file, data), stands=stands)


def entry_of(source: Source, *, stands: bool = True) -> Entry:
    """Return a file that was read, with its kind and record."""
    flags = list(source.faults)
    kind = record = None
    if source.whole:
        kind, doubts = kind_of(source)
        if kind is not None:
            record, flags = read_model(
                source, kind.model
            )  # with the faults of the source
        flags += doubts
        if stands and kind is not None and record is not None:
            flags += misplaced(source, kind, record)
    return Entry(source.file, source, kind, record, tuple(flags))


Blobs = tuple[tuple[str, str], ...]
"""Files of a state, with the names of their blobs."""


Answers = tuple[Inputs, Mapping[str, str], list[Flag]]
"""What a record was answered: answers, the files they came from, flags raised."""


@dataclass(frozen=True)
class Answered:
    """What a past state of a record was answered, by its questions and other files."""

    refs: tuple[Sequence[Ref], ...]
    beside: Blobs
    answers: Answers
    asked: frozenset[Question]


@dataclass
class Shared:
    """
    Cache shared by archives of several states: each file is read and computed once.

    All is held by the name of its file. The outcomes of a record are by its digest,
    each with the flags raised before it was computed: with the same answers and flags,
    only the names of the files that the answers came from can differ.
    """

    entries: dict[str, dict[bytes, Entry]] = field(default_factory=dict)
    sources: dict[str, dict[bytes, Source]] = field(default_factory=dict)
    chains: dict[str, dict[bytes, Chain]] = field(default_factory=dict)
    results: dict[str, dict[bytes, Mapping[str, Any]]] = field(default_factory=dict)
    outcomes: dict[str, dict[str, list[tuple[tuple[Flag, ...], Outcome]]]] = field(
        default_factory=dict
    )
    answered: dict[str, Answered] = field(default_factory=dict)

    def entry(self, file: str, data: bytes) -> Entry:
        """Read one file, once."""
        held = self.entries.setdefault(file, {})
        if data not in held:
            held[data] = entry_of(self._source(file, data))
        return held[data]

    def _source(self, file: str, data: bytes) -> Source:
        """Return one file as read: where another state of it was read, from that."""
        held = self.sources.setdefault(file, {})
        if data not in held:
            entries = self.entries.get(file, {}).values()
            known = next(iter((*held.values(), *(one.source for one in entries))), None)
            held[data] = read_again(known, data) if known else read_source(file, data)
        return held[data]

    def tree(self, file: str, data: bytes) -> Tree:
        """Return the text of one file, read once and without its types."""
        read = self.entries.get(file, {}).get(data)
        if read is not None:
            return read.source.tree
        return self._source(file, data).tree

    def chain(self, name: str, data: bytes) -> Chain:
        """Read one issued file, once."""
        held = self.chains.setdefault(name, {})
        if data not in held:
            held[data] = read_issued(name, data)
        return held[data]

    def result(self, name: str, data: bytes) -> Mapping[str, Any]:
        """Read one kept result, once; empty if it can't be read."""
        held = self.results.setdefault(name, {})
        if data not in held:
            held[data] = kept_result(data)
        return held[data]

    def outcome(
        self,
        entry: Entry,
        inputs: Inputs,
        files: Mapping[str, str],
        flags: tuple[Flag, ...],
    ) -> Outcome | None:
        """
        Return the cached outcome of a record with the same answers, if any.

        The files that the answers came from may have changed.
        """
        own = {entry.file: f"sha256:{entry.source.sha256}"}
        held = self.outcomes.get(entry.file, {})
        for raised, made in held.get(entry.source.sha256, ()):
            if raised == flags and made.case.inputs == inputs:
                now = dict(sorted({**files, **own}.items()))
                return made if made.inputs == now else replace(made, inputs=now)
        return None

    def keep(self, entry: Entry, flags: tuple[Flag, ...], made: Outcome) -> None:
        """Add the outcome of a record."""
        held = self.outcomes.setdefault(entry.file, {})
        held.setdefault(entry.source.sha256, []).append((flags, made))

    def forget_texts(self) -> None:
        """Forget the texts that were read: those of records that were typed stay."""
        self.sources.clear()

    def forget(self, files: Collection[str]) -> None:
        """Forget some files: an archive may hold thousands."""
        for name in files:
            for held in (
                self.entries,
                self.sources,
                self.chains,
                self.results,
                self.outcomes,
                self.answered,
            ):
                held.pop(name, None)
