"""Issued items, compared with the repository: kept files, inputs, results."""

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property

from buildsite.archive.entries import Shared
from buildsite.archive.identity import group_of, name_of
from buildsite.archive.inputs_as_issued import Contents
from buildsite.archive.issued_files import unfit_report
from buildsite.archive.issued_flags import files_to_keep
from buildsite.history.walk import History
from buildsite.progress import SILENT, Progress
from buildsite.record.canonical import digest
from buildsite.record.issued import Issued, Item, read_issued
from buildsite.record.places import SUFFIX
from buildsite.record.proof import Fault, id_of
from buildsite.values import dataclass
from buildsite.verifying.branch_records import BranchRecords
from buildsite.verifying.claims import (
    Authorities,
    impossible_days,
    kept_file_differences,
)
from buildsite.verifying.joined import Joined
from buildsite.verifying.line import JudgedLine
from buildsite.verifying.programs import Base, Programs
from buildsite.verifying.recomputed import RIGHT, Recomputing

AGAIN = "restore {file} as issued: `git log --full-history -- {file}` lists its states"


@dataclass(frozen=True)
class IssuedChain:
    """One test's issued file at HEAD."""

    path: str
    issued: Issued

    @property
    def test(self) -> str:
        """Id of the test, from the file's name."""
        return id_of(self.path)

    @property
    def record(self) -> str:
        """File of the test's record."""
        return self.path.removesuffix(SUFFIX) + ".yaml"


