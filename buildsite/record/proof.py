"""
Chains of issued items along the published branch: how each grew, and where one broke.

A test's chain follows its id: the file may move between folders. At each state the
items that stood must be the beginning of those that stand; else the chain broke there.
A broken past can't be unmade, so it counts until the items stand again as they stood
and an assessment names its commit.

What a merged branch issued is published with it: each item that ever stood on one must
stand in the chain. Which of a merge's parents was published before it, git doesn't say.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from typing import Any

from buildsite.record.issued import SUFFIX, breaks, grown, read_issued, whole_digest
from buildsite.values import dataclass

Trees = Sequence[Mapping[str, Any]]
"""Items as written."""

ABBREVIATION = 10
"""Letters of a commit's id that an assessment gives at least."""


@dataclass(frozen=True)
class Fault:
    """One thing that does not hold. `revision` is None where all of a test is meant."""

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
        """Name the revision as people do, as far as it is known."""
        return self.test if self.revision is None else f"{self.test} r{self.revision}"

    def __str__(self) -> str:
        """Write where and what, and on a second line how to mend it."""
        name = f" {self.name}:" if self.name else ""
        at = f" (commit {self.commit})" if self.commit else ""
        return f"{self.file}: fault:{name} {self.what}{at}\n    mend: {self.mend}"


@dataclass(frozen=True)
class Stage:
    """A state of the branch: the issued files changed by a commit, None if removed."""

    commit: str
    files: Mapping[str, bytes | None]


@dataclass(frozen=True)
class Broken:
    """Where a chain broke."""

    test: str
    revision: int
    file: str
    commit: str
    what: str
    mend: str = ""


@dataclass
class Line:
    """
    How the chains of all tests grew.

    `stands` are the items of each test after the last state, `came` the commit that
    brought each item, `broken` every break, `own` what does not hold in a chain by
    itself as it stands, with the commit since which.
    """

    stands: dict[str, Trees] = field(default_factory=dict)
    came: dict[tuple[str, int], str] = field(default_factory=dict)
    broken: list[Broken] = field(default_factory=list)
    own: dict[str, dict[tuple[int, str], str]] = field(default_factory=dict)
    _sound: dict[str, Trees] = field(default_factory=dict)
    _files: dict[str, dict[str, bytes]] = field(default_factory=dict)
    _path: dict[str, str] = field(default_factory=dict)

    def add(self, stage: Stage) -> None:
        """Go on to the next state."""
        for path, data in sorted(stage.files.items()):
            held = self._files.setdefault(id_of(path), {})
            if data is None:
                held.pop(path, None)
            else:
                held[path] = data
        for test in sorted({id_of(path) for path in stage.files}):
            self._judge(test, stage.commit)

    def _judge(self, test: str, commit: str) -> None:
        """Compare a test's items with those that stood before."""
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
        """Compare a state of a branch with what stands after a commit merged it."""
        test = id_of(path)
        trees, _ = as_read(test, {path: data})
        stands = self.stands.get(test, ())
        told = any(one.test == test and one.commit == commit for one in self.broken)
        if trees is None or told or grown(trees, stands):
            return
        index, _, _ = differing(trees, stands, commit)
        what = "an item that a branch issued is not in the chain it was merged to"
        mend = (
            f"`git log --full-history -- {path}` lists what was issued on either side: "
            "if this merge took the published one for the branch, go back to that one; "
            "else record an assessment that names this commit and says why"
        )
        self.broken.append(Broken(test, index, path, commit, what, mend))

    def _break(self, test: str, revision: int, commit: str, what: str) -> None:
        self.broken.append(Broken(test, revision, self._path[test], commit, what))

    def path(self, test: str) -> str:
        """Where a test's issued file stands, or last stood; empty if it has none."""
        return self._path.get(test, "")

    def faults(self) -> Iterator[Fault]:
        """Breaks that no assessment names, and what does not hold as it stands."""
        told = set()
        for one in self.broken:
            judged = self._assessment(one)
            if judged is None or not self._stands_again(one.test):
                told.add((one.test, one.commit))
                yield as_fault(one, lasts=judged is not None)
        for test, own in sorted(self.own.items()):
            for (index, what), commit in own.items():
                if (test, commit) not in told:
                    what = f"an item is {what}"
                    path = self._path[test]
                    yield as_fault(Broken(test, index, path, commit, what))

    def cleared(self) -> Iterator[Fault]:
        """Breaks that were mended and that an assessment names, with who and why."""
        for one in self.broken:
            judged = self._assessment(one)
            if judged is not None and self._stands_again(one.test):
                fault = as_fault(one)
                who = f"{one.test} r{judged['revision']} by {judged['authorized_by']}"
                why = f"{one.what}; assessed in {who}: {judged['reason']}"
                yield replace(fault, what=why, mend="nothing: read whether it holds")

    def _stands_again(self, test: str) -> bool:
        """Whether a test's items go on from those that last stood unbroken."""
        return grown(self._sound.get(test, ()), self.stands.get(test, ()))

    def _assessment(self, one: Broken) -> Mapping[str, Any] | None:
        """Return the assessment that names the commit of a break, if there is one."""
        for tree in self.stands.get(one.test, ()):
            named = str(tree.get("breaks", ""))
            names = len(named) >= ABBREVIATION and one.commit.startswith(named)
            if tree.get("kind") == "assessment" and names:
                return tree
        return None


def follow(stages: Iterable[Stage]) -> Line:
    """Follow every chain along the states of a branch, oldest first."""
    line = Line()
    for stage in stages:
        line.add(stage)
    return line


def id_of(path: str) -> str:
    """
    Id of the test whose issued file this is.

    >>> id_of("records/p/tests/HF-0117.issued.yaml")
    'HF-0117'
    """
    return path.rpartition("/")[2].removesuffix(SUFFIX)


def as_read(test: str, held: Mapping[str, bytes]) -> tuple[Trees | None, str]:
    """Return a test's items at a state; None, and why, where they can't be read."""
    if len(held) > 1:
        return None, f"stands in several files: {', '.join(sorted(held))}"
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
    """Find the first item that is not as it stood: its number, the commit, and how."""
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
            else "this item was put in another place"
        )
    elif index >= len(new) or new[index] in old:
        what = "this issued item was removed"
    else:
        what = "this issued item was altered"
    return index, commit, what


def as_fault(one: Broken, *, lasts: bool = False) -> Fault:
    """Return a break as a fault; `lasts`: it was assessed and never mended."""
    still = "; an assessment names this, but what stood was never brought back"
    back = f"bring {one.file} back as it stood before {one.commit[:12]}"
    then = "record an assessment that names this commit and says why it happened"
    return Fault(
        one.test,
        one.revision,
        one.file,
        one.commit,
        one.what + (still if lasts else ""),
        one.mend or (back if lasts else f"{back}, then {then}"),
    )
