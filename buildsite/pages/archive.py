"""
Everything at one state: which record is where, who asks whom, and what becomes of it.

An archive is made of names and a way to read one: nothing is read before it is asked
for, so that checking one test reads that test and what it names.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import PurePosixPath
from typing import Any

from buildsite.kinds import KINDS, across
from buildsite.kinds.kind import Inputs, Kind, Ref
from buildsite.kinds.outcome import Outcome, outcome, placed
from buildsite.record.flags import Doubt, Flag, Known, Severity
from buildsite.record.source import Source, read_source
from buildsite.record.typed import read_model

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


def group_of(file: str) -> str:
    """
    Tell by its folder what a file is about.

    >>> group_of("records/heron-flats/tests/2026/HF-0117.yaml")
    'test'
    >>> group_of("records/equipment/M-04.yaml")
    'equipment'
    """
    parts = PurePosixPath(file).parts[1:]
    if parts == ("lab.yaml",):
        return "laboratory"
    if len(parts) > 1 and parts[0] == "equipment":
        return "equipment"
    if len(parts) == 2 and parts[1] == "project.yaml":
        return "project"
    folders = {"samples": "sample", "tests": "test", "families": "family"}
    return folders.get(parts[1], "") if len(parts) > 2 else ""


def name_of(file: str) -> str:
    """
    Id that a file's name stands for; a project's is its folder's.

    >>> name_of("records/heron-flats/project.yaml")
    'heron-flats'
    """
    path = PurePosixPath(file)
    return path.parent.name if path.name == "project.yaml" else path.stem


IDENTITY = "ISO/IEC 17025:2017, 7.5.1: a record leads to what it rests on"


def known(flag: str, says: str) -> Known:
    """An error of where a record stands, or of what it names."""
    return Known(flag, Severity.ERROR, IDENTITY, says)


NO_KIND = known("missing-field", "A field that the kind needs is absent or blank.")
NEWER_FORMAT = known(
    "unknown-format", "A record of a format that this program does not read."
)
UNKNOWN_KIND = known("unknown-kind", "A record of a kind that we do not know.")
TAKEN_TWICE = known("id-taken-twice", "Two records of one sort have one id.")
NAME_DIFFERS = known("name-differs-from-id", "A file's name is not its record's id.")
WRONG_FOLDER = known(
    "record-in-wrong-folder",
    "A record stands in the folder of another project or sort.",
)
TO_NOTHING = known("reference-to-nothing", "A record names another that is not there.")
WRONG_KIND = known("reference-of-wrong-kind", "A record names another of a wrong kind.")
CYCLE = known("reference-cycle", "Records rest on each other in a circle.")
NO_ANSWER = known(
    "reference-without-answer", "A record names another that can't give the value."
)
FORMATS = ("1",)
"""Formats of records that are read; an older one is never dropped from here."""

KNOWN = (
    NEWER_FORMAT,
    UNKNOWN_KIND,
    TAKEN_TWICE,
    NAME_DIFFERS,
    WRONG_FOLDER,
    TO_NOTHING,
    WRONG_KIND,
    CYCLE,
    NO_ANSWER,
)


@dataclass
class Archive:
    """Records by group and id. `read_file` gives the bytes of a name in `names`."""

    names: Sequence[str]
    read_file: Callable[[str], bytes]
    across_flags: Mapping[str, tuple[Flag, ...]] = field(default_factory=dict)
    _entries: dict[str, Entry] = field(default_factory=dict)
    _outcomes: dict[str, Outcome] = field(default_factory=dict)
    _index: dict[Key, list[str]] = field(default_factory=dict)

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
        source = read_source(file, self.read_file(file))
        flags = list(source.faults)
        kind = record = None
        if source.whole:
            kind, doubts = kind_of(source)
            flags += doubts
            if kind is not None:
                record, faults = read_model(source, kind.model)
                flags += faults
                flags += misplaced(source, kind, record) if record is not None else []
        flags += self._twice(source)
        return Entry(file, source, kind, record, tuple(flags))

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

    def flags(self, file: str) -> tuple[Flag, ...]:
        """Every flag of a file, whether it could be computed or not."""
        made = self.outcome(file)
        if made is not None:
            return made.flags
        return tuple(sorted(self.entry(file).flags, key=lambda flag: flag.order))

    def ask(self, entry: Entry) -> tuple[Inputs, dict[str, str], list[Flag]]:
        """Put a record's questions to the others."""
        answers: dict[tuple[str, str, str], Any] = {}
        files: dict[str, str] = {}
        flags: list[Flag] = []
        kind = entry.kind
        for ref in kind.needs(entry.record) if kind is not None else ():
            target, doubt = self._target(entry, ref)
            if target is None:
                if doubt is not None:
                    flags.append(placed(*doubt, entry.source))
                continue
            other = self.outcome(target)
            if other is None:
                continue  # its own faults are reported where they stand
            answer = other.kind.answers(other.case, ref)
            if answer is not None:
                answers[ref.key] = answer
                files |= dict(other.inputs)
            else:
                flags.append(silent(entry.source, ref, other.kind))
        return Inputs(answers), files, flags

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
        if self.reaches(file, entry.file):
            return None, (CYCLE, in_a_circle(ref, entry))
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
                if found is not None:
                    waiting.append(found)
        return False


