"""
State of a path at any commit, without listing a tree.

Commits form chains: a chain follows first parents from its newest commit down to the
commit it forked from, on another chain (the main line is the chain of the branch's
tip). The state of a path at a commit is its last change on the commit's chain up to
there, else its state at the fork.
"""

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence

from buildsite.record.commits import Commit


class PathStates:
    """States of paths, from what each commit changed against its first parent."""

    def __init__(self, commits: Sequence[Commit], by_id: Mapping[str, Commit]) -> None:
        """Read commits, children before parents."""
        self._places: dict[str, tuple[int, int]] = {}
        self._forks: list[str] = []
        self._changes: dict[str, dict[int, tuple[list[int], list[str]]]] = {}
        for commit in commits:
            if commit.id not in self._places:
                self._follow(commit, by_id)

    def _follow(self, start: Commit, by_id: Mapping[str, Commit]) -> None:
        """Add a chain and its changes, oldest first."""
        line = list(first_parents(start, by_id, self._places))
        chain = len(self._forks)
        self._forks.append(line[-1].parents[0] if line[-1].parents else "")
        for place, commit in enumerate(reversed(line)):
            self._places[commit.id] = (chain, place)
            for touch in commit.touches:
                chains = self._changes.setdefault(touch.path, {})
                places, blobs = chains.setdefault(chain, ([], []))
                places.append(place)
                blobs.append(touch.new)

    @property
    def paths(self) -> list[str]:
        """Every path that any commit touched, sorted."""
        return sorted(self._changes)

    def blobs(self, path: str) -> list[str]:
        """Return the names of all blobs that a path ever had."""
        chains = self._changes.get(path, {}).values()
        return [blob for _, blobs in chains for blob in blobs if blob]

    def blob(self, commit: str, path: str) -> str:
        """Return the name of a path's blob at a commit; empty if it was absent."""
        changes = self._changes.get(path)
        if changes is None:
            return ""
        while commit:
            chain, place = self._places[commit]
            if chain in changes:
                places, blobs = changes[chain]
                last = bisect_right(places, place)
                if last:
                    return blobs[last - 1]
            commit = self._forks[chain]
        return ""


def first_parents(
    start: Commit, by_id: Mapping[str, Commit], known: Mapping[str, object]
) -> Iterator[Commit]:
    """Yield a commit and its first parents, until one that is known already."""
    commit: Commit | None = start
    while commit is not None and commit.id not in known:
        yield commit
        commit = by_id.get(commit.parents[0]) if commit.parents else None
