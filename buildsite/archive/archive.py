"""
Everything at one state: which record is where, who asks whom, and what becomes of it.

An archive is made of names and a way to read one: nothing is read before it is asked
for, so that checking one test reads that test and what it names.
"""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from buildsite.archive import chains, references
from buildsite.archive.drift import drift
from buildsite.archive.identity import (
    CYCLE,
    TAKEN_TWICE,
    TO_NOTHING,
    WRONG_KIND,
    group_asked,
    group_of,
    in_a_circle,
    kind_of,
    misplaced,
    name_of,
    silent,
    to_nothing,
    wrong_kind,
)
from buildsite.kinds import across
from buildsite.kinds.kind import Inputs, Kind, Ref
from buildsite.kinds.outcome import Outcome, outcome, placed
from buildsite.record.flags import Doubt, Flag, Known
from buildsite.record.issued import SUFFIX, Issued, issued_name, read_issued
from buildsite.record.source import Source, read_source
from buildsite.record.typed import read_model
from buildsite.values import dataclass

if TYPE_CHECKING:
    from buildsite.kinds.equipment.reliance import Piece

Key = tuple[str, str]
"""Group (laboratory, project, sample, equipment, test) and id in lower case."""


@dataclass(frozen=True)
class Entry:
    """One file as read: its kind and record where it could be made out."""

    file: str
    source: Source
    kind: Kind[Any, Any] | None
    record: Any
    flags: tuple[Flag, ...]


def read_entry(file: str, data: bytes) -> Entry:
    """Read one file by itself."""
    source = read_source(file, data)
    flags = list(source.faults)
    kind = record = None
    if source.whole:
        kind, doubts = kind_of(source)
        if kind is not None:
            record, flags = read_model(source, kind.model)  # the source's faults too
        flags += doubts
        if kind is not None and record is not None:
            flags += misplaced(source, kind, record)
    return Entry(file, source, kind, record, tuple(flags))


def unknown_program() -> str:
    """Fingerprint where nobody says which program computes."""
    return ""


