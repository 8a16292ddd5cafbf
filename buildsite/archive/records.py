"""
The records of one state, by group and id.

A state has names and a function that reads a file: nothing is read before it is needed,
so checking one test reads that test and the records it names.
"""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import field, replace
from functools import cached_property
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from buildsite.archive.entries import Chain, Entry, Shared
from buildsite.archive.identity import TAKEN_TWICE, group_asked, group_of, name_of
from buildsite.asked import Kept, Names, ask, unasked
from buildsite.kinds.kind import Ref
from buildsite.kinds.outcome import flag_of
from buildsite.record.flags import Doubt, Flag
from buildsite.record.issued import issued_name
from buildsite.record.places import SUFFIX
from buildsite.record.source import Source, read_source
from buildsite.values import dataclass

if TYPE_CHECKING:
    from buildsite.kinds.laboratory.lab import Laboratory

Key = tuple[str, str]
"""Group (laboratory, project, sample, equipment, test) and id in lower case."""


@dataclass
class Records:
    """
    Records by group and id. `read_file` gives the bytes of a name in `names`.

    `issued` names the files of issued revisions, `kept` the kept reports and results
    (None: not checked); both are read like the records. `pins` gives, by test, the last
    revision to consider; `planned` the result to be taken for the last one issued, as
    if it had been. `files_by_word` is what `dependents` found in their texts.
    """

    names: Sequence[str]
    read_file: Callable[[str], bytes]
    issued: Collection[str] = ()
    kept: Sequence[str] | None = None
    pins: Mapping[str, int] = field(default_factory=dict)
    planned: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    shared: Shared = field(default_factory=Shared)
    files_by_word: Kept[Mapping[str, Sequence[str]]] = field(default_factory=Kept)
    _entries: dict[str, Entry] = field(default_factory=dict)
    _chains: dict[str, Chain] = field(default_factory=dict)
    _digests: dict[str, str] = field(default_factory=dict)
    _index: dict[Key, list[str]] = field(default_factory=dict)
    _refs_to_tests: dict[str, tuple[Ref, ...]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Index the names: the id of a record is the name of its file."""
        for file in sorted(unasked(self.names)):
            group = group_of(file)
            if group:
                self._index.setdefault((group, name_of(file).lower()), []).append(file)

    def entry(self, file: str) -> Entry:
        """Read one file, once."""
        ask("file", file)
        if file not in self._entries:
            entry = self.shared.entry(file, self.read_file(file))
            twice = tuple(self._twice(entry.source))
            self._entries[file] = (
                replace(entry, flags=(*entry.flags, *twice)) if twice else entry
            )
        else:
            self.named(group_of(file), name_of(file))
        return self._entries[file]

    def source(self, file: str) -> Source:
        """Return one file as read. It is not held for that: there may be thousands."""
        ask("file", file)
        held = self._entries.get(file)
        return held.source if held else read_source(file, self.read_file(file))

    def named(self, group: str, id: str) -> Sequence[str]:
        """Return the files of an id, whatever the case of its letters."""
        ask("named", group, id.lower())
        return self._index.get((group, id.lower()), ())

    def has_page(self, file: str) -> bool:
        """Whether a file has a page: of two files with one id, only the first has."""
        return file == self._first_of_id(file)

    def _first_of_id(self, file: str) -> str:
        files = self.named(group_of(file), name_of(file))
        return files[0] if files else file

    def _twice(self, source: Source) -> Iterator[Flag]:
        """Return the flag of a second or later file with the same id."""
        first = self._first_of_id(source.file)
        if source.file != first:
            doubt = Doubt(
                ("id",),
                f"{name_of(source.file)}, also the id of {first}",
                "a unique id, whatever the case of its letters",
                "rename one of the two files and change its id",
            )
            yield flag_of(TAKEN_TWICE, doubt, source)

    def claims(self, file: str) -> bool:
        """
        Whether an error of this file counts.

        A test in progress or withdrawn reports nothing. The status is taken from the
        text, because such a record may not be readable yet.
        """
        return self.entry(file).source.tree.get("status") not in (
            "in-progress",
            "withdrawn",
        )

    def files(self, group: str, project: str = "") -> Sequence[str]:
        """Return the files of a group, or of a project's, in order of their names."""
        ask("files", group, project)
        return self._listed.get((group, project), ())

    @cached_property
    def _listed(self) -> Mapping[tuple[str, str], Sequence[str]]:
        """Group and project, or none for all → files, in order."""
        found: dict[tuple[str, str], list[str]] = {}
        for file in sorted(unasked(self.names)):
            group = group_of(file)
            if group:
                for project in ("", file.split("/")[1]):
                    found.setdefault((group, project), []).append(file)
        return found

    def folders(self) -> Sequence[str]:
        """Return the folders and files that stand in that of the records."""
        ask("folders")
        return sorted(self._folders)

    def in_folder(self, folder: str) -> Sequence[str]:
        """Return the names of the records in one of them, in order."""
        ask("folder", folder)
        return self._folders.get(folder, ())

    @cached_property
    def _folders(self) -> Mapping[str, Sequence[str]]:
        found: dict[str, list[str]] = {}
        for file in sorted(unasked(self.names)):
            found.setdefault(file.split("/")[1], []).append(file)
        return found

    def digest(self, file: str) -> str:
        """Return the digest of a record, as an item states it."""
        ask("file", file)
        if file not in self._digests:
            self._digests[file] = f"sha256:{sha256(self.read_file(file)).hexdigest()}"
        return self._digests[file]

    def find(self, group: str, id: str) -> str | None:
        """Return the file of a record with exactly that id, if there is one."""
        for file in self.named(group, id):
            if name_of(file) == id:
                return file
        return None

    def record(self, group: str, id: str) -> Any:
        """Return a record of a group by its id; None if it can't be read."""
        file = self.find(group, id)
        entry = self.entry(file) if file is not None else None
        right = entry is not None and entry.kind and entry.kind.group == group
        return entry.record if entry is not None and right else None

    @property
    def laboratory(self) -> "Laboratory | None":
        """The laboratory's record, if it can be read."""
        lab: Laboratory | None = self.record("laboratory", "lab")
        return lab

    def signs_edits(self) -> bool:
        """Whether the laboratory requires signed commits."""
        return self.laboratory is not None and self.laboratory.procedures.signed_edits

    def ids(self, group: str) -> list[str]:
        """Return the ids of a group."""
        return sorted(name_of(file) for file in self.files(group))

    def chain(self, file: str) -> Chain:
        """Return the issued revisions of a test; None if there are none."""
        name = issued_name(file)
        ask("file", name)
        if name not in self._chains:
            self._chains[name] = (
                self.shared.chain(name, self.read_file(name))
                if name in self.issued
                else (None, ())
            )
        return self._chains[name]

    def home(self, id: str) -> str | None:
        """Return the file of a test's record, or its place next to its issued file."""
        file = self.find("test", id)
        if file is not None:
            return file
        ask("home", id)
        return self._issued_homes.get(id)

    @cached_property
    def known_names(self) -> Collection[str]:
        """Names of the records."""
        return looked_up(self.names)

    @cached_property
    def kept_names(self) -> Collection[str]:
        """Names of the kept reports and results."""
        return looked_up(self.kept if self.kept is not None else ())

    @cached_property
    def _issued_homes(self) -> dict[str, str]:
        """Id of a test → the name of its record, by its issued file."""
        issued = sorted(unasked(self.issued))
        homes = (f"{name.removesuffix(SUFFIX)}.yaml" for name in issued)
        return {name_of(home): home for home in homes}

    def refs_to_tests(self, group: str, id: str) -> tuple[Ref, ...]:
        """Return what a record other than a test needs of tests."""
        file = self.find(group, id)
        if file is None:
            return ()
        ask("file", file)
        if file not in self._refs_to_tests:
            self._refs_to_tests[file] = tuple(
                ref for ref in self.entry(file).refs if group_asked(ref) == "test"
            )
        return self._refs_to_tests[file]


def looked_up(names: Sequence[str]) -> Collection[str]:
    """Return names in which one is found at once."""
    return names if isinstance(names, Names) else frozenset(names)
