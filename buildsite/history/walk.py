"""History of an archive, read in one pass: every commit, its touches and contents."""

import gc
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from functools import cached_property
from pathlib import Path

from buildsite.history.blobs import NONE, Blobs
from buildsite.history.completeness import Clone, whole_clone
from buildsite.history.homes import LAB_NAME, OtherPlace, Settled, settled
from buildsite.history.kept_log import KeptLog
from buildsite.history.log import read_log
from buildsite.history.merges import Merges
from buildsite.history.path_states import PathStates, first_parents
from buildsite.history.run import commit_at
from buildsite.history.trees import blobs_of
from buildsite.record.commits import Commit
from buildsite.record.places import LAB, SUFFIX
from buildsite.values import dataclass

OTHERS = 50
"""Most other states of a path that are read together with one."""


@dataclass(frozen=True)
class History:
    """
    Commits of a branch, newest first, and the contents of each.

    `others`: other archives of the repository, and places that this one left.
    """

    root: Path
    commits: tuple[Commit, ...]
    blobs: Blobs
    others: tuple[OtherPlace, ...] = ()

    def reopened(self, present: Mapping[str, bytes] = NONE) -> "History":
        """
        Return the same history for another process, with its own git.

        Blobs that are `present`, by their names, are not read from git.
        """
        return replace(self, blobs=Blobs(self.root, present))

    @cached_property
    def by_id(self) -> Mapping[str, Commit]:
        """Commits by their id."""
        return {commit.id: commit for commit in self.commits}

    @cached_property
    def path_states(self) -> PathStates:
        """States of paths."""
        return PathStates(self.commits, self.by_id)

    def blob(self, commit: str, path: str) -> str:
        """Return the name of a path's blob at a commit; empty if it was absent."""
        return self.path_states.blob(commit, path)

    def read(self, commit: str, path: str) -> bytes | None:
        """Return the bytes of a path at a commit; None if it was absent."""
        blob = self.blob(commit, path)
        if blob and blob not in self.blobs:  # who reads one state reads the others
            self.blobs.load([blob, *self.path_states.blobs(path)[:OTHERS]])
        return self.blobs[blob] if blob else None

    def load(self, paths: Iterable[str], touching: Mapping[str, Sequence[int]]) -> None:
        """Read some paths at each commit that touched them, all at once."""
        blobs = (
            self.blob(self.commits[place].id, path)
            for path in paths
            for place in touching.get(path, ())
        )
        self.blobs.load(filter(None, blobs))

    def names(self, commit: str) -> list[str]:
        """Return every path at a commit, sorted."""
        return [path for path in self.paths if self.blob(commit, path)]

    @cached_property
    def paths(self) -> tuple[str, ...]:
        """Every path that any commit touched."""
        return tuple(self.path_states.paths)

    @cached_property
    def main(self) -> tuple[Commit, ...]:
        """The first-parent line, newest first."""
        return (
            tuple(first_parents(self.commits[0], self.by_id, {}))
            if self.commits
            else ()
        )

    def touching(self, paths: Sequence[str]) -> list[Commit]:
        """Return the commits that changed any of these paths, oldest first."""
        wanted = set(paths)
        return [
            commit
            for commit in reversed(self.commits)
            if any(t.path in wanted and t.inside for t in commit.touches)
        ]


def read_history(root: Path, ref: str = "HEAD", log: KeptLog | None = None) -> History:
    """Return the history of `ref`, empty before the first commit; of a kept `log`."""
    return history_of(root, whole_clone(root, ref), log)


def history_of(root: Path, clone: Clone, log: KeptLog | None = None) -> History:
    """Return the history of a clone that is known to be whole."""
    found = read_all(root, clone, log) if clone.tip else Settled(())
    commits = found.commits
    if any(len(commit.parents) > 1 for commit in commits):
        merges = Merges(commits)
        commits = tuple(
            merges.marked(commit) if len(commit.parents) > 1 else commit
            for commit in commits
        )
    return History(root, commits, Blobs(root), found.others)


def read_all(root: Path, clone: Clone, log: KeptLog | None) -> Settled:
    """Read every commit, with what it changed in the archive wherever that stood."""
    with no_garbage():
        read = read_log if log is None else log.read
        commits = tuple(read(root, clone.tip))
        here = f"{clone.prefix}records/"
        return settled(commits, here, lambda: issued_by_place(root))


def issued_by_place(root: Path) -> dict[str, set[str]]:
    """Return the names of the issued files of each archive in the last commit."""
    head = commit_at(root, "HEAD")
    paths = blobs_of(root, head) if head else {}
    places = [
        path.removesuffix(LAB_NAME)
        for path in paths
        if path == LAB or path.endswith(f"/{LAB}")
    ]
    return {
        place: {
            path.rpartition("/")[2]
            for path in paths
            if path.startswith(place) and path.endswith(SUFFIX)
        }
        for place in places
    }


@contextmanager
def no_garbage() -> Iterator[None]:
    """Disable garbage collection while making many objects that all stay."""
    looked = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if looked:
            gc.enable()