@dataclass
class Archive:
    """
    Records by group and id. `read_file` gives the bytes of a name in `names`.

    `issued` names the files of issued revisions and `kept` the reports and results
    kept (None: they are not looked at); both can be read like the records. `program`
    gives the fingerprint of the program that computes here.
    """

    names: Sequence[str]
    read_file: Callable[[str], bytes]
    across_flags: Mapping[str, tuple[Flag, ...]] = field(default_factory=dict)
    repeats: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """By test: how it compares with its repeats, in words."""
    traces: Sequence[across.Trace] = ()
    issued: Collection[str] = ()
    kept: Sequence[str] | None = None
    program: Callable[[], str] = unknown_program
    pins: Mapping[str, int] = field(default_factory=dict)
    """Tests whose reports after that revision are not looked at."""
    readings: dict[tuple[str, bytes], Entry] = field(default_factory=dict)
    """Files as read, by name and bytes: archives of several states may share them."""
    _entries: dict[str, Entry] = field(default_factory=dict)
    _chains: dict[str, tuple[Issued | None, tuple[Flag, ...]]] = field(
        default_factory=dict
    )
    _outcomes: dict[str, Outcome] = field(default_factory=dict)
    _index: dict[Key, list[str]] = field(default_factory=dict)
    _bare: dict[str, Outcome] = field(default_factory=dict)
    _named_tests: dict[str, tuple[Ref, ...]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Index the names: a record's id is its file's name."""
        for file in sorted(self.names):
            group = group_of(file)
            if group:
                self._index.setdefault((group, name_of(file).lower()), []).append(file)

    def entry(self, file: str) -> Entry:
        """Read one file, once."""
        if file not in self._entries:
            self._entries[file] = self._read(file)
        return self._entries[file]

    def _read(self, file: str) -> Entry:
        key = (file, self.read_file(file))
        if key not in self.readings:
            self.readings[key] = read_entry(*key)
        entry = self.readings[key]
        twice = tuple(self._twice(entry.source))
        return replace(entry, flags=(*entry.flags, *twice)) if twice else entry

    def _twice(self, source: Source) -> Iterator[Flag]:
        """Raise a flag on the second and later files of one id."""
        files = self._index.get((group_of(source.file), name_of(source.file).lower()))
        if files and source.file != files[0]:
            doubt = Doubt(
                ("id",),
                f"{name_of(source.file)}, which {files[0]} has too",
                "an id of its own, whatever the case of its letters",
                "rename one of the two files, and its id",
            )
            yield placed(TAKEN_TWICE, doubt, source)

    def claims(self, file: str) -> bool:
        """
        Whether an error of this file counts.

        A test in progress or withdrawn claims nothing. Its word is taken from the
        text, so that a record which can't be made out yet is not held against it.
        """
        return self.entry(file).source.tree.get("status") not in (
            "in-progress",
            "withdrawn",
        )

    def files(self, group: str) -> list[str]:
        """Files of a group, in order of their names."""
        return sorted(
            (
                file
                for (has, _), found in self._index.items()
                if has == group
                for file in found
            )
        )

    def find(self, group: str, id: str) -> str | None:
        """File of a record, if there is one of that id, written just so."""
        for file in self._index.get((group, id.lower()), ()):
            if name_of(file) == id:
                return file
        return None

    def ids(self, group: str) -> list[str]:
        """Ids of a group."""
        return sorted(name_of(file) for file in self.files(group))

    def outcome(self, file: str) -> Outcome | None:
        """Compute one record, once. None where it can't be made out."""
        if file not in self._outcomes:
            entry = self.entry(file)
            if entry.kind is None or entry.record is None:
                return None
            inputs, files, flags = self.ask(entry)
            self._outcomes[file] = outcome(
                entry.kind,
                entry.source,
                entry.record,
                inputs,
                files=files,
                flags=(*entry.flags, *flags, *self.across_flags.get(file, ())),
            )
        return self._outcomes[file]

    def settle(self, outcomes: Mapping[str, Outcome]) -> None:
        """Take outcomes made at another state, of records that are the same there."""
        self._outcomes |= outcomes

    def compare(
        self,
        traces: Sequence[across.Trace],
        repeats: Sequence[across.Repeated] | None = None,
        *,
        more: Mapping[str, tuple[Flag, ...]] | None = None,
    ) -> None:
        """
        Lay all tests side by side: what shows only so is told from now on.

        `more` are flags of what only the past shows, by file.
        """
        self.traces = traces
        found = dict(flags_across(self, traces, repeats))
        for file, flags in (more or {}).items():
            found[file] = (*found.get(file, ()), *flags)
        self.across_flags = found
        for file in self.across_flags:
            self._outcomes.pop(file, None)

    def chain(self, file: str) -> tuple[Issued | None, tuple[Flag, ...]]:
        """Read what was issued of a test: None where nothing was, or can't be read."""
        name = issued_name(file)
        if name not in self._chains:
            there = name in self.issued
            self._chains[name] = (
                read_issued(name, self.read_file(name)) if there else (None, ())
            )
        return self._chains[name]

    def flags(self, file: str) -> tuple[Flag, ...]:
        """
        Every flag of a file, whether it could be computed or not.

        What was issued of a test is judged here and not in its outcome: a result is the
        same result, whatever was issued of it before.
        """
        made = self.outcome(file)
        own = made.flags if made is not None else self.entry(file).flags
        found = (*own, *self.issue_flags(file))
        return tuple(sorted(found, key=lambda flag: flag.order))

    def issue_flags(self, file: str) -> Iterator[Flag]:
        """Flags of what was issued of a test: altered, not kept, or moved since."""
        issued, faults = self.chain(file)
        if faults:
            source = read_source(faults[0].file, self.read_file(faults[0].file))
            yield from (chains.unreadable(source), *faults)
        if issued is None:
            return
        yield from chains.altered(issued)
        if self.kept is not None:
            yield from chains.kept(issued, file, self._kept, self.read_file)
        source = self.entry(file).source
        for known, doubt in drift(self.outcome(file), issued, self.program):
            yield placed(known, doubt, source)

    @cached_property
    def _kept(self) -> frozenset[str]:
        return frozenset(self.kept or ())

    def strays(self) -> list[Flag]:
        """Flags of what was issued of no test, and of what was kept of no issue."""
        return list(chains.strays(self.names, self.issued, self.kept or (), self.chain))

    def ask(self, entry: Entry) -> tuple[Inputs, dict[str, str], list[Flag]]:
        """Put a record's questions to the others, and what their answers raise."""
        answers: dict[tuple[str, str, str], Any] = {}
        inputs, files, flags = Inputs(answers), dict[str, str](), list[Flag]()
        kind = entry.kind
        if kind is not None:
            self._put(entry, kind.needs(entry.record), (answers, files, flags))
        if kind is not None and kind.further is not None:
            refs = kind.further(entry.record, inputs)
            self._put(entry, refs, (answers, files, flags))
        return inputs, files, flags

    def _put(
        self,
        entry: Entry,
        refs: Sequence[Ref],
        to: tuple[dict[tuple[str, str, str], Any], dict[str, str], list[Flag]],
    ) -> None:
        """Put some questions, and note answers, the files they came from, and flags."""
        answers, files, flags = to
        for ref in refs:
            told = self._told(entry, ref)
            files |= told.inputs
            flags += told.flags
            if told.answer is not None:
                answers[ref.key] = told.answer
        flags += references.flags_of_unissued(self, entry.source, refs, answers)

    def _told(self, entry: Entry, ref: Ref) -> references.Reply:
        """What a question brings: by the last report of a test, else by the record."""
        report = self._report_of(ref)
        if report is not None:
            return report
        target, doubt = self._target(entry, ref)
        if target is None:
            doubts = [doubt] if doubt is not None and not ref.silent else []
            flags = tuple(placed(*one, entry.source) for one in doubts)
            return references.Reply(flags=flags)
        other = self.bare(target) if ref.bare else self.outcome(target)
        if other is None:
            return references.Reply()  # its own faults are reported where they stand
        answer = other.kind.answers(other.case, ref)
        if answer is not None:
            return references.Reply(answer, other.inputs)
        raised = [] if ref.silent else [silent(entry.source, ref, other.kind)]
        return references.Reply(flags=tuple(raised))

    def _report_of(self, ref: Ref) -> references.Reply | None:
        """What the last report of a test tells; None where no report is asked."""
        file = self.home(ref.id) if group_asked(ref) == "test" else None
        return (
            references.answer_from_report(self, file, ref) if file is not None else None
        )

    def home(self, id: str) -> str | None:
        """Where a test's record stands, or would beside what was issued of it."""
        file = self.find("test", id)
        if file is not None or not self.issued:
            return file
        return self._issued_homes.get(id)

    @cached_property
    def _issued_homes(self) -> dict[str, str]:
        """Id of a test → its record's name, by what was issued of it."""
        homes = (f"{name.removesuffix(SUFFIX)}.yaml" for name in sorted(self.issued))
        return {name_of(home): home for home in homes}

    def bare(self, file: str) -> Outcome | None:
        """Compute a record by what it says itself, unjudged, once."""
        if file not in self._bare:
            entry = self.entry(file)
            if entry.kind is None or entry.record is None:
                return None
            unjudged = replace(entry.kind, rules=())
            self._bare[file] = outcome(
                unjudged, entry.source, entry.record, Inputs(), files={}
            )
        return self._bare[file]

    def named_tests(self, group: str, id: str) -> tuple[Ref, ...]:
        """Questions that a record, which is no test, puts to tests."""
        file = self.find(group, id)
        if file is None:
            return ()
        if file not in self._named_tests:
            entry = self.entry(file)
            made_out = entry.kind is not None and entry.record is not None
            asked = entry.kind.needs(entry.record) if entry.kind and made_out else ()
            self._named_tests[file] = tuple(
                ref for ref in asked if group_asked(ref) == "test"
            )
        return self._named_tests[file]

    def _target(
        self, entry: Entry, ref: Ref
    ) -> tuple[str | None, tuple[Known, Doubt] | None]:
        """File that a question goes to, or the doubt why it goes nowhere."""
        group = group_asked(ref)
        file = self.find(group, ref.id)
        if file is None:
            return None, (TO_NOTHING, to_nothing(ref, self.ids(group)))
        other = self.entry(file)
        if other.kind is not None and ref.kinds and other.kind.name not in ref.kinds:
            return None, (WRONG_KIND, wrong_kind(ref, other.kind))
        if not ref.bare and self.reaches(file, entry.file):
            return None, (CYCLE, in_a_circle(ref, entry.file))
        return file, None

    def reaches(self, start: str, goal: str) -> bool:
        """Whether questions lead from one file to another."""
        waiting, seen = [start], set[str]()
        while waiting:
            file = waiting.pop()
            if file == goal:
                return True
            entry = self.entry(file)
            if file in seen or entry.kind is None or entry.record is None:
                continue
            seen.add(file)
            for ref in entry.kind.needs(entry.record):
                found = self.find(group_asked(ref), ref.id)
                if found is not None and not ref.bare:
                    waiting.append(found)
        return False


def survey(archive: Archive, files: Sequence[str]) -> list[across.Trace]:
    """What the rules across records need of each test, and no more."""
    traces: list[across.Trace] = []
    for file in files:
        entry = archive.entry(file)
        if entry.kind is not None and entry.record is not None:
            trace = across.trace(entry.kind, entry.record, file)
            if trace is not None:
                traces.append(trace)
    return traces


def pieces(archive: Archive) -> list["Piece"]:
    """Every piece of equipment whose record can be made out."""
    from buildsite.kinds.equipment.reliance import Piece

    entries = [archive.entry(file) for file in archive.files("equipment")]
    return [
        Piece(entry.file, entry.kind, entry.record)
        for entry in entries
        if entry.kind is not None
        and entry.kind.group == "equipment"
        and entry.record is not None
    ]


def flags_across(
    archive: Archive,
    traces: Sequence[across.Trace],
    repeats: Sequence[across.Repeated] | None = None,
) -> dict[str, tuple[Flag, ...]]:
    """
    Flags that only show when records are laid side by side, by file.

    `repeats` are the repeat tests as compared, where that was done already.
    """
    from buildsite.archive.repeats import repeated
    from buildsite.kinds.equipment import reliance

    pairs = repeated(archive, traces) if repeats is None else repeats
    found: dict[str, list[Flag]] = {}
    for rule, file, doubt in (
        *across.doubts(traces),
        *across.apart(pairs),
        *reliance.doubts(pieces(archive), traces),
    ):
        source = archive.entry(file).source
        found.setdefault(file, []).append(placed(rule, doubt, source))
    return {file: tuple(flags) for file, flags in found.items()}