def nearest(name: str, names: Iterable[str]) -> str:
    """
    Offer the name that was probably meant, or nothing.

    >>> nearest("ml-s1", ["ML-S1", "ML-S2"])
    'ML-S1'
    """
    by_small = {known.casefold(): known for known in sorted(names)}
    near = get_close_matches(name.casefold(), list(by_small), 1)
    return by_small[near[0]] if near else ""


def kind_of(source: Source) -> tuple[Kind[Any, Any] | None, list[Flag]]:
    """Find a record's kind by its `kind:` line, if its format is one we read."""
    written = source.tree.get("format")
    if written is not None and written not in FORMATS:
        doubt = Doubt(
            ("format",),
            str(written),
            "1, the format that this program reads",
            "a newer program wrote it: update this one",
        )
        return None, [placed(NEWER_FORMAT, doubt, source)]
    named = source.tree.get("kind")
    known = {kind.name: kind for kind in KINDS}
    if isinstance(named, str) and named in known:
        return known[named], []
    if named is None:
        doubt = Doubt((), "no kind", "a line such as kind: moisture-density", "add it")
        return None, [placed(NO_KIND, doubt, source)]
    near = nearest(str(named), known)
    mend = f"did you mean {near}?" if near else "one of " + ", ".join(sorted(known))
    doubt = Doubt(("kind",), str(named), "a kind of record we know", mend)
    return None, [placed(UNKNOWN_KIND, doubt, source)]


def article(kind: Kind[Any, Any]) -> str:
    """Name one record of a kind in a sentence: a mold, an oven."""
    name = kind.title.lower()
    return f"an {name}" if name[0] in "aeiou" else f"a {name}"


def misplaced(source: Source, kind: Kind[Any, Any], record: Any) -> Iterator[Flag]:
    """Doubt a record whose id, folder or project is not what its file's name says."""
    name, file = name_of(source.file), PurePosixPath(source.file)
    id = getattr(record, "id", name)
    if id != name:
        what = "folder" if file.name == "project.yaml" else "file"
        doubt = Doubt(
            ("id",),
            id,
            f"{name}, the name of the {what}",
            "give both one name",
        )
        yield placed(NAME_DIFFERS, doubt, source)
    if kind.group != group_of(source.file):
        doubt = Doubt(
            ("kind",),
            f"{article(kind)} in {file.parent}",
            HOME[kind.group],
            "move the file there with git mv",
        )
        yield placed(WRONG_FOLDER, doubt, source)
    project = getattr(record, "project", None)
    if project is not None and project != file.parts[1]:
        doubt = Doubt(
            ("project",),
            project,
            f"{file.parts[1]}, the folder it stands in",
            "correct the line, or move the file",
        )
        yield placed(WRONG_FOLDER, doubt, source)


HOME = {
    "laboratory": "records/lab.yaml",
    "equipment": "records/equipment/",
    "project": "records/PROJECT/project.yaml",
    "sample": "records/PROJECT/samples/",
    "test": "records/PROJECT/tests/",
    "family": "records/PROJECT/families/",
}


def group_asked(ref: Ref) -> str:
    """Group of the kinds that may be named there; any test where none is said."""
    groups = {kind.name: kind.group for kind in KINDS}
    return groups[ref.kinds[0]] if ref.kinds else "test"


def to_nothing(ref: Ref, ids: list[str]) -> Doubt:
    """Doubt a reference that no file answers to."""
    near = nearest(ref.id, ids)
    what = " or ".join(ref.kinds) or "test"
    mend = f"did you mean {near}?" if near else "add its record, or correct the id"
    return Doubt(ref.field, ref.id, f"the id of a {what} in this archive", mend)


def wrong_kind(ref: Ref, kind: Kind[Any, Any]) -> Doubt:
    """Doubt a reference to a record of another sort."""
    return Doubt(
        ref.field,
        f"{ref.id}, {article(kind)}",
        "a " + " or ".join(ref.kinds),
        "name the right record: two ids may stand in each other's place",
    )


def in_a_circle(ref: Ref, entry: Entry) -> Doubt:
    """Doubt a reference that leads back to where it stands."""
    return Doubt(
        ref.field,
        f"{ref.id}, which rests on {name_of(entry.file)} in turn",
        "a record that does not rest on this one",
        "state the value on one of them",
    )


def silent(source: Source, ref: Ref, kind: Kind[Any, Any]) -> Flag:
    """Flag a reference to a record that can't say what is asked."""
    doubt = Doubt(
        ref.field,
        f"{ref.id}, {article(kind)}",
        "a record that gives this value",
        "name a test that measures it, or state the value",
    )
    return placed(NO_ANSWER, doubt, source)


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


def flags_across(
    archive: Archive, traces: Sequence[across.Trace]
) -> dict[str, tuple[Flag, ...]]:
    """Flags that only show when records are laid side by side, by file."""
    found: dict[str, list[Flag]] = {}
    for rule, file, doubt in across.doubts(traces):
        source = archive.entry(file).source
        found.setdefault(file, []).append(placed(rule, doubt, source))
    return {file: tuple(flags) for file, flags in found.items()}
