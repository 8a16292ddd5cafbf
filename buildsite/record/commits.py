"""Commits and the paths they changed, as plain data that `history/` fills."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Literal, NamedTuple, Protocol

from buildsite.values import dataclass


class Touch(NamedTuple):
    """
    One path that a commit changed, against its first parent.

    `old` and `new` name blobs; empty where the file was absent. `inside` is for merges:
    the change was made in the merge itself. Where a merge kept its first parent's file
    and dropped another parent's change, `old` is the dropped blob.
    """

    path: str
    old: str
    new: str
    inside: bool = True


class Commit(NamedTuple):
    """
    One commit, a tuple, for a long past has many.

    `when` is the committer's date, ISO 8601 with its offset.
    `message` is the subject and body without trailers; `trailers` by name in lower
    case (`entered-by`, `reason`).
    """

    id: str
    parents: tuple[str, ...]
    when: str
    email: str  # the committer's: mapped to a staff code, never shown
    author_email: str
    message: str
    trailers: Mapping[str, str] = {}
    touches: tuple[Touch, ...] = ()

    @property
    def subject(self) -> str:
        """First line of the message."""
        return self.message.partition("\n")[0]

    @property
    def day(self) -> str:
        """The committer's date, without the time."""
        return self.when[:10]


SignatureState = Literal[
    "good",
    "unsigned",
    "unknown key",
    "expired key",
    "revoked key",
    "altered",
    "not checked",
]
"""State of a commit's signature."""


@dataclass(frozen=True)
class Signature:
    """State of a signature, and the staff code of its key."""

    state: SignatureState
    code: str = ""
    why: str = ""


@dataclass(frozen=True)
class StaffKey:
    """
    A person's SSH key and the days it is valid, as listed in lab.yaml.

    `key` is a line of a .pub file, without its comment.
    """

    code: str
    key: str
    start: date | None = None
    until: date | None = None


class Past(Protocol):
    """History of a repository, as `history.History` gives it."""

    @property
    def commits(self) -> tuple[Commit, ...]:
        """Every commit, newest first."""

    @property
    def main(self) -> tuple[Commit, ...]:
        """The first-parent line, newest first."""

    @property
    def by_id(self) -> Mapping[str, Commit]:
        """Commits by their id."""

    def blob(self, commit: str, path: str) -> str:
        """Return the name of a path's blob at a commit; empty if it was absent."""

    def read(self, commit: str, path: str) -> bytes | None:
        """Return the bytes of a path at a commit; None if it was absent."""

    def load(self, paths: Iterable[str], touching: Mapping[str, Sequence[int]]) -> None:
        """Read some paths at each commit that touched them, all at once."""

    def names(self, commit: str) -> list[str]:
        """Return every path under records/ at a commit, sorted."""

    def touching(self, paths: Sequence[str]) -> list[Commit]:
        """Return the commits that changed any of these paths, oldest first."""


def places_touching(past: Past) -> dict[str, list[int]]:
    """Return, for each path, the indices of its commits in `past.commits`."""
    found: dict[str, list[int]] = {}
    for place, commit in enumerate(past.commits):
        for touch in commit.touches:
            found.setdefault(touch.path, []).append(place)
    return found
