"""
Chains of issued items along the published branch, and where one was broken.

A chain follows the test's id: its file may move between folders. At each commit the
earlier items must be the beginning of the present ones, else that commit broke the
chain. A break is a fault until the items are restored and an assessment names the
commit.

A merge publishes what its branch issued: each item ever issued on it must be in the
chain. Git doesn't say which parent of a merge was published before it.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from typing import Any

from buildsite.record.issued import breaks, grown, read_issued, whole_digest
from buildsite.record.places import SUFFIX
from buildsite.record.unseen import printable
from buildsite.values import dataclass

Trees = Sequence[Mapping[str, Any]]
"""Items as written."""

ABBREVIATION = 10
"""Shortest abbreviation of a commit's id in an assessment."""


@dataclass(frozen=True)
class Fault:
    """A fault of what was issued; `revision` is None for the whole test."""

    test: str
    revision: int | None
    file: str
    commit: str
    what: str
    mend: str

    @property
    def order(self) -> tuple[str, int, str, str, str]:
        """Sort key: by test, revision and file."""
        number = -1 if self.revision is None else self.revision
        return (self.test, number, self.file, self.commit, self.what)

    @property
    def name(self) -> str:
        """The test and its revision, where known."""
        return self.test if self.revision is None else f"{self.test} r{self.revision}"

    def __str__(self) -> str:
        """Return place and fault, and the corrective action on a second line."""
        name = f" {self.name}:" if self.name else ""
        at = f" (commit {self.commit})" if self.commit else ""
        first = f"{self.file}: fault:{name} {self.what}{at}"
        action = printable(f"    corrective action: {self.mend}")
        return f"{printable(first)}\n{action}"


@dataclass(frozen=True)
class Stage:
    """A commit of the branch and the issued files it changed, None if removed."""

    commit: str
    files: Mapping[str, bytes | None]


@dataclass(frozen=True)
class Broken:
    """A break of a chain."""

    test: str
    revision: int
    file: str
    commit: str
    what: str
    mend: str = ""


@dataclass
class Line:
    """
    The chains of all tests, followed from commit to commit.

    `stands`: the items of each test after the last commit; `came`: the commit that
    added each item; `broken`: every break; `own`: the faults within a chain as it is
    now, with the commit that made each.
    """

    stands: dict[str, Trees] = field(default_factory=dict)
    came: dict[tuple[str, int], str] = field(default_factory=dict)
    broken: list[Broken] = field(default_factory=list)
    own: dict[str, dict[tuple[int, str], str]] = field(default_factory=dict)
    _sound: dict[str, Trees] = field(default_factory=dict)
    _files: dict[str, dict[str, bytes]] = field(default_factory=dict)
    _path: dict[str, str] = field(default_factory=dict)

    def add(self, stage: Stage) -> None:
        """Go on to the next commit."""
        for path, data in sorted(stage.files.items()):
            held = self._files.setdefault(id_of(path), {})
            if data is None:
                held.pop(path, None)
            else:
                held[path] = data
        for test in sorted({id_of(path) for path in stage.files}):
            self._judge(test, stage.commit)

    def _judge(self, test: str, commit: str) -> None:
        """Compare a test's items with the earlier ones."""
        held = self._files[test]
        self._path[test] = min(held, default=self._path.get(test, ""))
        trees, wrong = as_read(test, held)
        if trees is None:
            self._break(test, 0, commit, wrong)
            return
        before, sound = self.stands.get(test, ()), self._sound.get(test, ())
        holds = grown(before, trees) or grown(sound, trees)
        if not holds:
            self._break(test, *differing(sound, trees, commit))
        own = {(one.index, one.what): one for one in breaks(trees)}
        known = self.own.get(test, {})
        for key, one in own.items():
            if holds and key not in known:
                self._break(test, one.revision, commit, f"an item is {one.what}")
        self.own[test] = {key: known.get(key, commit) for key in own}
        self.stands[test] = trees
        if grown(sound, trees) and not own:
            self._sound[test] = trees
        for index in range(len(trees)):
            self.came.setdefault((test, index), commit)

    def add_branch(self, path: str, data: bytes, commit: str) -> None:
        """Compare a state of a branch with the chain after a commit merged it."""
        test = id_of(path)
        trees, _ = as_read(test, {path: data})
        stands = self.stands.get(test, ())
        known = any(one.test == test and one.commit == commit for one in self.broken)
        if trees is None or known or grown(trees, stands):
            return
        index, _, _ = differing(trees, stands, commit)
        what = "an item issued on a branch is missing from the chain it was merged into"
        mend = (
            f"list what was issued on each side: `git log --full-history -- {path}`; "
            "if this merge dropped the published chain, restore it; else record an "
            "assessment that names this commit and the reason"
        )
        self.broken.append(Broken(test, index, path, commit, what, mend))

    def _break(self, test: str, revision: int, commit: str, what: str) -> None:
        self.broken.append(Broken(test, revision, self._path[test], commit, what))

    def path(self, test: str) -> str:
        """Return the path of a test's issued file, present or last; empty if none."""
        return self._path.get(test, "")

    def faults(self) -> Iterator[Fault]:
        """Yield the breaks without an assessment, and the faults of chains as now."""
        reported = set()
        for one in self.broken:
            judged = self._assessment(one)
            if judged is None or not self._stands_again(one.test):
                reported.add((one.test, one.commit))
                yield as_fault(one, lasts=judged is not None)
        for test, own in sorted(self.own.items()):
            for (index, what), commit in own.items():
                if (test, commit) not in reported:
                    what = f"an item is {what}"
                    path = self._path[test]
                    yield as_fault(Broken(test, index, path, commit, what))

    def cleared(self) -> Iterator[Fault]:
        """Yield the breaks restored and assessed, with who and why."""
        for one in self.broken:
            judged = self._assessment(one)
            if judged is not None and self._stands_again(one.test):
                fault = as_fault(one)
                who = f"{one.test} r{judged['revision']} by {judged['authorized_by']}"
                why = f"{one.what}; assessed in {who}: {judged['reason']}"
                yield replace(fault, what=why, mend="none: check the assessment")

    def _stands_again(self, test: str) -> bool:
        """Whether a test's items continue the last unbroken chain."""
        return grown(self._sound.get(test, ()), self.stands.get(test, ()))

    def _assessment(self, one: Broken) -> Mapping[str, Any] | None:
        """Return the assessment that names the commit of a break, if any."""
        for tree in self.stands.get(one.test, ()):
            named = str(tree.get("breaks", ""))
            names = len(named) >= ABBREVIATION and one.commit.startswith(named)
            if tree.get("kind") == "assessment" and names:
                return tree
        return None


