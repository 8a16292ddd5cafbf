"""The archive at one state: its records, their outcomes and their flags."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from typing import TYPE_CHECKING, Any

from buildsite.archive import issued_flags, other_projects, references
from buildsite.archive.answers_again import answers_again, rounds
from buildsite.archive.drift import ASSESS, NO_ACTION, drift
from buildsite.archive.entries import Answers, Blobs, Entry, read_entry
from buildsite.archive.identity import group_of, no_answer
from buildsite.archive.records import Records
from buildsite.archive.wrong_calibrations import (
    WITHDRAWN,
    doubts_through,
    flags_of_wrong_calibrations,
    tests_used,
    wrong_uses,
)
from buildsite.asked import Kept, ask
from buildsite.kinds.across import RELIED_ON_WRONG
from buildsite.kinds.kind import Inputs, Ref
from buildsite.kinds.outcome import Outcome, flag_of, outcome, with_flags
from buildsite.kinds.traces import Trace
from buildsite.record.flags import Flag
from buildsite.record.source import read_source
from buildsite.values import dataclass

if TYPE_CHECKING:
    from buildsite.kinds.equipment.piece import Piece


HELD = 300
"""Records that are held, 50 KB each; of more, those of projects are read again."""

SHARED_BY_ALL = ("equipment", "laboratory")
"""Groups of records that tests of every project use."""


def unknown_program() -> str:
    """Return the fingerprint of a program not stated."""
    return ""


@dataclass
class Archive(Records):
    """
    Records with their outcomes and flags.

    `program` gives the fingerprint of the program. `across.compare_tests` sets
    `traces` of the tests, `across_flags` by file, and `repeats`, how each test compares
    with its repeats, in words. Of the soil of the tests `overlaid`, there is another
    curve. `past_of` is the record of which this is a past state, with its files
    `beside` that record.
    """

    across_flags: Mapping[str, tuple[Flag, ...]] = field(default_factory=dict)
    repeats: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    overlaid: frozenset[str] = frozenset()
    traces: Sequence[Trace] = ()
    past_of: str = ""
    beside: Blobs = ()
    program: Callable[[], str] = unknown_program
    _computed: Kept[Outcome | None] = field(default_factory=Kept)
    _flagged: dict[str, tuple[tuple[Flag, ...], Outcome]] = field(default_factory=dict)
    _bare: Kept[Outcome | None] = field(default_factory=Kept)
    _asked: set[str] = field(default_factory=set)

    def with_files(self, files: Mapping[str, bytes]) -> "Archive":
        """Return the archive with these files added or replaced."""
        return Archive(
            sorted({*self.names, *files}),
            lambda name: files[name] if name in files else self.read_file(name),
            issued=self.issued,
            shared=self.shared,
        )

    def as_if(
        self,
        pins: Mapping[str, int] | None = None,
        planned: Mapping[str, Mapping[str, Any]] | None = None,
    ) -> "Archive":
        """Return the archive as it was at some revisions, or as if some were issued."""
        return Archive(
            self.names,
            self.read_file,
            issued=self.issued,
            kept=self.kept,
            pins={**self.pins, **(pins or {})},
            planned={**self.planned, **(planned or {})},
            shared=self.shared,
        )

    def outcome(self, file: str) -> Outcome | None:
        """Return the outcome of a record, with all flags; None if it can't be read."""
        ask("across", file)
        made, more = self.computed(file), self.across_flags.get(file, ())
        if made is None or not more:
            return made
        if file not in self._flagged or self._flagged[file][0] is not more:
            self._flagged[file] = (more, with_flags(made, more))
        return self._flagged[file][1]

    def repeats_of(self, file: str) -> tuple[str, ...]:
        """Return how a test compares with its repeats, in words."""
        ask("repeats", file)
        return self.repeats.get(file, ())

    def is_overlaid(self, file: str) -> bool:
        """Whether there is another curve of the soil of a test."""
        ask("overlaid", file)
        return file in self.overlaid

    def computed(self, file: str) -> Outcome | None:
        """Return the outcome of a record, without the flags from comparing records."""
        return self._computed.get(file, lambda: self._compute(file))

    def _compute(self, file: str) -> Outcome | None:
        entry = self.entry(file)
        if entry.kind is None or entry.record is None:
            return None
        inputs, files, asked = (
            answers_again(self.shared, entry, self.beside, self.ask)
            if file == self.past_of
            else self.ask(entry)
        )
        wrong = flags_of_wrong_calibrations(entry, self.piece)
        flags = (*entry.flags, *asked, *wrong)
        made = self.shared.outcome(entry, inputs, files, flags)
        if made is None:
            made = outcome(
                entry.kind,
                entry.source,
                entry.record,
                inputs,
                files=files,
                flags=flags,
            )
            self.shared.keep(entry, flags, made)
        return made

    def piece(self, id: str) -> "Piece | None":
        """Return a piece of equipment; None if its record can't be read."""
        file = self.find("equipment", id)
        return self.entry(file).piece if file is not None else None

    def bare(self, file: str) -> Outcome | None:
        """Return the outcome of a record by itself, without rules or other records."""
        return self._bare.get(file, lambda: self._compute_bare(file))

    def _compute_bare(self, file: str) -> Outcome | None:
        entry = self.entry(file)
        if entry.kind is None or entry.record is None:
            return None
        unjudged = replace(entry.kind, rules=())
        return outcome(unjudged, entry.source, entry.record, Inputs(), files={})

    def ask(self, entry: Entry) -> Answers:
        """
        Look up what a record needs of others.

        Returns the answers, the files they came from with their digests, and the flags
        that they raise.
        """
        answers: dict[tuple[str, str, str], Any] = {}
        inputs, files, flags = Inputs(answers), dict[str, str](), list[Flag]()
        for refs in rounds(entry, inputs):
            for ref in refs:
                reply = self._reply(entry, ref)
                files |= reply.inputs
                flags += reply.flags
                if reply.answer is not None:
                    answers[ref.key] = reply.answer
            flags += references.flags_of_unissued(self, entry.source, refs, answers)
            flags += other_projects.flags_of_borrowed(self, entry.source, refs)
        return inputs, files, flags

    def _reply(self, entry: Entry, ref: Ref) -> references.Reply:
        """Return the answer from the last report of a test, else from the record."""
        report = references.reply_of_report(self, ref)
        if report is not None:
            if report.silent is None or ref.silent:
                return report
            flag = no_answer(entry.source, ref, report.silent)
            return replace(report, flags=(flag,))
        target, doubt = references.target_of(self, entry, ref)
        if target is None:
            doubts = [doubt] if doubt is not None and not ref.silent else []
            flags = tuple(flag_of(*one, entry.source) for one in doubts)
            return references.Reply(flags=flags)
        self._asked.add(target)
        other = self.bare(target) if ref.bare else self.computed(target)
        if other is None:
            return references.Reply()  # its faults are flagged in its own file
        answer = other.answer(ref)
        if answer is not None:
            return references.Reply(answer, other.inputs)
        raised = [] if ref.silent else [no_answer(entry.source, ref, other.kind)]
        return references.Reply(flags=tuple(raised))

    def forget(self, file: str) -> None:
        """
        Forget a record that is done with, unless others asked it.

        An archive may hold thousands; asked again, it is read and computed again.
        """
        if file not in self._asked:
            self._entries.pop(file, None)
            self._flagged.pop(file, None)
            self._computed.forget(file)
            self._bare.forget(file)
            self.shared.forget((file,))

    def forget_projects(self) -> None:
        """Forget the records of projects, such as their samples, once they are many."""
        spared = len(self._listed.get(("equipment", ""), ()))
        if len(self.shared.entries) > HELD + spared:
            for file in [*self.shared.entries]:
                if group_of(file) not in SHARED_BY_ALL:
                    self._asked.discard(file)
                    self.forget(file)

    def flags(self, file: str) -> tuple[Flag, ...]:
        """
        Return every flag of a file, whether it could be computed or not.

        Flags of issued revisions are added here, not in the outcome: a result does not
        depend on what was issued before.
        """
        made = self.outcome(file)
        own = made.flags if made is not None else self.entry(file).flags
        found = (*own, *self.issue_flags(file), *self.wrong_through(file))
        return tuple(sorted(found, key=lambda flag: flag.order))

    def wrong_through(self, file: str) -> Iterator[Flag]:
        """
        Return the flags of a test that uses another one that relied on wrong equipment.

        Not in the outcome: what an issued report of the other test relied on is no
        input of this one.
        """
        made = self.computed(file)
        if made is None or made.kind.group != "test" or made.status == WITHDRAWN:
            return
        for other in tests_used(made.inputs, file):
            if other in self.known_names:
                uses = wrong_uses(self.entry(other), self.piece)
                for doubt in doubts_through(other, uses):
                    yield flag_of(RELIED_ON_WRONG, doubt, made.source)

    def issue_flags(self, file: str) -> Iterator[Flag]:
        """Return the flags of issued revisions: altered, not kept, or changed since."""
        issued, faults = self.chain(file)
        if faults:
            source = read_source(faults[0].file, self.read_file(faults[0].file))
            yield from (issued_flags.unreadable_flag(source), *faults)
        if issued is None:
            return
        yield from issued_flags.altered_item_flags(issued)
        if self.kept is not None:
            yield from issued_flags.kept_file_flags(
                issued, file, self.kept_names, self.read_file
            )
        source = self.entry(file).source
        for known, doubt in drift(self.computed(file), issued, self.program):
            idle = doubt.mend == NO_ACTION and any(self.wrong_through(file))
            told = replace(doubt, mend=ASSESS) if idle else doubt
            yield flag_of(known, told, source)

    def strays(self) -> list[Flag]:
        """Return the flags of issued and kept files that belong to no test."""
        return list(
            issued_flags.stray_flags(
                self.names, self.issued, self.kept or (), self.chain
            )
        )


def compute_standalone(
    data: bytes, name: str
) -> tuple[Outcome | None, tuple[Flag, ...]]:
    """
    Return the outcome of a record outside an archive, and its flags.

    The outcome is None if the record can't be read; `name` is used in flags.
    """
    entry = read_entry(name, data, stands=False)
    if entry.kind is None or entry.record is None:
        return None, entry.flags
    made = outcome(
        entry.kind,
        entry.source,
        entry.record,
        Inputs(alone=True),
        files={},
        flags=entry.flags,
    )
    return made, made.flags
