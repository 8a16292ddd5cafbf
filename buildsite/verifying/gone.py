"""
What stood on the branch and is gone: issued items of a place that was left, and tests.

A test that was issued and is removed breaks its chain, which `line` follows. Here is
what no chain sees: what was issued in another archive of the repository from which this
one came, and tests that were never issued. Only a kind whose tests last (`Kind.lasts`)
makes the latter a fault; others are told.
"""

from collections.abc import Iterator, Mapping
from dataclasses import field
from typing import Any

from buildsite.archive.identity import group_of, kind_of, name_of
from buildsite.history.homes import RECORDS, OtherPlace, Stood
from buildsite.history.walk import History
from buildsite.record.issued import read_issued, whole_digest
from buildsite.record.messages import counted, some_of
from buildsite.record.places import SUFFIX
from buildsite.record.proof import Fault, Line, id_of
from buildsite.record.source import read_source
from buildsite.values import dataclass
from buildsite.verifying.strays import is_read

NAMED = 5
"""Number of tests named in one remark."""

ABBREVIATION = 12


@dataclass
class Gone:
    """Faults of what is gone, and remarks."""

    faults: list[Fault] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)


def what_is_gone(history: History, line: Line, along: str) -> Gone:
    """Return what once stood on a branch and stands nowhere in the archive now."""
    found = Gone()
    here = {whole_digest(tree) for trees in line.stands.values() for tree in trees}
    standing = {
        whole_digest(tree)
        for other in history.others
        if other.stands and not other.left
        for _, _, tree, _ in items_of(history, other)
    }
    for other in history.others:
        add_items_gone(found, history, other, here, standing)
    paths = (*history.paths, *(one.path for o in history.others for one in o.stood))
    issued = {id_of(path) for path in paths if path.endswith(SUFFIX)}
    gone = []
    for test in tests_gone(history):
        if test.id in issued:
            continue  # its chain tells more
        if test.lasts(history):
            found.faults.append(fault_of_test(test, along))
        else:
            gone.append(f"{test.id} (commit {test.removed[:ABBREVIATION]})")
    if gone:
        found.remarks.append(
            f"once on {along}, never issued and gone: {counted(len(gone), 'test')}, "
            f"{some_of(gone, NAMED)}"
        )
    return found


def items_of(
    history: History, other: OtherPlace
) -> Iterator[tuple[str, int, Mapping[str, Any], Stood]]:
    """Yield each item of another place: its test, number and tree, where it stood."""
    for stood in other.stood:
        if stood.path.endswith(SUFFIX):
            read, _ = read_issued(stood.path, history.blobs[stood.blob])
            for number, tree in enumerate(read.trees if read is not None else ()):
                yield id_of(stood.path), number, tree, stood


def add_items_gone(
    found: Gone,
    history: History,
    other: OtherPlace,
    here: set[str],
    standing: set[str],
) -> None:
    """
    Add the items of another place that are not in this archive, though they should be.

    What is in an archive that is standing is for that one to prove.
    """
    all = {whole_digest(tree): (t, n, s) for t, n, tree, s in items_of(history, other)}
    copied = other.left or (other.earlier and not all.keys().isdisjoint(here))
    missing = all.keys() - here - (set() if copied else standing)
    if copied or (other.earlier and not other.stands):
        found.faults += [fault_of_item(other, *all[one]) for one in missing]
    elif missing and not other.stands:
        tests = sorted({all[one][0] for one in missing})
        found.remarks.append(
            f"another archive of this repository, {other.place}, was removed in commit "
            f"{other.gone[:ABBREVIATION]}, with what was issued there: "
            f"{some_of(tests, NAMED)}"
        )


def fault_of_item(other: OtherPlace, test: str, number: int, stood: Stood) -> Fault:
    """Return the fault of an item that stood at another place and is not here."""
    file = other.place + stood.path.removeprefix(RECORDS)
    if other.left:
        what = f"issued at {other.place}, where this archive stood before"
    elif other.stands:
        what = f"issued at {other.place}, from which items of this archive came"
    else:
        what = f"issued at {other.place}, an archive that was removed"
    mend = (
        f"move it here with its record and all that was kept of it: `git log "
        f"--full-history -- {file}` lists its states"
    )
    commit = stood.commit if other.stands else other.gone
    return Fault(test, number, file, commit, f"{what}, and missing here", mend)


@dataclass
class GoneTest:
    """A test without a record now: its id, last file, commit that removed it."""

    id: str
    file: str
    removed: str
    blobs: list[str] = field(default_factory=list)

    def lasts(self, history: History) -> bool:
        """Whether it was ever of a kind whose tests may not be removed."""
        for blob in dict.fromkeys(self.blobs):
            kind, _ = kind_of(read_source(self.file, history.blobs[blob]))
            if kind is not None and kind.lasts:
                return True
        return False


def tests_gone(history: History) -> list[GoneTest]:
    """
    Return every test that any commit held and the newest one does not, by id.

    A test of a merged branch counts as well: git doesn't say which parent of a merge
    was the published one.
    """
    head = history.main[0].id
    there = {name_of(name).casefold() for name in history.names(head) if is_test(name)}
    elsewhere = {
        name_of(stood.path).casefold()
        for other in history.others
        if other.stands and not other.left
        for stood in other.stood
    }
    found: dict[str, GoneTest] = {}
    for commit in history.commits:
        for touch in commit.touches:
            add_test(found, there, touch.path, commit.id, (touch.new, touch.old))
    for other in history.others:
        if other.left or (other.earlier and not other.stands):
            for stood in other.stood:
                removed = other.gone or stood.commit
                known = there if other.left else there | elsewhere
                add_test(found, known, stood.path, removed, (stood.blob,))
    return [found[id] for id in sorted(found)]


def add_test(
    found: dict[str, GoneTest],
    there: set[str],
    path: str,
    commit: str,
    blobs: tuple[str, ...],
) -> None:
    """Add a state of a test that is not there now; the latest commit comes first."""
    if is_test(path) and name_of(path).casefold() not in there:
        id = name_of(path)
        one = found.setdefault(id, GoneTest(id, path, commit))
        one.blobs += filter(None, blobs)


def is_test(path: str) -> bool:
    """
    Whether a file is the record of a test, where the archive reads it.

    >>> is_test("records/p/tests/A-1.yaml"), is_test("records/p/tests/A-1.issued.yaml")
    (True, False)
    """
    return is_read(path) and group_of(path) == "test"


def fault_of_test(test: GoneTest, along: str) -> Fault:
    """Return the fault of a test that may not be removed."""
    return Fault(
        test.id,
        None,
        test.file,
        test.removed,
        f"once stood on {along} and is gone: a test of this kind stays, issued or not",
        f"restore it: `git log --full-history -- {test.file}` lists its states; a test "
        "that does not count is withdrawn with a reason, not removed",
    )
