"""
Changes made in a merge itself, apart from those it only joined.

Joining takes, of each file, the side that changed it since the two separated. Any other
change was made in the merge: a new text, a choice between two changes, or a change
undone by taking the older side.
"""

from collections.abc import Sequence
from heapq import heappop, heappush

from buildsite.history.path_states import PathStates
from buildsite.record.commits import Commit, Touch

OURS, THEIRS = 1, 2
BOTH = OURS | THEIRS


class Merges:
    """Finds what was changed in each merge. Commits are in order, children first."""

    def __init__(self, commits: Sequence[Commit]) -> None:
        self._commits = commits
        self._places = {commit.id: place for place, commit in enumerate(commits)}
        self._path_states = PathStates(
            commits, {commit.id: commit for commit in commits}
        )

    def marked(self, merge: Commit) -> Commit:
        """Return a merge with its touches marked, and the dropped ones added."""
        first, *others = merge.parents
        touches = {touch.path: touch for touch in merge.touches}
        joined: set[str] = set()
        for other in others:
            base, theirs = self._parted(first, other)
            for path in sorted(theirs | touches.keys()):
                sides = [self._blob(at, path) for at in (base, first, other)]
                stands = self._blob(merge.id, path)
                if stands == sides[2] != sides[1] and sides[1] == sides[0]:
                    joined.add(path)
                elif path in theirs and is_dropped(stands, *sides):
                    touches.setdefault(path, Touch(path, sides[2], stands))
        marked = (
            touch._replace(inside=touch.path not in joined)
            for _, touch in sorted(touches.items())
        )
        return merge._replace(touches=tuple(marked))

    def _blob(self, commit: str, path: str) -> str:
        return self._path_states.blob(commit, path) if commit else ""

    def _parted(self, first: str, other: str) -> tuple[str, set[str]]:
        """Return where two lines separated, and the paths changed on the other."""
        seen = {self._places[first]: OURS}
        seen[self._places[other]] = seen.get(self._places[other], 0) | THEIRS
        waiting = sorted(seen)
        touched: set[str] = set()
        while waiting:
            place = heappop(waiting)
            commit, reached = self._commits[place], seen[place]
            if reached == BOTH:
                return commit.id, touched
            if reached == THEIRS:
                touched.update(touch.path for touch in commit.touches)
            for parent in commit.parents:
                at = self._places[parent]
                if at not in seen:
                    heappush(waiting, at)
                seen[at] = seen.get(at, 0) | reached
        return "", touched


def is_dropped(stands: str, base: str, ours: str, theirs: str) -> bool:
    """
    Whether a merge dropped a change of the other side.

    >>> is_dropped("old", "old", "old", "new"), is_dropped("new", "old", "old", "new")
    (True, False)
    """
    return theirs not in (base, stands, ours)
