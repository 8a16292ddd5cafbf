"""
A check of every record: each is read once and let go, and its flags lie on disk.

What only shows across records is found at the end, of the traces of all tests.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from typing import TYPE_CHECKING, Any

from buildsite.archive.across import doubts_across, traces_of
from buildsite.archive.archive import Archive
from buildsite.archive.identity import group_of
from buildsite.cache.shelf import Shelf
from buildsite.cache.store import loaded, written
from buildsite.cache.value_forms import form_of
from buildsite.kinds.outcome import flag_of
from buildsite.kinds.traces import Trace
from buildsite.progress import Progress
from buildsite.record.faults import Place
from buildsite.record.flags import Field, Flag
from buildsite.values import dataclass

if TYPE_CHECKING:
    from buildsite.history.walk import History

FLAGS = form_of(tuple[Flag, ...])

AT_ONCE = 100
"""Records whose past is read from git at once."""


@dataclass(frozen=True)
class Placed:
    """A record that was read and let go: its file, and its spots, kept in JSON."""

    file: str
    spots: dict[str, Any]

    def place(self, field: Field) -> Place:
        """Return line and column of a value, or of its nearest parent."""
        place: Place = (1, 1)
        spots = self.spots
        for part in map(str, field):  # JSON has the places of a list by text
            if not spots or part not in spots:
                break
            _, _, line, column, spots = spots[part]
            place = (line, column)
        return place


@dataclass
class Check:
    """
    The flags of every record, file by file.

    `past` is the history with what touched each path, if tests state who judged them;
    `others` are flags of files that are no records.
    """

    archive: Archive
    past: "tuple[History, Mapping[str, Sequence[int]]] | None"
    progress: Progress
    others: list[Flag] = field(default_factory=list)
    traces: list[Trace] = field(default_factory=list)
    accepting: set[str] = field(default_factory=set)
    shelf: Shelf = field(default_factory=Shelf)

    def run(self, files: Sequence[str]) -> Iterator[tuple[Flag, ...]]:
        """Yield the flags of each file that has some, in order."""
        self.progress.stage("checking records", len(files))
        for first in range(0, len(files), AT_ONCE):
            some = files[first : first + AT_ONCE]
            if self.past is not None:
                self.past[0].load([x for x in some if is_test(x)], self.past[1])
            for file in some:
                self._read(file)
            self.archive.shared.forget_texts()
            self.progress.done(len(some))
        self.progress.stage("comparing tests")
        across = doubts_across(self.archive, self.traces)
        self.traces.clear()
        others: dict[str, list[Flag]] = {}
        for flag in self.others:
            others.setdefault(flag.file, []).append(flag)
        for file in sorted({*files, *others}):
            found = others.get(file, [])
            if file in self.shelf:
                own, more, spots = self.shelf.all(file)
                doubted = across.get(file, ())
                source = Placed(file, loaded(spots) if doubted else {})
                given = [flag_of(*one, source) for one in doubted]
                given += FLAGS.read(loaded(more))
                found = [*found, *self._with(file, FLAGS.read(loaded(own)), given)]
            if found:
                yield tuple(sorted(found, key=lambda flag: flag.order))

    def _read(self, file: str) -> None:
        """Read a record, and put what is found of it alone on the shelf."""
        archive = self.archive
        found = archive.flags(file)
        entry = archive.entry(file)
        more: tuple[Flag, ...] = ()
        if is_test(file):
            self.traces += traces_of(archive, [file])
            more = self._of_history(file)
        if getattr(entry.record, "accepted", ()):
            self.accepting.add(file)
        self.others += [flag for flag in found if flag.file != file]
        self.shelf.put(
            file,
            written(FLAGS.write(tuple(flag for flag in found if flag.file == file))),
            written(FLAGS.write(more if entry.record is not None else ())),
            written(entry.source.spots),
        )
        archive.forget(file)
        archive.forget_projects()

    def _of_history(self, file: str) -> tuple[Flag, ...]:
        """Return the flags of a test edited after a review or an entry check."""
        from buildsite.archive.entry_checks import flags_of_history

        if self.past is None:
            return ()
        return flags_of_history(self.archive, [file], *self.past).get(file, ())

    def _with(
        self, file: str, own: Sequence[Flag], given: Sequence[Flag]
    ) -> Sequence[Flag]:
        """Return all flags of a file, accepted ones marked."""
        if not given or file not in self.accepting:
            return (*own, *given)
        archive = self.archive
        archive.across_flags = {file: tuple(given)}
        found = [flag for flag in archive.flags(file) if flag.file == file]
        archive.across_flags = {}
        archive.forget(file)
        return found


def is_test(file: str) -> bool:
    """Whether a file is the record of a test."""
    return group_of(file) == "test"