class Items:
    """Every issued item at HEAD, and its faults."""

    def __init__(
        self,
        history: History,
        judged: JudgedLine,
        programs: Programs,
        base: Base | None,
    ) -> None:
        self.contents, self.shared = Contents(history), Shared()
        branch = BranchRecords(
            history, self.contents, judged, base.commit if base is not None else ""
        )
        self.recomputing = Recomputing(history, self.contents, programs, branch, base)
        self.history = history
        self.head = self.history.main[0].id
        self.line = judged.line
        self.names = self.history.names(self.head)
        self.chains = tuple(self._chains())
        self.authorities = Authorities(self.history)

    @property
    def notes(self) -> list[Fault]:
        """What is told but no fault, after `faults`."""
        return self.recomputing.notes

    def _chains(self) -> Iterator[IssuedChain]:
        """Yield the readable issued files; the line has the faults of the others."""
        for path in self.names:
            if path.endswith(SUFFIX):
                issued, _ = read_issued(path, self._data(path))
                if issued is not None:
                    yield IssuedChain(path, issued)

    def _data(self, path: str) -> bytes:
        """Return a file's bytes at HEAD."""
        return self.history.read(self.head, path) or b""

    def faults(
        self,
        progress: Progress = SILENT,
        chains: Sequence[IssuedChain] | None = None,
    ) -> Iterator[Fault]:
        """Yield every fault of every item, or of the items of some tests."""
        for chained in self.chains if chains is None else chains:
            if chained.record not in self.names:
                yield self._without_record(chained)
            yield from self._twice(chained)
            yield from self._kept(chained)
            for place, item in enumerate(chained.issued.items):
                yield from self._claimed(chained, item)
                commit = self._commit(chained, item)
                if not commit:
                    yield self._apart(chained, item)
                    continue
                joined = self._joined(chained, place, commit)
                yield from self.recomputing.faults(joined)
            progress.done()

    def _without_record(self, chained: IssuedChain) -> Fault:
        """Return the fault of an issued test without its record."""
        file = chained.record
        what = "issued, but its record is missing: no site shows the test"
        commit = self._last_touch(file)
        mend = (
            f"{AGAIN.format(file=file)}; if the record was moved, move its issued file "
            "and its kept reports to the same folder"
        )
        return Fault(chained.test, None, file, commit, what, mend)

    @cached_property
    def _tests(self) -> Mapping[str, Sequence[str]]:
        """The records of each test at HEAD, by its id in lower case."""
        found: dict[str, list[str]] = {}
        for name in self.names:
            if name.endswith(".yaml") and group_of(name) == "test":
                found.setdefault(name_of(name).lower(), []).append(name)
        return found

    def _twice(self, chained: IssuedChain) -> Iterator[Fault]:
        """Yield that an issued test has more than one record."""
        files = self._tests.get(chained.test.lower(), ())
        if len(files) > 1:
            what = f"issued, and its id is that of several records: {', '.join(files)}"
            mend = (
                "keep the record that was issued; give the other one an id of its own"
            )
            other = next(name for name in files if name != chained.record)
            commit = self._last_touch(other)
            yield Fault(chained.test, None, other, commit, what, mend)

    def _kept(self, chained: IssuedChain) -> Iterator[Fault]:
        """Yield kept reports and results that are missing or altered."""
        for item in chained.issued.items:
            for key, file, sum in files_to_keep(chained.record, item):
                what = ""
                if sum is None:
                    what = f"the item states no digest of its {key}"
                elif not self.history.blob(self.head, file):
                    what = f"the kept {key} is missing"
                elif digest(self._data(file)) != sum:
                    what = f"the kept {key} is not the one issued: its digest differs"
                if what:
                    yield self._fault(chained.test, item.revision, file, what)
                elif key != "result":
                    yield from self._unfit(chained, item, file)

    def _unfit(self, chained: IssuedChain, item: Item, file: str) -> Iterator[Fault]:
        """Yield what a kept report holds that could run or load something."""
        commit = self.line.came.get((chained.test, item.revision), self.head)
        data = self._data(file)
        for why in unfit_report(file, data, item, self.contents, self.shared):
            what = f"the kept report holds what none may: {why}"
            yield Fault(chained.test, item.revision, file, commit, what, RIGHT)

    def _claimed(self, chained: IssuedChain, item: Item) -> Iterator[Fault]:
        """Yield impossible claims of an item, and kept files that disagree with it."""
        came = self.line.came.get((chained.test, item.revision), "")
        commit = self.history.by_id.get(came)
        doubts = list(impossible_days(chained.issued.items, item, commit))
        if came in self.history.by_id:
            doubts += self.authorities.missing_authority(item, came)
        for what in doubts:
            yield Fault(chained.test, item.revision, chained.path, came, what, RIGHT)
        names = {key: file for key, file, _ in files_to_keep(chained.record, item)}
        kept = self._kept_files(chained, item)
        for key, what in kept_file_differences(item, kept):
            yield Fault(chained.test, item.revision, names[key], came, what, RIGHT)

    def _kept_files(self, chained: IssuedChain, item: Item) -> dict[str, bytes | None]:
        """Return the kept files of an item by key; None for a missing one."""
        return {
            key: self._data(file) if self.history.blob(self.head, file) else None
            for key, file, _ in files_to_keep(chained.record, item)
        }

    def _joined(self, chained: IssuedChain, place: int, commit: str) -> Joined:
        """Return an item with what it is compared with."""
        item = chained.issued.items[place]
        return Joined(
            chained.path,
            chained.record,
            chained.issued,
            place,
            self.line.came.get((chained.test, item.revision), self.head),
            commit,
            self._kept_files(chained, item),
        )

    def _fault(self, test: str, revision: int, file: str, what: str) -> Fault:
        """Return the fault of a file, at the commit that last changed it."""
        commit = self._last_touch(file)
        return Fault(test, revision, file, commit, what, AGAIN.format(file=file))

    def _last_touch(self, path: str) -> str:
        """Return the latest commit that changed a path, else HEAD."""
        for commit in self.history.commits:
            if any(touch.path == path for touch in commit.touches):
                return commit.id
        return self.head

    def _commit(self, chained: IssuedChain, item: Item) -> str:
        """Return the commit that holds all inputs of an item."""
        came = self.line.came.get((chained.test, item.revision), "")
        commit = self.history.by_id.get(came)
        parents = commit.parents if commit is not None else ()
        return self.contents.commit(item.inputs, (came, *parents))

    def _apart(self, chained: IssuedChain, item: Item) -> Fault:
        """Return the fault of an item whose inputs are in no single commit."""
        lost = list(self.contents.lost(item.inputs))
        if not item.inputs:
            what = "the item names no input"
        elif lost:
            what = f"issued from an input that no reachable commit holds: {lost[0]}"
        else:
            what = "no reachable commit holds all of its inputs"
        return Fault(
            chained.test,
            item.revision,
            lost[0].partition("#")[0] if lost else chained.path,
            self.line.came.get((chained.test, item.revision), self.head),
            what,
            "fetch the branch with the commit from which it was issued; if there is "
            "none, the history was rewritten: restore the published one",
        )
