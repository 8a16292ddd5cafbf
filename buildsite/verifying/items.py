"""What was issued, against what the repository holds: kept files, inputs, results."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace

from buildsite.archive.drift import differing_results, reported
from buildsite.archive.inputs_as_issued import Contents
from buildsite.archive.issued_flags import files_to_keep
from buildsite.archive.states import archive_at
from buildsite.history.walk import History
from buildsite.kinds.outcome import Outcome
from buildsite.record.canonical import digest
from buildsite.record.commits import Past
from buildsite.record.issued import (
    SUFFIX,
    Issued,
    Item,
    kept_name,
    pins_of,
    read_issued,
)
from buildsite.record.proof import Fault, Line, id_of
from buildsite.values import dataclass
from buildsite.verifying.claims import (
    Authorities,
    impossible_days,
    kept_file_differences,
    recomputed_difference,
)

KEPT = re.compile(r"(?P<stem>.+)\.r(?P<revision>[0-9]+)\.(html|json)")
CLAIMS = ("report", "preliminary")
"""Kinds of item that report a result."""

AGAIN = (
    "bring {file} back as it was issued: `git log --full-history -- {file}` lists it"
)


RIGHT = (
    "this item was not written by `buildsite issue`, or was changed since: ask who "
    "committed it, and go back to the state before"
)


@dataclass(frozen=True)
class IssuedChain:
    """One test's issued file at HEAD."""

    path: str
    issued: Issued

    @property
    def test(self) -> str:
        """Id of the test, which the file's name gives."""
        return id_of(self.path)

    @property
    def record(self) -> str:
        """Where the test's record stands beside it."""
        return self.path.removesuffix(SUFFIX) + ".yaml"


