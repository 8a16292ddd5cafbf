"""
Earlier places of an archive in its repository.

If one commit moved the whole of records/, its history is kept: files at the old place
in that commit's ancestors are read as if they were at the new one. Files put at the old
place later are not part of the archive.
"""

from collections.abc import Mapping, Sequence
from dataclasses import field

from buildsite.record.commits import Commit, Touch
from buildsite.record.places import LAB
from buildsite.values import dataclass

RECORDS = "records/"


@dataclass
class Homes:
    """
    Present and earlier places of the records.

    `known`: for each earlier place, the commit that moved them and its ancestors;
    `moves`: those found while reading.
    """

    here: str
    known: dict[str, tuple[str, frozenset[str]]] = field(default_factory=dict)
    moves: dict[str, str] = field(default_factory=dict)

    @property
    def skip(self) -> int:
        """Length of the part of a path before the archive's own."""
        return len(self.here) - len(RECORDS)

    def joined(
        self, commit: str, touches: Sequence[Touch], elsewhere: Sequence[Touch]
    ) -> tuple[Touch, ...]:
        """
        Return a commit's touches at the present place, joined with earlier ones.

        `touches` have the archive's own paths, `elsewhere` those of the repository.
        """
        found = {one.path: one for one in touches}
        added = {one.path for one in (*touches, *elsewhere) if one.new and not one.old}
        left = [one.path for one in elsewhere if one.old and not one.new]
        if LAB in added or any(
            f"{home}lab.yaml" in added
            for home, (_, before) in self.known.items()
            if commit in before
        ):
            homes = [p.removesuffix("lab.yaml") for p in left if p.endswith(LAB)]
            self.moves |= {home: commit for home in homes if home not in self.moves}
        for home, (move, before) in self.known.items():
            here = commit in before
            for one in elsewhere if here or commit == move else ():
                if one.path.startswith(home) and (here or not one.new):
                    path = RECORDS + one.path.removeprefix(home)
                    now = found.get(path, Touch(path, "", ""))
                    found[path] = Touch(path, one.old or now.old, one.new or now.new)
        if not self.known:
            return tuple(touches)
        return tuple(one for one in found.values() if one.old != one.new)

    def found(self, commits: Sequence[Commit]) -> bool:
        """Add the places found while reading; return whether one was new."""
        new = sorted(self.moves.keys() - self.known.keys())
        by_id = {commit.id: commit for commit in commits}
        for home in new:
            move = self.moves[home]
            self.known[home] = (move, ancestors_of(move, by_id))
        return bool(new)


def ancestors_of(commit: str, by_id: Mapping[str, Commit]) -> frozenset[str]:
    """Return the ancestors of a commit."""
    waiting, seen = [*by_id[commit].parents], set[str]()
    while waiting:
        id = waiting.pop()
        if id not in seen:
            seen.add(id)
            waiting += by_id[id].parents
    return frozenset(seen)