def follow(stages: Iterable[Stage]) -> Line:
    """Return every chain, followed along a branch from its oldest commit."""
    line = Line()
    for stage in stages:
        line.add(stage)
    return line


def id_of(path: str) -> str:
    """
    Return the id of the test of an issued file.

    >>> id_of("records/p/tests/HF-0117.issued.yaml")
    'HF-0117'
    """
    return path.rpartition("/")[2].removesuffix(SUFFIX)


def as_read(test: str, held: Mapping[str, bytes]) -> tuple[Trees | None, str]:
    """Return a test's items at a commit; None and the reason if unreadable."""
    if len(held) > 1:
        return None, f"is in several files: {', '.join(sorted(held))}"
    for path, data in held.items():
        issued, flags = read_issued(path, data)
        if issued is None:
            first = min(flags, key=lambda flag: flag.order)
            return None, f"can't be read: line {first.line}, {first.message}"
        if issued.test != test:
            return None, f"names another test, {issued.test}"
        return issued.trees, ""
    return (), ""


def differing(sound: Trees, trees: Trees, commit: str) -> tuple[int, str, str]:
    """Return the first item that changed: its number, the commit, and how."""
    old = [whole_digest(tree) for tree in sound]
    new = [whole_digest(tree) for tree in trees]
    index = next(i for i, one in enumerate(old) if i >= len(new) or new[i] != one)
    if not new:
        what = "the issued file was removed"
    elif old[index] in new:
        inserted = new[index] not in old
        what = (
            "an item was inserted before this one"
            if inserted
            else "this item was moved to another place"
        )
    elif index >= len(new) or new[index] in old:
        what = "this issued item was removed"
    else:
        what = "this issued item was altered"
    return index, commit, what


def as_fault(one: Broken, *, lasts: bool = False) -> Fault:
    """Return a break as a fault; `lasts`: it was assessed but never restored."""
    still = "; assessed, but the earlier items were never restored"
    back = f"restore {one.file} as it was before {one.commit[:12]}"
    then = "record an assessment that names this commit and the reason"
    return Fault(
        one.test,
        one.revision,
        one.file,
        one.commit,
        one.what + (still if lasts else ""),
        one.mend or (back if lasts else f"{back}, then {then}"),
    )