class Items:
    """Judges every issued item that HEAD holds."""

    def __init__(self, history: History, line: Line, fingerprint: str) -> None:
        self.contents = Contents(history)
        self.history = history
        self.head = self.history.main[0].id
        self.line = line
        self.fingerprint = fingerprint
        self.names = self.history.names(self.head)
        self.chains = tuple(self._chains())
        self.authorities = Authorities(self.history)
        self.notes: list[Fault] = []
        """What newer software computes otherwise, and an assessment covers."""

    def _chains(self) -> Iterator[IssuedChain]:
        """Issued files that can be read; the line tells of the others."""
        for path in self.names:
            if path.endswith(SUFFIX):
                issued, _ = read_issued(path, self._data(path))
                if issued is not None:
                    yield IssuedChain(path, issued)

    def _data(self, path: str) -> bytes:
        """Bytes that HEAD holds."""
        return self.history.read(self.head, path) or b""

    def faults(self) -> Iterator[Fault]:
        """Every fault of every item."""
        for chained in self.chains:
            if chained.record not in self.names:
                yield self._without_record(chained)
            yield from self._kept(chained)
            found = ""
            for item in chained.issued.items:
                yield from self._claimed(chained, item)
                commit = self._commit(chained, item)
                if not commit:
                    yield self._apart(chained, item)
                if item.kind in CLAIMS:
                    found = commit
            if found:
                yield from self._recomputed(chained, found)
        yield from self._strays()

    def _without_record(self, chained: IssuedChain) -> Fault:
        """Fault a test whose record went from beside what was issued of it."""
        file = chained.record
        what = "issued, and its record is not there any more: no site shows the test"
        commit = self._last_touch(file)
        mend = (
            f"{AGAIN.format(file=file)}; if the record was moved, move its issued file "
            "and its kept reports beside it"
        )
        return Fault(chained.test, None, file, commit, what, mend)

    def _kept(self, chained: IssuedChain) -> Iterator[Fault]:
        """Kept reports and results that are missing or not as they were."""
        for item in chained.issued.items:
            for key, file, sum in files_to_keep(chained.record, item):
                what = ""
                if sum is None:
                    what = f"the item gives no digest of its {key}"
                elif not self.history.blob(self.head, file):
                    what = f"the kept {key} is missing"
                elif digest(self._data(file)) != sum:
                    what = f"the kept {key} is not the one issued: its digest differs"
                if what:
                    yield self._fault(chained.test, item.revision, file, what)

    def _claimed(self, chained: IssuedChain, item: Item) -> Iterator[Fault]:
        """What an item claims that can't be so, and what was sent otherwise."""
        came = self.line.came.get((chained.test, item.revision), "")
        commit = self.history.by_id.get(came)
        doubts = list(impossible_days(chained.issued.items, item, commit))
        if came in self.history.by_id:
            doubts += self.authorities.missing_authority(item, came)
        for what in doubts:
            yield Fault(chained.test, item.revision, chained.path, came, what, RIGHT)
        names = {key: file for key, file, _ in files_to_keep(chained.record, item)}
        kept = {
            key: self._data(file) if self.history.blob(self.head, file) else None
            for key, file in names.items()
        }
        report, result = kept.get("report"), kept.get("result")
        for key, what in kept_file_differences(item, report, result):
            yield Fault(chained.test, item.revision, names[key], came, what, RIGHT)

    def _fault(self, test: str, revision: int, file: str, what: str) -> Fault:
        """Fault a file of HEAD, at the commit that last changed it."""
        commit = self._last_touch(file)
        return Fault(test, revision, file, commit, what, AGAIN.format(file=file))

    def _last_touch(self, path: str) -> str:
        """Return the latest commit that changed a path; HEAD where none did."""
        for commit in self.history.commits:
            if any(touch.path == path for touch in commit.touches):
                return commit.id
        return self.head

    def _commit(self, chained: IssuedChain, item: Item) -> str:
        """Find where the inputs of an item stood together."""
        came = self.line.came.get((chained.test, item.revision), "")
        commit = self.history.by_id.get(came)
        parents = commit.parents if commit is not None else ()
        return self.contents.commit(item.inputs, (came, *parents))

    def _apart(self, chained: IssuedChain, item: Item) -> Fault:
        """Fault an item whose inputs stood nowhere together."""
        lost = list(self.contents.lost(item.inputs))
        if not item.inputs:
            what = "the item names no input"
        elif lost:
            what = f"issued from contents that no reachable commit holds: {lost[0]}"
        else:
            what = "its inputs stood together in no reachable commit"
        return Fault(
            chained.test,
            item.revision,
            lost[0].partition("#")[0] if lost else chained.path,
            self.line.came.get((chained.test, item.revision), self.head),
            what,
            "fetch the branch that holds the commit it was issued from; if there is "
            "none, the history was rewritten: go back to the published one",
        )

    def _recomputed(self, chained: IssuedChain, commit: str) -> Iterator[Fault]:
        """Compare the last report of a test with what its inputs give now."""
        issued = chained.issued
        item = next(one for one in reversed(issued.items) if one.kind in CLAIMS)
        made = recomputed(self.history, chained.test, item, commit)
        texts = reported(made) if made is not None else {}
        what = item_difference(made, item)
        if not what:
            yield from self._sent_otherwise(chained, item, made, commit)
            return
        if item.software.fingerprint == self.fingerprint:
            mend = "issue an amendment: the item does not say what its inputs give"
        elif texts == dict(item.results):
            return  # it hands its values on in another form, and reports the same
        else:
            what = f"{what} (issued by other software, {item.software.version})"
            mend = (
                f"issue again, or `buildsite issue {chained.test} --assess "
                f"{item.revision}` to record why the report stands"
            )
        fault = Fault(chained.test, item.revision, chained.path, commit, what, mend)
        other = item.software.fingerprint != self.fingerprint
        covers = [
            one
            for one in issued.assessments(item.revision)
            if other and one.computed == texts
        ]
        if covers:
            one = covers[-1]
            said = f"r{one.revision}, by {one.authorized_by}: {one.reason}"
            self.notes.append(replace(fault, mend=f"assessed in {said}"))
        else:
            yield fault

    def _sent_otherwise(
        self, chained: IssuedChain, item: Item, made: Outcome | None, commit: str
    ) -> Iterator[Fault]:
        """Compare the kept result with what the same software computes again."""
        file = kept_name(chained.record, item.revision, "json")
        if item.software.fingerprint != self.fingerprint or made is None:
            return
        if self.history.blob(self.head, file):
            what = recomputed_difference(made, self._data(file))
            if what:
                yield Fault(chained.test, item.revision, file, commit, what, RIGHT)

    def _strays(self) -> Iterator[Fault]:
        """Kept files that no item of the test speaks of."""
        lengths: Mapping[str, int] = {
            chained.path.removesuffix(SUFFIX): len(chained.issued.items)
            for chained in self.chains
        }
        for name in self.names:
            found = KEPT.fullmatch(name)
            if found is not None and "/tests/" in name:
                revision = int(found["revision"])
                if revision >= lengths.get(found["stem"], 0):
                    test = found["stem"].rpartition("/")[2]
                    what = "kept, though no issued item speaks of it"
                    yield self._fault(test, revision, name, what)


def recomputed(past: Past, test: str, item: Item, commit: str) -> Outcome | None:
    """Compute a test from the inputs of an item, as a commit holds them."""
    files = sorted({name.partition("#")[0] for name in item.inputs})
    file = next((name for name in files if name.endswith(f"/{test}.yaml")), "")
    archive = archive_at(past, commit, files, pins_of(item.inputs))
    return archive.outcome(file) if file in archive.names else None


def item_difference(made: Outcome | None, item: Item) -> str:
    """Say how what was computed differs from an item; empty where it does not."""
    if made is None:
        return "nothing can be computed from its inputs"
    texts, method = reported(made), made.case.method
    if texts != dict(item.results):
        return (
            "recomputed from its inputs: "
            f"{differing_results(texts, item.results, method)}; "
            f"issued: {differing_results(item.results, texts, method)}"
        )
    if made.used != item.used:
        return "recomputed from its inputs, the values used are not those it names"
    return ""
